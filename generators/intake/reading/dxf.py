"""DXF drawings as plain lines and arcs, whoever wrote them: entities of the model space, blocks opened, all bounded.

The file is a stranger's: how large it is, how deep its blocks are nested, how many entities come out of them and how
far its numbers reach are limited, and what goes over a limit is told in one line. Ellipses and splines become chords;
:mod:`dryfit.generators.intake.plates.rings` finds the arcs in them again.
"""

from __future__ import annotations

import io
import math
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from pydantic import TypeAdapter

from dryfit.generators.intake.reading.bounds import limit, refuse
from dryfit.generators.intake.reading.child import in_child
from dryfit.generators.intake.reading.drawn import Drawn, Piece
from dryfit.models.geometry.contours import Circle, Contour, Curve, Vertex
from dryfit.models.reading.errors import Fault, InputError, display_path
from dryfit.models.reading.textfile import read_bytes
from dryfit.models.tables.drawings import meanings

LARGEST_FILE = 20_000_000  # bytes; a panel with engraved letters has one or two million
LONGEST = 120  # seconds; a file of the largest size is read in a third of it
MOST_MEMORY = 2_000_000_000  # bytes of addresses
LARGEST_ANSWER = 200_000_000  # bytes of plain data
MOST_ENTITIES = 100_000  # with those of blocks, each as often as it is inserted; a panel has some thousands
MOST_RECORDS = 2 * MOST_ENTITIES  # of the file: entities, their parts, tables and blocks
MOST_VERTICES = 400_000  # of all of them together
MOST_CONTROL = 1_000  # points of one spline; a circle has nine, a letter some dozens
DEEPEST = 8  # blocks within blocks; drawings have two or three
FURTHEST = 1e6  # units from the origin: double precision leaves a reader in inches a thousandth of a mm up to there
CHORD = 0.0005  # units that a chord may stray from an ellipse or a spline; its ends lie on them
FLAT = 0.01  # units that the ends of what is flat may differ in height
FULL_TURN = 360.0
SAME = 1e-9  # of angles in degrees and of shares: what is computed misses a whole number by rounding
SENTINEL = b"AutoCAD Binary DXF"  # how the other form of the format begins (DXF reference)

Shapes = Iterator[Contour]


class RefusedError(Exception):
    """What is wrong with a drawing that is not taken."""


_ANSWER = TypeAdapter(Drawn)


def read_dxf(path: Path, seconds: float = LONGEST, memory: int = MOST_MEMORY) -> Drawn:
    """Return what a DXF file draws, read in a process of its own that is bounded in time (s) and memory (bytes).

    Raises:
        InputError: in one line, if it is no DXF file, is not whole, or goes over a bound.
    """
    data = read_bytes(path, "DXF file", LARGEST_FILE)
    with TemporaryDirectory(prefix="dryfit-") as folder:
        copy, answer = Path(folder) / "drawing.dxf", Path(folder) / "answer.json"
        copy.write_bytes(data)
        code = "from dryfit.generators.intake.reading.dxf import main; main()"
        said = in_child(code, (str(copy), str(answer)), seconds, memory)
        if said:
            raise InputError([Fault(display_path(path), None, said, "a whole DXF file of a flat panel")])
        return _ANSWER.validate_json(answer.read_bytes())


def main() -> None:
    """Read the file named first into the file named second, within memory (bytes) and time (s): the child's work."""
    path, answer, memory, seconds = sys.argv[1:]
    limit(int(memory), int(seconds), LARGEST_ANSWER)
    try:
        drawn = drawing(Path(path).read_bytes())
    except RefusedError as error:
        refuse(str(error))
    except RecursionError:
        refuse("is nested too deep to be read")
    Path(answer).write_bytes(_ANSWER.dump_json(drawn))


def drawing(data: bytes) -> Drawn:
    """Return what a DXF file of these bytes draws, with no limits but those of counts."""
    return _Reader(_document(data)).drawn()


def _document(data: bytes) -> Any:
    """Return the document of a file's bytes; what is cut off is refused, as holes would be missing from it."""
    from ezdxf.document import Drawing
    from ezdxf.lldxf.tagger import binary_tags_loader

    binary = data.startswith(SENTINEL)
    if not data.rstrip(b"\x00 \r\n\t\x1a").endswith(b"EOF"):
        raise RefusedError("has no end: it is cut off, or is no DXF file")
    if not binary:
        _judge_counts(data)
    try:
        return Drawing.load(binary_tags_loader(data)) if binary else Drawing.read(_text(data))
    except Exception as error:  # a stranger's bytes can go wrong anywhere in the library
        why = " ".join(str(error).split())[:120] or type(error).__name__
        raise RefusedError(f"cannot be read as DXF: {why}") from None


