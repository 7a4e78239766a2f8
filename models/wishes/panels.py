"""The panel that is asked for: a rack size, a wall plate or a size of its own, and what it is made of."""

from __future__ import annotations

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

from dryfit.models.catalogue.patterns import TO_SUIT
from dryfit.models.panel import Edge
from dryfit.models.reading.errors import said
from dryfit.models.reading.fields import ONE_LENGTH, Length, Names, OneOrMore, Pair, PositiveLength, Record, Text
from dryfit.models.reading.spellings import counted, whole
from dryfit.models.reading.units import is_inches, parse_length

LARGEST_PANEL = 3000.0  # mm either way
MIN_THICKNESS, MAX_THICKNESS = 0.3, 25.0  # mm; foil and blocks are no panels

RackScrewName = Annotated[Literal["M6", "10-32", "12-24"], Names("rack screw")]
FinishName = Annotated[Literal["bare", "brushed", "anodised", "powder coat"], Names("finish")]
EdgeName = Annotated[Edge, Names("edge")]


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


Thickness = Annotated[float | str, BeforeValidator(_thickness), WithJsonSchema(ONE_LENGTH)]
Units = Annotated[
    int,
    Field(ge=1, le=12, strict=True),
    BeforeValidator(lambda value: whole(value, "rack unit")),
    WithJsonSchema({"anyOf": [{"type": "integer", "minimum": 1, "maximum": 12}, {"type": "string"}]}),
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

    rack_units: Units | None = None
    half_width: bool = False
    ten_inch: bool = False
    plate: Text | None = None
    box: Text | None = None
    size: Pair | None = None
    thickness: Thickness
    material: Text = "aluminium"
    coating: Annotated[Length, Field(le=1.0)] = 0.0
    holes: Text = TO_SUIT
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
