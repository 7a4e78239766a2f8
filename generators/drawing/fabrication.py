"""The drawing for fabrication: the panel alone, with all that is cut, sunk, bent, masked and engraved."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace

from dryfit.generators.bodies.blank import blank
from dryfit.generators.drawing.flat_pattern import flat_pattern
from dryfit.generators.drawing.marks import Block, Drawing
from dryfit.generators.drawing.paper import scales
from dryfit.generators.drawing.patterns import detail, patterns, runs
from dryfit.generators.drawing.portions import portion_views, whole_view
from dryfit.generators.drawing.profile import cuts, profile
from dryfit.generators.drawing.sheets import Blocks, Form, FrontView, filled, form, front_view
from dryfit.generators.drawing.textblocks import Cells, notes, tables
from dryfit.generators.drawing.views import Show, in_line
from dryfit.generators.lettering.legends import by_colour, left_out, legends
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.drills import drill_for
from dryfit.generators.lists.failing import Fails
from dryfit.generators.lists.holes import GIVEN_FINISHED, PURPOSES, hole_chart, lettered_holes
from dryfit.generators.tolerances import COARSEST, GENERAL, Tolerances
from dryfit.models.geometry.contours import number
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Job, Place
from dryfit.models.measures import GENERAL_INCH, Measures
from dryfit.models.panel import EDGES, HolePurpose, Panel
from dryfit.models.reading.errors import in_series
from dryfit.models.tables.finishes import said_finish
from dryfit.models.tables.tolerances import CutGrade
from dryfit.models.titles import BLANK, Titles

DETAIL_SHARES = (0.28, 0.18)  # of the frame's height: how large the pattern itself may be in its detail, and at least
PROFILE_SHARE = 0.5  # of the frame's height: how high the profile of a panel with lips may be
FLAT_SHARE = 0.4  # of the frame either way: how large the flat pattern may be
BARE = Show(parts=False)
BARE_RING = 3.0  # diameters of the hole that stay bare round it: a toothed washer and its rim (common practice)


def shop_drawing(
    job: Job,
    paper_size: str = "A4",
    *,
    titles: Titles = BLANK,
    fails: Fails = (),
    allowed: Tolerances = GENERAL,
) -> Drawing:
    """Return the drawing on one paper size.

    Where something ``fails``, every sheet says at its head that it is not for manufacture. Sizes and positions carry
    the tolerances that are ``allowed``.

    Raises:
        UnknownName: if the paper size is not known.
        ValueError: if a view does not fit the paper even at 1:100.
    """
    sheets = form(job, paper_size, "Fabrication drawing", titles, fails)
    spots = min((allowed.spot(job.panel, place) for place in job.places), default=COARSEST.size(0.0))
    show = replace(BARE, written=sheets.written.holding(spots))
    return filled(sheets, _tries(job, sheets, show, allowed), job.title)


def _tries(job: Job, sheets: Form, show: Show, allowed: Tolerances) -> Iterator[Blocks]:
    """Yield all blocks, large, then with smaller details, then with a smaller front view."""
    front = front_view(job, sheets.room[1], show)
    for share in DETAIL_SHARES:
        yield tuple(_blocks(job, sheets, front, allowed, share)), front.scale
    smaller = front_view(job, sheets.room[1], show, next(itertools.islice(scales(front.scale), 1, None)))
    yield tuple(_blocks(job, sheets, smaller, allowed, DETAIL_SHARES[-1])), smaller.scale


def _blocks(job: Job, sheets: Form, view: FrontView, allowed: Tolerances, share: float) -> Iterator[Block]:
    """Yield all blocks, most wanted first: earlier ones get the better spots."""
    most, written = sheets.most, sheets.written
    yield view.block
    yield from portion_views(job, "front", view.show, view.parted)
    if any(hole.countersink is not None and hole.sunk_from == "rear" for hole in job.holes()):
        yield in_line(whole_view(job, view.scale, "rear", BARE, view.parted), view.block)
    for cut in cuts(job.panel):
        yield profile(job.panel, cut, PROFILE_SHARE * most.height, written)
    if job.panel.folded:
        yield flat_pattern(job, Size(FLAT_SHARE * most.width, FLAT_SHARE * most.height), written)
    for pattern in patterns(job):
        yield detail(pattern, share * most.height, allowed, written)
    yield from tables("hole chart", "HOLE CHART", _chart(job, allowed, written), most)
    yield notes("notes", "NOTES", tuple(_notes(job, view, allowed, sheets)), sheets.notes_width)
    yield from tables("places", "PLACES", _places(job, allowed, written), most)


# --- tables and notes -----------------------------------------------------------------------------------------------


def _chart(job: Job, allowed: Tolerances, written: Measures) -> Cells:
    coated = job.panel.coating > 0
    finished = "As given, coated" if job.panel.holes_finished else "Coated"
    head = ("Hole", "Count", "Purpose", "Size as cut", "±", *((finished,) if coated else ()), "Countersink", "Drill")
    rows = []
    for row in hole_chart(job):
        tolerance = allowed.size(row.outline, row.places)
        as_told = written.holding(tolerance)
        rows.append(
            (
                row.letter,
                str(row.count),
                PURPOSES[row.purpose],
                row.cut_size(as_told),
                as_told.held(tolerance, *row.outline.size),
                *((row.coated_size(as_told),) if coated else ()),
                row.sink(written) or "–",
                drill_for(row, tolerance, job.panel.thickness).short(written.inches),
            )
        )
    return head, rows


def _places(job: Job, allowed: Tolerances, written: Measures) -> Cells:
    head = ("No.", "Place", "Part", "Cut-out", "x", "y", "±", "Turn", "Mount")
    names = {n: pattern.name for pattern in patterns(job) for n in pattern.numbers}
    spots = [allowed.spot(job.panel, place) for place in job.places]
    as_told = written.holding(min(spots))
    rows = []
    for n, (place, spot) in enumerate(zip(job.places, spots, strict=True), start=1):
        x, y = place.at - job.panel.datum
        turn = f"{number(place.turn)}°" if place.turn else "–"
        told = (as_told.dimension(x), as_told.dimension(y), as_told.held(spot, x, y))
        rows.append((str(n), place.name, place.part.title, names[n], *told, turn, place.mount))
    return head, rows


def _notes(job: Job, view: FrontView, allowed: Tolerances, sheets: Form) -> Iterator[str]:
    """Yield the notes of the drawing: how to read it, how to make it, cautions, and the layout's own notes."""
    panel, written, process = job.panel, sheets.written, sheets.fields.titles.legends
    yield written.says
    yield (
        "Datum: lower left corner of the front face (circled), where the cut file and the STEP files "
        "have their origin; positions in details from the axis."
    )
    yield from _allowed_notes(job, allowed, written)
    yield "Sizes are before coating unless the chart says otherwise. Kerf is left to the shop. Break sharp edges."
    if panel.coating and panel.holes_finished:
        yield f"{GIVEN_FINISHED}; the size as cut is reckoned back from them."
    if panel.corner and panel.folded and not panel.lip_leaves_corners:
        yield f"Corners of the panel R{written.dimension(panel.corner)} where no lip ends."
    elif panel.corner:
        yield f"Corners of the panel R{written.dimension(panel.corner)}."
    heights = sorted({legend.height for legend in legends(job)})
    if heights:
        sizes = in_series(written.number(h) for h in heights)
        made = process or "engraved or printed, as ordered"
        layers = "as outlines on the layer engrave and as single strokes on the layer engrave strokes"
        yield f"Legends on the front face: {made}; capitals {sizes} high; in the cut file {layers}."
    yield from (f"Legends in {asked}: {', '.join(texts)}." for asked, texts in by_colour(job).items() if asked)
    yield from _left_out(job, view)
    if panel.lip:
        yield _lips(panel, allowed.lips, written.holding(allowed.lips.size(panel.lip)))
    if panel.finish is not None:
        yield f"Finish: {said_finish(panel.finish, panel.colour, in_full=True)}."
    if panel.coating:
        yield f"Coating {written.coat(panel.coating)} on every surface, walls of holes included."
    yield from _earth_mask(job, written)
    if any(place.turn for place in job.places):
        yield "Turn: degrees anticlockwise seen from the front, the vertical axis of a detail from the panel's."
    yield from cautions(job)
    yield from job.notes


