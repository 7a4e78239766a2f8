"""How a plate from a file lies over the panel that was asked for: turned, mirrored, drawn to another scale, shifted.

The plate is laid down by its lower left corner, as it is measured; where far more of its holes meet those of the panel
another way, it lies that way, and this is the first difference. All lengths mm, panel axes.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from dryfit.generators.intake.plates.figures import outline_of
from dryfit.generators.intake.plates.near import Near
from dryfit.generators.intake.plates.plate import Opening, Plate
from dryfit.models.geometry.contours import Circle, Contour, Curve
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.geometry.rectangles import Rectangle

MET = 3.0  # mm that a hole may stand off and still be met: no shop is further off, and fixing holes are further apart
CLOSE = 0.3  # mm: as near as shops are
MET_SIZE = 0.35  # share of its size that it may be larger or smaller
SCALES = (1.0, 25.4, 1 / 25.4, 10.0, 0.1)  # inches taken for mm and the other way, centimetres likewise
SAME_SCALE = 0.15  # share of its size that a panel may be larger or smaller and still be of one scale
BETTER = 1.2  # times as many holes as the plain way that another way must meet
LEAST_TOGETHER = 3  # holes that may stand off together: fewer are told each by itself
TURNS = (0.0, 180.0, 90.0, 270.0)
MOST_ANCHORS = 24  # holes tried as the ones that meet, where there is no outline or its corner is wrong


@dataclass(frozen=True)
class Pose:
    """What is done to a plate: scaled, mirrored left to right, turned (degrees), then shifted."""

    scale: float = 1.0
    mirrored: bool = False
    turn: float = 0.0
    shift: Point = ORIGIN

    def of(self, plate: Plate) -> Plate:
        """Return the plate so laid."""
        openings = tuple(_opening(opening, self) for opening in plate.openings)
        contour = None if plate.contour is None else _laid(plate.contour, self)
        return replace(plate, contour=contour, openings=openings)


def behind(plate: Plate) -> Plate:
    """Return a plate as it is seen from behind."""
    seen = Pose(mirrored=True).of(plate)
    openings = tuple(o if o.sink is None else replace(o, sink=o.sink.behind()) for o in seen.openings)
    return replace(seen, openings=openings)


def best_pose(plate: Plate, wanted: Sequence[Outline], blank: Rectangle) -> Pose:
    """Return how a plate lies over wanted holes; ``blank`` is the box of the outline that is wanted."""
    plain = _laid_down(plate, Pose(_scale(plate, blank)), blank)
    tries = [plain, *_ways(plate, plain.scale, wanted, blank)]
    scores = [_score(pose.of(plate), wanted) for pose in tries]
    best = max(range(len(tries)), key=lambda n: (scores[n], -n))
    return tries[best] if scores[best] >= max(scores[0] + 1, BETTER * scores[0]) else plain


def _score(plate: Plate, wanted: Sequence[Outline]) -> int:
    """Return how many holes are met, those closely met twice: all may stand off together."""
    return sum(met(Near(enumerate(plate.openings), reach), wanted) for reach in (MET, CLOSE))


def _ways(plate: Plate, scale: float, wanted: Sequence[Outline], blank: Rectangle) -> Iterator[Pose]:
    for mirrored, turn in itertools.product((False, True), TURNS):
        there = _laid_down(plate, Pose(scale, mirrored, turn), blank)
        yield there
        if len(wanted) >= LEAST_TOGETHER or plate.contour is None:
            yield _by_holes(plate, there, wanted)


def _scale(plate: Plate, blank: Rectangle) -> float:
    """Return the scale at which the plate is about as large as the panel; 1 where none is."""
    own, ours = sorted(plate.box.size), sorted(blank.size)
    if plate.contour is None:
        return 1.0
    fitting = (s for s in SCALES if all(abs(a * s - b) <= SAME_SCALE * b for a, b in zip(own, ours, strict=True)))
    return next(fitting, 1.0)


def _laid_down(plate: Plate, pose: Pose, blank: Rectangle) -> Pose:
    """Return the pose with the plate's lower left corner on that of the panel; without an outline, centre on centre."""
    box = replace(pose, shift=ORIGIN).of(plate).box
    by = blank.corner - box.corner if plate.contour is not None else blank.centre - box.centre
    return replace(pose, shift=by)


def _by_holes(plate: Plate, pose: Pose, wanted: Sequence[Outline]) -> Pose:
    """Return the pose shifted so that most holes meet: the largest are tried on the largest."""
    openings = sorted(pose.of(plate).openings, key=lambda o: -max(o.box.size))[:MOST_ANCHORS]
    largest = sorted(wanted, key=lambda o: -max(o.size))[:MOST_ANCHORS]
    shifts = {
        Point(*(round(v, 2) for v in outline.centre - opening.centre))
        for outline, opening in itertools.product(largest, openings)
        if _alike(outline, opening)
    }
    there = Near(enumerate(pose.of(plate).openings), MET)
    scored = [(met(there, wanted, by), -by.length, by) for by in shifts]
    return replace(pose, shift=pose.shift + max(scored)[2]) if scored else pose


def met(there: Near, wanted: Sequence[Outline], by: Point = ORIGIN) -> int:
    """Return how many wanted holes an opening meets that is shifted."""
    return sum(any(_alike(o, opening) for _, opening in there.about(o.centre - by)) for o in wanted)


def _alike(outline: Outline, opening: Opening) -> bool:
    return all(abs(a - b) <= MET_SIZE * b for a, b in zip(opening.box.size, outline.size, strict=True))


# --- laid ------------------------------------------------------------------------------------------------------------


def _opening(opening: Opening, pose: Pose) -> Opening:
    contour = _laid(opening.contour, pose)
    sink = opening.sink
    if sink is not None:
        sink = replace(sink, diameter=sink.diameter * pose.scale)
    return Opening(contour, _outline(opening.outline, contour, pose), sink)


def _outline(outline: Outline | None, contour: Contour, pose: Pose) -> Outline | None:
    if outline is None or pose.scale != 1.0:
        return outline_of(contour)
    return (outline.mirrored() if pose.mirrored else outline).turned(pose.turn).moved(*pose.shift)


def _laid(shape: Contour, pose: Pose) -> Contour:
    scaled = shape.scaled(pose.scale) if pose.scale != 1.0 else shape
    return turned(_mirrored(scaled) if pose.mirrored else scaled, pose.turn).moved(*pose.shift)


def _mirrored(shape: Contour) -> Contour:
    """Return a closed contour mirrored left to right, anticlockwise again."""
    if isinstance(shape, Circle):
        return shape.mirrored()
    ends = [(end, bulge) for _, end, bulge in shape.mirrored().segments()]
    return Curve(tuple((*end, -bulge) for end, bulge in reversed(ends)))


def turned(shape: Contour, degrees: float) -> Contour:
    """Return a contour turned about the origin."""
    if isinstance(shape, Circle):
        return Circle(*Point(shape.x, shape.y).turned(degrees), shape.radius)
    return replace(shape, vertices=tuple((*Point(x, y).turned(degrees), bulge) for x, y, bulge in shape.vertices))
