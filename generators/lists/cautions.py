"""The cautions that go with a panel: on screen, on every drawing, list and sheet."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import PurePath

from dryfit.models.catalogue.layers import Kept
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
    return (*told, *_of_shelf(job))


def _of_shelf(job: Job) -> Iterator[str]:
    """Yield what is from the shelf, file by file: whoever keeps it there vouches for it."""
    for (files, instead), kept in groupby(job.kept, key=_from):
        names = ", ".join(one.name for one in kept)
        if instead:
            yield f"From {instead} beside the layout, though the shelf has another of that name: {names}."
        if files:
            yield f"From the shelf ({files}), as its keeper measured it: {names}."


def _from(kept: Kept) -> tuple[str, str]:
    """Return the names of the files that it is read from: where they lie is nobody's business."""
    return ", ".join(path.name for path in kept.files), PurePath(kept.instead).name
