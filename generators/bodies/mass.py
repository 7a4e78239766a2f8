"""The mass of the panel as it is cut: bare metal, less its holes."""

from __future__ import annotations

from dryfit.generators.bodies.lips import Lip, fold, lips
from dryfit.models.job import Job
from dryfit.models.panel import Panel


def mass(job: Job) -> float:
    """Return the mass of the bare metal, kg: plate less its holes, and its lips with their bends."""
    panel = job.panel
    area = panel.outline.area - sum(hole.outline.area for hole in job.holes())
    volume = area * panel.thickness + sum(_more(panel, lip) for lip in lips(panel))
    return volume * panel.material.density * 1e-9


def _more(panel: Panel, lip: Lip) -> float:
    """Return what a lip has more than the flat strip it takes the place of and its reliefs, mm3."""
    ends = (lip.left, lip.right)
    deep = lip.reach - lip.floor
    reliefs = sum(end.relief * deep * (0.5 if end.meets else 1.0) for end in ends)  # two lips share that of a corner
    return fold(panel, lip).volume - (lip.length * panel.setback + reliefs) * panel.thickness
