"""One part by itself, its plug drawn off before it: as it lies on the bench, without a panel."""

from __future__ import annotations

from dryfit.generators.bodies.assemble import assemble
from dryfit.generators.bodies.real import NO_REALS, Reals
from dryfit.generators.checks.contexts import Fitting
from dryfit.generators.looks.scenes import Scene, View, scene
from dryfit.generators.report import Report
from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.job import Job, Mounting, Place
from dryfit.models.panel import Panel
from dryfit.models.resolving.cutouts import suited_cutout
from dryfit.models.tables.panels import materials

SIDE = View((-0.9, 0.5, 0.62), size=(1600, 900), apart=1.6, panel=False)
THICK = 2.0  # mm of the sheet that it stands in; none is shown
AROUND = 500.0  # mm of that sheet, either way


def alone(name: str, catalogue: Catalogue, plug: str | None = None, reals: Reals = NO_REALS) -> Report:
    """Return a part that stands by itself, with one of its plugs; nothing of it is judged."""
    part = catalogue.parts[name]
    mounting = Mounting(
        name, part, part.mount[0], suited_cutout(part, part.mount[0], 0.0),
        plug_name=plug, plug=catalogue.plugs[plug] if plug is not None else None,
    )  # fmt: skip
    panel = Panel(AROUND, AROUND, THICK, materials()["aluminium"])
    job = Job(part.title, "", panel, (Place(name, 0.0, 0.0, 0.0, mounting),), looks=catalogue.looks)
    return Report(job, {}, Fitting(job, {}, assemble(job, {})), (), reals=reals)


def portrait(name: str, catalogue: Catalogue, plug: str | None = None, reals: Reals = NO_REALS) -> Scene:
    """Return what a picture of a part shows: the part from its front and side, the plug on its way in."""
    return scene(alone(name, catalogue, plug, reals), SIDE)
