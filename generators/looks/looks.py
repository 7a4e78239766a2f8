"""What the eye is shown of every instance of an assembly: drawn once for each distinct body and look."""

from __future__ import annotations

from functools import lru_cache

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.looks.carving import carved
from dryfit.generators.looks.details import PLAIN, drawn_out
from dryfit.generators.looks.fasteners import nut_drawn, screw_drawn
from dryfit.generators.looks.shapes import Drawn
from dryfit.generators.report import Report
from dryfit.models.catalogue.looks import Look, strays
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.geometry.bodies import Body
from dryfit.models.job import Job
from dryfit.models.panel import Panel
from dryfit.models.tables.finishes import Finish, colours, finish, finishes, is_dark, panel_finishes
from dryfit.models.tables.screws import Screw

DISTINCT = 1024  # bodies drawn and remembered: some hundred kinds are in use at a time
PLATED = "zinc"  # what fasteners look like of which nothing is said
PLUG = "plug"  # the finish of plugs that have no look
BARE, COATED = "bare", "powder coat"
INKS = ("#16181a", "#f4f4f1")  # letters on light faces and on dark ones


def drawn(report: Report, one: Instance) -> Drawn | None:
    """Return what is shown of an instance in its body's own frame; None of the panel, whose body is what it looks."""
    if one.role == "panel":
        return None
    if one.role == "screw":
        return _screw(report.stacks[one.place].screw, one.body, metal(report, one))
    if one.role in ("nut", "washer"):
        return _small(one.body, metal(report, one), one.role == "nut")
    place = report.job.place(one.place)
    held = place.part if one.role == "part" else place.plug
    assert held is not None  # it stands there
    return _held(held, look_of(report.job, held), one.body)


def look_of(job: Job, one: Part | Plug) -> Look:
    """Return the look of a part or plug; a plain one where it has none, or one that does not suit its size."""
    look = job.looks.get(one.look, PLAIN)
    return look if _suits(one, look) else PLAIN


@lru_cache(maxsize=DISTINCT)
def _suits(one: Part | Plug, look: Look) -> bool:
    return strays(one, look) is None


def metal(report: Report, one: Instance) -> str:
    """Return the finish of a fastener, which is that of its metal; of the nut on a bush, what the part's look says."""
    if one.place not in report.stacks:
        return look_of(report.job, report.job.place(one.place).part).nut
    return one.body.material if one.body.material in finishes() else PLATED


@lru_cache(maxsize=DISTINCT)
def _screw(screw: Screw, body: Body, finish_: str) -> Drawn:
    return tuple(screw_drawn(screw, body, finish_))


@lru_cache(maxsize=DISTINCT)
def _small(body: Body, finish_: str, is_nut: bool) -> Drawn:
    return tuple(nut_drawn(body, finish_) if is_nut else carved(body.slices, (), finish_))


@lru_cache(maxsize=DISTINCT)
def _held(one: Part | Plug, look: Look, body: Body) -> Drawn:
    return tuple(drawn_out(one, look, body.slices, one.metal if isinstance(one, Part) else PLUG))


def main_finish(report: Report, one: Instance) -> Finish:
    """Return the finish that an instance has on the whole."""
    if one.role == "panel":
        return panel_finish(report.job.panel)
    if one.role not in ("part", "plug"):
        return finish(metal(report, one))
    place = report.job.place(one.place)
    held = place.part if one.role == "part" else place.plug
    assert held is not None  # it stands there
    return finish(look_of(report.job, held).finish or (held.metal if isinstance(held, Part) else PLUG))


def panel_finish(panel: Panel) -> Finish:
    """Return what the face of a panel looks like: a coated one of which nothing is said has the usual coat."""
    row = panel_finishes()[panel.finish or (COATED if panel.coating else BARE)]
    bare = finishes().get(panel.material.name, finishes()["plastic"])
    asked = panel.colour or row.colour
    return Finish(row.name, colours()[asked].colour if asked else bare.colour, row.metal, row.source, row.confidence)


def ink(panel: Panel, asked: str = "") -> str:
    """Return the colour of the legends on a panel: the one asked for, else whatever stands out on its face."""
    if asked:
        return colours()[asked].colour
    return INKS[is_dark(panel_finish(panel).colour)]
