"""The plain holes of a layout, its ``cut``: round ones, slots, windows, other outlines, pairs of slots for ties."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from dryfit.models.geometry.outlines import Outline, box, clearance, round_, slot
from dryfit.models.geometry.points import Point
from dryfit.models.panel import Cut, Panel
from dryfit.models.reading.units import format_mm
from dryfit.models.resolving.cutouts import LEAST_FIXING, left_out
from dryfit.models.resolving.faults import Faults
from dryfit.models.tables.panels import tie_holes
from dryfit.models.wishes.plain_holes import CutWish

SAME_TIE = 0.2  # mm; widths of ties are told in tenths, and the next wider one is a millimetre more


def plain_holes(entries: Sequence[CutWish], panel: Panel, origin: Point, faults: Faults) -> Iterator[Cut]:
    """Yield the plain holes, measured from a point of the panel; those of one name are numbered."""
    used = Counter(entry.label or entry.kind for entry in entries for _ in entry.spots)
    done: Counter[str] = Counter()
    for number, entry in enumerate(entries):
        shapes = _shapes(number, entry, left_out(panel), faults)
        for at in entry.spots:
            name = entry.label or entry.kind
            done[name] += 1
            called = f"{name} {done[name]}" if used[name] > 1 else name
            for shape in shapes:
                cut = Cut(called, shape, origin + at, entry.turn)
                _judge(number, panel, cut, faults)
                yield cut


def _shapes(number: int, entry: CutWish, coating: float, faults: Faults) -> tuple[Outline, ...]:
    """Return the outlines of an entry as they are punched, about its centre; written sizes leave out that coating."""
    if entry.tie is None:
        return (_outline(entry).opened(coating),)
    row = next((row for row in tie_holes().values() if abs(row.width - entry.tie) < SAME_TIE), None)
    if row is None:
        what = f"there are no holes for a cable tie {format_mm(entry.tie)} wide"
        faults.note(("cut", number, "tie"), what, " or ".join(tie_holes()))
        return ()
    one = slot(row.slot_length + 2 * coating, row.slot_width + 2 * coating)
    return (one.moved(0.0, row.apart / 2), one.moved(0.0, -row.apart / 2))


def _outline(entry: CutWish) -> Outline:
    """Return the outline of a plain hole that is one."""
    if entry.hole is not None:
        return round_(entry.hole)
    if entry.slot is not None:
        return slot(*entry.slot)
    if entry.window is not None:
        return box(*entry.window, entry.corner)
    assert entry.outline is not None  # one of them, by validation
    return entry.outline


def _judge(number: int, panel: Panel, cut: Cut, faults: Faults) -> None:
    """Note a plain hole that is off the panel, as large as it, or closed by the coating."""
    if clearance(cut.hole().outline, panel.outline) < 0:
        faults.note(("cut", number, "at"), f"{cut.name} is not on the panel", "a hole with metal all round")
    if min(cut.outline.size) <= 2 * panel.coating + LEAST_FIXING:
        faults.note(("cut", number), "a hole this small would be closed by the coating", "a larger hole")
