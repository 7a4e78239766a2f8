"""The rows that are asked for: places at even distances; what they come to is worked out later."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, GetJsonSchemaHandler, WithJsonSchema, model_validator
from pydantic_core import CoreSchema

from dryfit.models.reading.fields import (
    ONE_LENGTH,
    TWO_LENGTHS,
    Coordinate,
    Length,
    OneOrMore,
    PositiveLength,
    Record,
    two,
)
from dryfit.models.reading.spellings import plainly

SAME_ROW = "same"  # the word for a row that goes on
MOST_LINES = 12  # of a row; a panel of 12 units with one for each


def _margins(value: object) -> object:
    """Return the metal left and right of a row: one length for both, or two."""
    return two(value, "one length, or two, left and right") if isinstance(value, list | tuple) else (value, value)


Margins = Annotated[
    tuple[Length, Length], BeforeValidator(_margins), WithJsonSchema({"anyOf": [ONE_LENGTH, TWO_LENGTHS]})
]
Levels = Annotated[tuple[Coordinate, ...], Field(max_length=MOST_LINES), OneOrMore()]


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
