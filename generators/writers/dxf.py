"""DXF of the blank for cutting: R2010, millimetres, 1:1, one layer per operation.

The origin is the lower left corner of the finished panel (with lips, the blank reaches below it); x right, y up, seen
from the front. Every contour is one CIRCLE or one closed LWPOLYLINE with true arcs. Holes have their size before
coating. The cut geometry is bare: no dimensions, only a few lines of text well below the part on the layer ``notes``.
A panel that fails says so above the part, on a layer of its own; contours that cross are in no file.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from dryfit.generators.bodies.blank import Blank, blank
from dryfit.generators.bodies.crossings import refuse_crossings
from dryfit.generators.lettering.legends import by_colour, clear_legends, left_out
from dryfit.generators.lettering.strokes import strokes, unstroked
from dryfit.generators.lists.failing import HEADLINE, Fails, reasons
from dryfit.generators.lists.holes import GIVEN_FINISHED, Lettered, hole_chart, lettered_holes
from dryfit.generators.writers.borrowed import attributes
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import write_whole
from dryfit.models.geometry.contours import Circle, Contour, contour, dimension, number
from dryfit.models.job import Job
from dryfit.models.reading.errors import printable

LAYERS = {  # name: colour index (1 red, 2 yellow, 3 green, 4 cyan, 5 blue, 6 magenta, 7 black or white)
    "outline": 7,
    "cut": 1,
    "countersink front": 3,
    "countersink rear": 4,
    "bend": 2,
    "engrave": 5,
    "engrave strokes": 5,
    "notes": 6,
}

STROKES = "engrave strokes"  # beside the outlines: switched off, so that nothing is engraved twice
FAILS_LAYER = "not for manufacture"  # only in the file of a panel that fails
BEND_LINE = "BEND"  # the line type of bend lines
DASHES = (9.0, 6.0, -3.0)  # mm: all of one dash and its gap, the dash, the gap
ORIGIN = "lower left corner of the panel's front face, as in drawing and STEP files"
NOTE_HEIGHT = 3.5  # mm
NOTE_SPACING = 6.0  # mm from line to line
NOTE_GAP = 25.0  # mm between the blank and the first note: far enough to be cropped without thought


@file_kind("dxf", "panel.dxf", "The cut file, 1:1 in mm: one layer per operation.")
def _write(order: Order, path: Path) -> None:
    write_whole(path, dxf_bytes(order.report.job, order.fails))


def dxf_bytes(job: Job, fails: Fails = ()) -> bytes:
    """Return the cutting file; the same job gives the same bytes. What ``fails`` is told above the part.

    Raises:
        DryfitError: if contours cross.
    """
    from ezdxf._options import options  # re-exported by ezdxf, but not for type checkers

    refuse_crossings(job.panel, job.holes())
    stream = io.StringIO()
    with attributes(options, write_fixed_meta_data_for_testing=True):  # else times and random ids get in
        document = _document(job, fails)
        document.classes.add_required_classes(document.dxfversion)  # from a set: in another order in every process
        document.classes.classes = dict(sorted(document.classes.classes.items()))
        document.write(stream)
    return stream.getvalue().encode("utf-8")


def _document(job: Job, fails: Fails) -> Any:
    from ezdxf.filemanagement import new

    doc = new("R2010", setup=False, units=4)  # 4: millimetres
    doc.header["$MEASUREMENT"] = 1
    for name, colour in LAYERS.items():
        doc.layers.add(name, color=colour)
    doc.layers.get(STROKES).off()
    if fails:
        doc.layers.add(FAILS_LAYER, color=LAYERS["cut"])
    space, flat = doc.modelspace(), blank(job.panel)
    if flat.bends:
        doc.linetypes.add(BEND_LINE, DASHES, description="bend lines, dashed")
    dx, dy = job.panel.datum * -1.0
    for layer, shape in _contours(job, flat):
        _add(space, layer, shape.moved(dx, dy))
    for (x0, y0), (x1, y1) in flat.bends:
        ends = ((x0 + dx, y0 + dy), (x1 + dx, y1 + dy))
        space.add_line(*ends, dxfattribs={"layer": "bend", "linetype": BEND_LINE})
    for legend in clear_legends(job):
        for loop in legend.loops:
            points = [(x + dx, y + dy) for x, y in loop]
            space.add_lwpolyline(points, format="xy", close=True, dxfattribs={"layer": "engrave"})
        for chain in strokes(legend):
            ring = len(chain) > 2 and chain[0] == chain[-1]
            points = [(x + dx, y + dy) for x, y in (chain[:-1] if ring else chain)]
            space.add_lwpolyline(points, format="xy", close=ring, dxfattribs={"layer": STROKES})
    _write_lines(space, "notes", tuple(notes(job, flat)), dy + flat.contour.box.bottom - NOTE_GAP)
    told = (HEADLINE, *reasons(fails)) if fails else ()
    _write_lines(space, FAILS_LAYER, told, dy + flat.contour.box.top + NOTE_GAP + (len(told) - 1) * NOTE_SPACING)
    return doc


def _write_lines(space: Any, layer: str, lines: Sequence[str], top: float) -> None:
    """Write lines of text one below the other, the first with its base line at ``top``."""
    for n, text in enumerate(lines):
        style = {"layer": layer, "height": NOTE_HEIGHT, "insert": (0.0, top - n * NOTE_SPACING)}
        space.add_text(escape(text), dxfattribs=style)


def _contours(job: Job, flat: Blank) -> Iterator[tuple[str, Contour]]:
    """Yield layer and contour, each once: the blank, the holes, the countersinks."""
    yield "outline", flat.contour
    for item in lettered_holes(job):
        yield "cut", contour(item.hole.outline)
        yield from _sink(item)


def _sink(item: Lettered) -> Iterator[tuple[str, Contour]]:
    hole = item.hole
    if hole.countersink is not None:
        yield f"countersink {hole.sunk_from}", Circle(*item.at, hole.countersink.diameter / 2)


def _add(space: Any, layer: str, shape: Contour) -> None:
    attributes = {"layer": layer}
    if isinstance(shape, Circle):
        space.add_circle((shape.x, shape.y), shape.radius, dxfattribs=attributes)
    else:
        space.add_lwpolyline(shape.vertices, format="xyb", close=shape.closed, dxfattribs=attributes)


def notes(job: Job, flat: Blank) -> Iterator[str]:
    """Yield what the shop must know that the geometry does not say."""
    panel = job.panel
    yield f"{job.title}" + (f", revision {job.revision}" if job.revision else "")
    yield f"Material: {panel.material.name}, {dimension(panel.thickness)} mm thick. Scale 1:1, units mm."
    yield f"Blank {number(flat.width)} x {number(flat.height)} mm. Origin: {ORIGIN}."
    yield "Contours are nominal size: no kerf allowed for. Kerf compensation is left to the shop."
    if panel.coating and panel.holes_finished:
        yield f"{GIVEN_FINISHED}; they are drawn as they were cut."
    elif panel.coating:
        yield f"Holes are drawn before coating; coating {number(panel.coating * 1000)} um on every surface."
    if flat.bends:
        yield (
            f"Bend lines are the middle of the bend: 90 deg away from the viewer, inside radius "
            f"{number(panel.bend_radius)} mm, K-factor {number(flat.k, 3)} ({flat.basis}), bend allowance "
            f"{number(flat.allowance, 3)} mm each. Set the blank by the shop's own K-factor if it differs."
        )
    for row in hole_chart(job):
        if row.countersink is not None:
            sink = f"{number(row.countersink.diameter)} mm x {number(row.countersink.angle)} deg"
            yield f"Countersink {row.letter}: {row.count} holes, {sink}, from the {row.sunk_from}."
    if clear_legends(job):
        yield "Layer engrave: closed outlines of letters, on the front face."
        yield f"Layer {STROKES}, switched off: the same as single strokes. Use one of the two."
        told = [legend.text for legend in clear_legends(job) if unstroked(legend.text)]
        if told:
            yield f"No single strokes for signs of: {', '.join(dict.fromkeys(told))}."
        yield from (f"Legends in {asked}: {', '.join(texts)}." for asked, texts in by_colour(job).items() if asked)
    if left_out(job):
        yield f"No room for these legends, so they are not engraved: {', '.join(left_out(job))}."


def escape(text: str) -> str:
    """Return text that a reader shows as it is: percent pairs, backslashes and carets are control codes in DXF."""
    plain = printable(text).replace("\\", "\\U+005C").replace("^", "^ ")
    return plain.replace("%", "%%%") if "%%" in plain else plain
