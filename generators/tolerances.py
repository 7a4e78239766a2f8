"""Tolerances of the drawing, by what the checks leave: a panel cut anywhere within them still goes together.

Every place has a grade for the sizes and positions in its cut-out, and one for where it stands on the panel; the panel
has one for its outline. Each is the coarsest of the table that no check minds: the panel is put together with all of it
at its limits, in every direction that can matter, with the hardware that was chosen, and all checks are asked again.
What fails anyhow is left out of account. All lengths mm.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Mapping
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
COARSEST = cut_grades()[0]
CORNER_RADII = (3.0, 2.0, 1.5, 1.0, 0.5, 0.3, 0.2)  # mm, of punches and end mills (common practice)
CORNERS = tuple(Point(x, y) for x, y in itertools.product((-1.0, 1.0), repeat=2))
"""Ways to the corners of a square: what may be off by as much along x and along y is furthest off there."""


@dataclass(frozen=True)
class Tolerances:
    """The grades of a panel: of its outline, and by the names of places of their cut-outs and positions.

    What is not named has the coarsest: the general tolerance.
    """

    outline: CutGrade = COARSEST
    cuts: Mapping[str, CutGrade] = field(default_factory=dict)
    spots: Mapping[str, CutGrade] = field(default_factory=dict)
    corners: Mapping[str, float] = field(default_factory=dict)  # the largest radius that square corners may have

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
    """Return the coarsest tolerances within which nothing fails that does not fail anyhow."""
    job, wrong = report.job, _failing(report.findings)

    def fails(variants: Iterable[Job]) -> set[str]:
        """Return the places at which one of some variants of the panel fails, the others concerned too."""
        return {name for variant in variants for name in _minded(judged_with(variant, _held(report, variant)), wrong)}

    alike = _alike(job)
    alone = replace(job, places=tuple(places[0] for places in alike))
    of_each = _graded([place.name for place in alone.places], lambda grades: fails(_cut(alone, grades)))
    cuts = {place.name: of_each[places[0].name] for places in alike for place in places}
    spots = _graded(cuts, lambda grades: fails(_placed(job, cuts, grades)))
    outline = _graded([""], lambda grades: {""} if fails(_trimmed(job, cuts, spots, grades[""])) else set())
    rounded = {place.name: _corner(alone, place, of_each[place.name], fails) for place in alone.places}
    corners = {place.name: rounded[places[0].name] for places in alike for place in places}
    return Tolerances(outline[""], cuts, spots, corners)


def _corner(alone: Job, place: Place, grade: CutGrade, fails: Callable[[Iterable[Job]], set[str]]) -> float:
    """Return the largest radius that nothing minds at the square corners of a place's hole, cut small; 0 for none."""
    if not has_square_corners(place.cutout.main):
        return 0.0
    one = replace(alone, places=(place,))
    small = _with_cutouts(one, {place.name: grade}, ALL_SMALL)
    most = min(place.cutout.main.size) / 2
    fitting = (r for r in CORNER_RADII if r < most and not fails([_with_corners(small, r)]))
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


def _graded(names: Iterable[str], fails: Callable[[Mapping[str, CutGrade]], set[str]]) -> dict[str, CutGrade]:
    """Return the coarsest grade of each name at which it does not fail, all at once."""
    ladder = cut_grades()
    steps = dict.fromkeys(names, 0)
    while True:
        grades = {name: ladder[step] for name, step in steps.items()}
        finer = {name for name in fails(grades) & steps.keys() if steps[name] < len(ladder) - 1}
        if not finer:
            return grades
        steps |= {name: steps[name] + 1 for name in finer}


Key = tuple[str, str]


def _failing(findings: Iterable[Finding]) -> set[Key]:
    return {(f.check, f.place) for f in findings if f.verdict is Verdict.FAILS}


def _minded(report: Report, wrong: set[Key]) -> Iterator[str]:
    for finding in report.findings:
        if finding.verdict is Verdict.FAILS and (finding.check, finding.place) not in wrong:
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


def _cut(job: Job, grades: Mapping[str, CutGrade]) -> Iterator[Job]:
    """Yield the panel with all cut-outs at their limits, the fixing holes moved together and against each other."""
    bare = replace(job, places=tuple(replace(place, legend="") for place in job.places))  # no cut-out minds a legend
    sunk = any(place.cutout.countersink is not None for place in job.places)
    for signs in itertools.product((-1.0, 1.0), (-1.0, 1.0), (-1.0, 1.0) if sunk else (1.0,)):
        for way, other in itertools.product(CORNERS, (1.0, -1.0)):
            yield _with_cutouts(bare, grades, signs, (way, way * other))


def _placed(job: Job, cuts: Mapping[str, CutGrade], grades: Mapping[str, CutGrade]) -> Iterator[Job]:
    """Yield the panel with its places moved about, neighbours apart from each other, and all holes large.

    As holes may be off within their cut-out too, places are moved by that much more.
    """
    large = _with_cutouts(job, cuts, ALL_LARGE)
    reach = {p.name: _spot(grades[p.name], job.panel, p) + _within(cuts[p.name], p.cutout.fixings) for p in job.places}
    for signs, way in itertools.product(_opposed(job), CORNERS):
        yield replace(large, places=tuple(moved(p, way * (signs[p.name] * reach[p.name])) for p in large.places))


def _trimmed(job: Job, cuts: Mapping[str, CutGrade], spots: Mapping[str, CutGrade], grade: CutGrade) -> Iterator[Job]:
    """Yield the panel cut small and large, its places furthest out."""
    for here, sign in itertools.product(itertools.islice(_placed(job, cuts, spots), len(CORNERS)), (-1.0, 1.0)):
        yield trimmed(here, sign * grade.size(job.panel.width), sign * grade.size(job.panel.height))


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
