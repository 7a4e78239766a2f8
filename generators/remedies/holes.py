"""Other holes: opened, drilled elsewhere or smaller, the part turned in its cut-out, mounted from the other side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from dryfit.generators.checks.cutout_size import PLAY_AIM
from dryfit.generators.checks.hole_pattern import align, held_spread
from dryfit.generators.checks.screw_passes import DROP_IN
from dryfit.generators.remedies import edits
from dryfit.generators.remedies.register import strategy
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy
from dryfit.models.geometry.outlines import round_
from dryfit.models.job import Place
from dryfit.models.panel import Panel
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import next_drill_at_least

PUNCH_STEP = 0.1  # mm: main holes are asked for in tenths
TURN_DIGITS = 1  # decimals of a degree a part can be turned by hand against a scribed line


@strategy("open the cut-out")
def open_cutout(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose a main hole that leaves the body its play, to the next tenth."""
    place = report.job.place(finding.place)
    more = PLAY_AIM - (finding.measured if finding.measured is not None else PLAY_AIM)
    cut = place.cutout
    if more <= 0:
        return
    if cut.main.is_circle:
        written = cut.main.size[0] - 2 * cut.left_out
        size = edits.stepped(written + more, PUNCH_STEP)
        main = round_(size + 2 * cut.left_out).moved(*cut.main.centre)
        wider, text = replace(cut, main=main), f"Open the hole to {format_mm(size)}"
    else:
        by = edits.stepped(more / 2, PUNCH_STEP)
        wider, text = replace(cut, main=cut.main.opened(by)), f"Open the hole by {format_mm(by)} on every side"
    before = " before coating" if report.job.panel.coating and not cut.left_out else ""
    yield Remedy(f"{text}{before}.", edits.cutout(place, wider))


@strategy("open the fixings")
def open_fixings(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose the next drill that lets the screw drop through the panel, wherever a shop's tolerances put the hole."""
    place, stack = report.job.place(finding.place), report.fits[finding.place].stack
    if stack is None:
        return
    room = max(DROP_IN, 2 * held_spread(place.cutout))
    wanted = stack.thread.major_max + room + 2 * report.job.panel.coating
    if place.cutout.fixing_diameter < wanted:
        yield _drilled(place, wanted, "metric" if stack.thread.system == "metric" else None)


def _drilled(place: Place, wanted: float, family: str | None) -> Remedy:
    drill = next_drill_at_least(wanted, family)
    text = f"Drill the fixing holes to {drill.name} ({format_mm(drill.diameter)})."
    return Remedy(text, edits.cutout(place, replace(place.cutout, fixing_diameter=drill.diameter)))


@strategy("smaller fixings")
def smaller_fixings(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose fixing holes of the size that the part asks for, where they are larger."""
    place = report.job.place(finding.place)
    if place.part.fixings is None:
        return
    wanted = place.part.fixings.panel + 2 * report.job.panel.coating
    if wanted < place.cutout.fixing_diameter:
        yield _drilled(place, wanted, None)


@strategy("turn the part")
def turn_part(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose turning the part in its cut-out until the holes line up."""
    place = report.job.place(finding.place)
    ours, theirs = place.mounting.fixings, place.cutout.fixings
    if not ours or len(ours) != len(theirs):
        return
    turn = align(ours, theirs, 0.0).best_turn
    whole = round(place.mounting.part_turn + turn, TURN_DIGITS)
    if whole == place.mounting.part_turn:
        return
    way = "anticlockwise" if turn > 0 else "clockwise"
    text = f"Turn the part {abs(turn):.{TURN_DIGITS}f} degrees {way} in its cut-out."
    yield Remedy(text, (Edit(place.entry, ("part_turn",), whole),))


@strategy("redrill the fixings")
def redrill_fixings(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose fixing holes where the part has its own."""
    place = report.job.place(finding.place)
    points = place.mounting.fixings
    if not points or points == place.cutout.fixings:
        return
    spots = " and ".join(f"({round(x, 2) + 0.0:+.2f}, {round(y, 2) + 0.0:+.2f})" for x, y in points)  # never -0.00
    text = f"Drill the fixing holes at {spots} mm from the axis."
    yield Remedy(text, edits.cutout(place, replace(place.cutout, fixings=points)))


@strategy("other side")
def other_side(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose mounting from the other side, in the hole as it is, then in the one the part wants there."""
    place = report.job.place(finding.place)
    mount = "rear" if place.mount == "front" else "front"
    if mount not in place.part.mount:
        return
    text = f"Mount the part from the {mount}."
    turned: tuple[Edit, ...] = (Edit(place.entry, ("mount",), mount),)
    if _asks_for_hardware(place):
        turned += (Edit(place.entry, ("hardware",), None),)
        text = f"{text[:-1]}, its hardware chosen anew."
    yield Remedy(text, turned)
    yield from _with_its_hole(report.job.panel, place, mount, text, turned)


def _with_its_hole(panel: Panel, place: Place, mount: str, text: str, turned: tuple[Edit, ...]) -> Iterator[Remedy]:
    part = place.part
    hole = part.cutout_rear if mount == "rear" and part.cutout_rear is not None else part.cutout
    cut = replace(place.cutout, main=hole.opened(panel.coating))
    if cut.main != place.cutout.main:
        yield Remedy(f"{text[:-1]}, in the hole that it wants there.", (*turned, *edits.cutout(place, cut)))


def _asks_for_hardware(place: Place) -> bool:
    wish = place.wish
    return any(asked is not None for asked in (wish.head, wish.length, wish.nut, wish.washers)) or wish.is_own
