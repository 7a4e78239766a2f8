"""The layout file: what a person writes about one panel."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ModelWrapValidatorHandler,
    PrivateAttr,
    WithJsonSchema,
    field_validator,
    model_validator,
)
from pydantic_core import CoreSchema

from dryfit.models.catalogue.parts import Side
from dryfit.models.filling import filled
from dryfit.models.geometry.points import Point
from dryfit.models.keys import examples
from dryfit.models.legends import LegendWish
from dryfit.models.panel import Edge
from dryfit.models.reading.errors import display_path, said
from dryfit.models.reading.fields import (
    POINT,
    SHAPE_KEYS,
    TWO_LENGTHS,
    Angle,
    Coordinate,
    Countersink,
    Length,
    Names,
    OneOrMore,
    Pair,
    PositiveLength,
    Record,
    Shape,
    Spot,
    Text,
    two,
)
from dryfit.models.reading.records import Origin, every_key, validated
from dryfit.models.reading.spellings import counted, plainly
from dryfit.models.reading.textfile import read_text
from dryfit.models.reading.units import LENGTH_EXAMPLES, is_inches, parse_length, parse_signed_length
from dryfit.models.reading.yamlfile import LARGEST_FILE, LineMap, load
from dryfit.models.shorthand import with_known_keys, with_likeness
from dryfit.models.titles import BLANK, Titles

SAME_ROW = "same"  # the word for a row that goes on
MOST_PLACES = 500  # on one panel, counted out; a 12-unit panel holds about 150
MOST_CUTS = 200  # plain holes of one panel
MOST_LINES = 12  # of a row; a panel of 12 units with one for each
LARGEST_PANEL = 3000.0  # mm either way

HeadKind = Annotated[Literal["countersunk", "raised countersunk", "pan", "button"], Names("head")]
Drive = Annotated[Literal["cross recess", "slot", "hexagon socket"], Names("drive")]
NutKind = Annotated[Literal["hexagon", "narrow", "thin", "self-locking", "tooth-washer nut", "none"], Names("nut")]
WasherKind = Annotated[Literal["plain", "split", "tooth", "tooth internal", "tooth external"], Names("washer")]
Metal = Annotated[Literal["steel", "zinc", "stainless", "brass", "nickel"], Names("metal")]
RackScrewName = Annotated[Literal["M6", "10-32", "12-24"], Names("rack screw")]
FinishName = Annotated[Literal["bare", "brushed", "anodised", "powder coat"], Names("finish")]
RetentionName = Annotated[
    Literal["tooth washer", "split washer", "self-locking nut", "tooth-washer nut", "thread locker"], Names("retention")
]
EdgeName = Annotated[Edge, Names("edge")]
MountSide = Annotated[Side, Names("side")]


def _units(value: object) -> object:
    """Return how many rack units are meant: 2 or ``2U``."""
    number = counted(value, "rack unit")
    return int(number) if number is not None and number.isdigit() and len(number) < 4 else value


def _thickness(value: object) -> object:
    """Return a thickness in mm, or a sheet gauge as text, to be looked up once the material is known."""
    number = counted(value, "gauge")
    if number is not None:
        if not number.isdigit() or len(number) > 2:
            raise ValueError(f"{said(value)} is not a gauge; write for example 16 ga")
        return f"{int(number)} ga"
    length = parse_length(value)
    if not MIN_THICKNESS <= length <= MAX_THICKNESS:
        raise ValueError(
            f"{said(value)} is no panel's thickness, which lies between {MIN_THICKNESS} and {MAX_THICKNESS} mm"
        )
    return length


MIN_THICKNESS, MAX_THICKNESS = 0.3, 25.0  # mm; foil and blocks are no panels


def _pitch(value: object) -> object:
    if isinstance(value, list | tuple):
        x, y = two(value, "what pitch takes; write one length along x, or [0 mm, 30 mm] along both")
        return (parse_signed_length(x), parse_signed_length(y))
    return (parse_signed_length(value), 0.0)


def _several(value: object) -> object:
    """Return a list of points, be it of one that is written alone."""
    points = isinstance(value, list | tuple) and all(isinstance(one, list | tuple) for one in value)
    return value if points or value is None else [two(value, POINT)]


def _spots(value: object) -> object:
    """Return the centres of one place or of several."""
    return _several(value) if value else [two(value, POINT)]


def _margins(value: object) -> object:
    """Return the metal left and right of a row: one length for both, or two."""
    return two(value, "one length, or two, left and right") if isinstance(value, list | tuple) else (value, value)


def _percent(value: object) -> object:
    """Return a number that may have its sign."""
    number = counted(value, "percent")
    return float(number) if number is not None and number.isdigit() and len(number) < 4 else value


_LENGTH: dict[str, Any] = {"type": ["number", "string"], "description": LENGTH_EXAMPLES}
Thickness = Annotated[float | str, BeforeValidator(_thickness), WithJsonSchema(_LENGTH)]
Pitch = Annotated[
    tuple[float, float],
    BeforeValidator(_pitch),
    WithJsonSchema({"anyOf": [_LENGTH, TWO_LENGTHS]}),
]
Spots = Annotated[
    tuple[Spot, ...],
    Field(max_length=MOST_PLACES),
    BeforeValidator(_spots),
    WithJsonSchema({"anyOf": [TWO_LENGTHS, {"type": "array", "items": TWO_LENGTHS}]}),
]
Margins = Annotated[tuple[Length, Length], BeforeValidator(_margins), WithJsonSchema({"anyOf": [_LENGTH, TWO_LENGTHS]})]
Units = Annotated[
    int,
    Field(ge=1, le=12, strict=True),
    BeforeValidator(_units),
    WithJsonSchema({"anyOf": [{"type": "integer", "minimum": 1, "maximum": 12}, {"type": "string"}]}),
]
Levels = Annotated[tuple[Coordinate, ...], Field(max_length=MOST_LINES), OneOrMore()]


class BendWish(Record):
    """How the shop lays a bend flat: its K factor, or what one bend of 90 degrees takes up or takes away."""

    k: Annotated[float, Field(gt=0, le=0.5, allow_inf_nan=False)] | None = None
    allowance: PositiveLength | None = None
    deduction: PositiveLength | None = None

    @model_validator(mode="after")
    def _one(self) -> BendWish:
        if sum(value is not None for value in (self.k, self.allowance, self.deduction)) != 1:
            raise ValueError("bend has one of k, allowance and deduction")
        return self


class PanelWish(Record):
    """The panel: a rack size, a wall plate or a size of its own, and what it is made of."""

    rack_units: Units | None = None
    half_width: bool = False
    ten_inch: bool = False
    plate: Text | None = None
    box: Text | None = None
    size: Pair | None = None
    thickness: Thickness
    material: Text = "aluminium"
    coating: Annotated[Length, Field(le=1.0)] = 0.0
    holes: Text = "to suit"
    holes_finished: bool = False
    lip: Annotated[Length, Field(le=200.0)] = 0.0
    lips: Annotated[tuple[EdgeName, ...], Field(min_length=1, max_length=4), OneOrMore(",")] | None = None
    bend_radius: Annotated[Length, Field(le=20.0)] = 0.0
    bend: BendWish | None = None
    corner: Annotated[Length, Field(le=100.0)] = 0.0
    depth: PositiveLength | None = None
    mask_earth: bool = False
    finish: FinishName | None = None
    colour: Text | None = None
    rack_screw: RackScrewName = "M6"
    _inches: bool = PrivateAttr(default=False)

    @model_validator(mode="before")
    @classmethod
    def _size_in_units(cls, value: Any) -> Any:
        """Take a size in rack units as what it is."""
        if (
            isinstance(value, dict)
            and "rack_units" not in value
            and counted(value.get("size"), "rack unit") is not None
        ):
            return {("rack_units" if key == "size" else key): one for key, one in value.items()}
        return value

    @model_validator(mode="after")
    def _one_size(self) -> PanelWish:
        if sum(given is not None for given in (self.rack_units, self.size, self.plate)) != 1:
            raise ValueError("a panel has one of rack_units, size and plate")
        if self.box is not None and self.size is None:
            raise ValueError("box goes with size; a plate has its own box")
        for key in ("half_width", "ten_inch"):
            if getattr(self, key) and self.rack_units is None:
                raise ValueError(f"{key} goes with rack_units")
        if self.half_width and self.ten_inch:
            raise ValueError("a panel has one width: half_width or ten_inch")
        return self

    @model_validator(mode="wrap")
    @classmethod
    def _as_written(cls, data: Any, handler: ModelWrapValidatorHandler[PanelWish]) -> PanelWish:
        made, size = handler(data), data.get("size") if isinstance(data, dict) else None
        made._inches = isinstance(size, list) and all(is_inches(side) for side in size)
        return made

    @property
    def inches(self) -> bool:
        """Whether it is an inch panel: its size is written in inches, or it is an American wall plate."""
        return self._inches or (self.plate or "").startswith("us-")

    @model_validator(mode="after")
    def _lips_whole(self) -> PanelWish:
        for key in ("lips", "bend"):
            if self.lip == 0 and getattr(self, key) is not None:
                raise ValueError(f"{key} goes with lip, how deep the lips are")
        if len(set(self.lips or ())) < len(self.lips or ()):
            raise ValueError("an edge has one lip: it is named twice in lips")
        return self

    @field_validator("size")
    @classmethod
    def _not_huge(cls, size: tuple[float, float] | None) -> tuple[float, float] | None:
        if size is not None and max(size) > LARGEST_PANEL:
            raise ValueError(f"a panel is at most {LARGEST_PANEL:g} mm either way")
        return size


class Hardware(Record):
    """What may be used, for the whole panel."""

    threads: Annotated[tuple[Text, ...], Field(max_length=16), OneOrMore(",")] = ()
    heads: Annotated[tuple[HeadKind, ...], Field(max_length=4), OneOrMore(",")] = ()
    drives: Annotated[tuple[Drive, ...], Field(max_length=3), OneOrMore(",")] = ()
    metal: Metal | None = None
    retention: RetentionName | None = None
    spares: Annotated[float, Field(ge=0, le=100, allow_inf_nan=False), BeforeValidator(_percent)] = 10.0  # percent
    prices: Text = ""  # a CSV file of prices, beside the layout
    drawer: Text = ""  # a CSV file of what is at hand, beside the layout


class PlaceHardware(Record):
    """The fasteners of one place, as far as they are given."""

    screw: Text | None = None
    length: PositiveLength | None = None
    head: HeadKind | None = None
    nut: NutKind | None = None
    washers: Annotated[tuple[WasherKind, ...], Field(max_length=4), OneOrMore(",")] | None = None
    metal: Metal | None = None
    retention: RetentionName | None = None


class PanelSink(Countersink):
    """A countersink in the panel at the fixing holes, and the face it is cut from."""

    side: MountSide = Field(default="front", alias="from")


class CutoutWish(Record):
    """A cut-out as punched; what is not given comes from the panel's pattern or from the part."""

    hole: PositiveLength | None = None
    outline: Shape | None = None
    fixings: PositiveLength | None = None
    across: Length | None = None
    up: Length | None = None
    mirror: bool = False
    at: Annotated[tuple[Spot, ...], Field(max_length=8), BeforeValidator(_several)] | None = None
    countersink: PanelSink | None = None

    @model_validator(mode="after")
    def _whole(self) -> CutoutWish:
        if self.hole is not None and self.outline is not None:
            raise ValueError("a cut-out has either hole or outline")
        if (self.across is None) != (self.up is None):
            raise ValueError("across and up go together")
        if self.across == 0 and self.up == 0:
            raise ValueError("across and up are both zero")
        if self.at is not None and self.across is not None:
            raise ValueError("fixing holes are given either by across and up, or by at")
        return self


