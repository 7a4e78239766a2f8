"""Has the hand that turns or draws a plug its room about it, past parts and the plugs beside it?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.bodies.parts import plug_body
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.joint import flange_front
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.geometry.bodies import Slice, closest, prism
from dryfit.models.geometry.outlines import Outline
from dryfit.models.reading.units import format_mm

SOURCE = "room for the hand: catalogue"


def has_grip(fit: Fit) -> bool:
    """Whether a plug is tried that a hand takes hold of."""
    return fit.mounting.plug is not None and fit.mounting.plug.grip is not None


@stack_check("plug-room", has_grip, ("move apart", "move inwards"), looks_at=(), hangs_on=("plug.body.*.width",))
def plug_room(fit: Fit) -> Iterator[Answer]:
    """Judge the room for the hand: a fixed thing in it fails, a plug in it has to be drawn first."""
    plug, name = fit.mounting.plug, fit.mounting.plug_name
    assert plug is not None  # asked only where there is one that is gripped
    assert plug.grip is not None
    assert name is not None
    hand = _hand(fit, plug.grip, plug_body(name, plug).box.z1)
    rooms = [
        (contact.gap, obstacle.name, number, obstacle.is_plug)
        for number, obstacle in enumerate(fit.around.obstacles)
        if (contact := closest((hand,), obstacle.slices)) is not None
    ]
    if not rooms:
        says = "A hand has its room about the plug; nothing is near it."
        yield Answer("plug-room", Verdict.FITS, says, bodies=(name,), source=SOURCE)
        return
    room, beside, number, is_plug = min(rooms)
    verdict = grade(room, 0.0)
    says = f"A hand has its room about the plug, {format_mm(room)} clear of the {beside}."
    if verdict is Verdict.FAILS:
        verdict = Verdict.TIGHT if is_plug else Verdict.FAILS
        says = f"A hand about the plug needs {format_mm(-room)} more beside the {beside}"
        says += ": draw that plug first." if is_plug else "."
    yield Answer.of_length("plug-room", verdict, says, measured=room, limit=0.0, bodies=(name, number), source=SOURCE)


def _hand(fit: Fit, grip: Outline, high: float) -> Slice:
    """Return the room that a hand fills about the plug, from its shoulder to its end."""
    shoulder = flange_front(fit.mounting, fit.panel) + fit.mounting.part.seat
    return prism(grip.turned(fit.mounting.part_turn), shoulder, shoulder + high)
