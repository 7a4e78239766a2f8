"""From a layout file to a job: every name looked up, every length known, every place on the panel.

All that is wrong is told in one run, each with its line.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from hashlib import sha256
from itertools import count
from pathlib import Path, PurePosixPath
from typing import TypeVar

from pydantic import ValidationError

from dryfit.models.catalogue.layers import Kept, Kind
from dryfit.models.catalogue.looks import Look
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.patterns import Pattern, diagonal
from dryfit.models.catalogue.shelf import shelf_files
from dryfit.models.catalogue.solids import SolidFile
from dryfit.models.catalogue.words import suggested, texts
from dryfit.models.crowds import MOST_DIFFERENT, MOST_LAPPED, different, heaped
from dryfit.models.drawer import Drawer, all_prices, read_drawer
from dryfit.models.edits import Edit, edited
from dryfit.models.geometry.outlines import Outline, box, clearance, round_, slot
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Cutout, Draft, HardwareWish, Job, Mounting, Place
from dryfit.models.layout import (
    BendWish,
    CutoutWish,
    CutWish,
    Hardware,
    LayoutFile,
    PanelWish,
    PlaceHardware,
    PlaceWish,
    parse_layout,
    read_layout,
)
from dryfit.models.legends import PLAIN, LegendWish, Lettering
from dryfit.models.panel import Cut, Panel
from dryfit.models.prices import Price, read_prices
from dryfit.models.reading.errors import Fault, InputError, UnknownName, display_path, nearest_name, quote
from dryfit.models.reading.fields import Countersink
from dryfit.models.reading.spellings import meant, plainly
from dryfit.models.reading.units import SAME_LENGTH, format_mm
from dryfit.models.reading.yamlfile import KeyPath
from dryfit.models.rows import Room, RowError, rows
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
    tie_holes,
    wall_plates,
)
from dryfit.models.wishes import TOOTH, unmet, unmet_by_all

Read = TypeVar("Read")
Row = TypeVar("Row")

TO_SUIT = "to suit"
NUMBERED = "{n}"  # in a label: the number of the place
NO_LEGEND = "none"
SAME_TIE = 0.2  # mm; widths of ties are told in tenths, and the next wider one is a millimetre more
MOST_TOLD = 10  # names that a message lists
LISTED = {"part": "the name of a part", "plug": "the name of a plug"}  # of the catalogue
FONT_FILES = (b"\0\1\0\0", b"true", b"OTTO")  # how TrueType and OpenType files begin (OpenType specification)
LEAST_FIXING = 0.5  # mm; a hole that coating would close is no hole


def read_job(path: Path, drawer: Path | None = None) -> Job:
    """Return the job of a layout file; ``drawer`` is a file of what is at hand, for the one that the layout may name.

    Raises:
        InputError: with every fault of the layout and of the part files it names.
    """
    return job_of(replace(read_layout(path), drawer=drawer))


def parse_job(
    path: Path, text: str, values: Mapping[str, str] | None = None, shelf: Iterable[Path] | None = None
) -> Job:
    """Return the job of a layout given as text, its ``{name}`` fields filled with values if there are any.

    ``path`` names it in messages, and the part and price files that it names are looked for beside that; there need be
    no such file. ``shelf`` are the files of the shelf; None: those of this machine's own.

    Raises:
        InputError: as :func:`read_job`.
    """
    return job_of(parse_layout(path, text, values), shelf)


def job_of(layout_file: LayoutFile, shelf: Iterable[Path] | None = None) -> Job:
    """Return the job of a layout that was read; ``shelf`` as for :func:`parse_job`.

    Raises:
        InputError: as :func:`read_job`.
    """
    job = resolve(layout_file, load_catalogue(_part_files(layout_file), shelf))
    return replace(job, digest=_digest(layout_file, job))


def files_beside(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the other files that a job is read from: part files, prices, drawer and font of a layout, and the shelf's.

    Raises:
        InputError: if a part file lies outside the layout's folder.
    """
    return (*_own_files(layout_file), *shelf_files())


