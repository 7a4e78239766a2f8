"""What to measure first: dimensions from memory on which a verdict hangs, kind by kind.

A verdict hangs on a dimension where its check depends on that, and where the dimension need not be far off to turn it.
Of sections that are alike to a check the greatest decides.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import lru_cache
from itertools import groupby

from dryfit.generators.checks.registry import hangs_on
from dryfit.generators.report import Report
from dryfit.models.catalogue.dimensions import Dimension, confidence_of, dimensions, origin_of
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.findings import Finding
from dryfit.models.job import Mounting
from dryfit.models.reading.units import format_mm

OFF_BY = 0.1
"""of a dimension from memory. Of 186 such values that were later found in sources 3 of 100 were further off than this
or the least below, whichever is more."""
LEAST_OFF_BY = 0.5  # mm
DISTINCT = 1024  # dimensions remembered
OF_PLUG, THROUGH, WIDTH, HEIGHT = "plug.", "through.", ".width", ".height"


@dataclass(frozen=True)
class Unsure:
    """A dimension from memory of one kind of part or plug, mm, and the checks whose verdicts hang on it."""

    kind: str
    path: str
    value: float
    checks: tuple[str, ...]

    @property
    def says(self) -> str:
        """The dimension with its value."""
        return f"{self.path} {format_mm(self.value)}"


def measure_first(report: Report) -> tuple[Unsure, ...]:
    """Return the dimensions to measure before the panel is cut, kind by kind in the order of the layout."""
    found: dict[str, dict[Dimension, dict[str, None]]] = {}
    for place in report.job.places:
        for finding in report.of(place.name, beside=True):
            for kind, dimension in _unsure(finding, place.mounting):
                found.setdefault(kind, {}).setdefault(dimension, {})[finding.check] = None
    return tuple(
        Unsure(kind, dimension.path, dimension.value, tuple(checks))
        for kind, dimensions_ in found.items()
        for dimension, checks in dimensions_.items()
    )


def unsure_kinds(report: Report) -> dict[str, str]:
    """Return what to measure first in words, by kind of part or plug."""
    grouped = groupby(measure_first(report), key=lambda unsure: unsure.kind)
    return {kind: ", ".join(unsure.says for unsure in group) for kind, group in grouped}


def _unsure(finding: Finding, mounting: Mounting) -> Iterator[tuple[str, Dimension]]:
    """Yield the dimensions from memory of a part and its plug that would turn a finding if they were off."""
    if finding.margin is None or finding.unit != "mm":
        return
    for pattern in hangs_on(finding.check):
        kind, decides = _deciding(pattern, mounting)
        if decides is not None and abs(finding.margin) < max(LEAST_OFF_BY, OFF_BY * decides.value):
            yield kind, decides


def _deciding(pattern: str, mounting: Mounting) -> tuple[str, Dimension | None]:
    """Return the greatest dimension of a pattern, as what it follows from, if that is from memory; and whose it is."""
    if pattern.startswith(OF_PLUG):
        return mounting.plug_name or "", _from_memory(mounting.plug, pattern.removeprefix(OF_PLUG))
    through = "rear" if mounting.mount == "front" else "front"
    return mounting.kind, _from_memory(mounting.part, pattern.replace(THROUGH, f"{through}."))


@lru_cache(maxsize=DISTINCT)
def _from_memory(record: Part | Plug | None, pattern: str) -> Dimension | None:
    if record is None:
        return None
    known = {found.path: found for found in dimensions(record)}
    alike = [found for path, found in {**_heights(known), **known}.items() if fnmatchcase(path, pattern)]
    if not alike:
        return None
    origin = known[origin_of(record, max(alike, key=lambda found: found.value).path)]
    return origin if confidence_of(record, origin.path) == "from memory" else None


def _heights(known: Mapping[str, Dimension]) -> dict[str, Dimension]:
    """Return the widths of what is round, as its heights."""
    stems = (path.removesuffix(WIDTH) for path in known if path.endswith(WIDTH))
    return {f"{stem}{HEIGHT}": known[f"{stem}{WIDTH}"] for stem in stems if f"{stem}{HEIGHT}" not in known}
