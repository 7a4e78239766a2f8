"""Our own parts written as STEP by the kernel and measured again: turned any way, in inches, rounded, hollowed.

    python tests/measuring.py                 every part of the catalogue once, each time another way
    python tests/measuring.py --rounds 3      three times
    python tests/measuring.py --part dsub-9   one part

What is compared: the outline of every section and where it begins and ends, the flange, the fixing holes, to 0.01 mm.
Then the part is mounted with the solid that it keeps: its sections hold that, and meshes tell nothing more of it.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from dryfit.generators.bodies.parts import part_body
from dryfit.generators.bodies.solids import solid
from dryfit.generators.intake.measuring.outcome import FACET, Outcome, Wanted, outcome, write_part
from dryfit.generators.intake.measuring.standing import Unclear, standing
from dryfit.generators.intake.measuring.turned import AXES, Way
from dryfit.generators.intake.reading.step import read_step
from dryfit.generators.intake.solids.reals import with_solids
from dryfit.generators.pipeline import cross_check, judged
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.geometry.bodies import Slice, Straight
from dryfit.models.geometry.outlines import Outline, clearance
from dryfit.models.geometry.points import Point
from dryfit.models.resolve import parse_job
from dryfit.models.tables.fasteners import thread

PROMISED = 0.01  # mm
ROOM = 40.0  # mm of panel about a part
ROUNDED = (0.1, 0.2, 0.3, 0.5)  # mm, radii of edges
WIDEST_ELSEWHERE = {
    "potentiometer",
    "potentiometer-2",
    "potentiometer-m10",
}  # their bodies are wider than their flanges


@dataclass(frozen=True)
class Variant:
    """How a part is written: the way it stands in the file, its unit, and what is done to its solid."""

    way: Way
    unit: str = "MM"
    rounded: float = 0.0
    hollow: bool = False


def every_way() -> Iterator[Way]:
    """Yield the 24 ways a part may stand in its file."""
    for front in AXES:
        for up in AXES:
            if up[1] != front[1]:
                yield Way(front, up)


def written(name: str, part: Part, variant: Variant, path: Path) -> None:
    """Write a part as STEP, by the kernel's plain writer."""
    shape = solid(part_body(name, part, part.mount[0]))
    if variant.hollow:
        shape = _hollowed(shape)
    if variant.rounded and not any(section.cone for section in (*part.front, *part.rear)):
        shape = _rounded(shape, variant.rounded)
    _write(_turned(shape, variant.way), variant.unit, path)


def _turned(shape: Any, way: Way) -> Any:
    """Return a shape turned out of the frame of a part into that of a file."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.gp import gp_Trsf

    turn = gp_Trsf()
    rows = np.hstack([way.matrix.T, [[3.0], [-7.0], [11.0]]])  # and somewhere else than at the origin
    turn.SetValues(*(float(v) for v in rows.ravel()))
    return BRepBuilderAPI_Transform(shape, turn, True).Shape()


def _hollowed(shape: Any) -> Any:
    """Return a solid with a blind hole from its rear end, and a void within that nobody sees."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    low, high = _box(shape)
    end = _middle_of_end(shape, low[2])
    thin = min(end[2], high[2] - low[2]) / 5
    axis = gp_Ax2(gp_Pnt(end[0], end[1], low[2]), gp_Dir(0, 0, 1))
    hole = BRepPrimAPI_MakeCylinder(axis, thin, thin).Shape()
    void = gp_Ax2(gp_Pnt(end[0], end[1], low[2] + 1.3 * thin), gp_Dir(0, 0, 1))
    inside = BRepPrimAPI_MakeCylinder(void, thin / 2, thin / 3).Shape()
    return BRepAlgoAPI_Cut(BRepAlgoAPI_Cut(shape, hole).Shape(), inside).Shape()


def _middle_of_end(shape: Any, level: float) -> tuple[float, float, float]:
    """Return the middle of the face at a level, and how wide it is."""
    boxes = [_box(face) for face in _explored(shape, "FACE")]
    low, high = max((b for b in boxes if b[1][2] - level < 1e-4), key=lambda b: float(np.prod((b[1] - b[0])[:2])))
    x, y, _ = (low + high) / 2
    return float(x), float(y), float(min((high - low)[:2]))


def _rounded(shape: Any, radius: float) -> Any:
    """Return a solid with the outer edges of its flat ends and steps rounded, each radius as far as the kernel can."""
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
    from OCP.TopoDS import TopoDS

    for share in (1.0, 0.5, 0.2):
        fillet = BRepFilletAPI_MakeFillet(shape)
        for edge in _outer_edges(shape):
            fillet.Add(radius * share, TopoDS.Edge(edge))
        try:
            fillet.Build()
            if fillet.IsDone():
                return fillet.Shape()
        except Exception:  # the kernel's own, which it raises where faces are too small
            continue
    return shape


