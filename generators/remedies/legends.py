"""Shorter legends."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from dryfit.generators.checks.legend_room import quoted
from dryfit.generators.lettering.typeface import missing
from dryfit.generators.remedies import edits
from dryfit.generators.remedies.register import strategy
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy
from dryfit.models.legends import LegendWish

CUT = 0.75  # each shortening of words leaves so much of the last
SHORTEST = 3  # letters that a word keeps when a legend is shortened; fewer say nothing


@strategy("shorter legend")
def shorter_legend(report: Report, finding: Finding) -> Iterator[Remedy]:
    """Propose the legends of the same entry shortened more and more."""
    place = report.job.place(finding.place)
    row = edits.row(report.job, place)
    pattern, first = pattern_of(tuple(p.legend.strip() for p in row))
    assert report.job.draft is not None  # it was read from a layout
    in_full = isinstance(report.job.draft.layout.layout.places[place.entry].legend, LegendWish)
    path = ("legend", "text") if in_full else ("legend",)
    for text in shortened(pattern, missing(place.legend, report.job.font)):
        ours = text.replace("{n}", str(first + row.index(place)))
        says = f"Shorten its legend to {quoted(ours)}, or to another text that is no wider."
        yield Remedy(says, (Edit(place.entry, path, text),))


def pattern_of(texts: tuple[str, ...]) -> tuple[str, int]:
    """Return what a row of legends has in common, its counting number as ``{n}``, and the number it starts from.

    Legends that do not count are returned as the first of them is.
    """
    for match in re.finditer(r"\d+", texts[0]) if len(texts) > 1 else ():
        pattern = texts[0][: match.start()] + "{n}" + texts[0][match.end() :]
        first = int(match.group())
        if all(pattern.replace("{n}", str(first + i)) == text for i, text in enumerate(texts)):
            return pattern, first
    return texts[0], 0


def shortened(text: str, without: str = "") -> Iterator[str]:
    """Yield a legend without some characters, then with its words cut shorter and shorter, then with fewer of them.

    Numbers stay whole, and a last word that counts (``{n}``) stays in its place.
    """
    clean = " ".join("".join(letter for letter in text if letter not in without).split())
    if not clean:
        return
    if clean != text:
        yield clean
    words = clean.split(" ")
    length = max((len(word) for word in words if word.isalpha()), default=0) - 1
    while length >= SHORTEST:
        yield " ".join(_cut(words, length))
        length = min(length - 1, max(SHORTEST, round(length * CUT))) if length > SHORTEST else 0
    words = _cut(words, SHORTEST)
    while len(words) > 1:
        words = words[:-1] if words[-1].isalpha() else [*words[:-2], words[-1]]
        yield " ".join(words)


def _cut(words: Sequence[str], length: int) -> list[str]:
    return [word[:length] if word.isalpha() else word for word in words]
