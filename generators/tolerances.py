"""Tolerances of the drawing, by what the checks leave: a panel cut anywhere within them still goes together.

Every place has a grade for the sizes and positions in its cut-out, and one for where it stands on the panel; the panel
has one for the thickness of its sheet, one for its outline and one for its lips. Each is the coarsest of the table that
no check minds: the panel is put together with all of it at its limits, in every direction that can matter, with the
hardware that was chosen, and all checks are asked again.
What fails anyhow is left out of account. All lengths mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from dryfit.generators.joints.joint import joint
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.pipeline import judged_with
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.job import Cutout, Job, Mounting, Place
from dryfit.models.panel import Panel
from dryfit.models.tables.tolerances import CutGrade, cut_grades

NEIGHBOURS = 15.0  # mm between flanges: bodies, tools and fingers further apart do not mind each other's tolerances
COARSEST, FINEST = cut_grades()[0], cut_grades()[-1]
CORNER_RADII = (3.0, 2.0, 1.5, 1.0, 0.5, 0.3, 0.2)  # mm, of punches and end mills (common practice)
CORNERS = tuple(Point(x, y) for x, y in itertools.product((-1.0, 1.0), repeat=2))
"""Ways to the corners of a square: what may be off by as much along x and along y is furthest off there."""


Grades = Mapping[str, CutGrade]


@dataclass(frozen=True)
class Tolerances:
    """The grades of a panel: of its outline, sheet and lips, and by places of their cut-outs and positions.

    What is not named has the coarsest: the general tolerance.
    """

    outline: CutGrade = COARSEST
    cuts: Mapping[str, CutGrade] = field(default_factory=dict)
    spots: Mapping[str, CutGrade] = field(default_factory=dict)
    corners: Mapping[str, float] = field(default_factory=dict)  # the largest radius that square corners may have
    sheet: CutGrade = COARSEST
    lips: CutGrade = COARSEST

    def cut(self, places: Iterable[str]) -> CutGrade:
        """Return the finest grade of the cut-outs of some places."""
        return _finest(self.cuts.get(name, COARSEST) for name in places)

    def size(self, outline: Outline, places: Iterable[str]) -> float:
        """Return the tolerance (plus or minus) of the sizes of a hole that some places have."""
        return self.cut(places).size(max(outline.size))

    def within(self, fixings: Iterable[Point], places: Iterable[str]) -> float:
        """Return the tolerance (plus or minus) of where the fixing holes of some places are about their axis."""
        return _within(self.cut(places), fixings)

    def corner(self, places: Iterable[str]) -> float:
        """Return the largest radius that the square corners of a hole that some places have may be cut with."""
        return min((self.corners.get(name, 0.0) for name in places), default=0.0)

    def spot(self, panel: Panel, place: Place) -> float:
        """Return the tolerance (plus or minus) of either coordinate of a place, from the panel's lower left corner."""
        return _spot(self.spots.get(place.name, COARSEST), panel, place)


GENERAL = Tolerances()


def _finest(grades: Iterable[CutGrade]) -> CutGrade:
    return max(grades, key=cut_grades().index, default=COARSEST)


def _within(grade: CutGrade, fixings: Iterable[Point]) -> float:
    return min((grade.position(value) for at in fixings for value in at if value), default=0.0)


def _spot(grade: CutGrade, panel: Panel, place: Place) -> float:
    return min(grade.position(place.x + panel.width / 2), grade.position(place.y + panel.height / 2))


def tolerances(report: Report) -> Tolerances:
    """Return the coarsest tolerances within which no place fails that does not fail anyhow."""
    job, lost = report.job, _failing(report.findings)

    def fails(variant: Job) -> set[str]:
        """Return the places at which a variant of the panel fails, the others concerned too."""
        return {*_minded(judged_with(variant, _held(report, variant)), lost)}

    def suits(variants: Iterable[Job]) -> bool:
        """Whether no variant of some fails anywhere."""
        return not any(fails(variant) for variant in variants)

    alike = _alike(job)
    alone = replace(job, places=tuple(places[0] for places in alike))
    sheet = _one_grade(lambda grade: suits(_rolled(job, grade)))
    of_each, _ = _graded([place.name for place in alone.places], _cut(alone, sheet), fails, apart=True)
    first: Grades = {place.name: of_each[places[0].name] for places in alike for place in places}
    sheet, cuts, spots = _spread(job, alike, sheet, first, fails)
    furthest = [variant(spots, ()) for variant in _placed(job, cuts, sheet)[: len(CORNERS)]]
    outline = _one_grade(lambda grade: suits(_trimmed(furthest, grade)))
    lips = _one_grade(lambda grade: suits(_folded(_trimmed(furthest, outline), grade)))
    rounded = {place.name: _corner(alone, place, cuts[place.name], suits) for place in alone.places}
    corners = {place.name: rounded[places[0].name] for places in alike for place in places}
    return Tolerances(outline, cuts, spots, corners, sheet, lips)


