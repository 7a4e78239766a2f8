"""Is there hardware that holds the part, of the kind that is asked for?"""

from __future__ import annotations

from collections.abc import Iterator

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import stack_check
from dryfit.models.findings import Answer, Verdict
from dryfit.models.job import HardwareWish

SOURCE = "tables of fasteners"


@stack_check("hardware", lambda fit: fit.joint is not None, ("other hardware",), looks_at=("thread", "head"))
def hardware(fit: Fit) -> Iterator[Answer]:
    """Tell where a part with fixing holes is left without screws, and what was asked for."""
    if fit.stack is not None:
        yield Answer(
            "hardware",
            Verdict.FITS,
            f"Held by {fit.stack.screw.head.kind} screws of {fit.stack.thread.name}.",
            source=SOURCE,
        )
        return
    asked = wish_in_words(fit.mounting.wish)
    says = f"Nothing in the tables holds it with {asked}." if asked else "Nothing in the tables holds it."
    yield Answer("hardware", Verdict.FAILS, says, -1.0, "count", source=SOURCE)


def wish_in_words(wish: HardwareWish) -> str:
    """Return what the layout asks for at a place, as its file has it; empty where it asks for nothing."""
    named = {
        "screw": " or ".join(wish.threads), "head": wish.head or " or ".join(wish.heads),
        "length": f"{wish.length:g} mm" if wish.length else "", "drive": " or ".join(wish.drives), "nut": wish.nut,
        "washers": ", ".join(wish.washers or ()) or ("none" if wish.washers == () else ""),
        "retention": wish.retention,
    }  # fmt: skip
    return ", ".join(f"{key} {value}" for key, value in named.items() if value)
