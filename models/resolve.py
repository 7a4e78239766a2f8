"""From a layout file to a job: every name looked up, every length known, every place on the panel.

All that is wrong is told in one run, each with its line.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from hashlib import sha256
from pathlib import Path, PurePosixPath

from pydantic import ValidationError

from dryfit.models.catalogue.looks import Look
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.patterns import Pattern, patterns
from dryfit.models.edits import Edit, edited
from dryfit.models.geometry.outlines import box, clearance, round_
from dryfit.models.geometry.points import Point
from dryfit.models.job import Cutout, Draft, HardwareWish, Job, Mounting, Place
from dryfit.models.layout import (
    BendWish,
    CutoutWish,
    Hardware,
    LayoutFile,
    PanelWish,
    PlaceHardware,
    PlaceWish,
    parse_layout,
    read_layout,
)
from dryfit.models.legends import PLAIN, LegendWish, Lettering
from dryfit.models.panel import Panel
from dryfit.models.prices import Price, read_prices
from dryfit.models.reading.errors import Fault, InputError, UnknownName, display_path, nearest_name, quote
from dryfit.models.reading.fields import Countersink
from dryfit.models.reading.units import SAME_LENGTH, format_mm
from dryfit.models.reading.yamlfile import KeyPath
from dryfit.models.tables import fasteners
from dryfit.models.tables.bends import RIGHT_ANGLE, bend_allowance, least_radius
from dryfit.models.tables.finishes import colours, panel_finishes
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
from dryfit.models.wishes import TOOTH, unmet, unmet_by_all

TO_SUIT = "to suit"
NO_LEGEND = "none"
FONT_FILES = (b"\0\1\0\0", b"true", b"OTTO")  # how TrueType and OpenType files begin (OpenType specification)
LEAST_FIXING = 0.5  # mm; a hole that coating would close is no hole
MOST_LAPPED = 8  # flanges that one flange may lie over: more are a slip of the pitch, and each is judged against each


def read_job(path: Path) -> Job:
    """Return the job of a layout file.

    Raises:
        InputError: with every fault of the layout and of the part files it names.
    """
    return job_of(read_layout(path))


def parse_job(path: Path, text: str, values: Mapping[str, str] | None = None) -> Job:
    """Return the job of a layout given as text, its ``{name}`` fields filled with values if there are any.

    ``path`` names it in messages, and the part and price files that it names are looked for beside that; there need be
    no such file.

    Raises:
        InputError: as :func:`read_job`.
    """
    return job_of(parse_layout(path, text, values))


def job_of(layout_file: LayoutFile) -> Job:
    """Return the job of a layout that was read.

    Raises:
        InputError: as :func:`read_job`.
    """
    job = resolve(layout_file, load_catalogue(_part_files(layout_file)))
    return replace(job, digest=_digest(layout_file))


def files_beside(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the other files that a job is read from: part files that a layout names, its price file, its font file.

    Raises:
        InputError: if a part file lies outside the layout's folder.
    """
    prices = layout_file.layout.hardware.prices
    path = _beside(layout_file, prices) if prices else None
    return (*_part_files(layout_file), *([path] if path is not None else []), *_fonts(layout_file))


