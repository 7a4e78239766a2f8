"""Does the barrel pass the cut-out, after coating on its wall, and does the flange cover the hole?"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from dryfit.generators.checks.contexts import DISTINCT, Fit, own_slices
from dryfit.generators.checks.registry import stack_check
from dryfit.generators.clearance.passing import Play, best_play, within
from dryfit.models.catalogue.parts import Part
from dryfit.models.catalogue.worst import bush_holds
from dryfit.models.findings import Answer, Verdict, grade
from dryfit.models.geometry.outlines import Outline, clearance, round_
from dryfit.models.job import Mounting
from dryfit.models.panel import Panel
from dryfit.models.reading.units import format_mm

PLAY_AIM = 0.15
"""mm on the diameter. Less than this and the spread of one hole punch or one die casting decides (common practice)."""
SCREWED_SLIP = 0.2  # mm that a flange shifts on its screws: M3 in holes of 3.2 to 3.4 (ISO 273, fine and medium)
SOURCE = "common practice"


@lru_cache(maxsize=DISTINCT)
def passing_sections(mounting: Mounting, panel: Panel) -> tuple[Outline, ...]:
    """Return the widest section of every slice of the part that ends up within the panel's thickness."""
    return within(own_slices(mounting, panel), -panel.finished, 0.0)


@lru_cache(maxsize=DISTINCT)
def play(mounting: Mounting, panel: Panel) -> Play | None:
    """Return the play of the part in its finished hole, where it comes to rest; None if nothing passes it."""
    sections = passing_sections(mounting, panel)
    return best_play(sections, mounting.cutout.main.grown(-panel.coating)) if sections else None


@stack_check(
    "cutout-size",
    strategies=("open the cut-out", "other side"),
    looks_at=(),
    sees="nothing",
    hangs_on=("through.*.width", "through.*.height"),
)
def cutout_size(fit: Fit) -> Iterator[Answer]:
    """Judge the play of the barrel in the finished hole, then whether the flange covers the hole."""
    found = play(fit.mounting, fit.panel)
    hole = fit.mounting.cutout.main
    if found is None:
        says = f"Nothing of the part stands in its hole {across(hole)}."
        yield Answer("cutout-size", Verdict.FITS, says, source=SOURCE)
    else:
        yield _passes(fit, hole, found.across)
    lap = clearance(fit.main_hole, fit.covers)
    if lap < 0:
        says = f"The hole reaches {format_mm(-lap)} beyond the flange and stays open beside it."
        yield Answer.of_length("cutout-size", Verdict.FAILS, says, measured=lap, limit=0.0, source=SOURCE)
    elif found is not None and fit.mounting.part.bush is not None:
        yield from _slips(fit.main_hole, lap, fit.mounting.part, found.air)
    elif found is not None and fit.mounting.part.fixings is not None and lap < min(SCREWED_SLIP, found.air):
        says = f"Its flange covers {format_mm(lap)} round the hole: shifted on its screws, it leaves it open."
        yield Answer.of_length("cutout-size", Verdict.TIGHT, says, measured=lap, limit=0.0, source=SOURCE)
    if fit.mounting.part.fixings is None:
        yield from _left_open(fit)


def _left_open(fit: Fit) -> Iterator[Answer]:
    """Tell of fixing holes that the part has no screws for and does not cover."""
    count = sum(clearance(hole, fit.covers) < 0 for hole in fit.fixing_holes)
    if count:
        holes = "1 fixing hole stays" if count == 1 else f"{count} fixing holes stay"
        says = f"{holes} open beside it, where it has neither screws nor flange."
        yield Answer("cutout-size", Verdict.TIGHT, says, -float(count), "count", source=SOURCE)


def _slips(hole: Outline, lap: float, part: Part, play: float) -> Iterator[Answer]:
    """Tell where a bush, which no screws keep in the middle, can slip aside until its hole is open."""
    held, across = bush_holds(part)
    what, lap = min((("flange", lap), (held, clearance(hole, round_(across)))), key=lambda pair: pair[1])
    if lap < 0:
        says = f"The hole reaches {format_mm(-lap)} beyond the {what} of the bush, which bears on nothing there."
        yield Answer.of_length("cutout-size", Verdict.FAILS, says, measured=lap, limit=0.0, source=SOURCE)
    elif lap < play:
        says = (
            f"It can slip {format_mm(play)} aside, and its {what} covers {format_mm(lap)} round the hole: "
            "hold it in the middle while it is tightened."
        )
        yield Answer.of_length("cutout-size", Verdict.TIGHT, says, measured=lap - play, limit=0.0, source=SOURCE)


def _passes(fit: Fit, hole: Outline, room: float) -> Answer:
    bare = f"a hole {across(hole)}"
    coated = f" with {format_mm(fit.panel.coating)} of coating on its wall" if fit.panel.coating else ""
    size = f"{across(max(passing_sections(fit.mounting, fit.panel), key=lambda s: s.area))} body"
    verdict = grade(room, 0.0, PLAY_AIM)
    words = {
        Verdict.FITS: f"passes {bare}{coated} with {format_mm(room)} of play",
        Verdict.TIGHT: f"passes {bare}{coated} with only {format_mm(room)} of play",
        Verdict.FAILS: f"does not pass {bare}{coated}: {format_mm(-room)} too big",
    }
    return Answer.of_length(
        "cutout-size", verdict, f"The {size} {words[verdict]}.", measured=room, limit=0.0, source=SOURCE
    )


def across(outline: Outline) -> str:
    """Return the size of an outline in words: its diameter, or width and height."""
    width, height = outline.size
    return format_mm(width, 3) if outline.is_circle else f"{format_mm(width, 3)} x {format_mm(height, 3)}"
