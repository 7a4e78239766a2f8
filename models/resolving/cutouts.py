"""What is punched for a part: the cut-out that suits it, that of a punched pattern, and what is written instead."""

from __future__ import annotations

from dataclasses import replace

from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.catalogue.patterns import TO_SUIT, Pattern, diagonal
from dryfit.models.geometry.outlines import round_
from dryfit.models.job import Cutout
from dryfit.models.panel import Panel
from dryfit.models.reading.fields import Countersink
from dryfit.models.reading.spellings import plainly
from dryfit.models.reading.units import format_mm
from dryfit.models.reading.yamlfile import KeyPath
from dryfit.models.resolving.faults import Faults
from dryfit.models.wishes.places import CutoutWish

LEAST_FIXING = 0.5  # mm; a hole that coating would close is no hole


def pattern_named(name: str, catalogue: Catalogue, faults: Faults) -> Pattern | None:
    """Return the punched pattern of a panel; None where its holes are cut to suit the parts."""
    if plainly(name) == TO_SUIT:
        return None
    return faults.row(("panel", "holes"), "hole pattern", name, catalogue.patterns, TO_SUIT)


def left_out(panel: Panel) -> float:
    """Return the coating (mm) on every wall of a hole that sizes in the layout leave out."""
    return panel.coating if panel.holes_finished else 0.0


def suited_cutout(part: Part, mount: str, coating: float) -> Cutout:
    """Return the cut-out a part recommends for one side, opened so that it has its size after coating."""
    outline = part.cutout_rear if mount == "rear" and part.cutout_rear is not None else part.cutout
    if part.fixings is None:
        return Cutout(outline.opened(coating), (), 0.0)
    return Cutout(outline.opened(coating), part.fixings.at, part.fixings.panel + 2 * coating)


def punched(suited: Cutout, panel: Panel, pattern: Pattern | None) -> Cutout:
    """Return the cut-out of a pre-punched pattern, or the one that suits the part where there is none.

    The fixing holes of a pattern are there, whether the part takes them or not.
    """
    if pattern is None:
        return suited
    coating = left_out(panel)
    return replace(
        suited, main=round_(pattern.hole + 2 * coating), fixing_diameter=pattern.fixings + 2 * coating,
        fixings=diagonal(pattern.across, pattern.up, pattern.mirror),
    )  # fmt: skip


def _as_written(base: Cutout, wish: CutoutWish, coating: float) -> Cutout:
    """Return the cut-out with what the layout writes for this place.

    Written sizes are as punched, or finished, and leave out that much coating on every wall.
    """
    main = base.main
    if wish.hole is not None:
        main = round_(wish.hole + 2 * coating)
    elif wish.outline is not None:
        main = wish.outline.opened(coating)
    fixings = base.fixings
    if wish.at is not None:
        fixings = wish.at
    elif wish.across is not None and wish.up is not None:
        fixings = diagonal(wish.across, wish.up, wish.mirror)
    elif wish.mirror:
        fixings = tuple(at.mirrored() for at in fixings)
    sink = wish.countersink
    plain = None if sink is None else Countersink(diameter=sink.diameter, angle=sink.angle).coated(-coating)
    diameter = base.fixing_diameter if wish.fixings is None else wish.fixings + 2 * coating
    return Cutout(main, fixings, diameter, plain, "front" if sink is None else sink.side, coating)


def cutout_of(key: KeyPath, wish: CutoutWish, base: Cutout, panel: Panel, faults: Faults) -> Cutout | None:
    """Return the cut-out of an entry; note one that has no size, or that the coating would close (None)."""
    cut = _as_written(base, wish, left_out(panel))
    if cut.fixings and not cut.fixing_diameter:
        faults.note((*key, "cutout"), "the fixing holes have no size", "fixings: their diameter")
        return None
    smallest = min(*cut.main.size, cut.fixing_diameter) if cut.fixings else min(cut.main.size)
    if smallest <= 2 * panel.coating + LEAST_FIXING:
        faults.note((*key, "cutout"), "a hole this small would be closed by the coating", "a larger hole")
        return None
    if cut.countersink is not None and cut.fixings and cut.countersink.diameter <= cut.fixing_diameter:
        what = f"the countersink is no wider than its hole of {format_mm(cut.fixing_diameter)}"
        faults.note((*key, "cutout", "countersink"), what, "a wider countersink")
    return cut
