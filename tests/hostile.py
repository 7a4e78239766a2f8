"""Harmful drawings and solids: each is refused in one line, or read, within its time and memory.

``python -m tests.hostile`` makes them, reads each, and tells what was said, seconds, and the peak memory of the reading
process and its child. Nothing of it is part of the suite: the largest take minutes.
"""

from __future__ import annotations

import argparse
import math
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from dryfit.generators.intake.reading.dxf import LARGEST_FILE
from dryfit.generators.intake.reading.dxf import LONGEST as LONGEST_DXF
from dryfit.generators.intake.reading.step import LONGEST as LONGEST_STEP
from tests.generators.intake.drawings import dxf, plate

READ = """
import sys
from pathlib import Path
from dryfit.generators.intake.plates.files import read_plate
from dryfit.models.reading.errors import DryfitError
try:
    found = read_plate(Path(sys.argv[1]))
    print(f"read: {len(found.openings)} openings")
except DryfitError as error:
    print(error)
"""
HEAD = b"ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\n"
HEAD += b"FILE_SCHEMA(('AUTOMOTIVE_DESIGN'));\nENDSEC;\nDATA;\n"
TAIL = b"ENDSEC;\nEND-ISO-10303-21;\n"


def _entities(text: str, name: str = "LINE") -> bytes:
    """Return a bare file of release 12 with entities given as text."""
    return f"  0\nSECTION\n  2\nENTITIES\n{text}  0\nENDSEC\n  0\nEOF\n".encode()


