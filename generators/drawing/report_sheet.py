"""The report on paper: verdict, pictures, what needs attention with its gaps and cuts, what was checked, hardware."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from dryfit.generators.checks.registry import names, question
from dryfit.generators.drawing.front_picture import front_picture
from dryfit.generators.drawing.marks import Block, Drawing, Mark, Pen, Picture, Text, around, block, frame, line
from dryfit.generators.drawing.pages import Paging, centred, upright
from dryfit.generators.drawing.paper import scale_text
from dryfit.generators.drawing.patterns import runs
from dryfit.generators.drawing.section import section_view
from dryfit.generators.drawing.sheets import finish_words
from dryfit.generators.drawing.signs import FILLS, sign
from dryfit.generators.drawing.textblocks import HEIGHT, SMALL, TITLE, Cells, notes, paragraphs, wrapped, wrapped_tables
from dryfit.generators.joints.tightening import tightening
from dryfit.generators.joints.words import describe
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.failing import failing, titled
from dryfit.generators.lists.names import in_words
from dryfit.generators.lists.purchase import QUANTITIES, purchase_list, quantities
from dryfit.generators.lists.unasked import unasked
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict, worst
from dryfit.models.geometry.contours import dimension, number
from dryfit.models.geometry.rectangles import Rectangle, Size
from dryfit.models.job import Place
from dryfit.models.measures import MM
from dryfit.models.reading.errors import begun
from dryfit.models.version import version

LARGE = 5.0  # mm; ISO 3098 size of what is read first
FRONT = 0.26  # share of a page's height that the panel from the front may take
PICTURE = 0.22  # share of a page's height that each further picture may take: two stand on the first page
CUT = Size(56.0, 62.0)  # mm on paper that a cut may take
BESIDE = 6.0  # mm between text and the cut beside it
STEP = 1.6 * HEIGHT
CLOSE = 2.0  # mm between blocks that belong together
PAD = 3.0  # mm between a frame and what is in it

MEANS = {
    Verdict.FITS: "Everything that was checked goes together.",
    Verdict.TIGHT: "It goes together with care: what is tight is told below, with what to do about it.",
    Verdict.FAILS: "It does not go together as it is drawn: what fails is told below, with what would cure it. "
    "Nothing should be cut before.",
}


def report_sheet(report: Report, paper_size: str = "A4", pictures: Mapping[str, bytes] | None = None) -> Drawing:
    """Return the report on upright pages; ``pictures``, PNG files by what they show, stand on the first of them.

    Raises:
        UnknownName: if the paper size is not known.
    """
    job = report.job
    title = titled(f"{job.title}: fit report", failing(report.findings))
    foot = f"{title}, from {job.file}, state {job.digest[:12]}, by dryfit {version()}"
    paging = Paging(title, paper_size, foot)
    return Drawing(title, upright(paging, lambda room: _blocks(report, room, pictures or {})))


def _blocks(report: Report, room: Size, pictures: Mapping[str, bytes]) -> Iterator[Block]:
    yield _head(report, room.width)
    yield _facts(report, room.width)
    yield centred(front_picture(report, Size(room.width, FRONT * room.height)), room.width)
    for says, png in pictures.items():
        yield _picture(says, png, room)
    yield notes("cautions", "BEFORE ANYTHING IS CUT", cautions(report.job), room.width)
    yield from _attention(report, room)
    yield from wrapped_tables("checks", "WHAT WAS CHECKED", _checks(report), room, height=SMALL)
    yield from wrapped_tables("places", "PLACES", _places(report), room, height=SMALL)
    yield from _hardware(report, room)
    yield from wrapped_tables("parts list", "WHAT TO BUY", _purchase(report), room, height=SMALL)


# --- the first page -------------------------------------------------------------------------------------------------


def _head(report: Report, width: float) -> Block:
    """Return title and verdict: the sign, the word, what it means, and how many of what."""
    job, verdict = report.job, report.verdict
    revision = f", revision {job.revision}" if job.revision else ""
    marks: list[Mark] = [Text(0.0, -HEIGHT, "FIT REPORT", HEIGHT)]
    y = -HEIGHT - 1.0
    for row in wrapped(f"{job.title}{revision}", width, LARGE):
        y -= 1.5 * LARGE
        marks.append(Text(0.0, y, row, LARGE))
    top = y - 4.0
    left = 2 * PAD + 2 * LARGE
    y = top - PAD - LARGE
    marks.append(Text(left, y, str(verdict).upper(), LARGE))
    y -= 1.0
    for text in (MEANS[verdict], _counted(report)):
        for row in wrapped(text, width - left - PAD, HEIGHT):
            y -= STEP
            marks.append(Text(left, y, row, HEIGHT))
    box = Rectangle(0.0, y - PAD, width, top)
    marks += [
        frame(box, Pen.OUTLINE),
        frame(box._replace(right=1.5), None, FILLS[verdict]),
        *sign(verdict, PAD + LARGE, box.centre.y, 2 * LARGE),
    ]
    return Block("verdict", tuple(marks), Rectangle(0.0, box.bottom, width, 0.0))


def _counted(report: Report) -> str:
    places = Counter(report.verdict_of(place.name) for place in report.job.places)
    answers = Counter(finding.verdict for finding in report.findings)
    told = (
        f"{count.total()} {what}: {count[Verdict.FAILS]} fail, {count[Verdict.TIGHT]} tight, {count[Verdict.FITS]} fit"
        for what, count in (("places", places), ("answers", answers))
    )
    return "; ".join(told) + "."


def _facts(report: Report, width: float) -> Block:
    panel = report.job.panel
    units = f", {panel.rack_units} rack units" if panel.rack_units else ""
    lips = f"; lips {number(panel.lip)} mm deep ({', '.join(panel.folded)})" if panel.lip else ""
    told = (
        f"Panel: {number(panel.width)} × {number(panel.height)} mm{units}; {panel.material.name}, "
        f"{dimension(panel.thickness)} mm thick; {finish_words(panel, MM)}{lips}.",
        "The panel from the front as it will be seen, not to scale: the number of each place and its verdict.",
    )
    rows = [row for text in told for row in wrapped(text, width, HEIGHT)]
    return block("panel", [Text(0.0, -STEP * n, row, HEIGHT) for n, row in enumerate(rows, start=1)])


def _picture(says: str, png: bytes, room: Size) -> Block:
    """Return a picture as large as its share of the page allows, with what it shows."""
    wide, high = _pixels(png)
    height = min(room.width * high / wide, PICTURE * room.height)
    middle, half = room.width / 2, height * wide / high / 2
    caption = Text(middle, -height - STEP, says, HEIGHT, "centre")
    marks = (Picture(Rectangle(middle - half, -height, middle + half, 0.0), png, says), caption)
    return Block("picture", marks, Rectangle(0.0, -height - 1.3 * STEP, room.width, 0.0))


def _pixels(png: bytes) -> tuple[int, int]:
    """Return width and height of a PNG: the first two numbers of its header."""
    return int.from_bytes(png[16:20]), int.from_bytes(png[20:24])


# --- what needs attention -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Group:
    """Places of which the same is told, and the findings of the first of them."""

    places: tuple[Place, ...]
    findings: tuple[Finding, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of the findings."""
        return worst(finding.verdict for finding in self.findings)


