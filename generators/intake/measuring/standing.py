"""How a part stands in its file: which way its front looks and which way is up, as far as its shape tells."""

from __future__ import annotations

from dataclasses import dataclass

from dryfit.generators.intake.measuring.bores import bores
from dryfit.generators.intake.measuring.layers import layers
from dryfit.generators.intake.measuring.measured import FEWEST_FIXINGS, REACHES, WIDEST_FIXING, alike, widest
from dryfit.generators.intake.measuring.turned import AXES, Axis, Way, turned, ups
from dryfit.generators.intake.reading.shapes import Shapes
from dryfit.models.reading.errors import DryfitError

LESS_AIR = 1.005  # times the next best: along its own axis the layers of a part hold it closest
FEW_LEVELS = 48  # are enough to compare axes by
LONGER = 1.5  # times: with fixing holes in its flange, what stands behind it is the longer side of a connector
OPPOSITE: dict[Axis, Axis] = {"+x": "-x", "-x": "+x", "+y": "-y", "-y": "+y", "+z": "-z", "-z": "+z"}


@dataclass(frozen=True)
class Standing:
    """The way a part stands, and in words what spoke for it."""

    way: Way
    why: str


class Unclear(DryfitError):
    """The shape does not tell which way the front looks: the ways it may, and why."""

    def __init__(self, ways: tuple[Axis, ...], why: str):
        self.ways = ways
        self.why = why
        super().__init__(ways, why)

    def __str__(self) -> str:
        return f"{self.why}; say which way its front looks: --front {' or '.join(self.ways)}"


def standing(shapes: Shapes, front: Axis | None = None, up: Axis | None = None) -> Standing:
    """Return how a part stands; what is given is taken as it is.

    Raises:
        Unclear: if the front is not given and the shape does not tell.
    """
    why = "as given"
    if front is None:
        front, why = _front(shapes, _axis(shapes))
    if up is not None and up[1] == front[1]:
        raise DryfitError(f"--up {up} lies along the front, {front}; expected one of {', '.join(ups(front))}")
    return Standing(Way(front, up or ups(front)[0]), why)


def _axis(shapes: Shapes) -> Axis:
    """Return the axis along which layers hold the part with the least air, in its positive sense."""
    air: list[tuple[float, Axis]] = []
    for axis in ("+x", "+y", "+z"):
        found = layers(turned(shapes, Way(axis, ups(axis)[0])), FEW_LEVELS)
        air.append((sum(layer.hull.area * layer.height for layer in found), axis))
    (least, best), (second, next_best), _ = sorted(air)
    if second >= least * LESS_AIR:
        return best
    drilled = _by_bores(shapes, best, next_best)
    if drilled is None:
        raise Unclear(AXES, "the part looks much the same along several axes")
    return drilled


def _by_bores(shapes: Shapes, *axes: Axis) -> Axis | None:
    """Return the one of some axes along which there are round holes, if it is one alone."""
    drilled = [axis for axis in axes if bores(turned(shapes, Way(axis, ups(axis)[0])))]
    return drilled[0] if len(drilled) == 1 else None


def _front(shapes: Shapes, axis: Axis) -> tuple[Axis, str]:
    """Return which end of the axis is the front: where holes are sunk, else away from the longer body.

    A part without fixing holes may have a neck, a lever or a knob longer than all that is behind: it is asked for.
    """
    of = turned(shapes, Way(axis, ups(axis)[0]))
    found = layers(of)
    flange = widest(found)
    holes = [b for b in bores(of) if b.low < flange.high and b.high > flange.low and b.diameter <= WIDEST_FIXING]
    sunk = [(b.within(flange.low, flange.high), end) for b in holes for end in (True, False)]
    sides = {end for bore, end in sunk if bore is not None and bore.sink(end) is not None}
    if len(sides) == 1:
        return (axis if True in sides else OPPOSITE[axis]), "its fixing holes are sunk there"
    if len(alike(holes)) < FEWEST_FIXINGS:
        raise Unclear((axis, OPPOSITE[axis]), "no fixing holes tell its front from its rear")
    return _by_length(axis, found[-1].high - flange.high, flange.low - found[0].low)


def _by_length(axis: Axis, ahead: float, behind: float) -> tuple[Axis, str]:
    """Return the end of the axis that is the front of a part that reaches so far beyond its flange, mm, either way."""
    if ahead < REACHES and behind < REACHES:
        return axis, "both its faces are alike"
    short, long = sorted((ahead, behind))
    if long < short * LONGER:
        raise Unclear((axis, OPPOSITE[axis]), f"the part reaches {ahead:.1f} and {behind:.1f} mm beyond its flange")
    return (axis if behind > ahead else OPPOSITE[axis]), "away from its longer body"
