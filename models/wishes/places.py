"""The places that are asked for: a part, where it goes, its cut-out and its hardware."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, ConfigDict, Field, model_validator

from dryfit.models.catalogue.parts import Side
from dryfit.models.geometry.points import Point
from dryfit.models.legends import LegendWish
from dryfit.models.reading.fields import Angle, Countersink, Length, Names, PositiveLength, Record, Shape, Spot, Text
from dryfit.models.wishes.centres import MOST_PLACES, Pitch, Spots, check_steps, each_centre, several
from dryfit.models.wishes.hardware import PlaceHardware
from dryfit.models.wishes.rows import RowWish

MountSide = Annotated[Side, Names("side")]


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
    at: Annotated[tuple[Spot, ...], Field(max_length=8), BeforeValidator(several)] | None = None
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
        check_steps(self.at, self.count, self.pitch)
        return self

    @property
    def places(self) -> int:
        """How many places it makes."""
        return max(self.count, len(self.at))

    @property
    def spots(self) -> tuple[Point, ...]:
        """Their centres as the layout measures; none of a row that was not worked out."""
        return each_centre(self.at, self.count, self.pitch)

    def standing(self, spots: tuple[Point, ...]) -> PlaceWish:
        """Return the entry without a row, each of its places by its centre."""
        return self.changed(row=None, count=1, at=spots)
