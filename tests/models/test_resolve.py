"""From layout to job: sizes, positions, cut-outs and wishes as the layout means them."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from jsonschema import ValidationError, validate

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.layout_schema import layout_schema, schema_text
from dryfit.models.reading.datafiles import data_text
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, job, place

COATED = "{rack_units: 2, thickness: 3, coating: 0.1}"


def test_to_suit_is_opened_for_the_coating(tmp_path: Path) -> None:
    cut = job(tmp_path, place("xlr3-socket"), COATED).places[0].cutout
    assert cut.main.size.width == pytest.approx(24.2)
    assert cut.fixing_diameter == pytest.approx(3.6)


def test_a_pattern_is_as_punched_and_a_place_overrides_it(tmp_path: Path) -> None:
    panel = "{rack_units: 2, thickness: 3, coating: 0.1, holes: d-hole-wide}"
    both = place("xlr3-socket") + "\n" + place("xlr3-pins", label="B", at="[40, 0]", cutout="{fixings: 3.5}")
    one, other = (p.cutout for p in job(tmp_path, both, panel).places)
    assert (one.main.size.width, one.fixing_diameter) == pytest.approx((24.2, 3.4))
    assert (other.main.size.width, other.fixing_diameter) == pytest.approx((24.2, 3.5))
    assert one.fixings == ((-9.5, 12), (9.5, -12))


def test_mirror_takes_the_other_diagonal(tmp_path: Path) -> None:
    cut = job(tmp_path, place("xlr3-socket", cutout="{across: 19, up: 24, mirror: true}")).places[0].cutout
    assert cut.fixings == ((9.5, 12), (-9.5, -12))


def test_corner_and_centre_are_two_ways_to_say_one_place(tmp_path: Path) -> None:
    centre = job(tmp_path, place("blank-d", at="[10, -5]")).places[0]
    path = tmp_path / "layout.yaml"
    text = path.read_text().replace("origin: centre", "origin: corner").replace("[10, -5]", "[251.3, 39.055]")
    path.write_text(text)
    corner = read_job(path).places[0]
    assert (corner.x, corner.y) == pytest.approx((centre.x, centre.y))


def test_a_row_is_numbered_and_pitched(tmp_path: Path) -> None:
    row = place("blank-d", label="IN {n}", count="3", first="5", pitch="[30, 2]", at="[0, 0]")
    places = job(tmp_path, row).places
    assert [p.name for p in places] == ["IN 5", "IN 6", "IN 7"]
    assert [(p.x, p.y) for p in places] == [(0, 0), (30, 2), (60, 4)]


def test_a_turned_place_turns_its_holes(tmp_path: Path) -> None:
    made = job(tmp_path, place("xlr3-socket", turn="90"))
    spots = [h.outline.centre for h in made.holes() if h.purpose == "fixing"]
    assert spots == [pytest.approx((-12, -9.5)), pytest.approx((12, 9.5))]


def test_gauges_and_half_width(tmp_path: Path) -> None:
    panel = job(
        tmp_path, place("blank-d"), "{rack_units: 1, half_width: true, thickness: 16 ga, material: steel}"
    ).panel
    assert (panel.width, panel.height) == (241.3, 43.66)
    assert panel.thickness == pytest.approx(0.0598 * 25.4)
    assert len(panel.rack_holes) == 4


def test_a_place_asks_for_hardware_over_the_panel(tmp_path: Path) -> None:
    rest = "hardware: {threads: [M3, 4-40], metal: stainless, retention: thread locker}"
    wish = job(tmp_path, place("xlr3-socket", hardware="{screw: '#6', washers: [tooth]}"), rest=rest).places[0].wish
    assert (wish.threads, wish.metal, wish.retention) == (("No. 6-32",), "stainless", "thread locker")
    assert wish.washers == ("tooth internal",)


def test_plugs_default_and_none(tmp_path: Path) -> None:
    both = place("xlr3-socket") + "\n" + place("xlr3-socket", label="B", at="[40, 0]", plug="none")
    one, other = job(tmp_path, both).places
    assert (one.mounting.plug_name, other.mounting.plug_name) == ("xlr-plug-pins", None)


def test_the_schema_speaks_of_every_key_and_of_nothing_newer_than_draft_7() -> None:
    schema = layout_schema()
    assert schema["additionalProperties"] is False
    assert set(schema["properties"]) >= {"title", "panel", "hardware", "places", "parts", "origin"}
    assert "prefixItems" not in str(schema)


def test_the_published_schema_is_that_of_the_layout() -> None:
    assert data_text("layout.schema.json") == schema_text()  # `dryfit explain --schema` prints it


@pytest.mark.parametrize("name", ["blank", "foyer", "trouble", "bench"])
def test_the_schema_is_met_by_the_layouts_that_come_with_dryfit(name: str) -> None:
    validate(yaml.safe_load((LAYOUTS / f"{name}.yaml").read_text(encoding="utf-8")), layout_schema(load_catalogue()))


@pytest.mark.parametrize(
    "panel",
    ["{rack_units: 2U, thickness: 14 ga}", "{size: 200 x 80 mm, thickness: 2, lips: [top], lip: 12}",
     "{plate: us-2, thickness: 2, material: ABS}"],
)  # fmt: skip
def test_the_schema_takes_what_is_written_short(panel: str) -> None:
    text = f"""
title: T
panel: {panel}
hardware: {{threads: M3, spares: 10}}
cut: {{window: 60 x 30 mm, at: [9, 9]}}
places:
  - {{part: xlr3-socket, count: 4, row: {{lines: 2, margin: 20}}}}
  - {{like: above, row: same}}
  - {{like: above, at: [[9, 9], [20, 9]]}}
"""
    validate(yaml.safe_load(text), layout_schema())
    with pytest.raises(ValidationError):
        validate(yaml.safe_load(text.replace("count", "cuont")), layout_schema())


@pytest.mark.parametrize("name", ["blank", "foyer", "trouble"])
def test_layouts_that_come_with_dryfit_are_read(name: str) -> None:
    assert read_job(LAYOUTS / f"{name}.yaml").places