def groups(report: Report) -> tuple[Group, ...]:
    """Return all that does not simply fit, like places together, the worst first; the panel as a whole at the end."""
    alike: dict[object, list[Place]] = {}
    for place in report.job.places:
        told = tuple((f.check, f.verdict, f.says.replace(place.name, ""), f.advice) for f in _bad(report, place.name))
        stack = report.stacks.get(place.name)
        if told:
            key = (place.kind, place.mount, stack and stack.hardware, place.cutout.main.box.size, told)
            alike.setdefault(key, []).append(place)
    found = [Group(tuple(places), _bad(report, places[0].name)) for places in alike.values()]
    found.sort(key=lambda group: -group.verdict.rank)
    known = {place.name for place in report.job.places}
    whole = tuple(f for f in report.findings if f.is_bad and f.place not in known)
    return (*found, *([Group((), whole)] if whole else []))


def _bad(report: Report, place: str) -> tuple[Finding, ...]:
    bad = (finding for finding in report.of(place) if finding.is_bad)
    return tuple(sorted(bad, key=lambda finding: -finding.verdict.rank))


def _attention(report: Report, room: Size) -> Iterator[Block]:
    title = "WHAT NEEDS ATTENTION"
    told = [made for group in groups(report) for made in _group(report, group, room)]
    yield _headed(title, told[0]) if told else _heading(title, "Nothing fails and nothing is tight.")
    yield from told[1:]
    missing = unasked(report)
    if missing:
        yield notes("not asked", "NOT ASKED", missing, room.width)
    if report.second_bags:
        yield notes("second bags", "MORE THAN ONE BAG OF SCREWS", [bag.says for bag in report.second_bags], room.width)


