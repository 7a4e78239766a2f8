"""Assemblies for the drawing tests, with fasteners as they are chosen for real layouts."""

from __future__ import annotations

from dryfit.generators.assemble import assemble
from dryfit.generators.assembly import Assembly
from dryfit.generators.checking import check
from dryfit.models.job import Job


def assembly_of(job: Job) -> Assembly:
    """Return the assembly with the chosen hardware."""
    return assemble(job, check(job).stacks)
