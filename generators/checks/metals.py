"""Do dissimilar metals touch, coatings counted, where damp would make one eat the other; is the earth point bare?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.checks.registry import panel_check
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Finding, Verdict, grade, margin
from dryfit.models.job import Job, Place
from dryfit.models.reading.errors import begun
from dryfit.models.tables.metals import Environment, Metal, environments, metals
from dryfit.models.tables.washers import washer_kinds

SOURCE = "anodic index and its guideline"
RIVET_BODY = "aluminium"
"""What the bodies of usual blind rivets are made of (common practice)."""


@dataclass(frozen=True)
class Touch:
    """Two metals in electrical contact, in words and by their index; ``small`` is the fastener's, None for none."""

    what: str
    one: Metal
    other: Metal
    small: Metal | None = None

    @property
    def apart(self) -> float:
        """Difference of anodic index, V."""
        return abs(self.one.anodic_index - self.other.anodic_index)

    @property
    def small_suffers(self) -> bool:
        """Whether the fastener is the one that corrodes: a small anode beside a large cathode goes fast."""
        larger = max((self.one, self.other), key=lambda m: m.anodic_index)
        return self.small is not None and self.apart > 0 and larger is self.small


@panel_check("metals", strategies=("other metal", "mask the earth point", "coat the panel"))
def metals_check(fitting: Fitting) -> Iterator[Finding]:
    """Judge the worst contact of every place, and every earth point."""
    where = environments()[fitting.job.environment]
    for place in fitting.job.places:
        found = tuple(touches(fitting.job, place, fitting.stacks.get(place.name)))
        worst = max(found, key=lambda t: (contact_verdict(t, where).rank, t.apart), default=None)
        yield _nothing(place) if worst is None else _judge(place, worst, where)
        yield from _earth(fitting.job, place)


def _nothing(place: Place) -> Finding:
    return Finding("metals", place.name, Verdict.FITS, "No two metals are known to touch.", unit="V", source=SOURCE)


def touches(job: Job, place: Place, stack: Stack | None) -> Iterator[Touch]:
    """Yield the metals that touch at a place: part, panel and fasteners, a coating keeping them apart."""
    part, panel = metals().get(place.part.metal), _panel_metal(job)
    bare = job.panel.coating == 0
    if part is not None and panel is not None and bare:
        yield Touch("part and panel", part, panel)
    fastener = metals().get(place.wish.metal or "")
    if stack is not None and stack.screw.rivet is not None:
        fastener = metals()[RIVET_BODY]
    if stack is None or fastener is None:
        return
    if part is not None:
        yield Touch("screw and part", fastener, part, fastener)
    if panel is not None and (bare or _bites(stack)):
        yield Touch("screw and panel", fastener, panel, fastener)


def _panel_metal(job: Job) -> Metal | None:
    """Return the panel's metal, at the index its own table gives; None for plastics."""
    material = job.panel.material
    if material.anodic_index is None:
        return None
    return Metal(material.name, material.name, material.anodic_index, None, None, material.source, "common practice")


def _bites(stack: Stack) -> bool:
    """Whether teeth under the nut cut through the coating of the panel's rear face."""
    if stack.joint.far.of == "flange":
        return False
    toothed = stack.nut is not None and stack.nut.kind == "tooth-washer nut"
    return toothed or any(washer_kinds()[washer.kind].bites for washer in stack.washers)


def contact_verdict(touch: Touch, where: Environment) -> Verdict:
    """Return fits within the guideline; beyond it tight, and fails where the damp stays or the fastener suffers."""
    if grade(where.apart - touch.apart, 0.0, 0.0) is not Verdict.FAILS:
        return Verdict.FITS
    if where.name == "indoor":
        return Verdict.TIGHT
    return Verdict.FAILS if where.name == "salt air" or touch.small_suffers else Verdict.TIGHT


def _judge(place: Place, touch: Touch, where: Environment) -> Finding:
    pair = f"{touch.one.words} on {touch.other.words}, {touch.apart:.2f} V apart"
    says = f"{begun(touch.what)}: {pair}; {where.apart:.2f} V is tolerated in {where.words}."
    room = margin(where.apart, touch.apart)
    source = f"{SOURCE}: {where.source}"
    return Finding("metals", place.name, contact_verdict(touch, where), says, margin=room, unit="V", source=source)


def _earth(job: Job, place: Place) -> Iterator[Finding]:
    """Yield what a protective-earth point asks of the panel: bare metal, masked from the coating or scraped."""
    panel = job.panel
    if not place.part.earth or panel.material.plastic:
        return
    source = "bare-metal contact for protective earth: common practice; local codes decide"
    if panel.coating and not panel.mask_earth:
        says = "The coating keeps the protective earth from the panel: its earth point needs bare metal."
        yield Finding.of_length(
            "metals", place.name, Verdict.FAILS, says, measured=-panel.coating, limit=0.0, source=source
        )
        return
    how = "is kept free of coating" if panel.coating else "is bare metal"
    says = f"The earth point {how}: bond the panel to it, and test the bond."
    yield Finding("metals", place.name, Verdict.FITS, says, source=source)