def _heading(title: str, says: str = "") -> Block:
    marks = [Text(0.0, -LARGE, title, TITLE)]
    marks += [Text(0.0, -LARGE - 1.6 * STEP, says, HEIGHT)] if says else []
    return block(title.lower(), marks)


def _headed(title: str, first: Block) -> Block:
    """Return a heading that stays with what comes first below it."""
    made = _stacked([_heading(title), first], LARGE)
    return Block(first.name, made.marks, made.box._replace(right=first.size.width))


def _group(report: Report, group: Group, room: Size) -> Iterator[Block]:
    """Yield the findings of like places, the first of them beside a cut through one of these places."""
    cut = _cut(report, group.places[0]) if group.places else None
    width = room.width - (cut.size.width + BESIDE if cut is not None else 0.0)
    head, told = _group_head(report, group, room.width), [_finding(finding, width) for finding in group.findings]
    if cut is None:
        yield _stacked([head, told[0]])
        yield from told[1:]
        return
    count = next((n for n in range(1, len(told)) if _tall(told[:n]) >= cut.size.height), len(told))
    text = _stacked([head, *told[:count]])
    beside = cut.at(room.width - cut.size.width, -head.size.height - CLOSE)
    bottom = min(text.box.bottom, beside.box.bottom)
    yield Block(text.name, (*text.marks, *beside.marks), Rectangle(0.0, bottom, room.width, 0.0))
    yield from told[count:]


def _tall(blocks: Sequence[Block]) -> float:
    return sum(one.size.height + CLOSE for one in blocks)


def _stacked(blocks: Sequence[Block], apart: float = CLOSE) -> Block:
    """Return blocks one below the other as one, as wide as the first."""
    marks: list[Mark] = []
    top = 0.0
    for one in blocks:
        marks += one.at(0.0, top).marks
        top -= one.size.height + apart
    return Block(blocks[0].name, tuple(marks), Rectangle(0.0, top + apart, blocks[0].size.width, 0.0))


def _group_head(report: Report, group: Group, width: float) -> Block:
    numbers = {place.name: n for n, place in enumerate(report.job.places, start=1)}
    if group.places:
        first = group.places[0]
        where = runs([numbers[place.name] for place in group.places])
        called = in_words([place.name for place in group.places])
        says = f"{called} (place{'s' * (len(group.places) > 1)} {where}): {first.part.title}, from the {first.mount}"
    else:
        says = "The panel as a whole"
    rows = list(wrapped(says, width - 2 * TITLE, TITLE))
    marks: list[Mark] = [line((0.0, 0.0), (width, 0.0)), *sign(group.verdict, TITLE / 2, -2.5 - TITLE / 2, TITLE + 0.8)]
    y = -2.5
    for row in rows:
        y -= TITLE
        marks.append(Text(2 * TITLE, y, row, TITLE))
        y -= 0.5 * TITLE
    return Block("attention", tuple(marks), Rectangle(0.0, y, width, 0.0))


