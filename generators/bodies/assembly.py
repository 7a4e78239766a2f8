"""The assembly: every distinct body once, and every instance of it with where it stands, its role and its place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from dryfit.models.geometry.bodies import Body, Placement, Slice
from dryfit.models.geometry.boxes import Box
from dryfit.models.geometry.once import kept

Role = Literal["panel", "part", "screw", "nut", "washer", "plug"]


@dataclass(frozen=True)
class Instance:
    """One body where it stands. ``name`` says what and where (``MIC 1: nut, lower right``)."""

    body: Body
    placement: Placement
    role: Role
    place: str  # name of its place; empty for the panel
    name: str

    @kept
    def slices(self) -> tuple[Slice, ...]:
        """The slices of the body where they stand."""
        return self.placement.apply(self.body)

    @kept
    def box(self) -> Box:
        """The exact bounding box where it stands."""
        return Body(self.name, self.slices).box


@dataclass(frozen=True)
class Assembly:
    """All instances, the panel first, then place by place in the order of the layout."""

    title: str
    instances: tuple[Instance, ...]

    @property
    def panel(self) -> Instance | None:
        """The panel, if there is one."""
        return next(self.of("panel"), None)

    @property
    def bodies_in_place(self) -> tuple[Instance, ...]:
        """Everything but the panel."""
        return tuple(instance for instance in self.instances if instance.role != "panel")

    def bodies(self) -> tuple[Body, ...]:
        """Return every distinct body once, in order of first use."""
        return tuple(dict.fromkeys(instance.body for instance in self.instances))

    def of(self, *roles: Role) -> Iterator[Instance]:
        """Yield the instances that have one of the roles."""
        return (instance for instance in self.instances if instance.role in roles)
