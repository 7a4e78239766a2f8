"""The layout file: what a person writes about one panel, and its JSON Schema for editors."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    Field,
    ModelWrapValidatorHandler,
    PrivateAttr,
    WithJsonSchema,
    field_validator,
    model_validator,
)

from dryfit.models.catalogue.parts import Side
from dryfit.models.filling import filled
from dryfit.models.legends import LegendWish
from dryfit.models.panel import Edge
from dryfit.models.reading.errors import display_path, said
from dryfit.models.reading.fields import (
    Angle,
    Countersink,
    Length,
    PositiveLength,
    Record,
    Shape,
    Spot,
    Text,
)
from dryfit.models.reading.records import Origin, validated
from dryfit.models.reading.textfile import read_text
from dryfit.models.reading.units import LENGTH_EXAMPLES, is_inches, parse_length, parse_signed_length
from dryfit.models.reading.yamlfile import LARGEST_FILE, LineMap, load
from dryfit.models.titles import BLANK, Titles

MOST_PLACES = 500  # on one panel, counted out; a 12-unit panel holds about 150
LARGEST_PANEL = 3000.0  # mm either way

HeadKind = Literal["countersunk", "raised countersunk", "pan", "button"]
Drive = Literal["cross recess", "slot", "hexagon socket"]
NutKind = Literal["hexagon", "narrow", "thin", "self-locking", "tooth-washer nut", "none"]
WasherKind = Literal["plain", "split", "tooth", "tooth internal", "tooth external"]
Metal = Literal["steel", "zinc", "stainless", "brass", "nickel"]
RackScrewName = Literal["M6", "10-32", "12-24"]
FinishName = Literal["bare", "brushed", "anodised", "powder coat"]
RetentionName = Literal["tooth washer", "split washer", "self-locking nut", "tooth-washer nut", "thread locker"]


def _thickness(value: object) -> object:
    """Return a thickness in mm, or a sheet gauge as text, to be looked up once the material is known."""
    if isinstance(value, str) and value.strip().lower().endswith("ga"):
        number = value.strip()[:-2].strip()
        if not number.isascii() or not number.isdigit() or len(number) > 2:
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
        if len(value) != 2:
            raise ValueError("pitch takes one length or a list [dx, dy]")
        return (parse_signed_length(value[0]), parse_signed_length(value[1]))
    return (parse_signed_length(value), 0.0)


_LENGTH = {"type": ["number", "string"], "description": LENGTH_EXAMPLES}
Thickness = Annotated[float | str, BeforeValidator(_thickness), WithJsonSchema(_LENGTH)]
Pitch = Annotated[
    tuple[float, float],
    BeforeValidator(_pitch),
    WithJsonSchema({"anyOf": [_LENGTH, {"type": "array", "items": _LENGTH, "minItems": 2, "maxItems": 2}]}),
]


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

    rack_units: Annotated[int, Field(ge=1, le=12, strict=True)] | None = None
    half_width: bool = False
    ten_inch: bool = False
    plate: Text | None = None
    size: tuple[PositiveLength, PositiveLength] | None = None
    thickness: Thickness
    material: Text = "aluminium"
    coating: Annotated[Length, Field(le=1.0)] = 0.0
    holes: Text = "to suit"
    holes_finished: bool = False
    lip: Annotated[Length, Field(le=200.0)] = 0.0
    lips: Annotated[tuple[Edge, ...], Field(min_length=1, max_length=4)] | None = None
    bend_radius: Annotated[Length, Field(le=20.0)] = 0.0
    bend: BendWish | None = None
    corner: Annotated[Length, Field(le=100.0)] = 0.0
    depth: PositiveLength | None = None
    mask_earth: bool = False
    finish: FinishName | None = None
    colour: Text | None = None
    rack_screw: RackScrewName = "M6"
    _inches: bool = PrivateAttr(default=False)

    @model_validator(mode="after")
    def _one_size(self) -> PanelWish:
        if sum(given is not None for given in (self.rack_units, self.size, self.plate)) != 1:
            raise ValueError("a panel has one of rack_units, size and plate")
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

    threads: Annotated[tuple[Text, ...], Field(max_length=16)] = ()
    heads: Annotated[tuple[HeadKind, ...], Field(max_length=4)] = ()
    drives: Annotated[tuple[Drive, ...], Field(max_length=3)] = ()
    metal: Metal | None = None
    retention: RetentionName | None = None
    spares: Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)] = 10.0  # percent of small hardware
    prices: Text = ""  # a CSV file of prices, beside the layout


class PlaceHardware(Record):
    """The fasteners of one place, as far as they are given."""

    screw: Text | None = None
    length: PositiveLength | None = None
    head: HeadKind | None = None
    nut: NutKind | None = None
    washers: Annotated[tuple[WasherKind, ...], Field(max_length=4)] | None = None
    metal: Metal | None = None
    retention: RetentionName | None = None


class PanelSink(Countersink):
    """A countersink in the panel at the fixing holes, and the face it is cut from."""

    side: Side = Field(default="front", alias="from")


class CutoutWish(Record):
    """A cut-out as punched; what is not given comes from the panel's pattern or from the part."""

    hole: PositiveLength | None = None
    outline: Shape | None = None
    fixings: PositiveLength | None = None
    across: Length | None = None
    up: Length | None = None
    mirror: bool = False
    at: Annotated[tuple[Spot, ...], Field(max_length=8)] | None = None
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


