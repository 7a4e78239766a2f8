"""What makes a part go on a hole that is there: turning it, opening the holes, drilling others beside the old ones.

Metal does not grow back: a hole is only ever made wider, and the old fixing holes stay where they are unless a new hole
takes them in whole. Each way is carried out on the layout and judged as a panel is, before it is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.checks.cutout_size import across
from dryfit.generators.joints.words import describe
from dryfit.generators.pipeline import judged
from dryfit.generators.remedies import edits
from dryfit.generators.remedies.register import strategies
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Verdict
from dryfit.models.geometry.outlines import Outline, clearance
from dryfit.models.geometry.points import Point
from dryfit.models.job import Cutout, Job, Place
from dryfit.models.reading.errors import begun, number_of
from dryfit.models.reading.units import SAME_LENGTH, format_mm
from dryfit.models.resolve import with_edits
from dryfit.models.resolving.cutouts import suited_cutout

TURN = "turn the part"


@dataclass(frozen=True)
class Work:
    """What is to be done, in words, and how the part goes then.

    ``check`` is the one that says so first, empty where all fits; ``hardware`` the screws, where it fails as it is.
    """

    says: str
    verdict: Verdict
    check: str = ""
    hardware: str = ""


@dataclass(frozen=True)
class _Way:
    """Edits of the layout, and the old holes that stay in the metal beside what they write."""

    says: str
    edits: tuple[Edit, ...]
    old: tuple[Outline, ...] = ()


def to_drill(place: Place) -> str:
    """Return in words the fixing holes of a place, none of which is there yet."""
    return f"{begun(_fixings(place, place.cutout))}."


def work(report: Report, old: Sequence[Outline]) -> Work | None:
    """Return the least that makes the part of a report go that fails as it is; None where nothing tried does.

    ``old`` are the fixing holes that are there, as punched.
    """
    for way in _ways(report, old):
        job = with_edits(report.job, way.edits)
        if job is None:
            continue
        then = judged(_with_holes(job, way.old))
        if then.verdict is not Verdict.FAILS:
            first, stack = then.first_worst, next(iter(then.stacks.values()), None)
            hardware = describe(stack) if stack is not None else ""
            return Work(way.says, then.verdict, first.check if first is not None else "", hardware)
    return None


def _with_holes(job: Job, old: Sequence[Outline]) -> Job:
    """Return the job with more holes in its plate than those of its place; unlike plain ones they may be covered."""
    return replace(job, panel=replace(job.panel, rack_holes=(*job.panel.rack_holes, *old))) if old else job


def _ways(report: Report, old: Sequence[Outline]) -> Iterator[_Way]:
    """Yield the ways to try: to turn the part, to cut wider, to do both."""
    (place,) = report.job.places
    lining = (f for f in report.findings if f.check == "hole-pattern" and f.is_bad)
    turns = [turn for finding in lining for turn in strategies()[TURN](report, finding)]
    yield from (_Way(turn.says, turn.edits) for turn in turns)
    wanted = suited_cutout(place.part, place.mount, report.job.panel.coating)
    before = " before coating" if report.job.panel.coating and not place.cutout.left_out else ""
    for cut in _wider(place.cutout, wanted):
        left = tuple(hole for hole in old if not _taken_in(hole, cut))
        cutting = _Way(f"{_in_words(place, cut)}{before}.", edits.cutout(place, cut), left)
        yield cutting
        if cut == replace(place.cutout, main=cut.main):
            yield from (_Way(f"{cutting.says} {turn.says}", (*cutting.edits, *turn.edits)) for turn in turns)


def _wider(cut: Cutout, wanted: Cutout) -> Iterator[Cutout]:
    """Yield cut-outs that can be made of one, the nearer to it first, by what a part wants."""
    mains = [cut.main, *([wanted.main] if _widens(cut.main, wanted.main) else [])]
    for main in mains:
        yield from (replace(fixed, main=main) for fixed in _fixed(cut, wanted) if main != cut.main or fixed != cut)


def _fixed(cut: Cutout, wanted: Cutout) -> Iterator[Cutout]:
    """Yield a cut-out with its fixing holes as they are, wider, and where the part wants them."""
    yield cut
    if not wanted.fixings:
        return
    if len(cut.fixings) == len(wanted.fixings) and cut.fixing_diameter < wanted.fixing_diameter - SAME_LENGTH:
        yield replace(cut, fixing_diameter=wanted.fixing_diameter)
    if cut.fixings != wanted.fixings:
        yield replace(cut, fixings=wanted.fixings, fixing_diameter=wanted.fixing_diameter)


def _widens(hole: Outline, wanted: Outline) -> bool:
    """Whether a hole can be cut wider to be another one."""
    return clearance(hole, wanted) > -SAME_LENGTH and wanted.area > hole.area + SAME_LENGTH


def _taken_in(hole: Outline, cut: Cutout) -> bool:
    """Whether an old hole is gone once a cut-out is made: within its main hole, or within one of its fixing holes."""
    return any(clearance(hole, one) > -SAME_LENGTH for one in (cut.main, *cut.fixing_holes))


# --- in words --------------------------------------------------------------------------------------------------------


def _in_words(place: Place, cut: Cutout) -> str:
    was, layer = place.cutout, 2 * place.cutout.left_out
    told = [f"open the hole to {across(cut.main.grown(-layer / 2))}"] if cut.main != was.main else []
    if cut.fixings != was.fixings:
        told.append(_fixings(place, cut))
    elif cut.fixing_diameter != was.fixing_diameter:
        told.append(f"open the fixing holes to {format_mm(cut.fixing_diameter - layer)}")
    return begun(" and ".join(told))


def _fixings(place: Place, cut: Cutout) -> str:
    size = format_mm(cut.fixing_diameter - 2 * place.cutout.left_out)
    spots = ", ".join(_spot(at) for at in cut.fixings)
    return f"drill {number_of(len(cut.fixings), 'fixing hole')} {size} at {spots} mm from the axis"


def _spot(at: Point) -> str:
    """Return a point as a person writes it, never with a zero that is negative."""
    return f"({round(at.x, 2) + 0.0:g}, {round(at.y, 2) + 0.0:g})"
