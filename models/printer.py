"""A plastic printer: its bed, how it lays plastic, and what its holes lose; and how that loss is learned.

Holes print smaller than they are drawn. A coupon of graded holes is printed as drawn, the holes are measured, and a
straight line through the readings, measured = start + slope x drawn, is turned round: a hole wanted at diameter d is
drawn at (d - start) / slope. What that adds is kept by size of hole; sizes between two entries are interpolated,
sizes beyond the last keep its value. All lengths mm.
"""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from pathlib import Path
from statistics import fmean, median
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.errors import DryfitError, said
from dryfit.models.reading.fields import Coordinate, Length, PositiveLength, Record, Text
from dryfit.models.reading.records import parse_record, read_record
from dryfit.models.reading.units import LENGTH_EXAMPLES, format_mm, parse_signed_length

MOST_ADDED = 2.0  # mm either way; a printer that is off by more is not adjusted but mended
LARGEST_HOLE = 500.0  # mm
ANY_HOLE = 1.0  # mm, where the only entry of a constant compensation stands; it holds for every size
MOST_POINTS = 64  # entries of one profile

COUPON_HOLES = (3.0, 3.2, 3.4, 3.6, 8.0, 12.0, 16.0, 24.0)
"""mm, the holes of the coupon: clearance holes of small screws by 0.2, then up to the common D-hole."""


class Compensation(Record):
    """What is added to the diameter of a hole of one size."""

    hole: Annotated[PositiveLength, Field(le=LARGEST_HOLE)]
    add: Annotated[Coordinate, Field(ge=-MOST_ADDED, le=MOST_ADDED)]


def _listed(value: object) -> object:
    """Return one length as the entry that holds for every size."""
    if isinstance(value, list | tuple):
        return value
    return [{"hole": ANY_HOLE, "add": _small(parse_signed_length(value), value)}]


def _small(length: float, found: object) -> float:
    if abs(length) > MOST_ADDED:
        raise ValueError(f"{said(found)} is more than {MOST_ADDED:g} mm either way")
    return length


class Filament(Record):
    """What is printed with: its diameter, and its density in g/cm3."""

    diameter: Annotated[PositiveLength, Field(ge=0.5, le=5.0)] = 1.75
    density: Annotated[float, Field(ge=0.2, le=10.0, strict=True, allow_inf_nan=False)] = 1.24


BedSide = Annotated[PositiveLength, Field(ge=60.0, le=2000.0)]
_COMPENSATION_SCHEMA = {"anyOf": [{"type": ["number", "string"], "description": LENGTH_EXAMPLES}, {"type": "array"}]}


class Printer(Record):
    """A printer's profile, as its file says it."""

    title: Text = "Printer"
    bed: tuple[BedSide, BedSide, Annotated[PositiveLength, Field(ge=10.0, le=2000.0)]]
    nozzle: Annotated[PositiveLength, Field(ge=0.1, le=2.0)] = 0.4
    layer: Annotated[PositiveLength, Field(ge=0.02, le=1.5)] = 0.2
    walls: Annotated[int, Field(ge=1, le=50, strict=True)] = 3
    solid_layers: Annotated[int, Field(ge=0, le=200, strict=True)] = 4
    infill: Annotated[float, Field(ge=0.0, le=1.0, strict=True, allow_inf_nan=False)] = 0.2
    compensation: Annotated[
        tuple[Compensation, ...],
        Field(min_length=1, max_length=MOST_POINTS),
        BeforeValidator(_listed),
        WithJsonSchema(_COMPENSATION_SCHEMA),
    ] = (Compensation(hole=ANY_HOLE, add=0.2),)
    joint: Annotated[Length, Field(le=1.0)] = 0.15
    filament: Filament = Filament()

    @model_validator(mode="after")
    def _in_order(self) -> Printer:
        if any(b.hole <= a.hole for a, b in pairwise(self.compensation)):
            raise ValueError("the entries of compensation must go from the smallest hole to the largest")
        if self.layer >= self.nozzle:
            raise ValueError("a layer must be thinner than the nozzle is wide")
        return self

    def added(self, diameter: float) -> float:
        """Return what is added to a hole of this diameter, mm."""
        points = self.compensation
        if diameter <= points[0].hole:
            return points[0].add
        for a, b in pairwise(points):
            if diameter <= b.hole:
                return a.add + (b.add - a.add) * (diameter - a.hole) / (b.hole - a.hole)
        return points[-1].add


# --- the file ------------------------------------------------------------------------------------------------------


def generic_text() -> str:
    """Return the commented profile of a generic printer."""
    return data_text("printer.yaml")


def generic_printer() -> Printer:
    """Return the printer taken where no profile is given."""
    return parse_record("printer.yaml", generic_text(), Printer)[0]


def read_printer(path: Path) -> Printer:
    """Return a printer's profile, validated whole.

    Raises:
        InputError: with every fault of the file.
    """
    return read_record(path, Printer)[0]