def _judge_counts(data: bytes) -> None:
    """Refuse a file of far too many records or points before it is parsed, which takes long: by its group codes."""
    codes = Counter(code.strip() for code in data.split(b"\n")[::2])  # every other line is one; the format's rule
    if codes[b"0"] > MOST_RECORDS:
        raise RefusedError(f"holds more than {MOST_RECORDS} records")
    if codes[b"10"] > MOST_VERTICES + MOST_RECORDS:
        raise RefusedError(f"draws with more than {MOST_VERTICES} points")


def _text(data: bytes) -> io.StringIO:
    """Return the file as text: UTF-8 from release 2007 on, before that in the code page its header names."""
    from ezdxf.filemanagement import dxf_stream_info

    plain = data.replace(b"\r\n", b"\n")
    head = io.StringIO(plain.decode("utf-8", errors="ignore"))
    return io.StringIO(plain.decode(dxf_stream_info(head).encoding, errors="surrogateescape"))


class _Reader:
    """Walks over the entities of one document, and counts as it goes."""

    def __init__(self, document: Any):
        self.document = document
        self.pieces: list[Piece] = []
        self.left_out: Counter[str] = Counter()
        self.entities = 0
        self.vertices = 0

    def drawn(self) -> Drawn:
        """Return all that is drawn."""
        self._take(self.document.modelspace(), "0", 0)
        return Drawn(tuple(self.pieces), int(self.document.header.get("$INSUNITS", 0)), dict(self.left_out))

    def _take(self, entities: Iterable[Any], parent: str, depth: int) -> None:
        """Take entities; what a block draws on layer 0 is on the layer of its insert (the format's rule)."""
        for entity in entities:
            self.entities += 1
            if self.entities > MOST_ENTITIES:
                raise RefusedError(f"draws more than {MOST_ENTITIES} entities, those of blocks counted")
            layer = _named(entity, "layer", "0")
            layer = parent if layer == "0" else layer
            why = self._not_metal(entity, layer)
            if why:
                self.left_out[why] += 1
            elif entity.dxftype() == "INSERT":
                self._open(entity, layer, depth)
            else:
                self._add(entity, layer)

    def _open(self, insert: Any, layer: str, depth: int) -> None:
        if depth == DEEPEST:
            raise RefusedError(f"has blocks nested more than {DEEPEST} deep, or within themselves")
        if insert.mcount > MOST_ENTITIES:
            raise RefusedError(f"inserts a block more than {MOST_ENTITIES} times")
        for one in insert.multi_insert() if insert.mcount > 1 else (insert,):
            self._take(_quietly(one.virtual_entities), layer, depth + 1)

    def _add(self, entity: Any, layer: str) -> None:
        reader = READERS.get(entity.dxftype())
        shapes = list(_quietly(lambda: reader(entity))) if reader is not None else []
        if not shapes:
            self.left_out[entity.dxftype().lower().replace("_", " ")] += 1
        for shape in shapes:
            self.vertices += 1 if isinstance(shape, Circle) else len(shape.vertices)
            if self.vertices > MOST_VERTICES:
                raise RefusedError(f"draws with more than {MOST_VERTICES} points")
            _check_numbers(shape)
            self.pieces.append(Piece(layer, shape))

    def _not_metal(self, entity: Any, layer: str) -> str:
        """Return what an entity is by its layer and line type, where that is no metal; empty where it may be cut."""
        found = self.document.layers.get(layer) if self.document.layers.has_entry(layer) else None
        if found is not None and (found.is_off() or found.is_frozen()):
            return f"hidden layer {layer}"
        kind = _named(entity, "linetype", "BYLAYER")
        if kind.upper() == "BYLAYER":
            kind = found.dxf.linetype if found is not None else "CONTINUOUS"
        if "no metal" in meanings(layer):
            return f"layer {layer}"
        return f"line type {kind}" if "no metal" in meanings(kind) else ""


def _named(entity: Any, name: str, usual: str) -> str:
    """Return the layer or line type of an entity; the usual one of kinds that the library does not know."""
    return str(entity.dxf.get(name, usual)) if entity.dxf.is_supported(name) else usual


