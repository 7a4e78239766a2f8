"""Finishes: what surfaces look like, and the colours that panels come in. Colours are sRGB, ``#rrggbb``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table

WHITE = 255
BARE = "bare"  # the finish of a panel as it comes
LUMA = (0.299, 0.587, 0.114)  # shares of red, green and blue in what the eye takes for brightness: ITU-R BT.601
DARK = 0.45  # brightness below which letters are filled white: common practice is whatever stands out


@dataclass(frozen=True)
class Finish:
    """What a surface looks like: its colour, and whether it shines like metal."""

    name: str
    colour: str
    metal: bool
    source: str
    confidence: str


@dataclass(frozen=True)
class PanelFinish:
    """What is done to the face of a panel: the colour it comes in if none is asked for (None: that of the metal).

    What lays a layer on the metal, which narrows holes and insulates, has its usual ``coating`` on each surface, mm.
    """

    name: str
    words: str
    colour: str | None
    colours: bool  # whether another may be asked for
    metal: bool
    coating: float | None
    source: str
    confidence: str


@dataclass(frozen=True)
class FinishOn:
    """A material that a finish is put on."""

    finish: str
    material: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Colour:
    """A colour by its name or its number in a register, as a screen shows it: a likeness, no sample."""

    name: str
    words: str
    colour: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Surface:
    """How a surface reflects light: the shares of metal and of roughness that renderers reckon with, 0 to 1."""

    finish: str
    metallic: float
    roughness: float
    source: str
    confidence: str


def surface(one: Finish) -> Surface:
    """Return how a finish reflects: by its own name, else as metal or as plastic."""
    rows = {row.finish: row for row in _surfaces()}
    return rows.get(one.name, rows["metal" if one.metal else "plastic"])


@cache
def _surfaces() -> tuple[Surface, ...]:
    return read_table("finishes/surfaces", Surface, ("metallic", "roughness"), ("metallic",))


@cache
def finishes() -> dict[str, Finish]:
    """Return the finishes of parts by name."""
    return {row.name: row for row in read_table("finishes/parts", Finish)}


def finish(name: str) -> Finish:
    """Return a finish.

    Raises:
        UnknownName: with the nearest name there is.
    """
    if name not in finishes():
        raise UnknownName("finish", name, finishes())
    return finishes()[name]


@cache
def panel_finishes() -> dict[str, PanelFinish]:
    """Return the finishes of panels by name."""
    return {row.name: row for row in read_table("finishes/panels", PanelFinish)}


@cache
def put_on(finish: str) -> tuple[str, ...]:
    """Return the materials that a finish of panels is put on; none: on any."""
    return tuple(row.material for row in read_table("finishes/materials", FinishOn) if row.finish == finish)


@cache
def colours() -> dict[str, Colour]:
    """Return the colours by name."""
    return {row.name: row for row in read_table("finishes/colours", Colour)}


def said_finish(name: str, colour: str | None, in_full: bool = False) -> str:
    """Return a panel's finish in words: ``powder coat RAL 7016``, in full with the name of the colour in brackets."""
    if colour is None:
        return name
    words = colours()[colour].words
    return f"{name} {colour} ({words})" if in_full and words != colour else f"{name} {colour}"


def shares(colour: str) -> tuple[float, float, float]:
    """Return red, green and blue of ``#rrggbb``, 0 to 1."""
    red, green, blue = (int(colour[i : i + 2], 16) / WHITE for i in (1, 3, 5))
    return red, green, blue


def is_dark(colour: str) -> bool:
    """Whether letters on a colour are better white than black."""
    return sum(weight * share for weight, share in zip(LUMA, shares(colour), strict=True)) < DARK