def _spread(
    job: Job, alike: Sequence[Sequence[Place]], sheet: CutGrade, cuts: Grades, fails: Callable[[Job], set[str]]
) -> tuple[CutGrade, Grades, Grades]:
    """Return the grades of sheet, cut-outs and positions: finer ones where they would leave nothing to positions.

    Cut-outs give way first, all that are alike together, then the sheet.
    """
    while True:
        spots, stuck = _graded(cuts, _placed(job, cuts, sheet), fails)
        groups = [[place.name for place in places] for places in alike if stuck & {place.name for place in places}]
        finer = {name: _finer(cuts[name]) for names in groups for name in names if cuts[name] != FINEST}
        if finer:
            cuts = {**cuts, **finer}
        elif stuck and sheet != FINEST:
            sheet = _finer(sheet)
        else:
            return sheet, cuts, spots


def _finer(grade: CutGrade) -> CutGrade:
    ladder = cut_grades()
    return ladder[ladder.index(grade) + 1]


def _only(job: Job, names: Collection[str]) -> Job:
    """Return a panel with some of its places alone."""
    return replace(job, places=tuple(place for place in job.places if place.name in names))


def _corner(alone: Job, place: Place, grade: CutGrade, suits: Callable[[Iterable[Job]], bool]) -> float:
    """Return the largest radius that nothing minds at the square corners of a place's hole, cut small; 0 for none."""
    if not has_square_corners(place.cutout.main):
        return 0.0
    one = replace(alone, places=(place,))
    small = _with_cutouts(one, {place.name: grade}, ALL_SMALL)
    most = min(place.cutout.main.size) / 2
    fitting = (r for r in CORNER_RADII if r < most and suits([_with_corners(small, r)]))
    return next(fitting, 0.0)


def _with_corners(job: Job, radius: float) -> Job:
    (place,) = job.places
    cutout = replace(place.cutout, main=rounded_off(place.cutout.main, radius))
    return replace(job, places=(replace(place, mounting=replace(place.mounting, cutout=cutout)),))


def has_square_corners(outline: Outline) -> bool:
    """Whether a hole has corners that a cutter would leave a radius in: a D's flat ends are cut by its circle."""
    return not outline.is_d and not any(corner.is_round for corner in outline.corners)


def rounded_off(outline: Outline, radius: float) -> Outline:
    """Return a hole with its corners rounded inside the same edges."""
    return outline.grown(-radius).grown(radius)


def _alike(job: Job) -> tuple[tuple[Place, ...], ...]:
    """Return the places in groups that have cut-out, part and hardware in common."""
    groups: dict[Mounting, list[Place]] = {}
    for place in job.places:
        groups.setdefault(place.mounting, []).append(place)
    return tuple(tuple(group) for group in groups.values())


Variant = Callable[[Grades, Collection[str]], Job]
"""A panel at limits of the grades of its places; of places that stand apart, only those named are asked for."""


def _graded(
    names: Iterable[str], variants: Sequence[Variant], fails: Callable[[Job], set[str]], *, apart: bool = False
) -> tuple[dict[str, CutGrade], set[str]]:
    """Return the coarsest grade of each name at which it fails in no variant, and the names that even the finest fails.

    Variants are gone through round and round, what fails becoming finer at once, until all in a row have passed. Where
    places stand ``apart``, each is asked about by itself, and no more once it has passed them all.
    """
    ladder = cut_grades()
    steps = dict.fromkeys(names, 0)
    passed = dict.fromkeys(steps, 0)
    stuck: set[str] = set()
    for variant in itertools.cycle(variants):
        left = [name for name, count in passed.items() if count < len(variants)]
        grades = {name: ladder[step] for name, step in steps.items()}
        if not left:
            return grades, stuck
        bad = fails(variant(grades, left)) & {*left}
        finer = {name for name in bad if steps[name] < len(ladder) - 1}
        stuck = stuck | (bad - finer) if apart or not finer else set()
        steps |= {name: steps[name] + 1 for name in finer}
        again = finer if apart or not finer else {*left}
        passed |= {name: 0 if name in again else passed[name] + 1 for name in left}
    raise ValueError("there are no variants to try")


