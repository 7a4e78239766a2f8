"""Does the screw pass the panel hole and the flange hole, coating counted; does it find its place in them?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.fasteners import Rivet, clearances

DROP_IN = 0.1
"""mm on the diameter. With less a screw has to be coaxed through; the finest clearance holes leave 0.2 (ISO 273)."""
LOOSE = 1.25
"""Times what the loosest clearance hole of ISO 273 leaves around a screw: beyond it the screw is much too thin."""


@stack_check(
    "screw-passes", lambda fit: fit.stack is not None, ("other hardware", "open the fixings"),
    looks_at=("thread", "head", "washers"), sees="nothing", hangs_on=("fixings.hole",),
)  # fmt: skip
def screw_passes(fit: Fit) -> Iterator[Answer]:
    """Judge the tighter of the two holes: the screw at its largest, the hole at its smallest; then the wider one."""
    if fit.stack is None:
        return
    holes = _holes(fit.stack)
    if fit.stack.screw.rivet is not None:
        yield _rivet(fit.stack.screw.rivet, holes)
        return
    passes = _passes(fit.stack, holes)
    loose = _loose(fit.stack, holes)
    yield loose if loose is not None and passes.verdict is Verdict.FITS else passes


def _holes(stack: Stack) -> list[tuple[str, float]]:
    """Return the holes that a screw passes, by what they are in."""
    joint = stack.joint
    holes = [(f"{joint.head.of} hole", joint.head.hole)]
    return holes if joint.boss is not None else [*holes, (f"{joint.far.of} hole", joint.far.hole)]


def _passes(stack: Stack, holes: list[tuple[str, float]]) -> Answer:
    screw = stack.thread.major_max
    name, hole = min(holes, key=lambda item: (item[1], item[0] != "panel hole"))
    room = hole - screw
    verdict = grade(room, 0.0, DROP_IN)
    words = {
        Verdict.FITS: f"drops into the {format_mm(hole)} {name} with {format_mm(room)} to spare",
        Verdict.TIGHT: f"has only {format_mm(room, 3)} to spare in the {format_mm(hole)} {name}",
        Verdict.FAILS: f"does not pass the {format_mm(hole)} {name}: {format_mm(-room)} too thick",
    }
    says = f"The {stack.thread.name} screw, {format_mm(screw, 3)} at its largest, {words[verdict]}."
    source = f"largest major diameter, {stack.thread.standard}; finest clearance ISO 273"
    return Answer.of_length("screw-passes", verdict, says, measured=room, limit=0.0, bodies=("screw 1",), source=source)


def _loose(stack: Stack, holes: list[tuple[str, float]]) -> Answer | None:
    """Return that a screw is much too thin for its widest hole, where nothing centres it; None where it is not."""
    widest = max((row.diameter for row in clearances(stack.thread.name)), default=None)
    free = [hole for hole in holes if not (stack.is_centred and hole[0].startswith(stack.joint.head.of))]
    name, hole = max(free, key=lambda item: item[1], default=("", 0.0))
    if widest is None or hole - stack.thread.major <= LOOSE * (widest - stack.thread.major):
        return None
    shift = (hole - stack.thread.major_min) / 2
    says = (
        f"The {stack.thread.name} screw is much too thin for the {format_mm(hole)} {name}: its head may shift "
        f"{format_mm(shift)} either way; {format_mm(widest)} is the loosest usual hole."
    )
    source = "loosest clearance hole: ISO 273 or its inch like; a quarter more: common practice"
    room = hole - stack.thread.major_max
    return Answer.of_length(
        "screw-passes", Verdict.TIGHT, says, measured=room, limit=0.0, bodies=("screw 1",), source=source
    )


def _rivet(rivet: Rivet, holes: list[tuple[str, float]]) -> Answer:
    """Judge a rivet, which has to pass its holes and then to fill them."""
    (tight_name, tight), (wide_name, wide) = min(holes, key=lambda h: h[1]), max(holes, key=lambda h: h[1])
    source = f"body and hole: {rivet.standard}"
    if tight < rivet.body_max:
        says = (
            f"The rivet, {format_mm(rivet.body_max)} at its largest, does not pass the {format_mm(tight)} {tight_name}."
        )
        room = tight - rivet.body_max
        return Answer.of_length(
            "screw-passes", Verdict.FAILS, says, measured=room, limit=0.0, bodies=("screw 1",), source=source
        )
    room = rivet.hole_max - wide
    if room < 0:
        says = f"The {format_mm(wide)} {wide_name} is wider than the {format_mm(rivet.hole_max)} that the rivet fills."
        return Answer.of_length(
            "screw-passes", Verdict.TIGHT, says, measured=room, limit=0.0, bodies=("screw 1",), source=source
        )
    says = f"The rivet passes and fills holes of {format_mm(tight)} to {format_mm(wide)}."
    return Answer.of_length(
        "screw-passes", Verdict.FITS, says, measured=room, limit=0.0, bodies=("screw 1",), source=source
    )