def _outer_edges(shape: Any) -> Iterator[Any]:
    """Yield the edges of the outer loops of the faces at both ends."""
    from OCP.BRepTools import BRepTools
    from OCP.TopoDS import TopoDS

    low, high = _box(shape)
    for face in _explored(shape, "FACE"):
        below, above = _box(face)
        if above[2] - below[2] < 1e-4 and min(abs(below[2] - low[2]), abs(above[2] - high[2])) < 1e-3:
            yield from _explored(BRepTools.OuterWire_s(TopoDS.Face(face)), "EDGE")


def _explored(shape: Any, kind: str) -> Iterator[Any]:
    from OCP import TopAbs
    from OCP.TopExp import TopExp_Explorer

    explorer = TopExp_Explorer(shape, getattr(TopAbs, f"TopAbs_{kind}"))
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def _box(shape: Any) -> tuple[Any, Any]:
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib

    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    return np.array([low.X(), low.Y(), low.Z()]), np.array([high.X(), high.Y(), high.Z()])


def _write(shape: Any, unit: str, path: Path) -> None:
    from OCP.Interface import Interface_Static
    from OCP.Message import Message, Message_Gravity
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)  # not a word on standard output
    writer = STEPControl_Writer()  # there are no settings before it
    before = Interface_Static.CVal_s("write.step.unit")
    assert Interface_Static.SetCVal_s("write.step.unit", unit)
    writer.Transfer(shape, STEPControl_AsIs)
    writer.Write(str(path))
    Interface_Static.SetCVal_s("write.step.unit", before)


# --- comparing -------------------------------------------------------------------------------------------------------


def differences(part: Part, found: Part) -> list[str]:
    """Return in words what of a part is not as it was written, one measured with its axis elsewhere included."""
    ours, theirs = _stacked(part), _stacked(found)
    if len(ours) != len(theirs):
        return [f"{len(theirs)} sections instead of {len(ours)}"]
    shift = theirs[0].profile.widest.centre - ours[0].profile.widest.centre
    up = theirs[0].z0 - ours[0].z0
    wrong = [
        f"section {n}: {why}"
        for n, pair in enumerate(zip(ours, theirs, strict=True))
        for why in _apart(*pair, shift, up)
    ]
    return wrong + list(_fixings_apart(part, found, shift))


def _stacked(part: Part) -> list[Slice]:
    """Return the sections of a part from its rear on, without holes; like neighbours as one."""
    stacked: list[Slice] = []
    for one in sorted(part_body("part", part, part.mount[0]).slices, key=lambda s: s.z0):
        plain = Slice(one.profile, one.z0, one.z1)
        before = stacked[-1] if stacked else None
        if before is not None and _alike(before, plain):
            stacked[-1] = Slice(before.profile, before.z0, plain.z1)
        else:
            stacked.append(plain)
    return stacked


def _alike(a: Slice, b: Slice) -> bool:
    straight = isinstance(a.profile, Straight) and isinstance(b.profile, Straight)
    return straight and _off(a.profile.widest, b.profile.widest) < PROMISED


def _off(a: Outline, b: Outline) -> float:
    """Return how far two outlines differ, mm."""
    return -min(clearance(a, b), clearance(b, a))


def _apart(ours: Slice, theirs: Slice, shift: Point, up: float) -> Iterator[str]:
    for end in ("z0", "z1"):
        if abs(getattr(theirs, end) - up - getattr(ours, end)) > PROMISED:
            yield f"{end} {getattr(theirs, end) - up:g} instead of {getattr(ours, end):g}"
    for share in (0.0, 1.0):
        off = _off(ours.profile.at(share), theirs.profile.at(share).moved(-shift.x, -shift.y))
        if off > PROMISED:
            yield f"{off:.3f} mm off"


