"""The drawing for fabrication: the panel alone, with all that is cut, sunk, bent, masked and engraved."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dryfit.generators.bodies.blank import blank
from dryfit.generators.drawing.flat_pattern import flat_pattern
from dryfit.generators.drawing.marks import Block, Drawing
from dryfit.generators.drawing.patterns import detail, patterns, runs
from dryfit.generators.drawing.profile import cuts, profile
from dryfit.generators.drawing.sheets import Form, FrontView, filled, form, front_view
from dryfit.generators.drawing.textblocks import Cells, notes, tables
from dryfit.generators.drawing.views import Show, in_line, panel_view
from dryfit.generators.lettering.legends import left_out, legends
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.drills import drill_for
from dryfit.generators.lists.failing import Fails
from dryfit.generators.lists.holes import GIVEN_FINISHED, PURPOSES, hole_chart, lettered_holes
from dryfit.generators.tolerances import COARSEST, GENERAL, Tolerances
from dryfit.models.geometry.contours import number
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Job, Place
from dryfit.models.panel import HolePurpose
from dryfit.models.tables.finishes import said_finish
from dryfit.models.titles import BLANK, Titles

DETAIL_SHARE = 0.28  # of the frame's height: how large the pattern itself may be in its detail
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
    front = front_view(job, sheets.room[1], BARE)
    return filled(sheets, tuple(_blocks(job, sheets, front, allowed)), front.scale, job.title)


def _blocks(job: Job, sheets: Form, view: FrontView, allowed: Tolerances) -> Iterator[Block]:
    """Yield all blocks, most wanted first: earlier ones get the better spots."""
    most = sheets.most
    yield view.block
    if any(hole.countersink is not None and hole.sunk_from == "rear" for hole in job.holes()):
        yield in_line(panel_view(job, view.scale, "rear", BARE), view.block)
    for cut in cuts(job.panel):
        yield profile(job.panel, cut, PROFILE_SHARE * most.height)
    if job.panel.folded:
        yield flat_pattern(job, Size(FLAT_SHARE * most.width, FLAT_SHARE * most.height))
    for pattern in patterns(job):
        yield detail(pattern, DETAIL_SHARE * most.height, allowed)
    yield from tables("hole chart", "HOLE CHART", _chart(job, allowed), most)
    yield notes("notes", "NOTES", tuple(_notes(job, view, allowed, sheets.fields.titles.legends)), sheets.notes_width)
    yield from tables("places", "PLACES", _places(job, allowed), most)


# --- tables and notes -----------------------------------------------------------------------------------------------


def _chart(job: Job, allowed: Tolerances) -> Cells:
    coated = job.panel.coating > 0
    finished = "As given, coated" if job.panel.holes_finished else "Coated"
    head = ("Hole", "Count", "Purpose", "Size as cut", "±", *((finished,) if coated else ()), "Countersink", "Drill")
    rows = []
    for row in hole_chart(job):
        tolerance = allowed.size(row.outline, row.places)
        rows.append(
            (
                row.letter,
                str(row.count),
                PURPOSES[row.purpose],
                row.punched,
                number(tolerance, 3),
                *((row.finished,) if coated else ()),
                row.sink_text or "–",
                drill_for(row, tolerance, job.panel.thickness).short,
            )
        )
    return head, rows


def _places(job: Job, allowed: Tolerances) -> Cells:
    head = ("No.", "Place", "Part", "Cut-out", "x", "y", "±", "Turn", "Mount")
    names = {n: pattern.name for pattern in patterns(job) for n in pattern.numbers}
    w, h = job.panel.width / 2, job.panel.height / 2
    rows = [
        (
            str(n),
            place.name,
            place.part.title,
            names[n],
            number(place.x + w),
            number(place.y + h),
            number(allowed.spot(job.panel, place), 3),
            f"{number(place.turn)}°" if place.turn else "–",
            place.mount,
        )
        for n, place in enumerate(job.places, start=1)
    ]
    return head, rows


def _notes(job: Job, view: FrontView, allowed: Tolerances, process: str) -> Iterator[str]:
    """Yield the notes of the drawing: how to read it, how to make it, cautions, and the layout's own notes."""
    panel = job.panel
    yield "Dimensions in mm. Datum: lower left corner of the front face (circled); positions in details from the axis."
    yield from _allowed_notes(job, allowed)
    yield "Sizes are before coating unless the chart says otherwise. Kerf is left to the shop. Break sharp edges."
    if panel.coating and panel.holes_finished:
        yield f"{GIVEN_FINISHED}; the size as cut is reckoned back from them."
    if panel.corner and panel.folded and not panel.lip_leaves_corners:
        yield f"Corners of the panel R{number(panel.corner)} where no lip ends."
    elif panel.corner:
        yield f"Corners of the panel R{number(panel.corner)}."
    heights = sorted({legend.height for legend in legends(job)})
    if heights:
        sizes = " and ".join(number(h) for h in heights)
        made = process or "engraved or printed, as ordered"
        yield f"Legends on the front face: {made}; capitals {sizes} high; layer engrave of the cut file."
    yield from _left_out(job, view)
    if panel.lip:
        flat = blank(panel)
        yield (
            f"Lips {number(panel.lip)} deep behind the rear ({' and '.join(panel.folded)}), folded 90°, inside radius "
            f"{number(panel.bend_radius)}. Blank {number(flat.width)} × {number(flat.height)} for K-factor "
            f"{number(flat.k, 3)} ({flat.basis}; bend allowance {number(flat.allowance)} each bend); use the shop's "
            "own if it differs."
        )
    if panel.finish is not None:
        yield f"Finish: {said_finish(panel.finish, panel.colour, in_full=True)}."
    if panel.coating:
        yield f"Coating {number(panel.coating * 1000)} µm on every surface, walls of holes included."
    yield from _earth_mask(job)
    if any(place.turn for place in job.places):
        yield "Turn: degrees anticlockwise seen from the front, the vertical axis of a detail from the panel's."
    yield from cautions(job)
    yield from job.notes


def _allowed_notes(job: Job, allowed: Tolerances) -> Iterator[str]:
    """Yield how the tolerances are meant; nothing where they are only the general ones."""
    if allowed is GENERAL:
        return
    yield (
        "Tolerances of holes and positions are what the parts leave: cut anywhere within them, the panel goes together "
        "with the hardware listed. All else by the general tolerance."
    )
    panel, grade = job.panel, allowed.outline
    if grade is not COARSEST:
        yield f"Outline: width ±{number(grade.size(panel.width), 3)}, height ±{number(grade.size(panel.height), 3)}."


def _earth_mask(job: Job) -> Iterator[str]:
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
        wide = number(math.ceil(BARE_RING * _bare_hole(place)))
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