def _lips(panel: Panel, grade: CutGrade, written: Measures) -> str:
    """Return the lips and the blank that they are folded from in words."""
    flat, lip, bend = blank(panel), grade.size(panel.lip), grade.radius(panel.bend_radius)
    deep = f"{written.dimension(panel.lip)} ±{written.held(lip, panel.lip)}"
    radius = f"{written.dimension(panel.bend_radius)} ±{written.held(bend, panel.bend_radius)}"
    wide, high = written.number(flat.width), written.number(flat.height)
    taken = f"K-factor {number(flat.k, 3)} ({flat.basis}; bend allowance {written.number(flat.allowance)} each bend)"
    where = "all sides" if len(panel.folded) == len(EDGES) else in_series(panel.folded)
    return (
        f"Lips {deep} deep behind the rear ({where}), folded 90°, inside "
        f"radius {radius}. Blank {wide} × {high} for {taken}; use the shop's own if it differs."
    )


def _allowed_notes(job: Job, allowed: Tolerances, written: Measures) -> Iterator[str]:
    """Yield how the tolerances are meant; nothing where they are only the general ones."""
    if allowed is GENERAL:
        return
    yield (
        "Tolerances of holes and positions are what the parts leave: cut anywhere within them, the panel goes together "
        "with the hardware listed. All else by the general tolerance."
    )
    panel, thick = job.panel, allowed.sheet.size(job.panel.thickness)
    finer = written.holding(thick)
    yield f"Sheet {finer.dimension(panel.thickness)} ±{finer.held(thick, panel.thickness)} thick."
    sides, grade = (job.panel.width, job.panel.height), allowed.outline
    if grade is not COARSEST or (written.inches and min(map(grade.size, sides)) < GENERAL_INCH):
        as_told = written.holding(min(map(grade.size, sides)))
        width, height = (as_told.held(grade.size(side), side) for side in sides)
        yield f"Outline: width ±{width}, height ±{height}."


