"""Spellings: what people write for a name, a unit or a size means what the table says, and nothing else."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from dryfit.models.key_names import names_of
from dryfit.models.keys import keys
from dryfit.models.layout import known_keys
from dryfit.models.reading.datafiles import data_text
from dryfit.models.reading.spellings import counted, meant, plainly
from dryfit.models.reading.units import parse_length
from dryfit.models.resolve import parse_job
from tests.models.reading.bad_inputs import GOOD

ROWS = tuple(csv.DictReader(io.StringIO(data_text("spellings.csv"))))
KEY_OF = {
    "origin": "origin", "environment": "environment", "side": "places.mount", "material": "panel.material",
    "finish": "panel.finish", "colour": "panel.colour", "metal": "hardware.metal", "head": "hardware.heads",
    "drive": "hardware.drives", "nut": "places.hardware.nut", "washer": "places.hardware.washers",
    "retention": "hardware.retention", "edge": "panel.lips",
}  # fmt: skip
"""The key that takes the names of a kind."""


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row["means"]], ids=lambda row: f"{row['kind']} {row['written']}"
)
def test_every_spelling_means_a_name_there_is_and_is_none_itself(row: dict[str, str]) -> None:
    names = tuple(known_keys()) if row["kind"] == "key" else names_of(KEY_OF[row["kind"]])
    assert row["means"] in names
    assert plainly(row["written"]) not in {plainly(name) for name in names}
    assert meant(row["kind"], row["written"].upper(), names) == row["means"]


def test_no_word_is_spelled_for_two() -> None:
    assert len({(row["kind"], plainly(row["written"])) for row in ROWS}) == len(ROWS)


@pytest.mark.parametrize(
    ("text", "mm"),
    [("60 um", 0.06), ("60 µm", 0.06), ("60μm", 0.06), ("2.4 thou", 0.06096), ("3 mil", 0.0762), ("1/2″", 12.7),
     ("3 MM", 3.0), ("2 inches", 50.8), ("10 millimeters", 10.0), ("1 1/2 In", 38.1), ("25 micron", 0.025)],
)  # fmt: skip
def test_lengths_are_read_in_the_units_of_the_trade(text: str, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    ("written", "number"),
    [("2U", "2"), ("2 u", "2"), ("3 RU", "3"), ("4HE", "4"), ("2", None), ("U", ""), ("2 UU", None)],
)
def test_a_number_before_a_word_is_told_from_it(written: str, number: str | None) -> None:
    assert counted(written, "rack unit") == number


SHORT = """\
Title: Test
Panel: {Rack Units: 2RU, Thickness: 14 gauge, Material: STEEL, Coating: 60 um, finish: Powder-Coated, color: light gray}
Environment: Indoors
Hardware: {threads: "m3, 4-40", heads: csk, drives: PH, metal: Stainless Steel, spares: 20%}
Cut: {slot: 20 x 6 mm, at: 300 x 44, rotate: 90 deg}
Places:
  - {Part: xlr3-socket, Label: MIC, Qty: 2, At: "60, 44 mm", Spacing: 30, Mount: Back, Hardware: {washers: star}}
"""
LONG = """\
title: Test
panel: {rack_units: 2, thickness: 14 ga, material: steel, coating: 0.06, finish: powder coat, colour: light grey}
environment: indoor
hardware: {threads: [M3, No. 4-40], heads: [countersunk], drives: [cross recess], metal: stainless, spares: 20}
cut: [{slot: [20, 6], at: [300, 44], turn: 90}]
places:
  - {part: xlr3-socket, label: MIC, count: 2, at: [60, 44], pitch: 30, mount: rear, hardware: {washers: [tooth]}}
"""


def test_a_layout_in_other_spellings_is_the_same_job() -> None:
    jobs = [parse_job(Path("t.yaml"), text) for text in (SHORT, LONG)]
    assert jobs[0].panel == jobs[1].panel
    assert jobs[0].places == jobs[1].places
    assert (jobs[0].title, jobs[0].environment, jobs[0].spares) == (jobs[1].title, jobs[1].environment, jobs[1].spares)


@pytest.mark.parametrize(
    ("size", "sides"),
    [("200 x 80 mm", (200, 80)), ("200 mm x 80 mm", (200, 80)), ("8 x 3 in", (203.2, 76.2)),
     ('4 1/2" x 4.5"', (114.3, 114.3)), ("200×80", (200, 80)), ("20 cm by 80 mm", (200, 80)), ("2U", (482.6, 88.11))],
)  # fmt: skip
def test_a_size_is_read_as_people_write_it(size: str, sides: tuple[float, float]) -> None:
    one = GOOD.replace("count: 2", "count: 1").replace("[60 mm, 44 mm]\n    pitch: 30 mm", "[30, 30]")
    panel = parse_job(Path("t.yaml"), one.replace("rack_units: 2", f"size: '{size}'")).panel
    assert (panel.width, panel.height) == pytest.approx(sides)


def test_every_key_is_known_as_it_is_written() -> None:
    assert {row.name for row in keys()} <= known_keys()
