"""How one hole differs in shape from another that was asked for, wherever it stands. All lengths mm."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Literal

from dryfit.generators.intake.plates.figures import middle, tip
from dryfit.models.geometry.contours import describe
from dryfit.models.geometry.outlines import Corner, Outline
from dryfit.models.geometry.points import Point
from dryfit.models.reading.units import format_mm

Kind = Literal["turned", "size", "shape"]
Off = tuple[Kind, str, float | None, float | None]  # kind, in words, by how much, how much may be
SHARP = 0.05  # mm of radius that no cutter goes below: such a corner is square


def off_shape(wanted: Outline, found: Outline | None, size: float, corner: float, rounding: float) -> Iterator[Off]:
    """Yield how a hole is off in shape, size and turn: sizes by at most ``size``, square corners rounded by ``corner``.

    Sizes lie on both sides of an axis, so that a side may be off by half as much.
    """
    if found is None or _kind(found) != _kind(wanted):
        what = describe(found) if found is not None else "of no plain shape"
        yield "shape", f"is {what}, asked for {describe(wanted)}", None, None
        return
    if wanted.is_circle:
        off = found.size.width - wanted.size.width
        if abs(off) > size + rounding:
            yield "size", _said(found, wanted), off, size
        return
    turn, off = _laid_over(wanted, found)
    reach = max(wanted.size) / 2
    if abs(math.radians(turn)) * reach > size / 2 + rounding:
        yield "turned", f"is turned by {turn:.2f}° from what was asked for", abs(math.radians(turn)) * reach, size / 2
    if off > size / 2 + rounding:
        yield "size", _said(found, wanted), 2 * off, size
    yield from _rounder(wanted, found, size, corner, rounding)


def _said(found: Outline, wanted: Outline) -> str:
    return f"is {describe(found)}, asked for {describe(wanted)}"


def _kind(outline: Outline) -> tuple[bool, bool, int]:
    return outline.is_circle, outline.is_d, len(outline.corners)


def _laid_over(wanted: Outline, found: Outline) -> tuple[float, float]:
    """Return the turn (degrees) that a hole is off, and how far its sides are off then: the least of all ways."""
    ours = [tip(c) - middle(wanted) for c in wanted.corners]
    own = [tip(c) - middle(found) for c in found.corners]
    tries = [_fitted(wanted, ours, found, own, shift) for shift in range(len(own))]
    return min(tries, key=lambda t: (round(t[1], 4), abs(t[0])))


def _fitted(
    wanted: Outline, ours: Sequence[Point], found: Outline, own: Sequence[Point], shift: int
) -> tuple[float, float]:
    order = [*own[shift:], *own[:shift]]
    corners = [*found.corners[shift:], *found.corners[:shift]]
    cross = sum(a.x * b.y - a.y * b.x for a, b in zip(ours, order, strict=True))
    dot = sum(a.x * b.x + a.y * b.y for a, b in zip(ours, order, strict=True))
    turn = math.degrees(math.atan2(cross, dot))
    ways = [b.turned(-turn) - a for a, b in zip(ours, order, strict=True)]
    off = max(max(abs(way.x), abs(way.y)) for way in ways)
    large = [abs(a.radius - b.radius) for a, b in zip(wanted.corners, corners, strict=True) if _turns_half(a)]
    return turn, max([off, *large])


def _turns_half(corner: Corner) -> bool:
    """Whether an arc is a side of its own, as the ends of a slot and the round of a D are."""
    return corner.stop - corner.start >= 150


def _rounder(wanted: Outline, found: Outline, size: float, corner: float, rounding: float) -> Iterator[Off]:
    """Yield corners that are rounder or sharper than asked for."""
    ours = max((c.radius for c in wanted.corners if not _turns_half(c)), default=0.0)
    own = max((c.radius for c in found.corners if not _turns_half(c)), default=0.0)
    most = max(corner, SHARP) if ours == 0 else size
    if abs(own - ours) > most + rounding:
        asked = f"R{ours:.2f}" if ours else f"square, at most R{corner:.2f}" if corner else "square"
        yield "shape", f"has corners of {format_mm(own)} radius, asked for {asked}", own - ours, most
