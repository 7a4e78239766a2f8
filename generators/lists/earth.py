"""What bonds the panel to protective earth: a ring terminal and a toothed washer, at a fixing of every earthed part.

On an earth stud they go on its thread, behind the nut that holds it, with a nut of their own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from dryfit.generators.joints.stacks import NUT_PITCHES, Stack
from dryfit.generators.report import Report
from dryfit.models.job import Place
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import Nut, Screw, Washer

RING = 0.8  # mm; thickness of the tongue of a ring terminal for 2.5 to 6 mm2 (common practice)
BITING = ("tooth external", "tooth internal")  # kinds of washers that bite, the better for a terminal first


@dataclass(frozen=True)
class Bond:
    """The bond at one fixing of a place: what is added there, and the longer screw that it wants, if it does."""

    place: str
    ring: str
    washer: Washer | None  # None where the fixing has one already
    longer: Screw | None = None
    nut: Nut | None = None  # of its own, on a stud

    @property
    def says(self) -> str:
        """What is done, in order from the panel outwards."""
        if self.nut is not None:
            teeth = f"{_amid(self.washer.designation)}, " if self.washer is not None else ""
            nut = _amid(self.nut.designation)
            return f"On {self.place}, behind its nut that lies on bare metal: {teeth}{self.ring}, {nut}."
        screw = f" on a screw {self.longer.length:g} mm long" if self.longer is not None else ""
        washer = _amid(self.washer.designation) if self.washer is not None else "the toothed washer that is there"
        return f"At one fixing of {self.place}{screw}: bare metal of the panel, {washer}, {self.ring}, nut."


def _amid(designation: str) -> str:
    """Return a designation as it stands in the middle of a sentence."""
    return designation[:1].lower() + designation[1:]


def bonds(report: Report) -> tuple[Bond, ...]:
    """Return the bonds of a metal panel: one at every part with an earth of its own that is screwed with nuts."""
    if report.job.panel.material.plastic:
        return ()
    earthed = (place.name for place in report.job.places if place.part.earth and place.name in report.stacks)
    stacks = ((name, report.stacks[name]) for name in earthed)
    screwed = tuple(_bond(name, stack) for name, stack in stacks if stack.nut is not None)
    return screwed + tuple(bond for place in report.job.places if place.part.earth for bond in _on_stud(place))


def _on_stud(place: Place) -> Iterator[Bond]:
    """Yield the bond of an earth stud: a part with a bush of a metric thread and no fixings."""
    bush = place.part.bush
    thread = f"M{bush.thread:g}" if bush is not None and place.part.fixings is None else ""
    if fasteners.nuts(thread):
        found = [fasteners.washers(thread, kind) for kind in BITING]
        washer = next((rows[0] for rows in found if rows), None)
        yield Bond(place.name, _ring(thread), washer, nut=fasteners.nuts(thread)[0])


def _ring(thread: str) -> str:
    return f"ring terminal for {thread}, crimped to the earth wire"


def _bond(place: str, stack: Stack) -> Bond:
    has_teeth = any(fasteners.washer_kinds()[washer.kind].bites for washer in stack.washers)
    found = [fasteners.washers(stack.thread.name, kind) for kind in BITING]
    washer = next((rows[0] for rows in found if rows), None) if not has_teeth else None
    more = RING + (washer.thickness if washer is not None else 0.0)
    short = NUT_PITCHES * stack.thread.pitch - (stack.protrusion - more)
    longer = _at_least(stack, stack.screw.length + short) if short > 0 else None
    return Bond(place, _ring(stack.thread.name), washer, longer)


def _at_least(stack: Stack, length: float) -> Screw | None:
    """Return the screw of a stack in the next length sold; None where none is sold so long."""
    found = [sold for sold in fasteners.lengths(stack.thread.name) if sold >= length]
    return replace(stack.screw, length=min(found)) if found else None
