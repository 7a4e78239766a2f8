"""Answers as CSV, as JSON for programs, and as a page to look at and to print."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from itertools import groupby

from dryfit.generators.matching.asked import Opening, Sheet
from dryfit.generators.matching.match import Match
from dryfit.generators.page.document import Cell, section, table
from dryfit.generators.page.front_view import sign
from dryfit.generators.page.markup import Element, element
from dryfit.generators.page.page import still_page
from dryfit.generators.writers.spreadsheet import as_text, csv_text
from dryfit.models.findings import Verdict
from dryfit.models.reading.errors import number_of
from dryfit.models.version import version

SCHEMA = 1
HEADINGS = (
    "part", "title", "mount", "hole", "verdict", "check", "says", "also", "hardware", "drawer", "threads",
    "to do", "then", "then hardware", "unused",
)  # fmt: skip
MEASURE = "Dimensions are generic: measure the part in hand, or read its maker's drawing, before buying or cutting."


def worst_last(found: Iterable[Match]) -> list[Match]:
    """Return what goes first, then what goes once something is done, then the rest; within these as it was asked."""
    return sorted(found, key=lambda match: (match.verdict.rank, match.work is None and not match.goes))


def threads_in_words(match: Match) -> str:
    """Return thread by thread how the part goes: ``M3 fits, No. 6-32 fails screw-passes``."""
    return ", ".join(" ".join(filter(None, (p.thread, str(p.verdict), p.check))) for p in match.threads)


def work_in_words(match: Match) -> str:
    """Return what is to be done, and where it fails without, how it goes then."""
    if match.work is None:
        return ""
    check = f" ({match.work.check})" if match.work.check else ""
    screws = f", with {match.work.hardware}" if match.work.hardware else ""
    return match.work.says if match.goes else f"{match.work.says} Then it {match.work.verdict.verb()}{check}{screws}."


def screws_in_words(match: Match) -> tuple[str, ...]:
    """Return the screws it goes with, what of them is in the drawer, then thread by thread how it goes."""
    return (match.hardware if match.goes else "", match.supply, threads_in_words(match))


def why(match: Match) -> str:
    """Return the reason of a verdict: the check, what it says, what else does not simply fit, holes left open."""
    told = [f"{match.check}: {match.says}"] if match.check else []
    told += [f"Also {', '.join(match.also)}."] if match.also else []
    told += [f"{match.unused} fixing holes stay open."] if match.unused and match.goes else []
    return " ".join(told)


# --- files -----------------------------------------------------------------------------------------------------------


def matches_csv(found: Iterable[Match]) -> str:
    """Return the answers as CSV, in the order in which they were asked."""
    return csv_text(HEADINGS, (_row(match) for match in found))


def _row(match: Match) -> tuple[object, ...]:
    work = match.work
    done = (work.says, str(work.verdict), work.hardware) if work is not None else ("", "", "")
    texts = (
        match.part, match.title, match.mount, match.opening, str(match.verdict), match.check, match.says,
        " ".join(match.also), match.hardware, match.supply, threads_in_words(match), *done,
    )  # fmt: skip
    return (*map(as_text, texts), match.unused)


def matches_json(found: Sequence[Match], openings: Sequence[Opening], sheet: Sheet) -> str:
    """Return the answers as JSON text; lengths are in words."""
    data = {
        "schema": SCHEMA,
        "dryfit": version(),
        "sheet": sheet.says,
        "holes": {opening.name: opening.says for opening in openings},
        "matches": [asdict(match) for match in found],
    }
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


# --- the page --------------------------------------------------------------------------------------------------------


def matches_page(found: Sequence[Match], openings: Sequence[Opening], sheet: Sheet) -> str:
    """Return a page of its own: what goes and what does not; of several parts and holes a matrix, and all reasons."""
    title = "What goes on which hole"
    head = element("header", element("h1", title), element("p", sheet.says, class_="source"))
    holes = element("ul", *(element("li", f"{o.name}: {o.says}") for o in openings), class_="cautions")
    told = _matrix(found, openings) if is_matrix(found, openings) else _lists(found, len(openings) > 1)
    count = element("p", f"{counted(found)}.")
    caution = section("Cautions", element("p", MEASURE))
    return still_page(title, head, element("main", section("Holes", holes, count), *told, caution))


def is_matrix(found: Sequence[Match], openings: Sequence[Opening]) -> bool:
    """Whether several parts meet several holes."""
    return len(openings) > 1 and len({match.part for match in found}) > 1


def counted(found: Sequence[Match]) -> str:
    """Return in one line how many answers came out how."""
    told = ", ".join(f"{sum(m.verdict is verdict for m in found)} {verdict}" for verdict in Verdict)
    return f"{number_of(len(found), 'answer')}: {told}"


def _matrix(found: Sequence[Match], openings: Sequence[Opening]) -> list[Element]:
    """Return the matrix, and the reasons in full, holes with the same one together."""
    rows, reasons = [], []
    for (part, mount), group in groupby(found, lambda match: (match.part, match.mount)):
        cells = list(group)
        rows.append((part, mount, *(element("span", _verdict(cell), f" {cell.check}") for cell in cells)))
        for told in dict.fromkeys(filter(None, map(why, cells))):
            reasons.append((part, mount, ", ".join(cell.opening for cell in cells if why(cell) == told), told))
    matrix = table("Parts and holes", ("Part", "From the", *(opening.name for opening in openings)), rows)
    in_full = table("Reasons", ("Part", "From the", "Holes", "Why"), reasons)
    return [section("Parts and holes", matrix), section("Reasons", in_full)]


def _verdict(match: Match) -> Element:
    return element("span", sign(match.verdict), element("b", f" {match.verdict}"))


def _lists(found: Sequence[Match], by_hole: bool) -> Iterator[Element]:
    """Yield what goes as it is, what goes once something is done, and what does not go, each as a table."""
    ordered, first = worst_last(found), "Hole" if by_hole else "Part"
    for name, heads, cells, some in (
        ("Goes", ("Verdict", "Screws", "Remarks"), _goes, [m for m in ordered if m.goes]),
        (
            "Goes once it is worked on",
            ("Why not now", "What to do"),
            _worked,
            [m for m in ordered if m.work and not m.goes],
        ),
        ("Does not go", ("Why",), _fails, [m for m in ordered if not m.work and not m.goes]),
    ):
        rows = [(m.opening if by_hole else m.part, m.mount, *cells(m)) for m in some]
        if rows:
            yield section(name, table(name, (first, "From the", *heads), rows))


def _goes(match: Match) -> tuple[Cell, ...]:
    screws = "; ".join(filter(None, screws_in_words(match)))
    return _verdict(match), screws, " ".join(filter(None, (why(match), work_in_words(match))))


def _worked(match: Match) -> tuple[Cell, ...]:
    return why(match), work_in_words(match)


def _fails(match: Match) -> tuple[Cell, ...]:
    return (why(match),)
