"""Is there hardware that holds the part, of the kind that is asked for; and if not, which wish is in the way?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.joints.candidates import candidates
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.joints.words import describe
from dryfit.models.findings import Answer, Verdict
from dryfit.models.job import HardwareWish
from dryfit.models.reading.units import format_mm

SOURCE = "tables of fasteners"
WITHOUT = {
    "screw": {"threads": (), "length": None},
    "head": {"head": None, "heads": ()},
    "length": {"length": None},
    "drive": {"drives": ()},
    "nut": {"nut": None},
    "washers": {"washers": None},
    "retention": {"retention": None},
}
"""What a wish is without each of the things that can be asked for, by the key that a layout has for it."""


def _wants_holding(fit: Fit) -> bool:
    """Whether it is held by screws, or by nothing that is said of it."""
    part = fit.mounting.part
    return fit.joint is not None or (part.bush is None and part.snap is None)


@stack_check("hardware", _wants_holding, ("other hardware",), looks_at=("thread", "head"))
def hardware(fit: Fit) -> Iterator[Answer]:
    """Tell where a part with fixing holes is left without screws, which wish is in the way, and what nothing holds."""
    if fit.joint is None:
        says = "Nothing that is said of it holds it: it has no fixings, no bush and no snap."
        yield Answer("hardware", Verdict.TIGHT, says)
        return
    if fit.stack is not None:
        says = f"Held by {fit.stack.screw.head.kind} screws of {fit.stack.thread.name}."
        yield Answer("hardware", Verdict.FITS, says, 0.0, "count", source=SOURCE)
        return
    asked = wish_in_words(fit.mounting.wish)
    says = f"Nothing in the tables holds it with {asked}" if asked else "Nothing in the tables holds it"
    found = next(_without_one_wish(fit), None)
    says += f"; without the wish for `{found[0]}` there would be {describe(found[1])}." if found is not None else "."
    yield Answer("hardware", Verdict.FAILS, says, -1.0, "count", source=SOURCE)


def _without_one_wish(fit: Fit) -> Iterator[tuple[str, Stack]]:
    """Yield what could be bought if one thing were not asked for, with the key of that wish."""
    joint = fit.joint
    assert joint is not None  # asked only where there are fixing holes
    for key, changes in WITHOUT.items():
        wish = replace(fit.mounting.wish, **changes)  # type: ignore[arg-type]  # a table of fields
        if wish != fit.mounting.wish:
            yield from ((key, stack) for stack in candidates(replace(fit.mounting, wish=wish), joint))


def wish_in_words(wish: HardwareWish) -> str:
    """Return what the layout asks for at a place, as its file has it; empty where it asks for nothing."""
    named = {
        "screw": " or ".join(wish.threads),
        "head": wish.head or " or ".join(wish.heads),
        "length": format_mm(wish.length) if wish.length else "",
        "drive": " or ".join(wish.drives),
        "nut": wish.nut,
        "washers": ", ".join(wish.washers or ()) or ("none" if wish.washers == () else ""),
        "retention": wish.retention,
    }
    return ", ".join(f"{key} {value}" for key, value in named.items() if value)
