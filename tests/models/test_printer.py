"""The printer's profile: what may be written, what is refused with its line, and what readings of the coupon teach."""

from __future__ import annotations

import contextlib
import itertools
import math
from pathlib import Path

import pytest

from dryfit.models.printer import (
    COUPON_HOLES,
    Compensation,
    Printer,
    Reading,
    generic_printer,
    generic_text,
    learn,
    read_printer,
    with_compensation,
)
from dryfit.models.reading.errors import DryfitError, InputError
from dryfit.models.reading.records import parse_record


def _read(text: str) -> Printer:
    return parse_record("p.yaml", text, Printer)[0]


BED = "bed: [220, 220, 250]\n"


def test_the_generic_printer_is_what_its_commented_file_says() -> None:
    printer = generic_printer()
    assert printer.bed == (220, 220, 250)
    assert (printer.nozzle, printer.layer, printer.joint) == (0.4, 0.2, 0.15)
    assert (printer.filament.diameter, printer.filament.density) == (1.75, 1.24)
    assert printer.added(3) == printer.added(300) == 0.2


def test_only_the_bed_must_be_given() -> None:
    assert _read(BED).nozzle == 0.4
    with pytest.raises(InputError, match="'bed' is missing"):
        _read("nozzle: 0.4")


def test_compensation_is_interpolated_between_sizes_and_held_beyond() -> None:
    printer = _read(f"{BED}compensation: [{{hole: 3, add: 0.3}}, {{hole: 1/2 in, add: 0.1 mm}}]")
    assert printer.added(1) == 0.3
    assert printer.added((3 + 12.7) / 2) == pytest.approx(0.2)
    assert printer.added(100) == 0.1


def test_a_printer_may_print_holes_too_large() -> None:
    assert _read(f"{BED}compensation: -0.1 mm").added(5) == -0.1


