"""Looks: what the eye knows a part by, apart from the envelope that is checked.

A look takes nothing from the envelope and adds nothing to it: no check reads a look. It says what is drawn in the
envelope's place: the envelope less what is ``cut`` out of it, and what is ``put`` in. All of it lies within the
envelope (a look that does not is refused, or not drawn where it was taken over from another part), so nothing is drawn
where no check has looked.

Everything stands on the axis of its part or plug, at depths that are counted from a level of it: ``face``, the
foremost; ``flange``, the front of the flange, or a plug's shoulder; ``rear``, the rear of the flange; all three count
backwards; and ``end``, the hindmost, which counts forwards. Cuts and pieces have names so that a look that is ``like``
another can put others in their place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Literal

from pydantic import Field, model_validator

from dryfit.models.catalogue.parts import Part, Plug, Section
from dryfit.models.geometry.bodies import Slice, prism
from dryfit.models.geometry.outlines import Outline, clearance, round_
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.reading.errors import Misplaced, UnknownName
from dryfit.models.reading.fields import LEAST_LENGTH, Angle, Length, PositiveLength, Record, Shape, Spot, Text
from dryfit.models.tables.finishes import finish

MOST_CUTS = 16  # of one look
MOST_PIECES = 32
MOST_SPOTS = 128  # of one piece: a D-sub of 50 ways, and room to spare
MOST_BENDS = 24  # corners of a turned profile
LIES_ON = 0.011  # mm a piece may stand out of its envelope: what is written to a hundredth lies on the surface

Level = Literal["face", "flange", "rear", "end"]
Name = Annotated[str, Field(min_length=1, max_length=40)]
Share = Annotated[float, Field(gt=0, le=1, allow_inf_nan=False)]
Count = Annotated[int, Field(ge=1, le=MOST_SPOTS, strict=True)]


class Around(Record):
    """Spots on a circle, what stands there turned with them: the first at an angle, the rest anticlockwise."""

    count: Count
    radius: Length
    first: Angle = 90.0  # degrees from x
    over: Annotated[Angle, Field(gt=0)] = 360.0  # degrees that they are spread over; less than all: both ends taken

    @property
    def spots(self) -> Iterator[Stand]:
        """The spots in their order."""
        steps = self.count if self.over == 360.0 else max(1, self.count - 1)
        for number in range(self.count):
            angle = self.first + number * self.over / steps
            yield Stand(Point(self.radius, 0.0).turned(angle), angle - 90.0)


class Rows(Record):
    """Spots in level rows, the uppermost first, each row centred."""

    counts: Annotated[tuple[Count, ...], Field(min_length=1, max_length=8)]
    pitch: PositiveLength  # within a row
    apart: Length = 0.0  # from row to row

    @property
    def spots(self) -> Iterator[Stand]:
        """The spots row by row."""
        for row, count in enumerate(self.counts):
            y = ((len(self.counts) - 1) / 2 - row) * self.apart
            yield from (Stand(Point((n - (count - 1) / 2) * self.pitch, y)) for n in range(count))


@dataclass(frozen=True)
class Stand:
    """Where one of several stands, and how far it is turned, degrees."""

    at: Point
    turn: float = 0.0


class Figure(Record):
    """An outline at one or more spots: of its own, or that of the envelope drawn in.

    ``inset`` is how far inside the envelope's own outline it runs, ``share`` how large it is beside that.
    """

    outline: Shape | None = None
    inset: Length | None = None
    share: Share | None = None
    at: Annotated[tuple[Spot, ...], Field(min_length=1, max_length=MOST_SPOTS)] = (ORIGIN,)
    around: Around | None = None
    rows: Rows | None = None

    @model_validator(mode="after")
    def _spread(self) -> Figure:
        if self.around is not None and self.rows is not None:
            raise ValueError("it stands either around or in rows")
        if len(self.stands) > MOST_SPOTS:
            raise ValueError(f"{len(self.stands)} spots are more than {MOST_SPOTS}")
        return self

    @property
    def _forms(self) -> int:
        return sum(form is not None for form in (self.outline, self.inset, self.share))

    @property
    def stands(self) -> tuple[Stand, ...]:
        """Every spot."""
        spread = self.around or self.rows
        spots = tuple(spread.spots) if spread is not None else (Stand(ORIGIN),)
        return tuple(Stand(spot.at + Point(*at), spot.turn) for at in self.at for spot in spots)

    def drawn(self, around: Outline) -> Outline:
        """Return its outline, once, within the envelope's."""
        if self.outline is not None:
            return self.outline
        if self.inset is not None:
            return around.grown(-self.inset)
        return _scaled(around, self.share or 1.0)


