"""The panel of a layout: rack panel, wall plate or a size of its own; its sheet, bends, finish and colour."""

from __future__ import annotations

from dataclasses import replace

from dryfit.models.panel import Panel
from dryfit.models.reading.errors import UnknownName, quote
from dryfit.models.reading.spellings import meant
from dryfit.models.reading.units import SAME_LENGTH, format_mm
from dryfit.models.resolving.faults import Faults
from dryfit.models.tables.bends import RIGHT_ANGLE, bend_allowance, least_radius
from dryfit.models.tables.finishes import BARE, colours, panel_finishes, put_on
from dryfit.models.tables.panels import (
    Material,
    RackName,
    WallPlate,
    gauge_thickness,
    materials,
    rack_panel,
    rack_slots,
    rack_width,
    wall_plates,
)
from dryfit.models.wishes.panels import BendWish, PanelWish


def panel_of(wish: PanelWish, faults: Faults) -> Panel:
    """Return the panel that is asked for, before any hole of its own is cut."""
    panel = _bare(wish, faults)
    if 2 * wish.corner > min(panel.width, panel.height):
        faults.note(("panel", "corner"), "the corner radius is more than half of the panel", "a smaller radius")
        return panel
    panel = replace(
        panel,
        coating=wish.coating,
        rack_holes=tuple(slot.opened(wish.coating) for slot in panel.rack_holes),
        holes_finished=wish.holes_finished,
        corner=wish.corner,
        lip=wish.lip,
        lips=wish.lips or panel.lips,
        bend_radius=wish.bend_radius,
        depth=wish.depth or panel.depth,
        mask_earth=wish.mask_earth,
        finish=wish.finish,
        colour=_colour(wish, faults),
    )
    _judge_finish(wish, panel, faults)
    _judge_bends(panel, faults)
    return _laid_flat(panel, wish.bend, faults) if wish.bend is not None else panel


def _bare(wish: PanelWish, faults: Faults) -> Panel:
    """Return the sheet by its size alone, with the holes and the room of a rack or a wall box."""
    known, plates = materials(), wall_plates()
    material = faults.row(("panel", "material"), "material", wish.material, known) or known["aluminium"]
    thickness = _thickness(wish, material.name, faults)
    if wish.rack_units is not None:
        return _rack(wish.rack_units, _rack_name(wish), thickness, material, wish.rack_screw)
    if wish.plate is not None:
        plate = faults.row(("panel", "plate"), "wall plate", wish.plate, plates) or plates["uk-1"]
        return _boxed(Panel(plate.width, plate.height, thickness, material), plate)
    assert wish.size is not None  # one of the three, by validation
    box = faults.row(("panel", "box"), "wall plate", wish.box, plates) if wish.box is not None else None
    panel = Panel(*wish.size, thickness, material)
    return panel if box is None else _boxed(panel, box)


def _rack_name(wish: PanelWish) -> RackName:
    return "half" if wish.half_width else "10 inch" if wish.ten_inch else "19 inch"


def _rack(units: int, name: RackName, thickness: float, material: Material, screw: str) -> Panel:
    """Return a plain rack panel."""
    row = rack_width(name)
    return Panel(
        row.width, rack_panel(units).height, thickness, material, rack_units=units,
        rack_holes=rack_slots(units, name), clear_width=row.clear, rack_screw=screw,
    )  # fmt: skip


def _boxed(panel: Panel, row: WallPlate) -> Panel:
    """Return a plate with the holes, the screws and the room of a wall box, the shallowest of the usual ones."""
    return replace(panel, rack_holes=row.holes, rooms=row.rooms, depth=row.depth, rack_screw=row.screw)


def _thickness(wish: PanelWish, material: str, faults: Faults) -> float:
    if isinstance(wish.thickness, float):
        return wish.thickness
    try:
        return gauge_thickness(material, wish.thickness.removesuffix(" ga"))
    except UnknownName as error:
        faults.note(("panel", "thickness"), str(error), "a gauge of that material or a length")
        return 1.0


