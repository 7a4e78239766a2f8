"""Pictures of what is measured: the ways a part may stand, to choose from, and what was found, over the solid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from dryfit.generators.drawing.marks import Block, Mark, Pen, Picture, Sheet, Stroke, Text, block, circle, frame, line
from dryfit.generators.intake.measuring.outcome import Outcome
from dryfit.generators.intake.measuring.turned import Axis, Turned, Way, turned, ups
from dryfit.generators.intake.reading.shapes import Shapes
from dryfit.generators.looks.scenes import Piece, Scene, Vector, View
from dryfit.generators.writers.offscreen import render
from dryfit.models.geometry.boxes import Box
from dryfit.models.geometry.contours import contour, describe, number
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.reading.errors import DryfitError
from dryfit.models.reading.units import format_mm

WIDE, HIGH, GROUP = 297.0, 210.0, 0.35  # A4 lying, narrow lines
EDGE = 10.0  # mm of white about a sheet
TITLE, LETTERS = 4.0, 2.5  # mm
TILE = 84.0  # mm across a picture of one way to stand
PIXELS = 640  # across such a picture
ASIDE = (0.45, 0.35, 1.0)  # from the right, from above, from the front
GREY = (0.62, 0.64, 0.68)
SAME_CORNER = 5  # decimals of a mm within which corners of neighbouring faces are one


def candidates(shapes: Shapes, ways: Sequence[Axis]) -> Sheet:
    """Return a sheet with the part seen as it would be for each of the ways that its front may look."""
    solids = {front: turned(shapes, Way(front, ups(front)[0])) for front in ways}
    drawn = _drawn({front: _scene(of, ASIDE) for front, of in solids.items()})
    columns = 2 if len(ways) <= 2 else 3
    tiles = [_tile(front, drawn.get(front)) for front in ways]
    placed = [
        tile.at(EDGE + (number % columns) * (TILE + EDGE), HIGH - 2 * EDGE - (number // columns) * (TILE + EDGE))
        for number, tile in enumerate(tiles)
    ]
    head = block(
        "title",
        [
            Text(
                EDGE,
                HIGH - EDGE - TITLE,
                "Which one shows the front? Each is seen from before it, a little from the right and from above.",
                TITLE,
            )
        ],
    )
    return Sheet(WIDE, HIGH, GROUP, (head, *placed), "ways the part may stand")


def _tile(front: Axis, png: bytes | None) -> Block:
    box = Rectangle(0.0, 0.0, TILE, TILE)
    marks: list[Mark] = [frame(box), Text(TILE / 2, 3.0, f"--front {front}", TITLE, "centre", masked=True)]
    if png is not None:
        marks.insert(0, Picture(box, png, f"the part, its front along {front}"))
    return block(f"front {front}", marks)


def _drawn(scenes: dict[str, Scene]) -> Mapping[str, bytes]:
    """Return scenes as pictures; none where this machine cannot draw: the lines tell enough without them."""
    try:
        return render(scenes.items())
    except DryfitError:
        return {}


def _scene(of: Turned, towards: Vector, focus: Box | None = None) -> Scene:
    return Scene(View(towards, focus, (PIXELS, PIXELS)), (_piece(of),))


def _piece(of: Turned) -> Piece:
    """Return the skin as one piece: corners that faces share are one, so that edges between them are drawn."""
    corners, which = np.unique(of.corners.round(SAME_CORNER), axis=0, return_inverse=True)
    return Piece(corners, which.reshape(-1)[of.triangles], GREY)


# --- what was found --------------------------------------------------------------------------------------------------

VIEW = 92.0  # mm that each of the three views may take up across
ROW = 4.4  # mm from one line of the list to the next
SHOWN = 26  # layers listed; further ones are in the part file
AROUND = 1.08  # times the extent of the part that a view shows
FROM_THE_LEFT = (-1.0, 0.0, 0.0)
FROM_THE_FRONT = (0.0, 0.0, 1.0)


def findings(made: Outcome) -> Sheet:
    """Return a sheet with the solid, and over it from the front and from the left the sections that hold it."""
    about, of = _cube(made.of), made.of
    drawn = _drawn(
        {
            "solid": _scene(of, ASIDE),
            "front": _scene(of, FROM_THE_FRONT, about),
            "left": _scene(of, FROM_THE_LEFT, about),
        }
    )
    scale = VIEW / (about.y1 - about.y0)
    blocks = [
        _title(made),
        _view("seen from the front", drawn.get("front"), _from_front(made, about, scale)).at(EDGE, HIGH - 24.0),
        _view("seen from the left", drawn.get("left"), _from_left(made, about, scale)).at(
            EDGE + VIEW + 3.0, HIGH - 24.0
        ),
        _view("the solid", drawn.get("solid"), []).at(EDGE + 2 * (VIEW + 3.0), HIGH - 24.0),
        block("list", _list(made)),
    ]
    return Sheet(WIDE, HIGH, GROUP, tuple(blocks), f"{made.name}, measured")


def _cube(of: Turned) -> Box:
    """Return a cube about the solid that all views show."""
    low, high = of.corners.min(axis=0), of.corners.max(axis=0)
    middle, reach = (low + high) / 2, float((high - low).max()) / 2 * AROUND
    return Box(*(float(v - reach) for v in middle), *(float(v + reach) for v in middle))


def _title(made: Outcome) -> Block:
    way = made.standing.way
    lines = [
        Text(EDGE, HIGH - EDGE - TITLE, f"{made.name}, measured from {made.file}", TITLE),
        Text(
            EDGE,
            HIGH - EDGE - TITLE - 5.0,
            f"front {way.front} of the file ({made.standing.why}), up {way.up}",
            LETTERS,
        ),
    ]
    return block("title", lines)


def _view(name: str, png: bytes | None, marks: list[Mark]) -> Block:
    """Return one view in its square, the lines over the picture."""
    square = Rectangle(0.0, 0.0, VIEW, VIEW)
    under: list[Mark] = [Picture(square, png, name)] if png is not None else []
    return block(name, [*under, frame(square), *marks, Text(2.0, 2.0, name, LETTERS, masked=True)])


def _from_front(made: Outcome, about: Box, scale: float) -> list[Mark]:
    """Return the outlines of all layers from the front, the flange wide, what is behind it dashed; holes; the axis."""
    dx, dy, found = -about.x0 * scale, -about.y0 * scale, made.found
    shown = [*((layer, Pen.HIDDEN) for layer in found.rear), *((layer, Pen.THIN) for layer in found.front)]
    marks: list[Mark] = [
        Stroke(contour(layer.outline).scaled(scale).moved(dx, dy), pen)
        for layer, pen in (*shown, (found.flange, Pen.OUTLINE))
    ]
    if found.fixings is not None:
        marks += [circle(x * scale + dx, y * scale + dy, found.fixings.hole / 2 * scale) for x, y in found.fixings.at]
    cross = 3.0
    marks += [line((dx - cross, dy), (dx + cross, dy)), line((dx, dy - cross), (dx, dy + cross))]
    return marks


def _from_left(made: Outcome, about: Box, scale: float) -> list[Mark]:
    """Return every layer as what it takes up seen from the left, the front to the right, each with its number."""
    marks: list[Mark] = []
    for count, layer in enumerate(reversed(made.found.layers), 1):
        box = layer.hull.box
        place = Rectangle(
            (layer.low - about.z0) * scale, (box.bottom - about.y0) * scale,
            (layer.high - about.z0) * scale, (box.top - about.y0) * scale,
        )  # fmt: skip
        marks.append(frame(place, Pen.THIN))
        if layer.height * scale > LETTERS and count <= SHOWN:
            marks.append(Text(place.centre.x, place.top + 1.0, str(count), LETTERS, "centre", masked=True))
    return marks


def _list(made: Outcome) -> Iterator[Mark]:
    """Yield a list of the layers by their numbers, of the fixing holes and of what was not recognised."""
    y = HIGH - 24.0 - VIEW - 8.0
    lines = [*_layers(made), *_held(made), *(f"not recognised: {note}" for note in made.found.notes)]
    for number_, text in enumerate(lines):
        column, row = divmod(number_, 16)
        yield Text(EDGE + column * 140.0, y - row * ROW, text, LETTERS)


def _layers(made: Outcome) -> Iterator[str]:
    thick = made.found.thick
    for count, layer in enumerate(reversed(made.found.layers), 1):
        if count > SHOWN:
            yield f"and {len(made.found.layers) - SHOWN} more layers"
            return
        what = "flange" if layer.low < thick / 2 < layer.high else "front" if layer.low >= thick / 2 else "rear"
        shape = describe(layer.outline) if layer.cone is None else f"cone ⌀{layer.cone[1]:g} to ⌀{layer.cone[0]:g}"
        yield f"{count}  {what}: {shape}, from z {number(layer.low)} to {number(layer.high)}"


def _held(made: Outcome) -> Iterator[str]:
    fixings, cutout = made.found.fixings, made.found.cutout.shape.outline
    if fixings is not None:
        sunk = f", sunk {format_mm(fixings.sink[0])}, {fixings.sink[1]:g}°" if fixings.sink else ""
        blind = f", blind, {format_mm(fixings.boss.depth)} deep" if fixings.boss else ""
        at = ", ".join(f"({number(x, 3)}, {number(y, 3)})" for x, y in fixings.at)
        yield f"{len(fixings.at)} fixing holes of {format_mm(fixings.hole)}{sunk}{blind} at {at}"
    else:
        yield "no fixing holes recognised"
    yield f"cut-out suggested: {describe(cutout)}"