class PlaceWish(Record):
    """One entry of ``places``: a part, where it goes, and how many in a row."""

    part: Text
    label: Text = ""
    first: Annotated[int, Field(ge=0, le=100_000, strict=True)] = 1
    count: Annotated[int, Field(ge=1, le=MOST_PLACES, strict=True)] = 1
    at: Spot
    pitch: Pitch = (0.0, 0.0)
    mount: Side = "front"
    turn: Angle = 0.0
    part_turn: Angle = 0.0
    plug: Text = "default"
    cutout: CutoutWish = CutoutWish()
    hardware: PlaceHardware = PlaceHardware()
    legend: Text | LegendWish = ""

    @model_validator(mode="after")
    def _spread(self) -> PlaceWish:
        if self.count > 1 and self.pitch == (0.0, 0.0):
            raise ValueError("a count of more than one needs a pitch")
        return self


class Layout(Record):
    """A whole layout file."""

    title: Text
    panel: PanelWish
    hardware: Hardware = Hardware()
    environment: Literal["indoor", "damp", "salt air"] = "indoor"
    origin: Literal["corner", "centre"] = "corner"
    revision: Text = ""
    notes: Annotated[tuple[Text, ...], Field(max_length=20)] = ()
    title_block: Titles = BLANK
    parts: Annotated[tuple[Text, ...], Field(max_length=20)] = ()
    legend_font: Text = ""  # a typeface for legends, beside the layout
    places: Annotated[tuple[PlaceWish, ...], Field(min_length=1, max_length=MOST_PLACES)]

    @model_validator(mode="after")
    def _not_too_many(self) -> Layout:
        total = sum(entry.count for entry in self.places)
        if total > MOST_PLACES:
            raise ValueError(f"{total} places are more than the {MOST_PLACES} a panel may have")
        return self


@dataclass(frozen=True)
class LayoutFile:
    """A layout with the file it was read from, and the text of that."""

    path: Path
    layout: Layout
    lines: LineMap
    text: str = field(default="", repr=False)


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
    if values is None:
        return LayoutFile(path, validated(data, Layout, Origin(file, lines)), lines, text)
    layout = validated(filled(data, values), Layout, Origin(file, lines))
    return LayoutFile(path, layout, lines, text + json.dumps(dict(values), sort_keys=True))


def yaml_files(folder: Path) -> list[Path]:
    """Return the YAML files in a folder and below it, in order; layouts are among them, part files and printers too."""
    return sorted(path for end in ("yaml", "yml") for path in folder.rglob(f"*.{end}"))


def looks_like_layout(text: str) -> bool:
    """Whether the text of a YAML file is meant as a layout, right or wrong."""
    return re.search(r"^places\s*:", text, re.MULTILINE) is not None


def layout_schema() -> dict[str, Any]:
    """Return the JSON Schema of a layout file, of features common to draft-07 and 2020-12."""
    schema = Layout.model_json_schema()
    return {"$schema": "http://json-schema.org/draft-07/schema#", **_without_tuples(schema)}


def _without_tuples(schema: Any) -> Any:
    """Return the schema with fixed-length arrays told by length alone: the drafts differ in how they list items."""
    if isinstance(schema, list):
        return [_without_tuples(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    plain = {key: _without_tuples(value) for key, value in schema.items() if key != "prefixItems"}
    if "prefixItems" in schema:
        plain["items"] = _without_tuples(schema["prefixItems"][0])
    return plain
