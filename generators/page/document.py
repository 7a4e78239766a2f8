"""The document: everything that can be told in words and tables, readable without the program and on paper."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from dryfit.generators.joints.words import describe
from dryfit.generators.lists.cautions import cautions
from dryfit.generators.lists.failing import NOT_FOR_MANUFACTURE
from dryfit.generators.lists.purchase import QUANTITIES, purchase_list, quantities
from dryfit.generators.lists.steps import Step, steps
from dryfit.generators.lists.unasked import unasked
from dryfit.generators.page.front_view import front_view, sign, signs
from dryfit.generators.page.markup import Element, element
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict, worst_first
from dryfit.models.job import Place


@dataclass(frozen=True)
class Listed:
    """A file beside the page: its name, what it is for, why it could not be made (if so), what is in it (a folder)."""

    name: str
    purpose: str
    why: str = ""
    inside: tuple[str, ...] = ()


VIEWS = (
    ("front", "From the front"),
    ("rear", "From behind"),
    ("corner", "Three-quarter"),
    ("rear corner", "Three-quarter behind"),
    ("above", "From above"),
    ("side", "From the side"),
)
LAYERS = (
    ("panel", "Panel"),
    ("part", "Parts"),
    ("screw", "Screws"),
    ("washer", "Washers"),
    ("nut", "Nuts"),
    ("plug", "Plugs"),
    ("legends", "Legends"),
    ("marks", "Verdicts"),
)
HIDDEN = ("plug",)  # layers that are shown when they are asked for: plugs hide the panel
AXES = (("", "Not cut"), ("x", "Across the width"), ("y", "Across the height"), ("z", "Parallel to the face"))
KEYS = (
    "Keys, with the picture chosen: arrows turn it, with Shift they shift it; + and - come nearer and go back; "
    "1 to 6 are the views; Enter picks what is under the cross, an edge rather than a face beside it; Escape shows "
    "everything again."
)


def body(*contents: Element) -> Element:
    """Return the body of a page, with the signs that it may use."""
    return element("body", signs(), *contents)


def document(report: Report, files: Iterable[Listed], notice: Iterable[Element] = ()) -> Element:
    """Return the body of the page of a build; a notice stands above all else."""
    return body(
        _head(report),
        *notice,
        element(
            "main",
            element("div", _bench(report), _flat(report), class_="seen"),
            element("div", _attention(report), _about(), class_="told-of"),
            *_lists(report, files),
        ),
    )


def _head(report: Report) -> Element:
    job, verdict = report.job, report.verdict
    revision = f", revision {job.revision}" if job.revision else ""
    return element(
        "header",
        element("h1", job.title),
        element(
            "p",
            sign(verdict),
            element("strong", f"{verdict}"),
            f" {_counted(report)}",
            *([element("strong", f" {NOT_FOR_MANUFACTURE}")] if verdict is Verdict.FAILS else []),
            class_=f"verdict {verdict}",
        ),
        element("p", f"{job.file}{revision}", class_="source"),
    )


def _counted(report: Report) -> str:
    counts = Counter(finding.verdict for finding in report.findings)
    fails, tight, fits = (counts[v] for v in (Verdict.FAILS, Verdict.TIGHT, Verdict.FITS))
    return f"{fails} fail, {tight} tight, {fits} fit, at {len(report.job.places)} places."


# --- the picture and what sets it -----------------------------------------------------------------------------------


def _bench(report: Report) -> Element:
    stage = element(
        "div",
        element("canvas", id="picture", aria_hidden="true"),
        element("svg", id="overlay", aria_hidden="true"),
        element("span", class_="cross", aria_hidden="true"),
        id="stage",
        role="application",
        tabindex=0,
        aria_label=f"{report.job.title} in 3D",
        aria_describedby="keys",
    )
    said = element("p", "The picture needs a browser that runs programs in pages.", id="said", role="status")
    keys = element("details", element("summary", "Keys"), element("p", KEYS, id="keys"), class_="keys")
    return element("section", stage, said, _settings(), keys, class_="bench", aria_label="The assembly in 3D")


def _settings() -> Element:
    return element(
        "div",
        _group(
            "Look",
            *(element("button", says, type="button", data_view=name) for name, says in VIEWS),
            element("button", "Cut open", type="button", id="cut-open"),
        ),
        _group("Take apart", _slider("plugs", "Plugs drawn out"), _slider("apart", "Pulled apart")),
        _group("Cut", *_cut()),
        _group("Show", *(_box(says, checked=name not in HIDDEN, data_layer=name) for name, says in LAYERS)),
        _group(
            "Choose",
            element("button", "Show everything", id="everything"),
            _box("Measure between two picks", id="measuring"),
        ),
        class_="settings",
    )


def _group(name: str, *contents: Element) -> Element:
    return element("fieldset", element("legend", name), *contents)


def _slider(name: str, says: str) -> Element:
    slider = element("input", type="range", id=name, min=0, max=100, value=0, autocomplete="off")
    return element("label", element("span", says), slider)


def _box(says: str, **attributes: object) -> Element:
    return element("label", element("input", type="checkbox", autocomplete="off", **attributes), says, class_="tick")


def _cut() -> Iterator[Element]:
    options = (element("option", says, value=axis) for axis, says in AXES)
    yield element("label", element("span", "Way"), element("select", *options, id="cut-axis", autocomplete="off"))
    where = element("input", type="range", id="cut-at", min=-1, max=1, value=0, step=0.1, disabled=True)
    yield element("label", element("span", "Where"), where)
    yield _box("Keep the other side", id="cut-other")
    yield element("output", id="cut-says", for_="cut-at")


# --- findings and places --------------------------------------------------------------------------------------------


def _attention(report: Report) -> Element:
    told = worst_first(report.findings)
    bad = [(n, finding) for n, finding in enumerate(told) if finding.is_bad]
    contents = (
        element("ol", *(element("li", _finding(n, finding)) for n, finding in bad))
        if bad
        else element("p", "Nothing fails and nothing is tight.")
    )
    bags = [element("p", bag.says) for bag in report.second_bags]
    bags = [element("h3", "More than one bag of screws"), *bags] if bags else []
    missing = [element("p", says) for says in unasked(report)]
    missing = [element("h3", "Not asked"), *missing] if missing else []
    told_of = element("div", contents, *missing, *bags, class_="findings")
    return element("section", element("h2", "What needs attention"), told_of, class_="attention")


def _finding(number: int, finding: Finding) -> Element:
    where = element("b", f"{finding.verdict} {finding.place or 'panel'}")
    remedy = [element("span", f"Remedy: {finding.advice}", class_="remedy")] if finding.advice else []
    says = element("span", finding.says)
    return element("button", sign(finding.verdict), where, says, *remedy, data_finding=number)


def _about() -> Element:
    hint = element("p", "Choose a place or a finding: what is known of it is told here.")
    return element("section", element("h2", "Chosen"), element("div", hint, id="about"), class_="about")


def _flat(report: Report) -> Element:
    return element("section", element("h2", "From the front"), front_view(report), class_="flat")


def _lists(report: Report, files: Iterable[Listed]) -> Iterator[Element]:
    places = (_place(report, number, place) for number, place in enumerate(report.job.places))
    yield section("Places", table("Places", ("Place", "Part", "Verdict", "Hardware"), places))
    heads = ("Group", "Item", *QUANTITIES[report.job.drawer is not None], "Note")
    told = ((i.group, i.item, *quantities(report, i), i.remark) for i in purchase_list(report))
    yield section("Parts list", table("Parts list", heads, told))
    yield section("Steps", element("ol", *(_step(step) for step in steps(report)), class_="steps"))
    rows = [_file(file) for file in files]
    if rows:
        yield section("Files", table("Files", ("File", "What it is for"), rows))
    yield section("Cautions", element("ul", *(element("li", text) for text in cautions(report.job)), class_="cautions"))


def section(name: str, *contents: Element) -> Element:
    """Return a section of lists under its heading."""
    return element("section", element("h2", name), *contents, class_="list")


Cell = str | Element
COUNTED = 2  # columns that say by themselves what they are; further ones do it by their heads where a page is narrow


def table(name: str, heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Element:
    """Return a table; roles are named, for where a page is narrow its cells are set as a text, which hides them."""
    columns = (element("th", text, scope="col", role="columnheader") for text in heads)
    head = element("thead", element("tr", *columns, role="row"), role="rowgroup")
    body_ = element("tbody", *(_row(heads, cells) for cells in rows), role="rowgroup")
    whole = element("table", head, body_, role="table", aria_label=name)
    return element("div", whole, class_="wide", tabindex=0, role="region", aria_label=f"Table: {name}")


def _row(heads: Sequence[str], cells: Sequence[Cell]) -> Element:
    named = zip(heads, cells, strict=True)
    told = (element("td", c, role="cell", data_head=h if n >= COUNTED else None) for n, (h, c) in enumerate(named))
    return element("tr", *told, role="row")


def _place(report: Report, number: int, place: Place) -> tuple[Cell, ...]:
    stack, verdict = report.stacks.get(place.name), report.verdict_of(place.name)
    return (
        element("button", place.name, data_place=number),
        place.part.title,
        element("span", sign(verdict), f" {verdict}"),
        describe(stack) if stack is not None else "",
    )


def _step(step: Step) -> Element:
    where = [element("p", ", ".join(step.places), class_="where")] if step.places else []
    return element("li", element("h3", step.title), *where, *(element("p", line) for line in step.lines))


def _file(file: Listed) -> tuple[Cell, ...]:
    if file.why:
        return file.name, f"not made: {file.why}"
    inside = (part for name in file.inside for part in (" ", element("a", name, href=f"{file.name}{name}")))
    return element("a", file.name, href=file.name), element("span", file.purpose, *inside)