def _scaled(outline: Outline, share: float) -> Outline:
    """Return an outline at a share of its size, about its centre."""
    x, y = outline.centre
    moved = ((c, c.centre * share + Point(x, y) * (1 - share)) for c in outline.corners)
    return Outline(tuple(c._replace(x=at.x, y=at.y, radius=c.radius * share) for c, at in moved))


class Opening(Figure):
    """A hole through a piece."""

    @model_validator(mode="after")
    def _is_whole(self) -> Opening:
        if self._forms != 1:
            raise ValueError("an opening has one of outline, inset and share")
        return self


class Deep(Figure):
    """A figure from one depth to another."""

    on: Level = "face"
    start: Length = Field(default=0.0, alias="from")
    stop: Length = Field(default=0.0, alias="to")

    def range(self, levels: Levels) -> tuple[float, float]:
        """Return z of its lower and upper end."""
        return levels.between(self.on, self.start, self.stop)

    def _must_run(self) -> None:
        if self.stop - self.start < LEAST_LENGTH:
            raise ValueError(f"it runs on from {self.start:g} mm, not to {self.stop:g} mm")


class Cut(Deep):
    """What is taken out of the envelope between two depths; the whole section where no outline is given."""

    @model_validator(mode="after")
    def _is_whole(self) -> Cut:
        self._must_run()
        if self._forms > 1:
            raise ValueError("it has one of outline, inset and share")
        return self


class Piece(Deep):
    """What is put in: an outline with openings between two depths, or a profile turned about its spot.

    ``turned`` are corners [diameter, depth] of half a section, from the axis or around a bore. ``ribs`` gives a round
    piece a milled edge, ``thread`` its pitch where it is threaded.
    """

    finish: Text
    holes: Annotated[tuple[Opening, ...], Field(max_length=8)] = ()
    turned: Annotated[tuple[tuple[Length, Length], ...], Field(max_length=MOST_BENDS)] = ()
    ribs: Annotated[int, Field(ge=6, le=120, strict=True)] | None = None
    thread: PositiveLength | None = None

    @model_validator(mode="after")
    def _is_whole(self) -> Piece:
        if self._forms + bool(self.turned) != 1:
            raise ValueError("a piece has one of outline, inset, share and turned")
        if not self.turned:
            self._must_run()
        elif len(self.turned) < 3:
            raise ValueError("turned takes at least three corners [diameter, depth]")
        return self

    @model_validator(mode="after")
    def _is_finished(self) -> Piece:
        _known(self.finish)
        return self

    def range(self, levels: Levels) -> tuple[float, float]:
        """Return z of its lower and upper end."""
        depths = [depth for _, depth in self.turned] or [self.start, self.stop]
        return levels.between(self.on, min(depths), max(depths))


def _known(name: str, key: str = "finish") -> None:
    """Raise at the key of a finish that no table has."""
    try:
        finish(name)
    except UnknownName as error:
        raise Misplaced((key,), str(error)) from None


class Look(Record):
    """How a part or plug is drawn: the finish of its envelope (else its metal's), what is cut out, what is put in.

    ``nut`` is the finish of the nut on its bush.
    """

    finish: Text | None = None
    nut: Text = "nickel"
    cut: Annotated[dict[Name, Cut], Field(max_length=MOST_CUTS)] = Field(default_factory=dict)
    put: Annotated[dict[Name, Piece], Field(max_length=MOST_PIECES)] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _is_finished(self) -> Look:
        _known(self.nut, "nut")
        if self.finish is not None:
            _known(self.finish)
        return self


@dataclass(frozen=True)
class Levels:
    """z of the levels that depths are counted from."""

    face: float
    flange: float
    end: float

    def between(self, on: Level, start: float, stop: float) -> tuple[float, float]:
        """Return z between two depths, the lower first."""
        if on == "end":
            return self.end + start, self.end + stop
        level = {"face": self.face, "flange": self.flange, "rear": 0.0}[on]
        return level - stop, level - start

    def at(self, on: Level, depth: float) -> float:
        """Return z of one depth."""
        return self.between(on, depth, depth)[0]