@pytest.mark.parametrize(
    ("text", "line", "what"),
    [
        ("bed: [220, 220]", 1, "bed"),
        ("bed: [220, 220, .nan]", 1, "nan is not a finite length"),
        ("bed: [20, 220, 250]", 1, "at least 60"),
        ("bed: [220, 220, 9000 mm]", 1, "at most 2000"),
        (f"{BED}nozzle: 0", 2, "more than zero"),
        (f"{BED}infill: .nan", 2, "finite"),
        (f"{BED}infill: 20", 2, "at most 1"),
        (f"{BED}infill: true", 2, "a number"),
        (f"{BED}walls: 2.5", 2, "a whole number"),
        (f"{BED}nozle: 0.4", 2, "did you mean nozzle"),
        (f"{BED}compensation: 5 mm", 2, "more than 2 mm"),
        (f"{BED}compensation: []", 2, "at least 1"),
        (f"{BED}compensation:\n  - {{hole: 3, add: 0.1}}\n  - {{hole: 8, add: 9}}", 4, "at most 2"),
        (f"{BED}compensation:\n  - {{hole: 3, add: .inf}}", 3, "not a finite length"),
        (f"{BED}compensation: [{{hole: 8, add: 0}}, {{hole: 3, add: 0}}]", 1, "from the smallest hole to the largest"),
        (f"{BED}layer: 0.4", 1, "thinner than the nozzle"),
        (f"{BED}filament: {{density: 0}}", 2, "at least 0.2"),
        ("- a list", 1, "has no keys"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(text: str, line: int, what: str) -> None:
    with pytest.raises(InputError) as caught:
        _read(text)
    assert any(fault.line == line and what in str(fault) for fault in caught.value.faults), str(caught.value)


def test_a_missing_file_is_one_line(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        read_printer(tmp_path / "none.yaml")


# --- readings ------------------------------------------------------------------------------------------------------


def _readings(loss: float, slope: float = 0.0) -> list[Reading]:
    return [Reading(d, d - loss + slope * d) for d in COUPON_HOLES]


def test_one_reading_gives_a_constant() -> None:
    assert learn([Reading(3.2, 3.05)]).compensation() == (Compensation(hole=1, add=0.15),)


def test_noise_alone_makes_no_slope() -> None:
    noise = (0.02, -0.03, 0.01, 0.0, -0.02, 0.03, -0.01, 0.01)
    learned = learn([Reading(r.drawn, r.measured + n) for r, n in zip(_readings(0.2), noise, strict=True)])
    assert not learned.sloped
    assert learned.added(10) == pytest.approx(0.2, abs=0.01)


def test_a_slope_is_learned_and_turned_round() -> None:
    learned = learn(_readings(0.3, 0.005))
    assert learned.sloped
    for wanted in (3.0, 10.0, 24.0):
        drawn = wanted + learned.added(wanted)
        assert drawn - 0.3 + 0.005 * drawn == pytest.approx(wanted, abs=1e-9)  # what this printer makes of it
    small, large = learned.compensation()
    assert (small.hole, large.hole) == (3.0, 24.0)
    assert small.add > large.add


@pytest.mark.parametrize("slip", [-0.9, 0.6, 1.2])
@pytest.mark.parametrize("which", [0, 3, 7])
def test_one_slip_is_left_out_and_told(slip: float, which: int) -> None:
    readings = _readings(0.2)
    readings[which] = Reading(readings[which].drawn, readings[which].measured + slip)
    learned = learn(readings)
    assert learned.outliers == (readings[which],)
    assert learned.compensation() == (Compensation(hole=1, add=0.2),)


def test_honest_scatter_is_no_outlier() -> None:
    readings = [Reading(r.drawn, r.measured + 0.08 * math.sin(7 * n)) for n, r in enumerate(_readings(0.2))]
    assert learn(readings).outliers == ()


@pytest.mark.parametrize("reading", [Reading(24, 3.2), Reading(3.2, 0.5), Reading(3.2, -3.0), Reading(0, 0.1)])
def test_readings_that_cannot_be_meant_are_refused(reading: Reading) -> None:
    with pytest.raises(DryfitError, match="measured as"):
        learn([reading])


@pytest.mark.parametrize(
    "measured",
    [(4.4, 4.4, 4.4, 4.4), (4.0, 3.8, 3.6, 3.4), (4.5, 3.9, 3.3, 2.7), (2.0, 2.7, 3.4, 4.1), (1.5, 2.5, 3.5, 4.5)],
)
def test_readings_that_do_not_grow_as_the_holes_do_are_refused(measured: tuple[float, ...]) -> None:
    with pytest.raises(DryfitError, match="expected about 1"):
        learn([Reading(drawn, found) for drawn, found in zip((3.0, 3.2, 3.4, 3.6), measured, strict=True)])


def test_what_is_learned_is_always_a_valid_profile() -> None:
    for losses in itertools.product((-1.4, 0.0, 1.4), repeat=4):
        readings = [Reading(d, d + loss) for d, loss in zip((3.0, 3.6, 12.0, 24.0), losses, strict=True)]
        with contextlib.suppress(DryfitError):
            assert _read(with_compensation(BED, learn(readings).compensation())).compensation


def test_no_readings_teach_nothing() -> None:
    with pytest.raises(DryfitError, match="no readings"):
        learn([])


# --- the file written ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("slope", [0.0, 0.005])
def test_a_profile_keeps_its_comments_when_compensation_is_written(slope: float) -> None:
    learned = learn(_readings(0.3, slope))
    text = with_compensation(generic_text(), learned.compensation())
    assert _read(text).compensation == learned.compensation()
    changed = [a for a, b in zip(generic_text().splitlines(), text.splitlines(), strict=True) if a != b]
    assert changed == ["compensation: 0.2 mm"]


def test_a_profile_without_compensation_gets_one() -> None:
    text = with_compensation(BED, (Compensation(hole=1, add=0.25),))
    assert _read(text).added(5) == 0.25
