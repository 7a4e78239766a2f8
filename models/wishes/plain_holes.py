"""The plain holes that are asked for: round ones, slots, windows, other outlines, pairs of slots for cable ties."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from dryfit.models.geometry.points import Point
from dryfit.models.reading.fields import Angle, Length, Pair, PositiveLength, Record, Shape, Text
from dryfit.models.wishes.centres import Pitch, Spots, check_steps, each_centre

MOST_CUTS = 200  # plain holes of one panel


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
        check_steps(self.at, self.count, self.pitch)
        return self

    @property
    def kind(self) -> str:
        """What it is called where it has no label."""
        names = {"hole": self.hole, "slot": self.slot, "window": self.window, "cable-tie hole": self.tie}
        return next((name for name, given in names.items() if given is not None), "opening")

    @property
    def spots(self) -> tuple[Point, ...]:
        """Their centres as the layout measures."""
        return each_centre(self.at, self.count, self.pitch)