def _fonts(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the font file of a layout, if it names one that is there."""
    name = layout_file.layout.legend_font
    path = _beside(layout_file, name) if name else None
    return (path,) if path is not None and path.is_file() else ()


def _own_files(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the part files that a layout names, then its prices, its drawer and its font."""
    hardware = layout_file.layout.hardware
    prices = _beside(layout_file, hardware.prices) if hardware.prices else None
    named = _beside(layout_file, hardware.drawer) if hardware.drawer else None
    drawer = layout_file.drawer or named
    files = (*_part_files(layout_file), *(path for path in (prices, drawer) if path is not None))
    return (*files, *_fonts(layout_file))


def _digest(layout_file: LayoutFile, job: Job) -> str:
    """Return the SHA-256 of all that a job was read from, one file after the other; of the shelf what is in use."""
    whole = sha256(layout_file.text.encode())
    kept = dict.fromkeys(path for one in job.kept for path in one.files)
    for path in (*_own_files(layout_file), *kept, *(one.path for one in job.solids.values())):
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
        self.drawer: Drawer | None = None

    def job(self) -> Job:
        """Return the job, or raise with every fault."""
        panel = self._panel(self.layout.panel)
        self.layout = self.layout.changed(places=self._written_out(panel))
        panel = replace(panel, cuts=tuple(self._cuts(panel)))
        pattern = self._pattern(self.layout.panel.holes)
        self._hardware_names(self.layout.hardware)
        self.drawer = self._drawer(self.layout.hardware.drawer)
        prices = self._prices(self.layout.hardware.prices)
        font = self._font(self.layout.legend_font)
        numbers = _first_numbers(self.layout.places)
        entries = enumerate(zip(self.layout.places, numbers, strict=True))
        places = tuple(p for n, (e, first) in entries for p in self._places(n, e, first, panel, pattern))
        self._unlike(places)
        self._crowded(places)
        solids = self._solids(places)
        if self.faults:
            raise InputError(self.faults)
        return Job(
            self.layout.title, display_path(self.file.path), panel, places, self.layout.environment,
            self.layout.origin == "centre", self.layout.notes, self.layout.revision,
            self.layout.hardware.spares / 100, prices, Draft(replace(self.file, layout=self.layout), self.catalogue),
            looks=self._looks(places), titles=self.layout.title_block, kept=self._kept(places), font=font,
            inches=self.layout.panel.inches, drawer=self.drawer, solids=solids,
        )  # fmt: skip

    def _kept(self, places: Iterable[Place]) -> tuple[Kept, ...]:
        """Return what is in use of the shelf."""
        used: set[tuple[Kind, str]] = {("patterns", self.layout.panel.holes)}
        for place in places:
            used |= {("parts", place.kind), ("looks", place.part.look)}
            if place.plug is not None:
                used |= {("plugs", place.mounting.plug_name or ""), ("looks", place.plug.look)}
        return tuple(one for one in self.catalogue.kept if (one.kind, one.name) in used)

    def _solids(self, places: Iterable[Place]) -> dict[str, SolidFile]:
        """Return the solids of the parts in use; note those that are not there or are none."""
        kinds = dict.fromkeys(place.kind for place in places)
        found = {kind: self.catalogue.solids[kind] for kind in kinds if kind in self.catalogue.solids}
        self.faults += [fault for one in found.values() if (fault := one.fault) is not None]
        return found

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
        key = next((part for part in reversed(path) if isinstance(part, str)), "")
        expected = (
            f"one of {', '.join(known)}"
            if len(known) <= MOST_TOLD
            else LISTED.get(key, f"a name that `dryfit explain {key}` lists")
        )
        self.fault(path, f"unknown {kind} {quote(name)}", expected, nearest_name(name, known))

    def _named(self, path: KeyPath, kind: str, name: str, table: Mapping[str, Row], *others: str) -> Row | None:
        """Return the row of a table that is meant by a name; note it where there is none."""
        row = table.get(meant(kind, name, table))
        if row is None:
            self.unknown(path, kind, name, iter((*others, *table)))
        return row

    # --- the panel ---------------------------------------------------------------------------------------------

    def _panel(self, wish: PanelWish) -> Panel:
        material = (
            self._named(("panel", "material"), "material", wish.material, materials()) or materials()["aluminium"]
        )
        thickness = self._thickness(wish, material.name)
        if wish.rack_units is not None:
            panel = rack(wish.rack_units, _rack_name(wish), thickness, material, wish.rack_screw)
        elif wish.plate is not None:
            plate = self._named(("panel", "plate"), "wall plate", wish.plate, wall_plates())
            panel = wall_plate(plate or wall_plates()["uk-1"], thickness, material)
        else:
            assert wish.size is not None  # one of the three, by validation
            panel = self._boxed(Panel(*wish.size, thickness, material), wish.box)
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

    def _boxed(self, panel: Panel, box: str | None) -> Panel:
        """Return a panel of its own size with the holes, the screws and the room of a wall box, if it has one."""
        row = self._named(("panel", "box"), "wall plate", box, wall_plates()) if box is not None else None
        if row is None:
            return panel
        return replace(panel, rack_holes=row.holes, rooms=row.rooms, depth=row.depth, rack_screw=row.screw)

    def _colour(self, wish: PanelWish) -> str | None:
        """Return the colour asked for, if there is such a one and its finish can have it."""
        if wish.colour is None:
            return None
        name = meant("colour", wish.colour, colours())
        if name not in colours():
            self.unknown(("panel", "colour"), "colour", wish.colour, iter(colours()))
            return None
        if wish.finish is None or not panel_finishes()[wish.finish].colours:
            able = " or ".join(row.name for row in panel_finishes().values() if row.colours)
            self.fault(("panel", "colour"), f"a {wish.finish or 'panel without finish'} has no colour of choice", able)
            return None
        return name

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
        if plainly(name) == TO_SUIT:
            return None
        return self._named(("panel", "holes"), "hole pattern", name, self.catalogue.patterns, TO_SUIT)

    def _hardware_names(self, wish: Hardware) -> None:
        known = tuple(self._thread(("hardware", "threads", number), name) for number, name in enumerate(wish.threads))
        used = (self.catalogue.parts[e.part] for e in self.layout.places if e.part in self.catalogue.parts)
        bosses = (part.fixings.boss for part in used if part.fixings is not None and part.fixings.boss is not None)
        forming = tuple(boss.forming for boss in bosses if boss.forming is not None)
        if all(name is not None for name in known):
            for found in unmet_by_all(wish, tuple(name for name in known if name), forming):
                self.fault(("hardware", *found.path), found.what, found.expected)

    def _prices(self, name: str) -> tuple[Price, ...]:
        listed = self._named_file(("hardware", "prices"), "price file", name, read_prices) or ()
        known = all_prices(listed, self.drawer)
        if len({price.currency for price in known}) > 1:
            what = f"the prices are in {listed[0].currency}, those of the drawer in {known[-1].currency}"
            self.fault(("hardware", "prices"), what, "one currency")
        return known

    def _drawer(self, name: str) -> Drawer | None:
        key = ("hardware", "drawer")
        if self.file.drawer is None:
            return self._named_file(key, "drawer", name, read_drawer)
        return self._read(self.file.drawer, read_drawer)

    def _named_file(self, key: KeyPath, what: str, name: str, read: Callable[[Path], Read]) -> Read | None:
        """Return what is in a file that the layout names beside itself; None where there is none, or it is wrong."""
        path = _beside(self.file, name) if name else None
        if name and path is None:
            self.faults.append(_climbs_out(self.file, key, what, name))
        return None if path is None else self._read(path, read)

    def _read(self, path: Path, read: Callable[[Path], Read]) -> Read | None:
        try:
            return read(path)
        except InputError as error:
            self.faults.extend(error.faults)
            return None

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

    def _written_out(self, panel: Panel) -> tuple[PlaceWish, ...]:
        """Return the entries of the places, those in rows with the centres that are worked out."""
        places = list(self.layout.places)
        corner = (0.0, 0.0) if self.layout.origin == "corner" else (-panel.width / 2, -panel.height / 2)
        room = Room(Rectangle.at(corner, (panel.width, panel.height)))
        try:
            for row in rows(self.layout.places):
                columns = row.columns(self._flange)
                for number, spots in row.spots(room, columns) if columns else ():
                    places[number] = places[number].standing(spots)
        except RowError as error:
            self.fault(("places", error.entry, "row"), error.what, error.expected)
        return tuple(places)

    def _origin(self, panel: Panel) -> Point:
        """Return where on the panel the layout measures from."""
        return ORIGIN if self.layout.origin == "centre" else Point(-panel.width / 2, -panel.height / 2)

    def _cuts(self, panel: Panel) -> Iterator[Cut]:
        """Yield the plain holes; those of one name are numbered."""
        used = Counter(entry.label or entry.kind for entry in self.layout.cut for _ in entry.spots)
        done: Counter[str] = Counter()
        for number, entry in enumerate(self.layout.cut):
            shapes = self._cut_shapes(number, entry, panel.coating if panel.holes_finished else 0.0)
            for at in entry.spots:
                name = entry.label or entry.kind
                done[name] += 1
                called = f"{name} {done[name]}" if used[name] > 1 else name
                for shape in shapes:
                    cut = Cut(called, shape, self._origin(panel) + at, entry.turn)
                    self._judge_cut(number, panel, cut)
                    yield cut

    def _cut_shapes(self, number: int, entry: CutWish, left_out: float) -> tuple[Outline, ...]:
        """Return the outlines of an entry as they are punched, about its centre."""
        if entry.tie is not None:
            row = next((row for row in tie_holes().values() if abs(row.width - entry.tie) < SAME_TIE), None)
            if row is None:
                what = f"there are no holes for a cable tie {format_mm(entry.tie)} wide"
                self.fault(("cut", number, "tie"), what, " or ".join(tie_holes()))
                return ()
            one = slot(row.slot_length + 2 * left_out, row.slot_width + 2 * left_out)
            return (one.moved(0.0, row.apart / 2), one.moved(0.0, -row.apart / 2))
        return (_plain(entry).opened(left_out),)

    def _judge_cut(self, number: int, panel: Panel, cut: Cut) -> None:
        """Note a plain hole that is off the panel, as large as it, or closed by the coating."""
        outline = cut.hole().outline
        if clearance(outline, panel.outline) < 0:
            self.fault(("cut", number, "at"), f"{cut.name} is not on the panel", "a hole with metal all round")
        if min(cut.outline.size) <= 2 * panel.coating + LEAST_FIXING:
            self.fault(("cut", number), "a hole this small would be closed by the coating", "a larger hole")

    def _flange(self, entry: PlaceWish) -> Rectangle | None:
        """Return what the flange of an entry's part covers about its axis; None where the part is not known."""
        part = self.catalogue.parts.get(entry.part)
        return None if part is None else part.flange.outline.turned(entry.turn + entry.part_turn).box

    def _places(
        self, number: int, entry: PlaceWish, first: int, panel: Panel, pattern: Pattern | None
    ) -> Iterator[Place]:
        key: KeyPath = ("places", number)
        part = self.catalogue.parts.get(entry.part)
        if part is None:
            what, near = f"unknown part {quote(entry.part)}", suggested(entry.part, texts(self.catalogue.parts))
            lists = "" if near else ": `dryfit parts` lists them"
            self.fault((*key, "part"), what, f"the name of a part{lists}", near)
            return
        plug_name, plug = self._plug(key, entry, part)
        mount = entry.mount or (part.mount[0] if len(part.mount) == 1 else "front")
        suited = _punched(suited_cutout(part, mount, panel.coating), part, panel, pattern)
        cutout = self._cutout(key, entry.cutout, suited, part, panel)
        wish = self._wish(key, entry, part)
        if cutout is None:
            return
        mounting = Mounting(entry.part, part, mount, cutout, entry.part_turn, plug_name, plug, wish)
        origin, line = self._origin(panel), self.file.lines.line(key)
        self._legend_colour(number, entry)
        for at, n in zip(entry.spots, count(first)):
            name = _numbered(_pattern_of(entry), n) or f"place {number + 1}"
            place = Place(
                name, *(origin + at), entry.turn, mounting, _legend(entry, name, n), number, line, _lettering(entry, n)
            )
            yield self._on_panel(panel, place)

    def _on_panel(self, panel: Panel, place: Place) -> Place:
        main = place.cutout.main.turned(place.turn).moved(place.x, place.y)
        across, up = main.size
        if across >= panel.width or up >= panel.height:
            what = f"the cut-out, {format_mm(across)} by {format_mm(up)}, is as large as the panel or larger"
            self.fault(("places", place.entry, "cutout"), what, "a smaller hole")
        if clearance(main, box(panel.width, panel.height)) < -max(main.size):
            self.fault(("places", place.entry, "at"), f"{place.name} lies outside the panel", "a place on the panel")
        return place

    def _legend_colour(self, number: int, entry: PlaceWish) -> None:
        """Note a colour of a legend that there is none of."""
        wish = entry.legend
        if isinstance(wish, LegendWish) and wish.colour:
            self._named(("places", number, "legend", "colour"), "colour", wish.colour, colours())

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

    def _crowded(self, places: tuple[Place, ...]) -> None:
        """Note what would take minutes to look at: flanges over a heap of others, and too many different places."""
        for place, lapped in heaped(places):
            what = f"{place.name} lies over {lapped} other places"
            expected = f"at most {MOST_LAPPED}: places further apart, or the unit that is meant"
            self.fault(("places", place.entry, "pitch"), what, expected)
        count = different(places)
        if count > MOST_DIFFERENT:
            what = f"{count} kinds of places and places in different company"
            self.fault(("places",), what, f"at most {MOST_DIFFERENT}: more that are alike, or two panels")

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
        metal = own.metal or panel.metal
        at_hand = self.drawer.at_hand(metal or "") if self.drawer is not None else ()
        return HardwareWish(
            known, own.head, own.length, own.nut, washers,
            metal, own.retention or panel.retention, panel.heads,
            panel.drives, own.screw is not None, at_hand,
        )  # fmt: skip

    def _unmet(self, key: KeyPath, own: PlaceHardware, names: tuple[str, ...], part: Part) -> None:
        """Note what is asked for at a place that no table has."""
        boss = part.fixings.boss if part.fixings is not None else None
        if boss is not None and own.screw is None:
            names = (fasteners.thread(boss.screw).name,)
        for found in unmet(own, names, boss.forming if boss is not None else None):
            self.fault((*key, "hardware", *found.path), found.what, found.expected)

    # --- cut-outs ----------------------------------------------------------------------------------------------

    def _cutout(self, key: KeyPath, wish: CutoutWish, suited: Cutout, part: Part, panel: Panel) -> Cutout | None:
        cut = _as_written(suited, wish, panel.coating if panel.holes_finished else 0.0)
        if cut.fixings and not cut.fixing_diameter:
            self.fault((*key, "cutout"), "the fixing holes have no size", "fixings: their diameter")
            return None
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


def _punched(suited: Cutout, part: Part, panel: Panel, pattern: Pattern | None) -> Cutout:
    """Return the cut-out of a pre-punched pattern, or the one that suits the part where there is none.

    The fixing holes of a pattern are there, whether the part takes them or not.
    """
    if pattern is None:
        return suited
    left_out = panel.coating if panel.holes_finished else 0.0
    return replace(
        suited, main=round_(pattern.hole + 2 * left_out), fixing_diameter=pattern.fixings + 2 * left_out,
        fixings=diagonal(pattern.across, pattern.up, pattern.mirror),
    )  # fmt: skip


def _as_written(base: Cutout, wish: CutoutWish, left_out: float) -> Cutout:
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
        fixings = diagonal(wish.across, wish.up, wish.mirror)
    elif wish.mirror:
        fixings = tuple(at.mirrored() for at in fixings)
    sink = wish.countersink
    plain = None if sink is None else Countersink(diameter=sink.diameter, angle=sink.angle).coated(-left_out)
    diameter = base.fixing_diameter if wish.fixings is None else wish.fixings + 2 * left_out
    return Cutout(main, fixings, diameter, plain, "front" if sink is None else sink.side, left_out)


def _plain(entry: CutWish) -> Outline:
    """Return the outline of a plain hole that is one."""
    if entry.hole is not None:
        return round_(entry.hole)
    if entry.slot is not None:
        return slot(*entry.slot)
    if entry.window is not None:
        return box(*entry.window, entry.corner)
    assert entry.outline is not None  # one of them, by validation
    return entry.outline


def _numbered(text: str, number: int) -> str:
    return text.replace(NUMBERED, str(number))


def _legend(entry: PlaceWish, name: str, number: int) -> str:
    """Return what is written at a place: its name, where nothing else is asked for; `none` writes nothing."""
    text = entry.legend.text if isinstance(entry.legend, LegendWish) else entry.legend
    return "" if text == NO_LEGEND else _numbered(text, number) or name


def _lettering(entry: PlaceWish, number: int) -> Lettering:
    """Return what is asked for of the legend of a place."""
    wish = entry.legend
    if not isinstance(wish, LegendWish):
        return PLAIN
    return Lettering(_numbered(wish.second, number), wish.height, wish.side, meant("colour", wish.colour, colours()))


def _pattern_of(entry: PlaceWish) -> str:
    """Return what the names of an entry's places are made from; its label, or its part, numbered if it has several."""
    label = entry.label or entry.part
    return label if entry.places == 1 or NUMBERED in label else f"{label} {NUMBERED}"


def _first_numbers(places: Sequence[PlaceWish]) -> list[int]:
    """Return the first number of each entry: the one it names, or the next after those made from the same pattern."""
    following: dict[str, int] = {}
    numbers = []
    for entry in places:
        first = following.get(_pattern_of(entry), 1) if entry.first is None else entry.first
        following[_pattern_of(entry)] = first + entry.places
        numbers.append(first)
    return numbers


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
