"""The hardware that is asked for: what may be used on the whole panel, and the fasteners of one place."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from dryfit.models.reading.fields import Names, OneOrMore, PositiveLength, Record, Text
from dryfit.models.reading.spellings import whole

HeadKind = Annotated[Literal["countersunk", "raised countersunk", "pan", "button"], Names("head")]
Drive = Annotated[Literal["cross recess", "slot", "hexagon socket"], Names("drive")]
NutKind = Annotated[Literal["hexagon", "narrow", "thin", "self-locking", "tooth-washer nut", "none"], Names("nut")]
WasherKind = Annotated[Literal["plain", "split", "tooth", "tooth internal", "tooth external"], Names("washer")]
Metal = Annotated[Literal["steel", "zinc", "stainless", "brass", "nickel"], Names("metal")]
RetentionName = Annotated[
    Literal["tooth washer", "split washer", "self-locking nut", "tooth-washer nut", "thread locker"], Names("retention")
]
Percent = Annotated[
    float, Field(ge=0, le=100, allow_inf_nan=False), BeforeValidator(lambda value: whole(value, "percent"))
]


class Hardware(Record):
    """What may be used, for the whole panel."""

    threads: Annotated[tuple[Text, ...], Field(max_length=16), OneOrMore(",")] = ()
    heads: Annotated[tuple[HeadKind, ...], Field(max_length=4), OneOrMore(",")] = ()
    drives: Annotated[tuple[Drive, ...], Field(max_length=3), OneOrMore(",")] = ()
    metal: Metal | None = None
    retention: RetentionName | None = None
    spares: Percent = 10.0
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
