"""The cautions that go with a panel: on screen, on every drawing, list and sheet."""

from __future__ import annotations

from dryfit.models.job import Job

MEASURE = "Catalogue dimensions are generic: measure the part in hand, or read its maker's drawing, before cutting."
WORKSHOP = "Wear eye protection when drilling and cutting; clamp the sheet; deburr every edge and hole."
MAINS = (
    "Mains: isolate and prove dead before work. Bond exposed metal to protective earth by bare-metal contact and "
    "have it tested. Keep mains apart from signal wiring. Local codes decide who may do this work: "
    "leave it to a licensed person."
)
LOUDSPEAKER = (
    "Loudspeaker level can be a dangerous voltage: switch amplifiers off before work, insulate every terminal."
)


def cautions(job: Job) -> tuple[str, ...]:
    """Return the cautions that apply to the parts on this panel, in the order of telling."""
    parts = [place.part for place in job.places]
    told = [MEASURE, WORKSHOP]
    told += [MAINS] if any(part.mains for part in parts) else []
    told += [LOUDSPEAKER] if any(part.loudspeaker for part in parts) else []
    return tuple(told)
