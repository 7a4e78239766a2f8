"""Assemblies for the drawing tests, with fasteners as they are chosen for real layouts."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from dryfit.generators.bodies.assemble import assemble
from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.pipeline import check
from dryfit.models.job import Job, Place


@cache
def assembly_of(job: Job) -> Assembly:
    """Return the assembly; what is chosen for the first place of each kind holds all places like it."""
    firsts: dict[object, Place] = {}
    for place in job.places:
        firsts.setdefault(_kind(place), place)
    chosen = check(replace(job, places=tuple(firsts.values()))).stacks
    models = ((place, chosen.get(firsts[_kind(place)].name)) for place in job.places)
    return assemble(job, {place.name: stack for place, stack in models if stack is not None})


def _kind(place: Place) -> object:
    return (place.kind, place.mount, place.cutout)