def _finding(finding: Finding, width: float) -> Block:
    """Return one finding: its verdict and check, what it says, the figures, the remedy, and where the limit is from."""
    lines = [finding.says, *figures(finding)]
    lines += [f"Remedy: {finding.advice}"] if finding.advice else []
    lines += [f"Of the same cause: {', '.join(finding.also)}."] if finding.also else []
    lines += [f"Source: {finding.source}."] if finding.source else []
    title = f"{finding.verdict}: {finding.check.replace('-', ' ')}"
    marks: list[Mark] = [
        *sign(finding.verdict, HEIGHT, -HEIGHT - 0.4, HEIGHT + 0.6),
        Text(7.0, -HEIGHT - 1.6, title, HEIGHT),
    ]
    y = -HEIGHT - 1.6
    for text in lines:
        for row in wrapped(text, width - 7.0, HEIGHT):
            y -= STEP
            marks.append(Text(7.0, y, row, HEIGHT))
    return Block("finding", tuple(marks), Rectangle(0.0, y - 1.0, width, 0.0))


def figures(finding: Finding) -> Iterator[str]:
    """Yield the numbers of a finding: what was measured, what is wanted, and by how much it is missed or kept."""
    if finding.margin is None or finding.unit == "count":
        return
    spare = f"{_amount(finding)} {'short' if finding.margin < 0 else 'to spare'}."
    if finding.measured is None or not finding.limit:
        yield f"Margin: {spare}"
    else:
        yield f"Measured {_signed(finding.measured)} mm, wanted at least {_signed(finding.limit)} mm: {spare}"


def _amount(finding: Finding) -> str:
    amount = abs(finding.margin or 0.0)
    return f"{100 * amount:.0f} %" if finding.unit == "share" else f"{amount:.2f} {finding.unit}"


def _signed(mm: float) -> str:
    return f"{mm:.2f}".replace("-", "−")


def _cut(report: Report, place: Place) -> Block | None:
    """Return a place cut open through a fixing axis, with its scale; None where the plane meets nothing of it."""
    marks, scale = section_view(report.job, report.assembly, place, CUT)
    box = around(marks)
    caption = f"{place.name}, cut open, {scale_text(scale)}"
    return block("cut", [*marks, Text(box.centre.x, box.bottom - STEP, caption, SMALL, "centre")])


# --- tables ---------------------------------------------------------------------------------------------------------


def _checks(report: Report) -> Cells:
    head = ("Check", "It asks", "Fails", "Tight", "Fits", "Closest", "At")
    return head, [_check(name, [f for f in report.findings if f.check == name]) for name in names()]


def _check(name: str, findings: Sequence[Finding]) -> tuple[str, ...]:
    count = Counter(finding.verdict for finding in findings)
    lengths = [f for f in findings if f.margin is not None and f.unit == "mm"]
    closest = min(lengths, key=lambda f: f.margin or 0.0, default=None)
    margin = "–" if closest is None else f"{_signed(closest.margin or 0.0)} mm"
    at = "–" if closest is None else closest.place or "panel"
    counts = (str(count[verdict] or "–") for verdict in (Verdict.FAILS, Verdict.TIGHT, Verdict.FITS))
    return (name, question(name), *counts, margin, at)


def _places(report: Report) -> Cells:
    head = ("No.", "Place", "Part", "Mount", "Verdict", "Plug")
    rows = [
        (
            str(n),
            place.name,
            place.part.title,
            place.mount,
            str(report.verdict_of(place.name)),
            place.plug.title if place.plug is not None else "–",
        )
        for n, place in enumerate(report.job.places, start=1)
    ]
    return head, rows


def _hardware(report: Report, room: Size) -> Iterator[Block]:
    """Yield what holds the parts, places with the same together."""
    alike: dict[str, list[int]] = {}
    for n, place in enumerate(report.job.places, start=1):
        stack = report.stacks.get(place.name)
        if stack is not None:
            words = describe(stack)
            tight = "" if stack.screw.rivet is not None else f"; tighten to {tightening(stack).text}"
            alike.setdefault(f"{begun(words)}{tight}.", []).append(n)
    items = [f"Place{'s' * (len(numbers) > 1)} {runs(numbers)}: {words}" for words, numbers in alike.items()]
    if items:
        yield paragraphs("hardware", (Text(0.0, -TITLE - 0.2, "HARDWARE", TITLE),), items, room.width)


def _purchase(report: Report) -> Cells:
    head = ("Group", "Item", *QUANTITIES[report.job.drawer is not None])
    return head, [(i.group, i.item, *quantities(report, i)) for i in purchase_list(report)]