def _stepped(entry: PlaceWish | CutWish) -> None:
    """Refuse a count and a pitch that do not go with the centres."""
    stepped = entry.pitch != (0.0, 0.0)
    if stepped and len(entry.at) > 1:
        raise ValueError("pitch goes with one centre at")
    if len(entry.at) > 1 and entry.count not in (1, len(entry.at)):
        raise ValueError(f"a count of {entry.count} does not go with {len(entry.at)} centres at")
    if entry.count > 1 and len(entry.at) == 1 and not stepped:
        raise ValueError("a count of more than one needs a pitch")


def _each(entry: PlaceWish | CutWish) -> tuple[Point, ...]:
    """Return each centre of an entry."""
    if len(entry.at) != 1:
        return entry.at
    return tuple(entry.at[0] + Point(*entry.pitch) * step for step in range(entry.count))


class CutWish(Record):
    """Plain holes of one kind: round, a slot, a window, another outline, or a pair of slots for a cable tie."""

    hole: PositiveLength | None = None
    slot: Pair | None = None
    window: Pair | None = None
    corner: Length = 0.0
    outline: Shape | None = None
    tie: PositiveLength | None = None
    label: Text = ""
    count: Annotated[int, Field(ge=1, le=MOST_CUTS, strict=True)] = 1
    at: Annotated[Spots, Field(min_length=1)]
    pitch: Pitch = (0.0, 0.0)
    turn: Angle = 0.0

    @model_validator(mode="after")
    def _whole(self) -> CutWish:
        shapes = (self.hole, self.slot, self.window, self.outline, self.tie)
        if sum(shape is not None for shape in shapes) != 1:
            raise ValueError("a plain hole is one of hole, slot, window, outline and tie")
        if self.corner and self.window is None:
            raise ValueError("corner goes with window")
        if self.window is not None and 2 * self.corner > min(self.window):
            raise ValueError("the corner radius is more than half of the window")
        if self.slot is not None and self.slot[0] <= self.slot[1]:
            raise ValueError("a slot is longer than wide: write its length first, and turn it by turn: 90")
        _stepped(self)
        return self

    @property
    def kind(self) -> str:
        """What it is called where it has no label."""
        names = {"hole": self.hole, "slot": self.slot, "window": self.window, "cable-tie hole": self.tie}
        return next((name for name, given in names.items() if given is not None), "opening")

    @property
    def spots(self) -> tuple[Point, ...]:
        """Their centres as the layout measures."""
        return _each(self)


