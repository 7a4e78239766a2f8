"""The drawing for assembly: the panel with its parts in, and every different stack with its sections."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dryfit.generators.bodies.assembly import Assembly
from dryfit.generators.drawing.dimensions import centre_cross
from dryfit.generators.drawing.marks import ARROW, Block, Drawing, Mark, Pen, Stroke, Text, around, arrow, block, line
from dryfit.generators.drawing.paper import scale_text, scales
from dryfit.generators.drawing.patterns import runs
from dryfit.generators.drawing.portions import portion_views, whole_view
from dryfit.generators.drawing.section import Plane, held_by, planes, section, stack_key
from dryfit.generators.drawing.sheets import Form, FrontView, filled, form, front_view
from dryfit.generators.drawing.textblocks import HEIGHT, TITLE, Cells, notes, tables, wrapped
from dryfit.generators.drawing.views import Show, in_line
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.failing import Fails
from dryfit.generators.lists.holes import LETTERS
from dryfit.models.geometry.contours import contour, number
from dryfit.models.geometry.outlines import round_
from dryfit.models.geometry.rectangles import Size
from dryfit.models.job import Job, Place
from dryfit.models.titles import BLANK, Titles

SECTION_SHARE = Size(0.42, 0.34)  # of the frame's height: how wide and high a section may be
KEY_SHARE = 0.22  # of the frame's height: how large the view of a place that shows its planes may be
KEY_TEXT = 70.0  # mm that the names of screws are wrapped to
OVERSHOOT = 7.0  # mm a cutting-plane line stands past the place
WITH_PARTS = Show(ordinates=False)


def assembly_drawing(
    job: Job,
    assembly: Assembly,
    paper_size: str = "A4",
    *,
    titles: Titles = BLANK,
    fails: Fails = (),
) -> Drawing:
    """Return the drawing on one paper size.

    Raises:
        UnknownName: if the paper size is not known.
        ValueError: if a view does not fit the paper even at 1:100.
    """
    sheets = form(job, paper_size, "Assembly drawing", titles, fails)
    front = front_view(job, sheets.room[1], WITH_PARTS)
    blocks = tuple(_blocks(job, assembly, sheets, front))
    return filled(sheets, ((blocks, front.scale),), f"{job.title}: assembly drawing")


def _blocks(job: Job, assembly: Assembly, sheets: Form, view: FrontView) -> Iterator[Block]:
    yield view.block
    yield from portion_views(job, "front", WITH_PARTS, view.parted)
    if any(place.mount == "rear" for place in job.places):
        yield in_line(whole_view(job, view.scale, "rear", WITH_PARTS, view.parted), view.block)
        yield from portion_views(job, "rear", WITH_PARTS, view.parted)
    high = sheets.most.height
    for stack in stacks(job, assembly):
        yield _key(stack, assembly, KEY_SHARE * high)
        for plane in stack.planes:
            yield section(
                job, assembly, stack.place, plane,
                room=SECTION_SHARE.scaled(high), where=stack.where, written=sheets.written,
            )  # fmt: skip
    yield notes("notes", "NOTES", (sheets.written.says, READ, *cautions(job)), sheets.notes_width)
    yield from tables("places", "PLACES", _places(job), sheets.most)


READ = (
    "Sections are seen from the right of their cutting plane: front of the panel left. Depths are "
    "from the rear face of the finished panel. Torque, tools and order of work: assembly sheet."
)


@dataclass(frozen=True)
class StackKind:
    """Places that are put together alike: the first of them, the numbers of all, and where it is cut."""

    place: Place
    numbers: tuple[int, ...]
    planes: tuple[Plane, ...]

    @property
    def where(self) -> str:
        """The first place by number and name."""
        return f"place {self.numbers[0]}, {self.place.name}"


def stacks(job: Job, assembly: Assembly) -> tuple[StackKind, ...]:
    """Return every different stack of a panel; letters run back from Z, apart from those of the holes, each once."""
    alike: dict[object, list[int]] = {}
    for n, place in enumerate(job.places, start=1):
        alike.setdefault(stack_key(place, assembly), []).append(n)
    letters = _letters(LETTERS[::-1])
    firsts = ((job.places[numbers[0] - 1], tuple(numbers)) for numbers in alike.values())
    return tuple(StackKind(place, numbers, planes(place, letters)) for place, numbers in firsts)


def _letters(alphabet: str) -> Iterator[str]:
    yield from alphabet
    yield from (f"{a}{b}" for a in alphabet for b in alphabet)


def _key(stack: StackKind, assembly: Assembly, room: float) -> Block:
    """Return a place from the front with its cutting planes, and in words what it is and what holds it."""
    place, cut = stack.place, stack.place.cutout
    scale = next(s for s in scales(2.0) if max(place.mounting.flange.size) * s <= room)
    marks: list[Mark] = [
        Stroke(contour(place.mounting.flange).scaled(scale), Pen.OUTLINE if place.mount == "front" else Pen.HIDDEN),
        Stroke(contour(cut.main).scaled(scale), Pen.HIDDEN if place.mount == "front" else Pen.OUTLINE),
    ]
    for at in cut.fixings:
        hole = round_(cut.fixing_diameter).moved(*at)
        marks += [Stroke(contour(hole).scaled(scale)), *centre_cross(*(at * scale), cut.fixing_diameter / 2 * scale)]
    _, bottom, _, top = around(marks)
    for plane in stack.planes:
        marks += _plane(plane.x * scale, top + 2.0, bottom - 2.0, plane.letter)
    left, bottom, _, _ = around(marks)
    where = f"place{'s' * (len(stack.numbers) > 1)} {runs(stack.numbers)}"
    marks.append(Text(left, bottom - TITLE - 3.0, f"{place.part.title}  {scale_text(scale)}", TITLE))
    told = (f"{where}, from the {place.mount}", *held_by(assembly, place))
    rows = [row for text in told for row in wrapped(text, KEY_TEXT, HEIGHT)]
    y = bottom - TITLE - 3.0
    marks += [Text(left, y - n * 1.7 * HEIGHT, row, HEIGHT) for n, row in enumerate(rows, start=1)]
    return block(f"place {stack.numbers[0]}", marks)


def _plane(x: float, top: float, bottom: float, letter: str) -> Iterator[Mark]:
    """Yield a cutting-plane line with wide ends, arrows in the direction of sight (to the left) and its letter."""
    up, down = top + OVERSHOOT, bottom - OVERSHOOT + 2.0
    yield line((x, up - 4), (x, down + 4), Pen.CENTRE)
    yield line((x, up), (x, up - 4), Pen.OUTLINE)
    yield line((x, down), (x, down + 4), Pen.OUTLINE)
    for y in (up, down):
        yield line((x, y), (x + 2 * ARROW, y), Pen.THIN)
        yield arrow((x, y), (x + 1, y))
        yield Text(x + 1.2 * ARROW, y + 0.8, letter, TITLE)


def _places(job: Job) -> Cells:
    head = ("No.", "Place", "Part", "Mount", "Turn")
    rows = [
        (
            str(n),
            place.name,
            place.part.title,
            place.mount,
            f"{number(place.whole_turn)}°" if place.whole_turn else "–",
        )
        for n, place in enumerate(job.places, start=1)
    ]
    return head, rows
