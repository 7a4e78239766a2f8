"""Field types shared by the layout file and the part files: what a value in YAML must look like.

Each type reads the text a person writes and yields mm or an outline; each carries its JSON Schema, so that editors
can help. Counts and sizes are bounded because the files come from strangers.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Self, get_args

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    GetPydanticSchema,
    WithJsonSchema,
)
from pydantic_core import CoreSchema, core_schema

from dryfit.models.geometry import outlines
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import Point
from dryfit.models.reading.errors import said
from dryfit.models.reading.spellings import counted, meant
from dryfit.models.reading.units import LENGTH_EXAMPLES, parse_length, parse_signed_length, with_unit_of

LEAST_LENGTH = 0.001  # mm; nothing on a panel is made or measured finer
MOST_POINTS = 64  # corners of one polygon; a panel cut-out has a dozen at most
LONGEST_TEXT = 120  # characters of a title or label

ONE_LENGTH: dict[str, Any] = {"type": ["number", "string"], "description": f"a length: {LENGTH_EXAMPLES}"}


TWO_LENGTHS: dict[str, Any] = {
    "anyOf": [{"type": "array", "items": ONE_LENGTH, "minItems": 2, "maxItems": 2}, {"type": "string"}]
}


def _positive(value: object) -> float:
    length = parse_length(value)
    if length < LEAST_LENGTH:
        found = "is zero" if length == 0 else f"is less than {LEAST_LENGTH:g} mm"
        raise ValueError(f"{said(value)} {found}; this length must be more than zero")
    return length


def _angle(value: object) -> float:
    number = counted(value, "angle")
    value = float(number) if number is not None and _NUMBER.fullmatch(number) else value
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value) or abs(value) > 360:
        raise ValueError(f"{said(value)} is not an angle; write degrees from -360 to 360")
    return float(value)


def _text(value: object) -> str:
    """Return text as it was written, be it a number to others: ``007`` stays ``007``."""
    if isinstance(value, bool | None):
        raise ValueError(f"{'nothing' if value is None else str(value).lower()} is not text; put text in quotes")
    if isinstance(value, Mapping):
        raise ValueError(f'{said(value)} is not text; text with braces wants quotes: "MIC {{n}}"')
    if not isinstance(value, str | int | float):
        raise ValueError(f"{said(value)} is not text")
    text = str(value)
    if not text.strip():
        raise ValueError("the text is blank; leave the key out where there is none")
    if len(text) > LONGEST_TEXT or not text.isprintable():
        raise ValueError(f"{said(text)} must be one line of at most {LONGEST_TEXT} printable characters")
    return text


_NUMBER = re.compile(r"-?\d{1,9}(\.\d{1,9})?", re.ASCII)
_BETWEEN = re.compile(r"\s*(?:[x×*,;]|\bby\b)\s*", re.IGNORECASE)


def two(value: object, what: str) -> list[Any]:
    """Return two values as a list, be they written as one (``[200 mm, 80 mm]``) or as text (``200 x 80 mm``)."""
    if isinstance(value, str):
        found = _BETWEEN.split(value.strip().removeprefix("(").removesuffix(")"))
        value = [with_unit_of(found[0], found[1]), found[1]] if len(found) == 2 else value
    if not isinstance(value, Sequence) or isinstance(value, str) or len(value) != 2:
        raise ValueError(f"{said(value)} is not {what}")
    return list(value)


POINT = "two coordinates; write [60 mm, 44 mm]"
SIZE = "two lengths, across and up; write [200 mm, 80 mm] or 200 x 80 mm"


def _as_point(pair: CoreSchema) -> CoreSchema:
    """Return what reads a point: a list of two coordinates."""
    pair = core_schema.no_info_before_validator_function(lambda value: two(value, POINT), pair)
    return core_schema.no_info_after_validator_function(lambda found: Point(*found), pair)


@dataclass(frozen=True)
class OneOrMore:
    """Marks a list that may be written without brackets: one value alone, or text with ``apart`` between values."""

    apart: str = ""

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read what is written as a list."""
        return core_schema.no_info_before_validator_function(self.listed, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Tell editors that both may be written."""
        many = handler(schema)
        return {"anyOf": [many, many["items"]]}

    def listed(self, value: object) -> object:
        """Return a list of what is written."""
        if isinstance(value, str) and self.apart:
            return [word.strip() for word in value.split(self.apart)]
        return value if isinstance(value, list | tuple) or value is None else [value]


@dataclass(frozen=True)
class Names:
    """Marks a literal whose names may be spelled in other ways: see :mod:`dryfit.models.reading.spellings`."""

    kind: str

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read other spellings."""
        names = get_args(source)
        return core_schema.no_info_before_validator_function(
            lambda value: meant(self.kind, value, names) if isinstance(value, str) else value, handler(source)
        )


Length = Annotated[float, BeforeValidator(parse_length), WithJsonSchema(ONE_LENGTH)]
PositiveLength = Annotated[float, BeforeValidator(_positive), WithJsonSchema(ONE_LENGTH)]
Coordinate = Annotated[float, BeforeValidator(parse_signed_length), WithJsonSchema(ONE_LENGTH)]
Pair = Annotated[
    tuple[PositiveLength, PositiveLength], BeforeValidator(lambda value: two(value, SIZE)), WithJsonSchema(TWO_LENGTHS)
]
Spot = Annotated[Point, GetPydanticSchema(lambda _, handler: _as_point(handler(tuple[Coordinate, Coordinate])))]
Angle = Annotated[
    float,
    BeforeValidator(_angle),
    WithJsonSchema({"type": ["number", "string"], "minimum": -360, "maximum": 360}),
]
Text = Annotated[str, BeforeValidator(_text), WithJsonSchema({"type": ["string", "number"]})]


class Record(BaseModel):
    """Base of every record read from a file: immutable, and unknown keys are errors."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True, defer_build=True)

    def __hash__(self) -> int:
        """Hash by what can be hashed, once: equal records have equal hashes, and a record can key a cache."""
        kept = self.__dict__.get("_hash")
        if kept is None:
            kept = self.__dict__["_hash"] = hash(tuple(v for v in self.__dict__.values() if not isinstance(v, dict)))
        return int(kept)

    def changed(self, **fields: object) -> Self:
        """Return the record with some fields changed; what is changed is not validated again."""
        new = self.model_copy(update=fields)
        new.__dict__.pop("_hash", None)  # that of the one it was copied from
        return new

    def __getstate__(self) -> dict[Any, Any]:
        """Return what is pickled: another process hashes text in its own way."""
        state = super().__getstate__()
        return {**state, "__dict__": {name: v for name, v in self.__dict__.items() if name != "_hash"}}


# --- outlines as text ---------------------------------------------------------------------------------------------


def _pair(value: object, what: str) -> tuple[float, float]:
    first, second = two(value, f"two lengths, which {what} takes; write [26 mm, 31 mm] or 26 x 31 mm")
    return _positive(first), _positive(second)


def _polygon(value: object, corner: float) -> Outline:
    if not isinstance(value, Sequence) or isinstance(value, str) or not 3 <= len(value) <= MOST_POINTS:
        raise ValueError(f"polygon takes 3 to {MOST_POINTS} points [x, y]")
    if any(not isinstance(p, Sequence) or isinstance(p, str) or len(p) != 2 for p in value):
        raise ValueError("every point of a polygon is a list [x, y]")
    points = tuple((parse_signed_length(p[0]), parse_signed_length(p[1])) for p in value)
    made = outlines.polygon(points, corner)
    if corner:
        _corners_fit(points, corner)
    return made


def _corners_fit(points: Sequence[tuple[float, float]], corner: float) -> None:
    """Refuse a corner radius whose arcs, one from each end, take up more than a side is long."""
    count = len(points)
    sides = [math.dist(points[i - 1], points[i]) for i in range(count)]  # each ends at its point
    turns = [math.acos(_cosine(points[i - 1], points[i], points[(i + 1) % count])) for i in range(count)]
    taken = [corner * math.tan(turn / 2) for turn in turns]
    if any(taken[i - 1] + taken[i] > sides[i] + LEAST_LENGTH for i in range(count)):
        raise ValueError(f"the corner radius {corner:g} mm is larger than the sides of the polygon allow")


def _cosine(before: tuple[float, float], here: tuple[float, float], after: tuple[float, float]) -> float:
    """Return the cosine of the turn from one side to the next, at the point between them."""
    (ax, ay), (bx, by) = (here[0] - before[0], here[1] - before[1]), (after[0] - here[0], after[1] - here[1])
    return max(-1.0, min(1.0, (ax * bx + ay * by) / (math.hypot(ax, ay) * math.hypot(bx, by))))


_SHAPES: dict[str, Callable[[Any, float], Outline]] = {
    "round": lambda value, corner: outlines.round_(_positive(value)),
    "box": lambda value, corner: outlines.box(*_pair(value, "box"), corner),
    "hexagon": lambda value, corner: outlines.hexagon(_positive(value)),
    "d": lambda value, corner: outlines.d_shape(*_pair(value, "d")),
    "slot": lambda value, corner: outlines.slot(*_pair(value, "slot")),
    "polygon": _polygon,
}

SHAPE_KINDS = frozenset(_SHAPES)
"""The keys of which an outline has exactly one."""
SHAPE_KEYS = SHAPE_KINDS | {"corner", "turn", "at"}


def read_outline(value: object) -> Outline:
    """Return the outline that a mapping such as ``{box: [26 mm, 31 mm], corner: 3 mm, at: [0, 1 mm]}`` describes.

    Exactly one of round, box, hexagon, d ([diameter, across the flat]), slot ([length, width]) and polygon; with
    ``corner`` (radius, for box and polygon), ``turn`` (degrees) and ``at`` if wanted.
    """
    if isinstance(value, Outline):
        return value
    if not isinstance(value, Mapping):
        raise ValueError(f"{said(value)} is not an outline; write one of {', '.join(_SHAPES)}, e.g. {{round: 24 mm}}")
    kinds = [key for key in value if key in _SHAPES]
    unknown = [key for key in value if key not in SHAPE_KEYS]
    if len(kinds) != 1 or unknown:
        raise ValueError(
            f"an outline has exactly one of {', '.join(_SHAPES)}, and corner, turn, at; not {unknown or kinds}"
        )
    shape = _SHAPES[kinds[0]](value[kinds[0]], parse_length(value.get("corner", 0)))
    return _put(shape, value.get("turn", 0), value.get("at", (0, 0)))


def _put(shape: Outline, turn: object, at: object) -> Outline:
    x, y = two(at, f"what at takes, {POINT}")
    return shape.turned(_angle(turn)).moved(parse_signed_length(x), parse_signed_length(y))


_SHAPE_SCHEMA = {
    "type": "object",
    "description": "an outline: exactly one of the shapes, with corner, turn and at if wanted",
    "properties": {
        "round": ONE_LENGTH,
        "box": TWO_LENGTHS,
        "hexagon": ONE_LENGTH,
        "d": TWO_LENGTHS,
        "slot": TWO_LENGTHS,
        "polygon": {"type": "array", "items": {"type": "array", "items": ONE_LENGTH}, "minItems": 3},
        "corner": ONE_LENGTH,
        "turn": {"type": "number"},
        "at": TWO_LENGTHS,
    },
    "additionalProperties": False,
}
Shape = Annotated[Outline, BeforeValidator(read_outline), WithJsonSchema(_SHAPE_SCHEMA)]


class Countersink(Record):
    """A conical seat: its diameter at the surface and its full angle."""

    diameter: PositiveLength
    angle: Annotated[float, BeforeValidator(_angle), Field(ge=60, le=120)] = 90.0

    @property
    def depth(self) -> float:
        """Depth of the whole cone, down to its point, mm."""
        return self.diameter / 2 / math.tan(math.radians(self.angle / 2))

    def depth_in(self, hole: float) -> float:
        """Return how deep the cone goes before it meets a hole of that diameter, mm; 0 where the hole is as wide."""
        return max(0.0, self.depth * (1 - hole / self.diameter))

    def across(self, depth: float) -> float:
        """Return the diameter of the cone at a depth below its surface, mm; negative: above it; 0 past its point."""
        return max(0.0, self.diameter - 2 * depth * math.tan(math.radians(self.angle / 2)))

    def coated(self, coating: float) -> Countersink:
        """Return the cone that is left under a coating (mm) on the face and on the cone.

        The coating lies normal to the cone, which takes coating / cos(half angle) from its radius at every level; the
        finished face stands one coating higher, where the cone is coating x tan(half angle) wider. A coating below zero
        gives the cone that was cut, from the one that is left.
        """
        if coating == 0:
            return self
        half = math.radians(self.angle / 2)
        widened = 2 * coating * (math.tan(half) - 1 / math.cos(half))
        return Countersink(diameter=self.diameter + widened, angle=self.angle)