def with_compensation(text: str, points: Sequence[Compensation]) -> str:
    """Return the text of a (valid) profile with its compensation replaced; all else, comments included, stays."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    yaml = YAML(typ="rt", pure=True)
    yaml.preserve_quotes = True
    yaml.width = 4096  # lines stay as they are
    try:
        data = yaml.load(text)
    except YAMLError as error:
        raise DryfitError(f"the profile cannot be written back: {error}") from None
    data["compensation"] = _as_written(points)
    stream = io.StringIO()
    yaml.dump(data, stream)
    return stream.getvalue()


def _as_written(points: Sequence[Compensation]) -> Any:
    from ruamel.yaml.comments import CommentedSeq

    if len(points) == 1:
        return format_mm(points[0].add, 3)
    rows = CommentedSeq({"hole": format_mm(p.hole, 3), "add": format_mm(p.add, 3)} for p in points)
    rows.fa.set_flow_style()
    return rows


# --- what the coupon teaches ---------------------------------------------------------------------------------------

FURTHEST = 1.5  # mm a reading may differ from its hole; more is a slip of the pen
LEAST_OUTLIER = 0.1  # mm; calipers in a small printed hole repeat to about half of it (common practice)
OUTLIER_SPREADS = 3.0  # robust standard deviations beyond which a reading is left out (the usual rule)
ENOUGH = 4  # readings from which outliers and a slope can be told from noise
SLOPE_ERRORS = 2.0  # a slope counts where it is more than twice its own standard error (95 %)
LEAST_SLOPE = 0.02  # mm that a slope must change over the range measured: what calipers can show
LEAST_GROWTH = 0.8  # mm of reading per mm of hole; printers are out of scale by a few percent (common practice)
MAD_TO_SIGMA = 1.4826  # median absolute deviation of a normal spread to its standard deviation


@dataclass(frozen=True)
class Reading:
    """One hole of the coupon: the diameter it is drawn at, and what was measured."""

    drawn: float
    measured: float


@dataclass(frozen=True)
class Learned:
    """What the readings say: measured = start + slope x drawn, from ``used``; ``outliers`` were left out."""

    start: float
    slope: float
    used: tuple[Reading, ...]
    outliers: tuple[Reading, ...]

    @property
    def sloped(self) -> bool:
        """Whether the loss changes with the size of the hole."""
        return self.slope != 1.0

    @property
    def spread(self) -> float:
        """Root mean square of what the line leaves unexplained, mm."""
        return math.sqrt(fmean(self.residual(r) ** 2 for r in self.used))

    def residual(self, reading: Reading) -> float:
        """Return how far a reading lies off the line, mm."""
        return reading.measured - self.start - self.slope * reading.drawn

    def added(self, diameter: float) -> float:
        """Return what must be added to a hole so that it prints at ``diameter``, mm."""
        return (diameter - self.start) / self.slope - diameter

    def compensation(self) -> tuple[Compensation, ...]:
        """Return the entries of a profile: one for every size, or the two ends of the range measured."""
        if not self.sloped:
            return (Compensation(hole=ANY_HOLE, add=round(-self.start, 3)),)
        drawn = [r.drawn for r in self.used]
        return tuple(Compensation(hole=d, add=round(self.added(d), 3)) for d in (min(drawn), max(drawn)))


def learn(readings: Sequence[Reading]) -> Learned:
    """Return the line through the readings by least squares, outliers left out.

    Raises:
        DryfitError: if there are no readings, or one cannot be meant.
    """
    if not readings:
        raise DryfitError("no readings: measure the holes of the coupon and give each as drawn=measured")
    for r in readings:
        if not (0 < r.drawn <= LARGEST_HOLE and r.measured > 0 and abs(r.measured - r.drawn) <= FURTHEST):
            raise DryfitError(
                f"a hole of {format_mm(r.drawn)} measured as {format_mm(r.measured)}: expected within {FURTHEST:g} mm"
            )
    used, outliers = _sorted_out(readings)
    start, slope = _line(used)
    if not LEAST_GROWTH <= slope <= 1 / LEAST_GROWTH:
        raise DryfitError(
            f"the readings grow by {slope:.2f} mm for each mm of the holes: expected about 1; were they mixed up?"
        )
    return Learned(start, slope, used, outliers)


def _sorted_out(readings: Sequence[Reading]) -> tuple[tuple[Reading, ...], tuple[Reading, ...]]:
    """Return readings to use and those left out: far off the line of median slope, which a few slips do not move."""
    if len(readings) < ENOUGH:
        return tuple(readings), ()
    slopes = [
        (b.measured - a.measured) / (b.drawn - a.drawn) for a, b in combinations(readings, 2) if a.drawn != b.drawn
    ]
    slope = median(slopes) if slopes else 1.0
    offs = [r.measured - slope * r.drawn for r in readings]
    middle = median(offs)
    sigma = MAD_TO_SIGMA * median(abs(o - middle) for o in offs)
    limit = max(LEAST_OUTLIER, OUTLIER_SPREADS * sigma)
    near = [abs(o - middle) <= limit for o in offs]
    return (
        tuple(r for r, ok in zip(readings, near, strict=True) if ok),
        tuple(r for r, ok in zip(readings, near, strict=True) if not ok),
    )


def _line(used: Sequence[Reading]) -> tuple[float, float]:
    """Return start and slope by least squares; slope 1, a constant loss, unless another is beyond the noise."""
    losses = [r.measured - r.drawn for r in used]
    x, y = fmean(r.drawn for r in used), fmean(losses)
    sxx = sum((r.drawn - x) ** 2 for r in used)
    if len(used) < ENOUGH or sxx == 0:
        return y, 1.0
    tilt = sum((r.drawn - x) * (loss - y) for r, loss in zip(used, losses, strict=True)) / sxx
    rest = sum((loss - y - tilt * (r.drawn - x)) ** 2 for r, loss in zip(used, losses, strict=True))
    error = math.sqrt(rest / (len(used) - 2) / sxx)
    span = max(r.drawn for r in used) - min(r.drawn for r in used)
    if abs(tilt) <= SLOPE_ERRORS * error or abs(tilt) * span < LEAST_SLOPE:
        return y, 1.0
    return y - tilt * x, 1.0 + tilt