def _earth_mask(job: Job, written: Measures) -> Iterator[str]:
    """Yield where the metal stays bare for the earth bond: round holes that are named, on the rear face."""
    panel = job.panel
    if panel.material.plastic or not panel.coating:
        return
    earthed = [n for n, place in enumerate(job.places, start=1) if place.part.earth and _bare_hole(place)]
    bonded = earthed or [n for n, place in enumerate(job.places, start=1) if place.cutout.fixings][:1]
    letters = {(item.hole.place, item.hole.purpose): item.kind.letter for item in lettered_holes(job)}
    for n in bonded:
        place = job.places[n - 1]
        purpose: HolePurpose = "fixing" if place.cutout.fixings else "main"
        what = "fixing holes" if purpose == "fixing" else "hole"
        wide = written.number(math.ceil(BARE_RING * _bare_hole(place)))
        yield (
            f"Earth: bare metal ⌀{wide} round the {what} {letters[place.name, purpose]} of place {n} ({place.name}) on "
            "the rear face: mask before coating, or remove the coating there."
        )


def _bare_hole(place: Place) -> float:
    """Return the diameter of the hole an earth bond goes through, a fixing hole or that of a stud; 0 for neither."""
    if place.cutout.fixings:
        return place.cutout.fixing_diameter
    return max(place.cutout.main.size) if place.part.bush is not None else 0.0


def _left_out(job: Job, view: FrontView) -> Iterator[str]:
    """Yield what the front view does not show for want of room."""
    if not view.places:
        yield "Positions of the places: x and y in the table of places, from the datum."
    names = left_out(job)
    lost = [n for n, place in enumerate(job.places, start=1) if place.name in names]
    if lost:
        where = f"{'places' if len(lost) > 1 else 'place'} {runs(lost)}"
        yield f"No room for the legend of {where}: neither shown nor engraved."
