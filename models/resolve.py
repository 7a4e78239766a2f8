"""From a layout file to a job: every name looked up, every length known, every place on the panel.

All that is wrong is told in one run, each with its line. What a layout asks for is worked out thing by thing in the
modules of :mod:`dryfit.models.resolving`; here they are called one after the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from pydantic import ValidationError

from dryfit.models.catalogue.layers import Kept, Kind
from dryfit.models.catalogue.looks import Look
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.edits import Edit, edited
from dryfit.models.geometry.points import ORIGIN
from dryfit.models.job import Draft, Job, Place
from dryfit.models.layout import Layout, LayoutFile, parse_layout, read_layout
from dryfit.models.prices import Price
from dryfit.models.reading.errors import InputError, display_path
from dryfit.models.resolving.cutouts import pattern_named
from dryfit.models.resolving.faults import Faults
from dryfit.models.resolving.files import digest, drawer_at_hand, legend_font, part_files, prices_known, solids_of
from dryfit.models.resolving.hardware import judge_hardware
from dryfit.models.resolving.panels import panel_of
from dryfit.models.resolving.places import Ground, places_of, rows_written_out
from dryfit.models.resolving.plain_holes import plain_holes


def read_job(path: Path, drawer: Path | None = None) -> Job:
    """Return the job of a layout file; ``drawer`` is a file of what is at hand, for the one that the layout may name.

    Raises:
        InputError: with every fault of the layout and of the part files it names.
    """
    return job_of(replace(read_layout(path), drawer=drawer))


def parse_job(
    path: Path, text: str, values: Mapping[str, str] | None = None, shelf: Iterable[Path] | None = None
) -> Job:
    """Return the job of a layout given as text, its ``{name}`` fields filled with values if there are any.

    ``path`` names it in messages, and the part and price files that it names are looked for beside that; there need be
    no such file. ``shelf`` are the files of the shelf; None: those of this machine's own.

    Raises:
        InputError: as :func:`read_job`.
    """
    return job_of(parse_layout(path, text, values), shelf)


def job_of(layout_file: LayoutFile, shelf: Iterable[Path] | None = None) -> Job:
    """Return the job of a layout that was read; ``shelf`` as for :func:`parse_job`.

    Raises:
        InputError: as :func:`read_job`.
    """
    job = resolve(layout_file, load_catalogue(part_files(layout_file), shelf))
    return replace(job, digest=digest(layout_file, job))


def with_edits(job: Job, edits: Iterable[Edit]) -> Job | None:
    """Return the job of the layout with edits carried out; None where that is no layout, or names what is not there."""
    assert job.draft is not None  # it was read from a layout
    file = job.draft.layout
    try:
        return resolve(replace(file, layout=edited(file.layout, edits)), job.draft.catalogue)
    except (ValidationError, InputError):
        return None


def resolve(layout_file: LayoutFile, catalogue: Catalogue) -> Job:
    """Return the job that a layout describes, with parts and plugs from the catalogue.

    Raises:
        InputError: with every fault.
    """
    faults, wish = Faults(layout_file), layout_file.layout
    panel = panel_of(wish.panel, faults)
    origin = ORIGIN if wish.origin == "centre" else panel.datum
    layout = wish.changed(places=rows_written_out(wish, catalogue, panel, origin, faults))
    panel = replace(panel, cuts=tuple(plain_holes(layout.cut, panel, origin, faults)))
    pattern = pattern_named(layout.panel.holes, catalogue, faults)
    judge_hardware(layout, catalogue, faults)
    drawer = drawer_at_hand(layout.hardware, faults)
    prices = prices_known(layout.hardware, drawer, faults)
    font = legend_font(layout.legend_font, faults)
    ground = Ground(layout, catalogue, panel, origin, pattern, drawer, faults)
    places = places_of(ground)
    solids = solids_of(places, catalogue, faults)
    faults.stop()
    return replace(_job(layout_file, ground, places, prices, font), solids=solids)


def _job(
    layout_file: LayoutFile, ground: Ground, places: tuple[Place, ...], prices: tuple[Price, ...], font: str
) -> Job:
    layout, catalogue = ground.layout, ground.catalogue
    return Job(
        layout.title, display_path(layout_file.path), ground.panel, places, layout.environment,
        layout.origin == "centre", layout.notes, layout.revision,
        layout.hardware.spares / 100, prices, Draft(replace(layout_file, layout=layout), catalogue),
        looks=_looks(places, catalogue), titles=layout.title_block, kept=_kept(layout, places, catalogue), font=font,
        inches=layout.panel.inches, drawer=ground.drawer,
    )  # fmt: skip


def _looks(places: Iterable[Place], catalogue: Catalogue) -> dict[str, Look]:
    """Return the looks of the parts and plugs in use, by name."""
    used = (one for place in places for one in (place.part, place.plug) if one is not None)
    names = dict.fromkeys(one.look for one in used if one.look)
    return {name: catalogue.looks[name] for name in names}


def _kept(layout: Layout, places: Iterable[Place], catalogue: Catalogue) -> tuple[Kept, ...]:
    """Return what is in use of the shelf."""
    used: set[tuple[Kind, str]] = {("patterns", layout.panel.holes)}
    for place in places:
        used |= {("parts", place.kind), ("looks", place.part.look)}
        if place.plug is not None:
            used |= {("plugs", place.mounting.plug_name or ""), ("looks", place.plug.look)}
    return tuple(one for one in catalogue.kept if (one.kind, one.name) in used)