def _fonts(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the font file of a layout, if it names one that is there."""
    name = layout_file.layout.legend_font
    path = _beside(layout_file, name) if name else None
    return (path,) if path is not None and path.is_file() else ()


def _digest(layout_file: LayoutFile) -> str:
    """Return the SHA-256 of all that a job was read from, one file after the other."""
    whole = sha256(layout_file.text.encode())
    for path in files_beside(layout_file):
        whole.update(path.read_bytes())
    return whole.hexdigest()


def resolve(layout_file: LayoutFile, catalogue: Catalogue) -> Job:
    """Return the job that a layout describes, with parts and plugs from the catalogue."""
    return _Resolver(layout_file, catalogue).job()


def with_edits(job: Job, edits: Iterable[Edit]) -> Job | None:
    """Return the job of the layout with edits carried out; None where that is no layout, or names what is not there."""
    assert job.draft is not None  # it was read from a layout
    file = job.draft.layout
    try:
        return resolve(replace(file, layout=edited(file.layout, edits)), job.draft.catalogue)
    except (ValidationError, InputError):
        return None


def _part_files(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the part files a layout names; each must lie in the layout's own folder or below it."""
    faults, found = [], []
    for number, name in enumerate(layout_file.layout.parts):
        path = _beside(layout_file, name)
        if path is None:
            faults.append(_climbs_out(layout_file, ("parts", number), "part file", name))
        else:
            found.append(path)
    if faults:
        raise InputError(faults)
    return tuple(found)


def _beside(layout_file: LayoutFile, name: str) -> Path | None:
    """Return the path of a file that a layout names, or None if it lies outside the layout's folder."""
    folder = Path(os.path.realpath(layout_file.path)).parent
    path = folder / name
    if "\\" in name or "\0" in name or PurePosixPath(name).is_absolute():
        return None
    return path if Path(os.path.realpath(path)).is_relative_to(folder) else None


def _climbs_out(layout_file: LayoutFile, key: KeyPath, what: str, name: str) -> Fault:
    line = layout_file.lines.line(key)
    says = f"the {what} {quote(name)} lies outside the layout's folder"
    return Fault(display_path(layout_file.path), line, says, "a file in or below that folder")


class _Resolver:
    """Works through one layout, gathering faults on the way."""

    def __init__(self, layout_file: LayoutFile, catalogue: Catalogue):
        self.file = layout_file
        self.layout = layout_file.layout
        self.catalogue = catalogue
        self.faults: list[Fault] = []

    def job(self) -> Job:
        """Return the job, or raise with every fault."""
        panel = self._panel(self.layout.panel)
        pattern = self._pattern(self.layout.panel.holes)
        self._hardware_names(self.layout.hardware)
        prices = self._prices(self.layout.hardware.prices)
        font = self._font(self.layout.legend_font)
        places = tuple(p for n, e in enumerate(self.layout.places) for p in self._places(n, e, panel, pattern))
        self._unlike(places)
        self._heaped(places)
        if self.faults:
            raise InputError(self.faults)
        return Job(
            self.layout.title, display_path(self.file.path), panel, places, self.layout.environment,
            self.layout.origin == "centre", self.layout.notes, self.layout.revision,
            self.layout.hardware.spares / 100, prices, Draft(self.file, self.catalogue),
            looks=self._looks(places), titles=self.layout.title_block, inches=self.layout.panel.inches, font=font,
        )  # fmt: skip

    def _looks(self, places: Iterable[Place]) -> dict[str, Look]:
        """Return the looks of the parts and plugs in use, by name."""
        used = (one for place in places for one in (place.part, place.plug) if one is not None)
        names = dict.fromkeys(one.look for one in used if one.look)
        return {name: self.catalogue.looks[name] for name in names}

    def fault(self, path: KeyPath, what: str, expected: str = "", nearest: str = "") -> None:
        """Note a fault at a key of the layout."""
        self.faults.append(Fault(display_path(self.file.path), self.file.lines.line(path), what, expected, nearest))

    def unknown(self, path: KeyPath, kind: str, name: str, names: Iterator[str]) -> None:
        """Note a name that is in no table."""
        known = tuple(names)
        self.fault(path, f"unknown {kind} {quote(name)}", f"the name of a {kind}", nearest_name(name, known))

    # --- the panel ---------------------------------------------------------------------------------------------

    def _panel(self, wish: PanelWish) -> Panel:
        if wish.material not in materials():
            self.unknown(("panel", "material"), "material", wish.material, iter(materials()))
        material = materials().get(wish.material, materials()["aluminium"])
        thickness = self._thickness(wish, material.name)
        if wish.rack_units is not None:
            panel = rack(wish.rack_units, _rack_name(wish), thickness, material, wish.rack_screw)
        elif wish.plate is not None:
            if wish.plate not in wall_plates():
                self.unknown(("panel", "plate"), "wall plate", wish.plate, iter(wall_plates()))
            panel = wall_plate(wall_plates().get(wish.plate, wall_plates()["uk-1"]), thickness, material)
        else:
            assert wish.size is not None  # one of the three, by validation
            panel = Panel(*wish.size, thickness, material)
        if 2 * wish.corner > min(panel.width, panel.height):
            self.fault(("panel", "corner"), "the corner radius is more than half of the panel", "a smaller radius")
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
            colour=self._colour(wish),
        )
        self._bends(panel)
        return self._laid_flat(panel, wish.bend) if wish.bend is not None else panel

    def _colour(self, wish: PanelWish) -> str | None:
        """Return the colour asked for, if there is such a one and its finish can have it."""
        if wish.colour is None:
            return None
        if wish.colour not in colours():
            self.unknown(("panel", "colour"), "colour", wish.colour, iter(colours()))
            return None
        if wish.finish is None or not panel_finishes()[wish.finish].colours:
            able = " or ".join(row.name for row in panel_finishes().values() if row.colours)
            self.fault(("panel", "colour"), f"a {wish.finish or 'panel without finish'} has no colour of choice", able)
            return None
        return wish.colour

    def _bends(self, panel: Panel) -> None:
        """Note lips that cannot be folded: too tight, too short, against each other or against the rack rails."""
        if not panel.folded:
            return
        least = least_radius(panel.material.name, panel.thickness)
        if panel.bend_radius < least - SAME_LENGTH:
            what = f"an inside bend radius of {format_mm(panel.bend_radius)} is too tight"
            sheet = f"{format_mm(panel.thickness)} {panel.material.name}"
            self.fault(("panel", "bend_radius"), what, f"at least {format_mm(least)} for {sheet}")
        if panel.flat_sides.is_empty or panel.lip < panel.bend_radius:
            self.fault(("panel", "lip"), "the lips leave no room for their bends", "a smaller bend_radius or no lip")
        if panel.depth is not None and panel.lip > panel.depth:
            what = f"lips of {format_mm(panel.lip)} reach deeper than the {format_mm(panel.depth)} behind the panel"
            self.fault(("panel", "depth"), what, "a larger depth, or shorter lips")
        if panel.clear_width is not None and {"left", "right"} & {*panel.folded}:
            self.fault(("panel", "lips"), "a lip there would stand in the rack rails", "top, bottom or both")
        if panel.corner and not any(corner.is_round for corner in panel.outline.corners):
            self.fault(("panel", "corner"), "every corner is at the end of a lip", "no corner radius, or fewer lips")

    def _laid_flat(self, panel: Panel, wish: BendWish) -> Panel:
        """Return the panel with the shop's own word on its bends, which lies between inside and outside of the bend."""
        taken = 2 * panel.setback - wish.deduction if wish.deduction is not None else wish.allowance
        inside, outside = (bend_allowance(RIGHT_ANGLE, panel.bend_radius, panel.thickness, k) for k in (0.0, 1.0))
        if taken is not None and not inside <= taken <= outside:
            key = "allowance" if wish.deduction is None else "deduction"
            both = 2 * panel.setback
            least, most = (inside, outside) if wish.deduction is None else (both - outside, both - inside)
            what = f"no bend of that radius has this {key}"
            self.fault(("panel", "bend", key), what, f"{format_mm(least)} to {format_mm(most)}")
        return replace(panel, k_factor=wish.k, allowance=taken)

    def _thickness(self, wish: PanelWish, material: str) -> float:
        if isinstance(wish.thickness, float):
            return wish.thickness
        try:
            return gauge_thickness(material, wish.thickness.removesuffix(" ga"))
        except UnknownName as error:
            self.fault(("panel", "thickness"), str(error), "a gauge of that material or a length")
            return 1.0

    def _pattern(self, name: str) -> Pattern | None:
        if name == TO_SUIT:
            return None
        if name not in patterns():
            self.unknown(("panel", "holes"), "hole pattern", name, iter((TO_SUIT, *patterns())))
        return patterns().get(name)

    def _hardware_names(self, wish: Hardware) -> None:
        known = tuple(self._thread(("hardware", "threads", number), name) for number, name in enumerate(wish.threads))
        used = (self.catalogue.parts[e.part] for e in self.layout.places if e.part in self.catalogue.parts)
        bosses = (part.fixings.boss for part in used if part.fixings is not None and part.fixings.boss is not None)
        forming = tuple(boss.forming for boss in bosses if boss.forming is not None)
        if all(name is not None for name in known):
            for found in unmet_by_all(wish, tuple(name for name in known if name), forming):
                self.fault(("hardware", *found.path), found.what, found.expected)

    def _prices(self, name: str) -> tuple[Price, ...]:
        if not name:
            return ()
        path = _beside(self.file, name)
        try:
            if path is not None:
                return read_prices(path)
            self.faults.append(_climbs_out(self.file, ("hardware", "prices"), "price file", name))
        except InputError as error:
            self.faults.extend(error.faults)
        return ()

    def _thread(self, path: KeyPath, name: str) -> str | None:
        try:
            if name.startswith(fasteners.RIVET):
                return fasteners.riveted(name.removeprefix(fasteners.RIVET).strip())[0].thread.name
            return fasteners.thread(name).name
        except UnknownName as error:
            self.fault(
                path, f"unknown thread {quote(name)}", "a thread such as M3 or No. 4-40, or rivet 1/8 in", error.nearest
            )
            return None

    # --- the places --------------------------------------------------------------------------------------------

    def _places(self, number: int, entry: PlaceWish, panel: Panel, pattern: Pattern | None) -> Iterator[Place]:
        key: KeyPath = ("places", number)
        part = self.catalogue.parts.get(entry.part)
        if part is None:
            self.unknown((*key, "part"), "part", entry.part, iter(self.catalogue.parts))
            return
        plug_name, plug = self._plug(key, entry, part)
        cutout = self._cutout(key, entry, part, panel, pattern)
        wish = self._wish(key, entry, part)
        if cutout is None:
            return
        mounting = Mounting(entry.part, part, entry.mount, cutout, entry.part_turn, plug_name, plug, wish)
        origin = (0.0, 0.0) if self.layout.origin == "centre" else (-panel.width / 2, -panel.height / 2)
        for step in range(entry.count):
            x = origin[0] + entry.at[0] + step * entry.pitch[0]
            y = origin[1] + entry.at[1] + step * entry.pitch[1]
            name = self._name(entry, number, step)
            yield self._on_panel(
                panel,
                Place(
                    name, x, y, entry.turn, mounting, self._legend(entry, name, step), number,
                    self.file.lines.line(key), self._lettering(number, entry, step),
                ),
            )  # fmt: skip

    def _on_panel(self, panel: Panel, place: Place) -> Place:
        main = place.cutout.main.turned(place.turn).moved(place.x, place.y)
        across, up = main.size
        if across >= panel.width or up >= panel.height:
            what = f"the cut-out, {format_mm(across)} by {format_mm(up)}, is as large as the panel or larger"
            self.fault(("places", place.entry, "cutout"), what, "a smaller hole")
        if clearance(main, box(panel.width, panel.height)) < -max(main.size):
            self.fault(("places", place.entry, "at"), f"{place.name} lies outside the panel", "a place on the panel")
        return place

    def _legend(self, entry: PlaceWish, name: str, step: int) -> str:
        """Return what is written at a place: its name, where nothing else is asked for; `none` writes nothing."""
        text = entry.legend.text if isinstance(entry.legend, LegendWish) else entry.legend
        return "" if text == NO_LEGEND else _numbered(text, entry.first + step) or name

    def _lettering(self, number: int, entry: PlaceWish, step: int) -> Lettering:
        """Return what is asked for of the legend of a place."""
        wish = entry.legend
        if not isinstance(wish, LegendWish):
            return PLAIN
        if wish.colour and wish.colour not in colours() and step == 0:
            self.unknown(("places", number, "legend", "colour"), "colour", wish.colour, iter(colours()))
        return Lettering(_numbered(wish.second, entry.first + step), wish.height, wish.side, wish.colour)

    def _font(self, name: str) -> str:
        """Return the path of the typeface for legends; empty where none is named."""
        if not name:
            return ""
        path = _beside(self.file, name)
        if path is None:
            self.faults.append(_climbs_out(self.file, ("legend_font",), "font file", name))
        elif not path.is_file() or path.read_bytes()[:4] not in FONT_FILES:
            self.fault(("legend_font",), f"{quote(name)} is no font file", "a TrueType or OpenType file, .ttf or .otf")
        return str(path)

    def _name(self, entry: PlaceWish, number: int, step: int) -> str:
        label = entry.label or (f"{entry.part} {{n}}" if entry.count > 1 else entry.part)
        if entry.count > 1 and "{n}" not in label:
            label += " {n}"
        return _numbered(label, entry.first + step) or f"place {number + 1}"

    def _unlike(self, places: tuple[Place, ...]) -> None:
        """Note labels and spots that two places share."""
        names: dict[str, Place] = {}
        spots: dict[tuple[float, float], Place] = {}
        for place in places:
            if place.name in names:
                path = ("places", place.entry, "label")
                self.fault(path, f"the label {quote(place.name)} is used twice", "a label of its own for each place")
            spot = (round(place.x, 3), round(place.y, 3))
            if spot in spots:
                path = ("places", place.entry, "at")
                self.fault(path, f"{place.name} is at the same spot as {spots[spot].name}", "a spot of its own")
            names[place.name], spots[spot] = place, place

    def _heaped(self, places: tuple[Place, ...]) -> None:
        """Note the first place of an entry whose flange lies over a heap of others."""
        boxes = [place.flange.box for place in places]
        noted: set[int] = set()
        for place, mine in zip(places, boxes, strict=True):
            lapped = sum(mine.overlaps(other) for other in boxes) - 1
            if lapped > MOST_LAPPED and place.entry not in noted:
                noted.add(place.entry)
                what = f"{place.name} lies over {lapped} other places"
                expected = f"at most {MOST_LAPPED}: places further apart, or the unit that is meant"
                self.fault(("places", place.entry, "pitch"), what, expected)

    def _plug(self, key: KeyPath, entry: PlaceWish, part: Part) -> tuple[str | None, Plug | None]:
        if entry.plug == "none" or (entry.plug == "default" and not part.plugs):
            return None, None
        name = part.plugs[0] if entry.plug == "default" else entry.plug
        if name not in part.plugs:
            kind = f"plug of {entry.part}"
            self.unknown((*key, "plug"), kind, name, iter(("default", "none", *part.plugs)))
            return None, None
        return name, self.catalogue.plugs[name]

    def _wish(self, key: KeyPath, entry: PlaceWish, part: Part) -> HardwareWish:
        own, panel = entry.hardware, self.layout.hardware
        names = (own.screw,) if own.screw is not None else panel.threads
        known = tuple(name for name in (self._thread((*key, "hardware", "screw"), n) for n in names) if name)
        self._unmet(key, own, known, part)
        washers = None if own.washers is None else tuple(TOOTH if w == "tooth" else w for w in own.washers)
        return HardwareWish(
            known, own.head, own.length, own.nut, washers,
            own.metal or panel.metal, own.retention or panel.retention, panel.heads,
            panel.drives, own.screw is not None,
        )  # fmt: skip

    def _unmet(self, key: KeyPath, own: PlaceHardware, names: tuple[str, ...], part: Part) -> None:
        """Note what is asked for at a place that no table has."""
        boss = part.fixings.boss if part.fixings is not None else None
        if boss is not None and own.screw is None:
            names = (fasteners.thread(boss.screw).name,)
        for found in unmet(own, names, boss.forming if boss is not None else None):
            self.fault((*key, "hardware", *found.path), found.what, found.expected)

    # --- cut-outs ----------------------------------------------------------------------------------------------

    def _cutout(
        self, key: KeyPath, entry: PlaceWish, part: Part, panel: Panel, pattern: Pattern | None
    ) -> Cutout | None:
        base = suited_cutout(part, entry.mount, panel.coating)
        left_out = panel.coating if panel.holes_finished else 0.0
        if pattern is not None:
            base = replace(
                base, main=round_(pattern.hole + 2 * left_out), fixing_diameter=pattern.fixings + 2 * left_out,
                fixings=_diagonal(pattern.across, pattern.up, pattern.mirror) if part.fixings else (),
            )  # fmt: skip
        cut = _as_written(base, entry.cutout, part, left_out)
        smallest = min(cut.main.size)
        if smallest <= 2 * panel.coating + LEAST_FIXING or (
            cut.fixings and cut.fixing_diameter <= 2 * panel.coating + LEAST_FIXING
        ):
            self.fault((*key, "cutout"), "a hole this small would be closed by the coating", "a larger hole")
            return None
        if cut.countersink is not None and cut.fixings and cut.countersink.diameter <= cut.fixing_diameter:
            what = f"the countersink is no wider than its hole of {format_mm(cut.fixing_diameter)}"
            self.fault((*key, "cutout", "countersink"), what, "a wider countersink")
        return cut