def _colour(wish: PanelWish, faults: Faults) -> str | None:
    """Return the colour asked for, if there is such a one and its finish can have it."""
    if wish.colour is None:
        return None
    name = meant("colour", wish.colour, colours())
    if name not in colours():
        faults.unknown(("panel", "colour"), "colour", wish.colour, colours())
        return None
    if wish.finish is None or not panel_finishes()[wish.finish].colours:
        able = " or ".join(row.name for row in panel_finishes().values() if row.colours)
        faults.note(("panel", "colour"), f"a {wish.finish or 'panel without finish'} has no colour of choice", able)
        return None
    return name


def _judge_finish(wish: PanelWish, panel: Panel, faults: Faults) -> None:
    """Note a finish that the material cannot have, or that is a layer of no thickness: it narrows every hole."""
    if wish.finish is None:
        return
    name, row, able = quote(wish.finish), panel_finishes()[wish.finish], put_on(wish.finish)
    if able and panel.material.name not in able:
        what = f"{name} is no finish of {panel.material.name}"
        faults.note(("panel", "finish"), what, f"a panel of {' or '.join(able)}, or another finish")
    if row.coating is not None and not wish.coating:
        what = f"{name} is a layer that narrows holes and insulates, but no coating is written"
        faults.note(("panel", "finish"), what, f"coating: {row.coating:g} mm, as is usual, or what the coater says")
    if wish.finish == BARE and wish.coating:
        faults.note(("panel", "finish"), f"{name} has no layer, but a coating is written", "another finish, or none")


def _judge_bends(panel: Panel, faults: Faults) -> None:
    """Note lips that cannot be folded: too tight, too short, against each other or against the rack rails."""
    if not panel.folded:
        return
    least = least_radius(panel.material.name, panel.thickness)
    if panel.bend_radius < least - SAME_LENGTH:
        what = f"an inside bend radius of {format_mm(panel.bend_radius)} is too tight"
        sheet = f"{format_mm(panel.thickness)} {panel.material.name}"
        faults.note(("panel", "bend_radius"), what, f"at least {format_mm(least)} for {sheet}")
    if panel.flat_sides.is_empty or panel.lip < panel.bend_radius:
        faults.note(("panel", "lip"), "the lips leave no room for their bends", "a smaller bend_radius or no lip")
    if panel.depth is not None and panel.lip > panel.depth:
        what = f"lips of {format_mm(panel.lip)} reach deeper than the {format_mm(panel.depth)} behind the panel"
        faults.note(("panel", "depth"), what, "a larger depth, or shorter lips")
    if panel.clear_width is not None and {"left", "right"} & {*panel.folded}:
        faults.note(("panel", "lips"), "a lip there would stand in the rack rails", "top, bottom or both")
    if panel.corner and not any(corner.is_round for corner in panel.outline.corners):
        faults.note(("panel", "corner"), "every corner is at the end of a lip", "no corner radius, or fewer lips")


def _laid_flat(panel: Panel, wish: BendWish, faults: Faults) -> Panel:
    """Return the panel with the shop's own word on its bends, which lies between inside and outside of the bend."""
    taken = 2 * panel.setback - wish.deduction if wish.deduction is not None else wish.allowance
    inside, outside = (bend_allowance(RIGHT_ANGLE, panel.bend_radius, panel.thickness, k) for k in (0.0, 1.0))
    if taken is not None and not inside <= taken <= outside:
        key = "allowance" if wish.deduction is None else "deduction"
        both = 2 * panel.setback
        least, most = (inside, outside) if wish.deduction is None else (both - outside, both - inside)
        what = f"no bend of that radius has this {key}"
        faults.note(("panel", "bend", key), what, f"{format_mm(least)} to {format_mm(most)}")
    return replace(panel, k_factor=wish.k, allowance=taken)