def _one_grade(suits: Callable[[CutGrade], bool]) -> CutGrade:
    """Return the coarsest grade that suits; the finest where none does."""
    return next((grade for grade in cut_grades() if suits(grade)), FINEST)


def _failing(findings: Iterable[Finding]) -> set[str]:
    return {finding.place for finding in findings if finding.verdict is Verdict.FAILS}


def _minded(report: Report, lost: Collection[str]) -> Iterator[str]:
    for finding in report.findings:
        if finding.verdict is Verdict.FAILS and finding.place not in lost:
            yield from (finding.place, *finding.beside)


def _held(report: Report, variant: Job) -> dict[str, Stack]:
    """Return the hardware that was chosen, in the joints of a variant of the panel."""
    stacks: dict[str, Stack] = {}
    for place in variant.places:
        stack, holds = report.stacks.get(place.name), joint(place.mounting, variant.panel)
        if stack is not None and holds is not None:
            stacks[place.name] = replace(stack, joint=holds, rest=None)
    return stacks


# --- panels at the limits of their tolerances ------------------------------------------------------------------------

Signs = tuple[float, float, float]  # of the sizes of main hole, fixing holes and countersinks: -1 or 1
ALL_LARGE: Signs = (1.0, 1.0, 1.0)
ALL_SMALL: Signs = (-1.0, -1.0, -1.0)


def _rolled(job: Job, grade: CutGrade) -> Iterator[Job]:
    """Yield the panel of the thinnest and of the thickest sheet."""
    return (_thicker(_unlettered(job), sign, grade) for sign in (-1.0, 1.0))


def _thicker(job: Job, sign: float, grade: CutGrade) -> Job:
    """Return a panel of a sheet at a limit of its thickness."""
    thickness = job.panel.thickness + sign * grade.size(job.panel.thickness)
    return replace(job, panel=replace(job.panel, thickness=thickness))


def _unlettered(job: Job) -> Job:
    """Return a panel without its legends, which neither sheet nor cut-outs mind."""
    return replace(job, places=tuple(replace(place, legend="") for place in job.places))


def _cut(job: Job, sheet: CutGrade) -> list[Variant]:
    """Return the panel with cut-outs at their limits, fixing holes moved together and against each other.

    The sheet is thick and thin by turns.
    """
    bare = _unlettered(job)
    sunk = any(place.cutout.countersink is not None for place in job.places)

    def variant(signs: Signs, way: Point, other: float) -> Variant:
        def made(grades: Grades, names: Collection[str]) -> Job:
            return _thicker(_with_cutouts(_only(bare, names), grades, signs, (way, way * other)), way.x, sheet)

        return made

    signs = itertools.product((-1.0, 1.0), (-1.0, 1.0), (-1.0, 1.0) if sunk else (1.0,))
    return [variant(*one) for one in itertools.product(signs, CORNERS, (1.0, -1.0))]


def _placed(job: Job, cuts: Grades, sheet: CutGrade) -> list[Variant]:
    """Return the panel with its places moved about, neighbours apart from each other, and all holes large.

    As holes may be off within their cut-out too, places are moved by that much more. The sheet is thick and thin by
    turns. In the first variants all places are moved alike.
    """
    large = _with_cutouts(job, cuts, ALL_LARGE)
    within = {place.name: _within(cuts[place.name], place.cutout.fixings) for place in job.places}

    def variant(signs: Mapping[str, float], way: Point) -> Variant:
        def made(grades: Grades, _: Collection[str]) -> Job:
            off = {p.name: _spot(grades[p.name], job.panel, p) + within[p.name] for p in job.places}
            places = tuple(moved(p, way * (signs[p.name] * off[p.name])) for p in large.places)
            return _thicker(replace(large, places=places), way.x * way.y, sheet)

        return made

    return [variant(*one) for one in itertools.product(_opposed(job), CORNERS)]


def _trimmed(panels: Iterable[Job], grade: CutGrade) -> Iterator[Job]:
    """Yield panels cut small and large."""
    for here, sign in itertools.product(panels, (-1.0, 1.0)):
        yield trimmed(here, sign * grade.size(here.panel.width), sign * grade.size(here.panel.height))