def levels_of(one: Part | Plug) -> Levels:
    """Return the levels of a part, or of a plug, whose flange is its shoulder."""
    thick, ahead, behind = _sections(one)
    face = thick + max((s.stop for s in ahead), default=0.0)
    return Levels(face, thick, -max((s.stop for s in behind), default=0.0))


def _sections(one: Part | Plug) -> tuple[float, Sequence[Section], Sequence[Section]]:
    """Return where its front stands, and what is before and behind."""
    return (one.flange.thick, one.front, one.rear) if isinstance(one, Part) else (0.0, one.body, one.nose)


@cache
def envelope(one: Part | Plug) -> tuple[Slice, ...]:
    """Return the envelope of a part or plug as slices without holes."""
    thick, ahead, behind = _sections(one)
    flange = (prism(one.flange.outline, 0.0, thick),) if isinstance(one, Part) else ()
    return (*flange, *(s.ahead(thick) for s in ahead), *(s.behind(0.0) for s in behind))


def around(slices: Iterable[Slice], z0: float, z1: float) -> Outline:
    """Return the outline of the envelope about the middle of a range; the nearest one where there is none there."""
    middle = (z0 + z1) / 2
    nearest = min(slices, key=lambda s: max(s.z0 - middle, middle - s.z1, 0.0))
    return nearest.profile.at(nearest.share(middle))


def strays(one: Part | Plug, look: Look) -> str | None:
    """Return the name of a piece of the look that stands out of the envelope; None where all of it lies within."""
    slices, levels = envelope(one), levels_of(one)
    return next((name for name, piece in look.put.items() if not _within(piece, slices, levels)), None)


def _within(piece: Piece, slices: Sequence[Slice], levels: Levels) -> bool:
    """Whether a piece lies within the envelope at every level that it fills."""
    if not piece.turned:
        low, high = piece.range(levels)
        once = piece.drawn(around(slices, low, high))
        shapes = (once.turned(s.turn).moved(*s.at) for s in piece.stands)
        return all(_held(lambda z, shape=shape: shape, slices, low, high) for shape in shapes)  # type: ignore[misc]
    corners = [(diameter, levels.at(piece.on, depth)) for diameter, depth in piece.turned]
    sides = zip(corners, [*corners[1:], corners[0]], strict=True)
    return all(_side_held(side, stand, slices) for side in sides for stand in piece.stands)


Corner2 = tuple[float, float]  # diameter and z


def _side_held(side: tuple[Corner2, Corner2], stand: Stand, slices: Sequence[Slice]) -> bool:
    """Whether what one side of a turned profile sweeps lies within the envelope."""
    (at_low, low), (at_high, high) = sorted(side, key=lambda corner: corner[1])
    if high - low < LIES_ON:
        at_low = at_high = max(at_low, at_high)

    def shape(z: float) -> Outline:
        share = (z - low) / (high - low) if high > low else 0.0
        return round_(max(at_low + (at_high - at_low) * share, LEAST_LENGTH)).moved(*stand.at)

    return _held(shape, slices, low, high)


def _held(shape: Callable[[float], Outline], slices: Sequence[Slice], low: float, high: float) -> bool:
    """Whether outlines, each at its level, lie within the envelope from one level to another."""
    if high - low < LIES_ON:
        near = [s for s in slices if s.z0 - LIES_ON <= low and high <= s.z1 + LIES_ON]
        return any(_fits(shape(low), s, low) for s in near)
    across = [(s, max(s.z0, low), min(s.z1, high)) for s in slices if min(s.z1, high) - max(s.z0, low) > LIES_ON]
    filled = sum(to - from_ for _, from_, to in across)
    ends = ((s, z) for s, from_, to in across for z in (from_, to))
    return filled >= high - low - LIES_ON and all(_fits(shape(z), s, z) for s, z in ends)


def _fits(shape: Outline, s: Slice, z: float) -> bool:
    return clearance(shape, s.profile.at(s.share(z))) >= -LIES_ON
