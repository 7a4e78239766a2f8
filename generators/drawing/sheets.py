"""The shop drawing: views, sections, details, charts and notes, laid out on as many sheets as they need.

What goes on the drawing is decided here; how each piece is drawn is in the module of that piece.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.bodies.blank import blank
from dryfit.generators.bodies.lips import Lip, fold, lips
from dryfit.generators.drawing.flat_pattern import flat_pattern
from dryfit.generators.drawing.marks import Block, Drawing, Mark, Pen, Sheet, frame, line
from dryfit.generators.drawing.paper import PADDING, Paper, Space, pack, paper, scale_text, scales, space
from dryfit.generators.drawing.patterns import SMALLEST_SCALE, detail, patterns, planes_of, runs
from dryfit.generators.drawing.profile import cuts, profile
from dryfit.generators.drawing.section import section
from dryfit.generators.drawing.textblocks import Cells, notes, tables
from dryfit.generators.drawing.titleblock import Fields, Titles, short_block, title_block
from dryfit.generators.drawing.views import crowded, panel_view
from dryfit.generators.lettering.legends import left_out, legends
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.drills import drill_for
from dryfit.generators.lists.holes import GIVEN_FINISHED, LETTERS, hole_chart
from dryfit.models.geometry.contours import dimension, number
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Job, Place
from dryfit.models.panel import Panel

DETAIL_SHARE = 0.28  # of the frame's height: how large the pattern itself may be in its detail
PROFILE_SHARE = 0.5  # of the frame's height: how high the profile of a panel with lips may be
FLAT_SHARE = 0.4  # of the frame either way: how large the flat pattern may be
NOTES_WIDTH = 110.0  # mm
CENTRING = 5.0  # mm that centring marks reach into the frame (ISO 5457)


def shop_drawing(
    job: Job,
    paper_size: str = "A4",
    assembly: Assembly | None = None,
    titles: Titles = Titles(),  # noqa: B008  (frozen)
) -> Drawing:
    """Return the whole shop drawing on one paper size; sections are drawn where the assembly is given.

    Raises:
        UnknownName: if the paper size is not known.
        ValueError: if a view does not fit the paper even at 1:100.
    """
    page = paper(paper_size)
    fields = _fields(job, page, titles)
    blank_first, blank_next = title_block(fields), short_block(fields)
    room = (space(page, blank_first), space(page, blank_next))
    front = front_view(job, room[1])
    packed = _packed(tuple(_blocks(job, page, assembly, front)), room)
    count = len(packed)
    sheets: list[Sheet] = []
    for n, filled in enumerate(packed, start=1):
        here = replace(fields, scale=scale_text(front.scale), sheet=n, sheets=count)
        foot = title_block(here) if n == 1 else short_block(here)
        sheets.append(_sheet(page, filled, foot, f"{job.title}, sheet {n} of {count}"))
    return Drawing(job.title, tuple(sheets))


def _packed(blocks: tuple[Block, ...], room: tuple[Space, Space]) -> tuple[Space, ...]:
    """Return the blocks on the fewest sheets: in their own order, or the tall ones first where that saves a sheet."""
    views = [b for b in blocks if b.name.endswith("view")]
    others = [b for b in blocks if b not in views]
    orders = (blocks, (*views, *sorted(others, key=lambda b: -b.size.height)))
    tries = [pack(order, *(Space(list(r.free)) for r in room)) for order in orders]
    return min(tries, key=len)


def _sheet(page: Paper, filled: Space, foot: Block, name: str) -> Sheet:
    placed = foot.at(page.frame.right - foot.size.width, page.frame.bottom + foot.size.height)
    border = Block("frame", tuple(_border(page)), page.frame)
    return Sheet(page.width, page.height, page.group, (border, *filled.blocks, placed), name)


def _border(page: Paper) -> Iterator[Mark]:
    """Yield the frame and the four centring marks."""
    x0, y0, x1, y1 = page.frame
    yield frame(page.frame, Pen.FRAME)
    cx, cy = page.width / 2, page.height / 2
    edge = min(CENTRING, y0, page.width - x1)
    yield line((x0 - edge, cy), (x0 + PADDING / 2, cy), Pen.FRAME)
    yield line((x1 - PADDING / 2, cy), (x1 + edge, cy), Pen.FRAME)
    yield line((cx, y0 - edge), (cx, y0), Pen.FRAME)
    yield line((cx, y1 - PADDING / 2), (cx, y1 + edge), Pen.FRAME)


# --- what is on it --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class FrontView:
    """The front view, its scale, and whether it carries the ordinates of all places."""

    block: Block
    scale: float
    places: bool


def front_view(job: Job, room: Space) -> FrontView:
    """Return the front view at the largest standard scale, at most 1:1, that has room on a sheet of its own.

    Ordinates of more places than can stand side by side on the paper are left to the table of places.
    """
    for places in (True, False):
        for scale in itertools.takewhile(lambda s: s >= SMALLEST_SCALE, scales(1.0)):
            if _has_room(room, Size(job.panel.width * scale, job.panel.height * scale)):
                if places and crowded(job, scale):
                    break
                view = panel_view(job, scale, "front", places=places)
                if _has_room(room, view.size):
                    return FrontView(view, scale, places)
    raise ValueError("the panel does not fit the paper at any scale down to 1:100")


def _has_room(room: Space, size: Size) -> bool:
    return any(size.fits(free.size) for free in room.free)


def _blocks(job: Job, page: Paper, assembly: Assembly | None, view: FrontView) -> Iterator[Block]:
    """Yield all blocks, most wanted first: earlier ones get the better spots."""
    high = page.frame.height
    most = Size(page.frame.width - 2 * PADDING, high - 20.0)
    front = view.block
    yield front
    if needs_rear_view(job):
        rear = panel_view(job, view.scale, "rear")
        yield replace(
            rear, box=rear.box._replace(left=front.box.left, right=front.box.right)
        )  # so that they stand in line
    detail_room = DETAIL_SHARE * high
    for cut in cuts(job.panel):
        yield profile(job.panel, cut, PROFILE_SHARE * high)
    if job.panel.folded:
        yield flat_pattern(job, Size(FLAT_SHARE * most.width, FLAT_SHARE * high))
    shown = section_places(job, assembly) if assembly is not None else {}
    for pattern in patterns(job):
        planes = planes_of(pattern, job, {place: letter for place, (letter, _) in shown.items()})
        yield detail(pattern, detail_room, planes)
    places = {place.name: place for place in job.places}
    for name, (letter, numbers) in shown.items():
        assert assembly is not None  # else nothing is shown
        where = f"places {runs(numbers)}" if len(numbers) > 1 else f"place {numbers[0]}"
        if len(where) > 30:
            where = f"{len(numbers)} places as place {numbers[0]}"
        size = Size(detail_room * 1.5, detail_room * 1.2)
        yield section(job, assembly, places[name], letter, room=size, where=f"{places[name].part.title}, {where}")
    yield from tables("hole chart", "HOLE CHART", _chart(job), most)
    yield notes("notes", "NOTES", tuple(_notes(job, view)), min(NOTES_WIDTH, most.width))
    yield from tables("places", "PLACES", _places(job), most)


def needs_rear_view(job: Job) -> bool:
    """Whether anything is mounted on, or countersunk from, the rear."""
    return any(p.mount == "rear" for p in job.places) or any(
        h.countersink is not None and h.sunk_from == "rear" for h in job.holes()
    )


def section_places(job: Job, assembly: Assembly) -> dict[str, tuple[str, tuple[int, ...]]]:
    """Return the places shown in section, one of each kind with its stack: letter, and numbers of all like it.

    Letters run back from Z, apart from those of the holes.
    """
    alike: dict[object, list[int]] = {}
    for n, place in enumerate(job.places, start=1):
        alike.setdefault(_section_key(place, assembly), []).append(n)
    backwards = LETTERS[::-1]
    named = zip(_letters(backwards), alike.values(), strict=False)
    return {job.places[numbers[0] - 1].name: (letter, tuple(numbers)) for letter, numbers in named}


def _letters(alphabet: str) -> Iterator[str]:
    yield from alphabet
    yield from (f"{a}{b}" for a in alphabet for b in alphabet)


def _section_key(place: Place, assembly: Assembly) -> object:
    """Return what makes two places alike in section: part, mounting, cut-out and the bodies that hold it."""
    held: Iterable[Instance] = (i for i in assembly.of("screw", "nut", "washer") if i.place == place.name)
    stack = tuple(sorted({(i.body.name, round(i.placement.z, 4)) for i in held}))
    cut = place.cutout
    return (
        place.kind,
        place.mount,
        place.mounting.part_turn,
        cut.main.box,
        cut.fixing_diameter,
        cut.countersink,
        stack,
    )


def _fields(job: Job, page: Paper, titles: Titles) -> Fields:
    panel = job.panel
    material = f"{panel.material.name}, {dimension(panel.thickness)} thick"
    finish = f"coated, {number(panel.coating * 1000)} µm each surface" if panel.coating else "bare, as supplied"
    return Fields(
        titles,
        title=job.title,
        kind="Shop drawing",
        revision=job.revision,
        scale="",
        paper=page.name,
        material=material,
        finish=finish,
        mass=_mass_text(mass(job)),
        tolerance="ISO 2768-m",
        sheet=1,
        sheets=1,
        third_angle=page.third_angle,
    )


def _mass_text(kg: float) -> str:
    return f"{kg:.2f} kg" if kg >= 0.1 else f"{kg * 1000:.0f} g"


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


# --- tables and notes -----------------------------------------------------------------------------------------------


def _chart(job: Job) -> Cells:
    coated = job.panel.coating > 0
    finished = "As given, coated" if job.panel.holes_finished else "Coated"
    head = ("Hole", "Count", "Purpose", "Size as cut", *((finished,) if coated else ()), "Countersink", "Drill")
    rows = [
        (
            row.letter,
            str(row.count),
            {"main": "connector", "fixing": "fixing", "rack": "panel mounting"}[row.purpose],
            row.punched,
            *((row.finished,) if coated else ()),
            row.sink_text or "–",
            drill_for(row).short,
        )
        for row in hole_chart(job)
    ]
    return head, rows


def _places(job: Job) -> Cells:
    head = ("No.", "Place", "Part", "Cut-out", "x", "y", "Turn", "Mount")
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
            f"{number(place.turn)}°" if place.turn else "–",
            place.mount,
        )
        for n, place in enumerate(job.places, start=1)
    ]
    return head, rows


def _notes(job: Job, view: FrontView) -> Iterator[str]:
    """Yield the notes of the drawing: how to read it, how to make it, cautions, and the layout's own notes."""
    panel = job.panel
    yield "Dimensions in mm. Datum: lower left corner of the front face (circled); positions in details from the axis."
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
        yield f"Legends engraved or printed on the front face, capitals {sizes} high: layer engrave of the cut file."
    yield from _left_out(job, view)
    if panel.lip:
        flat = blank(panel)
        yield (
            f"Lips {number(panel.lip)} deep behind the rear ({' and '.join(panel.folded)}), folded 90°, inside radius "
            f"{number(panel.bend_radius)}. Blank {number(flat.width)} × {number(flat.height)} for K-factor "
            f"{number(flat.k, 3)} ({flat.basis}; bend allowance {number(flat.allowance)} each bend); use the shop's "
            "own if it differs."
        )
    if panel.coating:
        yield f"Coating {number(panel.coating * 1000)} µm on every surface, walls of holes included."
    if any(place.part.mains or place.part.earth for place in job.places):
        yield "Earth points: mask before coating, or remove the coating to bare metal under the earth terminal."
    elif panel.coating and not panel.material.plastic:
        yield "Mask one fixing hole for the earth bond of the panel, or remove the coating there to bare metal."
    yield from cautions(job)
    yield from job.notes


def _left_out(job: Job, view: FrontView) -> Iterator[str]:
    """Yield what the front view does not show for want of room."""
    if not view.places:
        yield "Positions of the places: x and y in the table of places, from the datum."
    names = left_out(job)
    lost = [n for n, place in enumerate(job.places, start=1) if place.name in names]
    if lost:
        where = f"{'places' if len(lost) > 1 else 'place'} {runs(lost)}"
        yield f"No room for the legend of {where}: neither shown nor engraved."