def _folded(panels: Iterable[Job], grade: CutGrade) -> Iterator[Job]:
    """Yield panels with their lips deep and their bends round, then shallow and sharp; nothing of flat ones."""
    for job, sign in itertools.product(panels, (-1.0, 1.0)):
        if job.panel.folded:
            yield folded(job, sign * grade.size(job.panel.lip), sign * grade.radius(job.panel.bend_radius))


def folded(job: Job, deeper: float, rounder: float) -> Job:
    """Return a panel whose lips are so much deeper, and their bends so much rounder as the lips let them."""
    lip = job.panel.lip + deeper
    radius = min(max(0.0, job.panel.bend_radius + rounder), lip)
    return replace(job, panel=replace(job.panel, lip=lip, bend_radius=radius))


def trimmed(job: Job, wider: float, higher: float) -> Job:
    """Return a panel so much wider and higher, everything as far from its lower left corner as it was."""
    shift = Point(-wider / 2, -higher / 2)
    panel = replace(
        job.panel,
        width=job.panel.width + wider,
        height=job.panel.height + higher,
        rack_holes=tuple(hole.moved(*shift) for hole in job.panel.rack_holes),
        cuts=tuple(replace(cut, at=cut.at + shift) for cut in job.panel.cuts),
    )
    return replace(job, panel=panel, places=tuple(moved(place, shift) for place in job.places))


def moved(place: Place, by: Point) -> Place:
    """Return a place that stands elsewhere."""
    return replace(place, x=place.x + by.x, y=place.y + by.y)


def _with_cutouts(job: Job, grades: Mapping[str, CutGrade], signs: Signs, ways: tuple[Point, ...] = (ORIGIN,)) -> Job:
    """Return the panel with all sizes in cut-outs at their limits, fixing holes moved by turns along some ways."""
    made: dict[tuple[Mounting, CutGrade], Mounting] = {}
    for place in job.places:
        key = (place.mounting, grades[place.name])
        if key not in made:
            made[key] = replace(place.mounting, cutout=_limits(place.cutout, grades[place.name], signs, ways))
    places = tuple(replace(place, mounting=made[(place.mounting, grades[place.name])]) for place in job.places)
    return replace(job, places=places)


def _limits(cutout: Cutout, grade: CutGrade, signs: Signs, ways: tuple[Point, ...]) -> Cutout:
    main, fixing, sink = signs
    sunk = 0.0 if cutout.countersink is None else grade.size(cutout.countersink.diameter)
    off = _within(grade, cutout.fixings)
    moves = tuple(way * off for way, _ in zip(itertools.cycle(ways), cutout.fixings, strict=False))
    larger = (main * grade.size(max(cutout.main.size)), fixing * grade.size(cutout.fixing_diameter), sink * sunk)
    return resized(cutout, larger, moves)


def resized(cutout: Cutout, larger: tuple[float, float, float], moves: tuple[Point, ...]) -> Cutout:
    """Return a cut-out whose main hole, fixing holes and countersinks are so much larger, its fixing holes moved."""
    main, fixing, sink = larger
    diameter, sunk = cutout.fixing_diameter + fixing, cutout.countersink
    if sunk is not None:
        sunk = sunk.model_copy(update={"diameter": sunk.diameter + sink})
    at = tuple(Point(*spot) + move for spot, move in zip(cutout.fixings, moves, strict=True))
    return replace(cutout, main=cutout.main.opened(main / 2), fixings=at, fixing_diameter=diameter, countersink=sunk)


def _opposed(job: Job) -> Iterator[dict[str, float]]:
    """Yield signs for all places, 1 or -1: first all alike, then so that every two neighbours differ once at least."""
    colours = _colours(job)
    yield dict.fromkeys(colours, 1.0)
    for bit in range(max(colours.values(), default=0).bit_length()):
        yield {name: 1.0 if colour >> bit & 1 else -1.0 for name, colour in colours.items()}


def _colours(job: Job) -> dict[str, int]:
    """Return a number for every place that none of its neighbours has."""
    rooms = {place.name: place.flange.box.grown(NEIGHBOURS / 2) for place in job.places}
    colours: dict[str, int] = {}
    for name, room in rooms.items():
        taken = {colour for other, colour in colours.items() if room.overlaps(rooms[other])}
        colours[name] = next(n for n in itertools.count() if n not in taken)
    return colours
