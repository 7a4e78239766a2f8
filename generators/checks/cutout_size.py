"""Does the barrel pass the cut-out, after coating on its wall, and does the flange cover the hole?"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from dryfit.generators.bodies.assemble import part_body
from dryfit.generators.checks.registry import Fit, stack_check
from dryfit.generators.joints.stacks import part_base
from dryfit.generators.remedies.remedies import open_cutout
from dryfit.models.findings import Finding, Verdict, grade
from dryfit.models.geometry.bodies import TOUCHING, Placement
from dryfit.models.geometry.outlines import Outline, clearance
from dryfit.models.job import Panel, Place
from dryfit.models.reading.units import format_mm

PLAY_AIM = 0.15
"""mm on the diameter. Less than this and the spread of one hole punch or one die casting decides (common practice)."""


@cache
def passing_sections(place: Place, panel: Panel) -> tuple[Outline, ...]:
    """Return the widest section of every slice of the part that lies within the panel's thickness, unturned."""
    spot = Placement(z=part_base(place, panel), turn=place.part_turn)
    slices = spot.apply(part_body(place.kind, place.part))
    return tuple(s.profile.widest for s in slices if s.z0 < -TOUCHING and s.z1 > -panel.finished + TOUCHING)


@cache
def play(place: Place, panel: Panel) -> float | None:
    """Return the play of the part in its finished hole, both sides together, mm; None if nothing passes it."""
    hole = place.cutout.main.grown(-panel.coating)
    return min((2 * clearance(section, hole) for section in passing_sections(place, panel)), default=None)


@stack_check("cutout-size", remedies=(open_cutout,), looks_at=())
def cutout_size(fit: Fit) -> Iterator[Finding]:
    """Judge the play of the barrel in the finished hole."""
    room = play(fit.place, fit.panel)
    if room is None:
        return
    hole = fit.place.cutout.main
    bare = f"a hole {_across(hole)}"
    coated = f" with {format_mm(fit.panel.coating)} of coating on its wall" if fit.panel.coating else ""
    size = f"{_across(max(passing_sections(fit.place, fit.panel), key=lambda s: s.area))} body"
    verdict = grade(room, 0.0, PLAY_AIM)
    words = {
        Verdict.FITS: f"passes {bare}{coated} with {format_mm(room)} of play",
        Verdict.TIGHT: f"passes {bare}{coated} with only {format_mm(room)} of play",
        Verdict.FAILS: f"does not pass {bare}{coated}: {format_mm(-room)} too big",
    }
    yield Finding(
        "cutout-size", fit.place.name, verdict, room, 0.0, f"The {size} {words[verdict]}.", source="common practice"
    )
    yield from _covered(fit)


def _covered(fit: Fit) -> Iterator[Finding]:
    """Yield a finding where the hole shows beside the flange."""
    flange = fit.place.part.flange.outline.turned(fit.place.part_turn)
    lap = clearance(fit.place.cutout.main, flange)
    if lap < 0:
        says = f"The hole reaches {format_mm(-lap)} beyond the flange and stays open beside it."
        yield Finding("cutout-size", fit.place.name, Verdict.FAILS, lap, 0.0, says, source="common practice")


def _across(outline: Outline) -> str:
    width, height = outline.size
    return format_mm(width, 3) if outline.is_circle else f"{format_mm(width, 3)} x {format_mm(height, 3)}"