def _fixings_apart(part: Part, found: Part, shift: Point) -> Iterator[str]:
    if part.fixings is None:
        if found.fixings is not None:
            yield "fixing holes where there are none"
        return
    if found.fixings is None:
        yield "no fixing holes"
        return
    centres = {(round(x - shift.x, 2), round(y - shift.y, 2)) for x, y in found.fixings.at}
    wanted = {(round(x, 2), round(y, 2)) for x, y in part.fixings.at}
    if any(min(math.dist(a, b) for b in centres) > PROMISED for a in wanted) or len(centres) != len(wanted):
        yield f"fixing holes at {sorted(centres)} instead of {sorted(wanted)}"
    boss = part.fixings.boss
    hole = max(part.fixings.hole, _sunk_through(part)) if boss is None else thread(boss.screw).major
    if abs(found.fixings.hole - hole) > PROMISED:
        yield f"fixing holes of {found.fixings.hole:g} instead of {hole:g}"
    if boss is not None and found.fixings.boss is not None and abs(found.fixings.boss.depth - boss.depth) > PROMISED:
        yield f"bosses {found.fixings.boss.depth:g} deep instead of {boss.depth:g}"
    sinks = [(s.diameter, s.angle) if s is not None else (0.0, 0.0) for s in (part.fixings.seat, found.fixings.seat)]
    if math.dist(*sinks) > PROMISED:
        yield f"countersinks {sinks[1]} instead of {sinks[0]}"


def _sunk_through(part: Part) -> float:
    """Return how wide a countersink leaves the flange at its rear; 0 where it ends within."""
    assert part.fixings is not None  # the caller looked
    seat = part.fixings.seat
    return 0.0 if seat is None else seat.diameter - 2 * part.flange.thick * math.tan(math.radians(seat.angle / 2))


# --- the whole catalogue ---------------------------------------------------------------------------------------------


def measured_again(name: str, part: Part, variant: Variant, folder: Path) -> tuple[Outcome, Part, bool]:
    """Return a part written and measured again, what was written of it, and whether its front was clear by itself."""
    path = folder / f"{name}.step"
    written(name, part, variant, path)
    shapes = read_step(path, FACET)
    flange = _flange_number(part) if name in WIDEST_ELSEWHERE else None
    clear = True
    try:
        front = standing(shapes).way.front
        assert front == variant.way.front or _looks_the_same(part), f"front {front} instead of {variant.way.front}"
    except Unclear:
        clear = False
    made = outcome(path.name, "again", shapes, Wanted(variant.way.front, variant.way.up, flange))
    part_file = folder / f"{name}.yaml"
    write_part(made, part_file)
    return made, load_catalogue([part_file]).parts["again"], clear


def told_of_its_solid(part: Part, folder: Path, file: str) -> list[str]:
    """Return what is told of a measured part with the solid that it keeps, and not without it."""
    side = max(part.cutout.size) + max(part.flange.outline.size) + ROOM
    text = (
        f"title: Again\norigin: centre\nparts: [{file}]\npanel: {{size: [{side}, {side}], thickness: 2 mm}}\n"
        "places:\n  - {part: again, at: [0, 0]}\n"
    )
    report = judged(parse_job(folder / "again-layout.yaml", text))
    whole = with_solids(report)
    assert whole.reals["again"].sound, "its solid is not sound"
    return [one.says for one in cross_check(whole).findings if one not in cross_check(report).findings]


def _looks_the_same(part: Part) -> bool:
    return not part.front and not part.rear and (part.fixings is None or part.fixings.seat is None)


def _flange_number(part: Part) -> int:
    """Return the number of the layer that is the flange, from the front."""
    middle = part.flange.thick / 2
    return next(n for n, one in enumerate(reversed(_stacked(part)), 1) if one.z0 < middle < one.z1)


def variants(seed: random.Random) -> Variant:
    """Return one of the many ways to write a part."""
    way = seed.choice(list(every_way()))
    return Variant(way, seed.choice(["MM", "INCH", "M"]), seed.choice([0.0, *ROUNDED]), seed.random() < 0.5)


def main() -> None:
    """Measure the catalogue again, and say what came back otherwise."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=1)
    parser.add_argument("--part", action="append")
    parser.add_argument("--seed", type=int, default=14)
    given = parser.parse_args()
    parts = load_catalogue().parts
    seed, wrong, unclear, count, began = random.Random(given.seed), 0, 0, 0, time.monotonic()
    for _ in range(given.rounds):
        for name in given.part or parts:
            variant = variants(seed)
            with tempfile.TemporaryDirectory() as folder:
                try:
                    _, found, clear = measured_again(name, parts[name], variant, Path(folder))
                    told = differences(parts[name], found)
                    told += told_of_its_solid(found, Path(folder), f"{name}.yaml")
                except Exception as error:
                    told, clear = [f"{type(error).__name__}: {error}"], True
            count, unclear, wrong = count + 1, unclear + (not clear), wrong + bool(told)
            for each in told:
                print(f"{name} {variant}: {each}", flush=True)
            if not clear:
                print(f"  {name}: its front was not clear by itself", flush=True)
    print(f"{count} parts measured again, {wrong} not as they were; {unclear} had to be told their front; "
          f"{time.monotonic() - began:.0f} s")  # fmt: skip
    sys.exit(wrong > 0)


if __name__ == "__main__":
    main()