def suited_cutout(part: Part, mount: str, coating: float) -> Cutout:
    """Return the cut-out a part recommends for one side, opened so that it has its size after coating."""
    outline = part.cutout_rear if mount == "rear" and part.cutout_rear is not None else part.cutout
    if part.fixings is None:
        return Cutout(outline.opened(coating), (), 0.0)
    return Cutout(outline.opened(coating), part.fixings.at, part.fixings.panel + 2 * coating)


def _as_written(base: Cutout, wish: CutoutWish, part: Part, left_out: float) -> Cutout:
    """Return the cut-out with what the layout writes for this place.

    Written sizes are as punched, or finished, and leave out that much coating on every wall.
    """
    main = base.main
    if wish.hole is not None:
        main = round_(wish.hole + 2 * left_out)
    elif wish.outline is not None:
        main = wish.outline.opened(left_out)
    fixings = base.fixings
    if wish.at is not None:
        fixings = wish.at
    elif wish.across is not None and wish.up is not None:
        fixings = _diagonal(wish.across, wish.up, wish.mirror)
    elif wish.mirror:
        fixings = tuple(at.mirrored() for at in fixings)
    sink = wish.countersink
    plain = None if sink is None else Countersink(diameter=sink.diameter, angle=sink.angle).coated(-left_out)
    diameter = base.fixing_diameter if wish.fixings is None else wish.fixings + 2 * left_out
    return Cutout(
        main, fixings if part.fixings is not None else (), diameter, plain, "front" if sink is None else sink.side,
        left_out,
    )  # fmt: skip


def _diagonal(across: float, up: float, mirror: bool) -> tuple[Point, ...]:
    """Return two fixing holes on a diagonal: upper left and lower right, or the other one if mirrored."""
    hand = 1 if mirror else -1
    return (Point(hand * across / 2, up / 2), Point(-hand * across / 2, -up / 2))


def _numbered(text: str, number: int) -> str:
    return text.replace("{n}", str(number))


def _rack_name(wish: PanelWish) -> RackName:
    return "half" if wish.half_width else "10 inch" if wish.ten_inch else "19 inch"


def rack(units: int, name: RackName, thickness: float, material: Material, screw: str) -> Panel:
    """Return a plain rack panel."""
    row = rack_width(name)
    return Panel(
        row.width, rack_panel(units).height, thickness, material, rack_units=units,
        rack_holes=rack_slots(units, name), clear_width=row.clear, rack_screw=screw,
    )  # fmt: skip


def wall_plate(row: WallPlate, thickness: float, material: Material) -> Panel:
    """Return a plain wall plate, in front of the shallowest of its usual boxes."""
    return Panel(
        row.width, row.height, thickness, material, rack_holes=row.holes, rooms=row.rooms, depth=row.depth,
        rack_screw=row.screw,
    )  # fmt: skip