class RowWish(Record):
    """A row of places at even distances; see :mod:`dryfit.models.resolving.rows`."""

    lines: Annotated[int, Field(ge=1, le=MOST_LINES, strict=True)] = 1
    y: Levels = ()
    start: Coordinate | None = Field(default=None, alias="from")
    to: Coordinate | None = None
    centre: Coordinate | None = None
    margin: Margins | None = None
    pitch: PositiveLength | None = None
    gap: Length | None = None
    after: Length | None = None

    @model_validator(mode="before")
    @classmethod
    def _in_a_word(cls, value: object) -> object:
        return {"after": None} if isinstance(value, str) and plainly(value) == SAME_ROW else value

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Tell editors the word too."""
        return {"anyOf": [{"const": SAME_ROW}, handler(schema)]}

    @model_validator(mode="after")
    def _one_way(self) -> RowWish:
        given = self.model_fields_set - {"lines", "y"}
        if self.goes_on and len(self.model_fields_set) > 1:
            raise ValueError("a row that goes on takes over how from the entry before: write after alone")
        if len(given & {"pitch", "gap"}) > 1:
            raise ValueError("a row has one of pitch and gap")
        if "margin" in given and len(given) > 1:
            raise ValueError("a margin leaves nothing else to say of a row across: no from, to, centre, pitch or gap")
        if len(given & {"from", "start", "to", "centre"}) > 1 and given != {"start", "to"}:
            raise ValueError("a row stands from, to or about its centre, or evenly between from and to without a pitch")
        if self.start is not None and self.to is not None and self.to <= self.start:
            raise ValueError("the row ends before it begins: to lies right of from")
        return self

    @property
    def goes_on(self) -> bool:
        """Whether it goes on with the row of the entry before."""
        return "after" in self.model_fields_set

    @property
    def counts_metal(self) -> bool:
        """Whether even distances are counted in metal between flanges, not from centre to centre."""
        return self.gap is not None or self.margin is not None


def _nothing_required(schema: dict[str, Any]) -> None:
    """Tell editors that an entry may take its part over from the one above."""
    schema.pop("required", None)


class PlaceWish(Record):
    """One entry of ``places``: a part, where it goes, and how many."""

    model_config = ConfigDict(json_schema_extra=_nothing_required)

    like: Literal["above"] | None = None  # written out before it is read: see `shorthand`
    part: Text
    label: Text = ""
    first: Annotated[int, Field(ge=0, le=100_000, strict=True)] | None = None
    count: Annotated[int, Field(ge=1, le=MOST_PLACES, strict=True)] = 1
    at: Spots = ()
    pitch: Pitch = (0.0, 0.0)
    row: RowWish | None = None
    mount: MountSide | None = None
    turn: Angle = 0.0
    part_turn: Angle = 0.0
    plug: Text = "default"
    cutout: CutoutWish = CutoutWish()
    hardware: PlaceHardware = PlaceHardware()
    legend: Text | LegendWish = ""

    @model_validator(mode="after")
    def _somewhere(self) -> PlaceWish:
        if not self.at and self.row is None:
            raise ValueError("where it goes is missing: at or row")
        if self.at and self.row is not None:
            raise ValueError("a place has one of at and row")
        return self

    @model_validator(mode="after")
    def _spread(self) -> PlaceWish:
        if self.row is not None and self.pitch != (0.0, 0.0):
            raise ValueError("pitch goes with one centre at; a row has its own")
        _stepped(self)
        return self

    @property
    def places(self) -> int:
        """How many places it makes."""
        return max(self.count, len(self.at))

    @property
    def spots(self) -> tuple[Point, ...]:
        """Their centres as the layout measures; none of a row that was not worked out."""
        return _each(self)

    def standing(self, spots: tuple[Point, ...]) -> PlaceWish:
        """Return the entry without a row, each of its places by its centre."""
        return self.changed(row=None, count=1, at=spots)


class Layout(Record):
    """A whole layout file."""

    title: Text
    panel: PanelWish
    hardware: Hardware = Hardware()
    environment: Annotated[Literal["indoor", "damp", "salt air"], Names("environment")] = "indoor"
    origin: Annotated[Literal["corner", "centre"], Names("origin")] = "corner"
    revision: Text = ""
    notes: Annotated[tuple[Text, ...], Field(max_length=20), OneOrMore()] = ()
    title_block: Titles = BLANK
    parts: Annotated[tuple[Text, ...], Field(max_length=20), OneOrMore()] = ()
    legend_font: Text = ""  # a typeface for legends, beside the layout
    cut: Annotated[tuple[CutWish, ...], Field(max_length=MOST_CUTS), OneOrMore()] = ()
    places: Annotated[tuple[PlaceWish, ...], Field(min_length=1, max_length=MOST_PLACES), OneOrMore()]

    @model_validator(mode="after")
    def _not_too_many(self) -> Layout:
        total = sum(entry.places for entry in self.places)
        if total > MOST_PLACES:
            raise ValueError(f"{total} places are more than the {MOST_PLACES} a panel may have")
        if sum(len(entry.spots) for entry in self.cut) > MOST_CUTS:
            raise ValueError(f"a panel has at most {MOST_CUTS} plain holes")
        return self


@dataclass(frozen=True)
class LayoutFile:
    """A layout with the file it was read from, and the text of that; ``drawer`` is a file for the one it names."""

    path: Path
    layout: Layout
    lines: LineMap
    text: str = field(default="", repr=False)
    drawer: Path | None = None


def read_layout(path: Path) -> LayoutFile:
    """Return a layout file, validated whole.

    Raises:
        InputError: with every fault of the file.
    """
    return parse_layout(path, layout_text(path))


def layout_text(path: Path) -> str:
    """Return the text of a layout file, whatever it says.

    Raises:
        InputError: if it is no text file, or too large.
    """
    return read_text(path, "YAML file", LARGEST_FILE)


def parse_layout(path: Path, text: str, values: Mapping[str, str] | None = None) -> LayoutFile:
    """Return a layout given as text, its ``{name}`` fields filled with values if there are any.

    ``path`` names it in messages, and what it names is looked for beside that.
    """
    file = display_path(path)
    data, lines = load(file, text)
    if values is not None:
        data, text = filled(data, values), text + json.dumps(dict(values), sort_keys=True)
    data, lines = with_likeness(file, *with_known_keys(data, lines, known_keys()))
    return LayoutFile(path, validated(data, Layout, Origin(file, lines, examples=examples())), lines, text)


@cache
def known_keys() -> frozenset[str]:
    """Return the name of every key that a layout may have."""
    return frozenset(every_key(Layout)) | SHAPE_KEYS


def yaml_files(folder: Path) -> list[Path]:
    """Return the YAML files in a folder and below it, in order; layouts are among them, part files and printers too."""
    return sorted(path for end in ("yaml", "yml") for path in folder.rglob(f"*.{end}"))


def looks_like_layout(text: str) -> bool:
    """Whether the text of a YAML file is meant as a layout, right or wrong."""
    return re.search(r"^places\s*:", text, re.MULTILINE) is not None
