"""Hardware in words, and as a layout has it."""

from __future__ import annotations

from dryfit.generators.joints.stacks import Stack
from dryfit.models.reading.errors import in_series
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Nut, length_name


def nut_words(nut: Nut) -> str:
    """Return the kind of a nut as people say it: ``hexagon nut``, ``tooth-washer nut``."""
    return nut.kind if nut.kind.endswith("nut") else f"{nut.kind} nut"


def describe(stack: Stack) -> str:
    """Return the hardware of a place in words: ``M3 x 10 mm countersunk screws with ...``."""
    if stack.screw.rivet is not None:
        return f"{stack.screw.rivet.name} blind rivets for a grip of {format_mm(stack.screw.rivet.grip_max)} at most"
    length = length_name(stack.screw.length, stack.thread.system)
    words = f"{stack.thread.name} x {length} {stack.screw.head.kind} screws"
    if stack.joint.side == "rear":
        words += " from behind"
    rest = [f"{w.kind} washers" for w in stack.washers]
    if stack.nut is not None:
        rest.append(f"{nut_words(stack.nut)}s ({stack.nut.driver} across flats)")
    return f"{words} with {in_series(rest)}" if rest else words


def as_hardware(stack: Stack) -> dict[str, object]:
    """Return a stack as the ``hardware`` of a place in the layout file."""
    if stack.screw.rivet is not None:
        return {"screw": stack.thread.name, "length": stack.screw.length}
    wanted: dict[str, object] = {
        "screw": stack.thread.name,
        "length": length_name(stack.screw.length, stack.thread.system),
        "head": stack.screw.head.kind,
    }
    if stack.nut is not None:
        wanted["nut"] = stack.nut.kind
    if stack.nut is not None or stack.washers:
        wanted["washers"] = [w.kind for w in stack.washers]
    return wanted