def _many(one: str) -> bytes:
    room = LARGEST_FILE - 200
    return _entities(one * (room // len(one)))


def _nested(document: Any) -> None:
    document.blocks.new("n0").add_circle((0, 0), 1)
    for n in range(1, 2000):
        document.blocks.new(f"n{n}").add_blockref(f"n{n - 1}", (0, 0))
    document.modelspace().add_blockref("n1999", (0, 0))


def _doubling(document: Any) -> None:
    document.blocks.new("b0").add_circle((0, 0), 1)
    for n in range(1, 8):
        block = document.blocks.new(f"b{n}")
        for k in range(60):
            block.add_blockref(f"b{n - 1}", (k, 0))
    document.modelspace().add_blockref("b7", (0, 0))


def _cyclic(document: Any) -> None:
    for name, other in (("A", "B"), ("B", "A")):
        document.blocks.new(name).add_blockref(other, (0, 0))
    document.modelspace().add_blockref("A", (0, 0))


def _rows(document: Any) -> None:
    document.blocks.new("b").add_circle((0, 0), 1)
    rows = {"row_count": 32000, "column_count": 32000, "row_spacing": 1, "column_spacing": 1}
    document.modelspace().add_blockref("b", (0, 0), dxfattribs=rows)


def _spline(points: int) -> Callable[[Any], None]:
    def draw(document: Any) -> None:
        dice = random.Random(1)
        spots = [(dice.uniform(0, 1e5), dice.uniform(0, 1e5)) for _ in range(points)]
        document.modelspace().add_open_spline(spots, degree=5)

    return draw


def _grid(document: Any) -> None:
    """Draw 40,000 lines that all meet in crossings, as a hatch that was taken apart."""
    for n in range(200):
        for k in range(200):
            document.modelspace().add_line((n, k), (n + 1, k + (n + k) % 2))


def _holes(count: int) -> Callable[[Any], None]:
    def draw(document: Any) -> None:
        space = document.modelspace()
        plate(space, 2900, 2900)
        side = math.isqrt(count)
        for n in range(side):
            for k in range(side):
                space.add_circle((10 + n * 2880 / side, 10 + k * 2880 / side), 2.1 + (n + k) % 9 * 1.3)

    return draw


def _drawings() -> Iterator[tuple[str, bytes]]:
    dice = random.Random(3)
    whole = dxf(lambda document: plate(document.modelspace()))
    line = "  0\nLINE\n  8\n0\n 10\n1.0\n 20\n2.0\n 11\n{}\n 21\n4.0\n"
    yield "empty", b""
    yield "random", dice.randbytes(100_000)
    yield "random with an end", dice.randbytes(100_000) + b"\n  0\nEOF\n"
    yield "binary form, random", b"AutoCAD Binary DXF\r\n\x1a\x00" + dice.randbytes(100_000) + b"EOF\x00"
    yield "cut off", whole[: len(whole) // 2]
    yield "cut off, with an end", whole[: len(whole) // 2] + b"\n  0\nEOF\n"
    for value in ("nan", "inf", "1e300", "-1e9", "x", ""):
        yield f"coordinate {value!r}", _entities(line.format(value))
    yield "zero radius", _entities("  0\nCIRCLE\n  8\n0\n 10\n0\n 20\n0\n 40\n0\n")
    yield "largest, of lines", _many(line.format("3.0"))
    yield (
        "largest, of one polyline",
        _entities("  0\nPOLYLINE\n  8\n0\n 66\n1\n" + "  0\nVERTEX\n 10\n1.5\n 20\n2.5\n" * 400_000),
    )
    yield "largest, of text", _many("  0\nTEXT\n  8\n0\n 10\n1.0\n 20\n2.0\n 40\n1\n  1\n" + "x" * 2000 + "\n")
    yield "too large", b"  0\nSECTION\n" + b" " * LARGEST_FILE
    yield "blocks 2000 deep", dxf(_nested)
    yield "blocks in each other", dxf(_cyclic)
    yield "blocks that double", dxf(_doubling)
    yield "a thousand million inserts", dxf(_rows)
    yield "spline of 20,000 points", dxf(_spline(20_000))
    yield "spline of 1,000 points", dxf(_spline(1_000))
    yield "lines that cross everywhere", dxf(_grid)
    yield "4,900 holes", dxf(_holes(4900))
    yield "10,000 holes", dxf(_holes(10_000))


def _solids() -> Iterator[tuple[str, bytes]]:
    dice = random.Random(4)
    yield "empty", b""
    yield "random", dice.randbytes(100_000)
    yield "random within a frame", HEAD + dice.randbytes(100_000) + TAIL
    yield "nothing in it", HEAD + TAIL
    yield "records of each other", HEAD + b"#1=MANIFOLD_SOLID_BREP('',#2);\n#2=CLOSED_SHELL('',(#1,#2));\n" + TAIL
    yield "lists 100,000 deep", HEAD + b"#1=CLOSED_SHELL(''," + b"(" * 100_000 + b")" * 100_000 + b");\n" + TAIL
    yield "a number that is none", HEAD + b"#1=CARTESIAN_POINT('',(NAN,1E999,0.));\n" + TAIL
    yield (
        "a million records",
        HEAD + b"".join(b"#%d=CARTESIAN_POINT('',(0.,0.,0.));\n" % n for n in range(1, 1_000_000)) + TAIL,
    )


def _read(path: Path) -> tuple[str, float, float]:
    """Return what is said of a file, seconds, and the peak memory of any process so far, MB."""
    start = time.monotonic()
    done = subprocess.run([sys.executable, "-c", READ, str(path)], capture_output=True, text=True, check=False)
    seconds = time.monotonic() - start
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return (done.stdout.strip() or done.stderr.strip().splitlines()[-1]), seconds, peak


def main() -> None:
    """Read every harmful file, or those whose names have a word in them."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--only", default="")
    only = parser.parse_args().only
    worst = 0
    with tempfile.TemporaryDirectory() as folder:
        for end, files, longest in (("dxf", _drawings(), LONGEST_DXF), ("step", _solids(), LONGEST_STEP)):
            for name, data in ((name, data) for name, data in files if only in f"{end} {name}"):
                path = Path(folder) / f"harmful.{end}"
                path.write_bytes(data)
                said, seconds, peak = _read(path)
                bad = "\n" in said or "Traceback" in said or "Error" in said or seconds > 2 * longest
                worst += bad
                told = f"{'BAD' if bad else 'ok '}  {end} {name} ({len(data)} bytes): {seconds:.1f} s, {peak:.0f} MB"
                print(f"{told}: {said[-160:]}", flush=True)
    print(f"{worst} are not told in one line and in time")


if __name__ == "__main__":
    main()