def _quietly(work: Callable[[], Iterable[Any]]) -> Iterator[Any]:
    """Yield what the library makes of an entity; what it stumbles over is no drawing of a panel."""
    try:
        yield from work()
    except (ValueError, TypeError, ArithmeticError, LookupError, AttributeError) as error:
        why = " ".join(str(error).split())[:80] or type(error).__name__
        raise RefusedError(f"has an entity that cannot be read: {why}") from None
    except Exception as error:
        if type(error).__module__.startswith("ezdxf"):
            raise RefusedError("has an entity that cannot be read") from None
        raise


def _check_numbers(shape: Contour) -> None:
    numbers = (
        (shape.x, shape.y, shape.radius) if isinstance(shape, Circle) else [v for row in shape.vertices for v in row]
    )
    if not all(math.isfinite(number) and abs(number) <= FURTHEST for number in numbers):
        raise RefusedError("has a coordinate that is no number or too far off")


# --- entities as lines and arcs --------------------------------------------------------------------------------------


def _line(entity: Any) -> Shapes:
    start, end = entity.dxf.start, entity.dxf.end
    if abs(start.z - end.z) <= FLAT:
        yield Curve(((start.x, start.y, 0.0), (end.x, end.y, 0.0)), closed=False)


def _circle(entity: Any) -> Shapes:
    centre = entity.dxf.center
    yield from _in_plane(entity, Circle(centre.x, centre.y, abs(entity.dxf.radius)))


def _arc(entity: Any) -> Shapes:
    centre, radius = entity.dxf.center, abs(entity.dxf.radius)
    start, stop = entity.dxf.start_angle, entity.dxf.end_angle
    yield from _in_plane(entity, arc(centre.x, centre.y, radius, start, stop))


def arc(x: float, y: float, radius: float, start: float, stop: float) -> Contour:
    """Return an arc anticlockwise from one direction (degrees) to another; a whole circle where they are one."""
    sweep = (stop - start) % FULL_TURN
    if not SAME < sweep < FULL_TURN - SAME:
        return Circle(x, y, radius)
    ends = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in (math.radians(start), math.radians(stop))]
    return Curve(((*ends[0], math.tan(math.radians(sweep) / 4)), (*ends[1], 0.0)), closed=False)


def _light_polyline(entity: Any) -> Shapes:
    vertices = tuple((x, y, bulge) for x, y, bulge in entity.get_points("xyb"))
    yield from _in_plane(entity, Curve(vertices, closed=bool(entity.closed))) if len(vertices) > 1 else ()


def _old_polyline(entity: Any) -> Shapes:
    """Yield a polyline of release 12, flat or in space; meshes are no lines."""
    if not (entity.is_2d_polyline or entity.is_3d_polyline) or len(entity.vertices) < 2:
        return
    spots = [vertex.dxf.location for vertex in entity.vertices]
    if max(spot.z for spot in spots) - min(spot.z for spot in spots) > FLAT:
        return
    bulges = [vertex.dxf.get("bulge", 0.0) if entity.is_2d_polyline else 0.0 for vertex in entity.vertices]
    vertices: tuple[Vertex, ...] = tuple((spot.x, spot.y, bulge) for spot, bulge in zip(spots, bulges, strict=True))
    curve = Curve(vertices, closed=bool(entity.is_closed))
    yield from _in_plane(entity, curve) if entity.is_2d_polyline else (curve,)


def _ellipse(entity: Any) -> Shapes:
    if abs(abs(entity.dxf.extrusion.z) - 1.0) <= SAME:
        yield from _chords(entity.flattening(CHORD))


def _spline(entity: Any) -> Shapes:
    points = [*entity.control_points, *entity.fit_points]
    if len(points) > MOST_CONTROL:
        raise RefusedError(f"has a spline of more than {MOST_CONTROL} points")
    if not all(math.isfinite(value) for point in points for value in point):
        raise RefusedError("has a coordinate that is no number")
    yield from _chords(entity.flattening(CHORD))


def _chords(points: Iterable[Any]) -> Shapes:
    spots = list(points)
    if len(spots) > 1 and max(spot.z for spot in spots) - min(spot.z for spot in spots) <= FLAT:
        yield Curve(tuple((spot.x, spot.y, 0.0) for spot in spots), closed=False)


def _in_plane(entity: Any, shape: Contour) -> Shapes:
    """Yield a shape where it is seen from above: drawn from below, it is mirrored; drawn on edge, it is none."""
    up = entity.dxf.get("extrusion", None)
    if up is None or abs(up.z - 1.0) <= SAME:
        yield shape
    elif abs(up.z + 1.0) <= SAME:
        yield shape.mirrored()


READERS: dict[str, Callable[[Any], Shapes]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _old_polyline,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
}
