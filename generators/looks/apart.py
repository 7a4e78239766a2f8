"""How an assembly comes apart: each body along its own axis, in the order in which it was put together."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from dryfit.generators.bodies.assembly import Instance, Role
from dryfit.generators.report import Report

AIR = 8.0  # mm between things pulled apart
UNDER_HEAD = 2
RANKS: dict[Role, int] = {"panel": 0, "part": 1, "washer": 4, "screw": 3, "nut": 5, "plug": 6}
"""The order in which things are put together, and so pulled apart; a washer under a head goes on before the screw."""


@dataclass(frozen=True)
class Way:
    """The side to which a body comes off (1: front, -1: rear), its rank in the order of assembly, and how far, mm."""

    side: int
    rank: int
    apart: float = 0.0


def ways(report: Report) -> tuple[Way, ...]:
    """Return the way of every instance, so that all of a place stand clear of each other in their order."""
    instances = report.assembly.instances
    bare = [_way(report, one) for one in instances]
    groups: dict[tuple[str, int], list[int]] = defaultdict(list)
    for number, (one, way) in enumerate(zip(instances, bare, strict=True)):
        groups[one.place, way.side].append(number)
    distance = {}
    for (_, side), numbers in groups.items():
        end = 0.0 if side > 0 else report.job.panel.finished
        for rank in sorted({bare[n].rank for n in numbers} - {0}):
            together = [n for n in numbers if bare[n].rank == rank]
            spans = [_span(instances[n], side) for n in together]
            far = max(0.0, end + AIR - min(span[0] for span in spans))
            end = max(span[1] for span in spans) + far
            distance.update(dict.fromkeys(together, far))
    return tuple(Way(way.side, way.rank, distance.get(n, 0.0)) for n, way in enumerate(bare))


def _span(one: Instance, side: int) -> tuple[float, float]:
    """Return how far a body reaches towards a side, from and to."""
    return (one.box.z0, one.box.z1) if side > 0 else (-one.box.z1, -one.box.z0)


def _way(report: Report, one: Instance) -> Way:
    if one.role == "panel":
        return Way(0, 0)
    if one.role == "part":
        return Way(_side(report.job.place(one.place).mount), RANKS["part"])
    if one.role == "plug":
        return Way(1, RANKS["plug"])
    stack = report.stacks.get(one.place)
    if stack is None:  # the nut of a bush
        return Way(-1 if one.placement.flip else 1, RANKS["nut"])
    head = _side(stack.joint.side)
    if one.role == "washer" and stack.under_head:
        return Way(head, UNDER_HEAD)
    return Way(head if one.role == "screw" else -head, RANKS[one.role])


def _side(side: str) -> int:
    return 1 if side == "front" else -1


def travel(report: Report, one: Instance) -> float:
    """Return how far a plug is pushed from first touch to home; 0 for all else."""
    plug = report.job.place(one.place).plug if one.role == "plug" else None
    return plug.travel if plug is not None else 0.0
