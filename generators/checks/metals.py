"""Do dissimilar metals touch, coatings counted, where damp would make one eat the other; is the earth point bare?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from dryfit.generators.checks.registry import Fitting, panel_check
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Change, Finding, Verdict, grade
from dryfit.models.job import Job, Place
from dryfit.models.tables.metals import Environment, Metal, environments, metals

BITING = ("tooth internal", "tooth external")
"""Washers whose teeth cut through a coating (common practice)."""


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


@panel_check("metals")
def metals_check(fitting: Fitting) -> Iterator[Finding]:
    """Judge the worst contact of every place, and every earth point."""
    where = environments()[fitting.job.environment]
    for place in fitting.job.places:
        found = tuple(touches(fitting.job, place, fitting.stacks.get(place.name)))
        if found:
            yield _judge(fitting, place, max(found, key=lambda t: (_grade(t, where).rank, t.apart)), where)
        yield from _earth(fitting.job, place)


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
    if stack.place.mount == "rear":
        return False
    toothed = stack.nut is not None and stack.nut.kind == "tooth-washer nut"
    return toothed or any(washer.kind in BITING for washer in stack.washers)


def _grade(touch: Touch, where: Environment) -> Verdict:
    """Return fits within the guideline; beyond it tight, and fails where the damp stays or the fastener suffers."""
    if grade(where.apart - touch.apart, 0.0, 0.0) is not Verdict.FAILS:
        return Verdict.FITS
    if where.name == "indoor":
        return Verdict.TIGHT
    return Verdict.FAILS if where.name == "salt air" or touch.small_suffers else Verdict.TIGHT


def _judge(fitting: Fitting, place: Place, touch: Touch, where: Environment) -> Finding:
    verdict = _grade(touch, where)
    pair = f"{touch.one.words} on {touch.other.words}, {touch.apart:.2f} V apart"
    says = f"{touch.what[:1].upper()}{touch.what[1:]}: {pair}; {where.apart:.2f} V is tolerated in {where.words}"
    text, changes = ("", ()) if verdict is Verdict.FITS else _remedy(fitting, place, where)
    return Finding(
        "metals", place.name, verdict, touch.apart, where.apart, f"{says} (volts, not mm).", text,
        f"anodic index and its guideline: {where.source}", changes,
    )  # fmt: skip


def _remedy(fitting: Fitting, place: Place, where: Environment) -> tuple[str, tuple[Change, ...]]:
    """Return the first metal of screws that all contacts of the place suffer; else a coating, if that does it."""
    stack = fitting.stacks.get(place.name)
    trials = [m for m in metals().values() if m.proof is not None and place.wish.metal]
    if where.name != "indoor":
        trials = [m for m in trials if m.name != "steel"]  # plain steel rusts by itself
    for metal in trials:
        if all(_grade(t, where) is Verdict.FITS for t in _with_screws_of(fitting.job, place, stack, metal)):
            return f"Take {metal.words} screws.", (Change(place.entry, ("hardware", "metal"), metal.name),)
    if fitting.job.panel.coating == 0 and any(t.what == "part and panel" for t in touches(fitting.job, place, stack)):
        return "Coat or anodise the panel, so that its metal does not touch.", ()
    return "Keep the metals apart: a plastic washer and sleeve, or a plain washer over the coating.", ()


def _with_screws_of(job: Job, place: Place, stack: Stack | None, metal: Metal) -> Iterator[Touch]:
    for touch in touches(job, place, stack):
        yield touch if touch.small is None else replace(touch, one=metal, small=metal)


def _earth(job: Job, place: Place) -> Iterator[Finding]:
    """Yield what a protective-earth point asks of the panel: bare metal, masked from the coating or scraped."""
    panel = job.panel
    if not place.part.earth or panel.material.plastic:
        return
    source = "bare-metal contact for protective earth: common practice; local codes decide"
    if panel.coating and not panel.mask_earth:
        says = "The coating keeps the protective earth from the panel: its earth point needs bare metal."
        change = Change(None, ("mask_earth",), True)
        text = "Mask the earth point before coating, or scrape it bare: `mask_earth: true`."
        yield Finding("metals", place.name, Verdict.FAILS, panel.coating, 0.0, says, text, source, (change,))
        return
    how = "is kept free of coating" if panel.coating else "is bare metal"
    says = f"The earth point {how}: bond the panel to it, and test the bond."
    yield Finding("metals", place.name, Verdict.FITS, 0.0, 0.0, says, source=source)
