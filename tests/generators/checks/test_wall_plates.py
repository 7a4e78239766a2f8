"""Wall plates: what stands behind them has to keep clear of the box, its lugs and its back."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.lists.purchase import purchase_list
from dryfit.generators.lists.steps import steps
from dryfit.models.findings import Verdict
from dryfit.models.reading.errors import InputError
from tests.helpers import finding, job, place, report

UK = "{plate: uk-1, thickness: 2 mm, material: steel, depth: 47 mm}"


@pytest.mark.parametrize(
    ("x", "room"),
    [
        (12, 25 - 12 - 9.5 - 2.75),
        (14, 25 - 14 - 9.5 - 2.75),
    ],  # 50 mm between the lugs; a nut at 9.5 is outermost
)
def test_a_body_keeps_clear_of_the_lugs(tmp_path: Path, x: float, room: float) -> None:
    made = report(tmp_path, place("xlr3-socket", at=f"[{x}, 0]", plug="none"), UK)
    told = [f for f in made.findings if f.check == "body-room" and "lugs" in f.says]
    assert [f.measured for f in told] == ([pytest.approx(room)] if room < 0 else [])
    assert all(f.verdict is Verdict.FAILS for f in told)


def test_a_body_stands_in_one_of_two_round_boxes_not_between_them(tmp_path: Path) -> None:
    panel = "{plate: round-2, thickness: 2 mm, material: steel, depth: 60 mm}"
    for x, free in ((35.5, True), (0, False)):
        made = report(tmp_path, place("bnc-bush", at=f"[{x}, 0]", plug="none"), panel)
        assert any("lugs" in f.says for f in made.findings) is not free


def test_the_shallowest_usual_box_is_meant_where_the_layout_says_nothing(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket", plug="none"), "{plate: uk-1, thickness: 2 mm, material: steel}")
    rear = finding(made, "rear-room")
    assert rear.verdict is Verdict.FAILS
    assert rear.measured == pytest.approx(16 - (32 - 2))  # 32 mm long, 2 of that in the plate


def test_its_own_screws_are_bought_and_driven_last(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket"), UK)
    (screws,) = [item for item in purchase_list(made) if item.group == "wall box"]
    assert "M3.5" in screws.item
    assert screws.needed == 2
    assert steps(made)[-1].title == "Screw the plate to its box"


def test_a_plate_of_another_name_is_refused_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="uk-1"):
        job(tmp_path, place("xlr3-socket"), "{plate: uk1, thickness: 2 mm}")


def test_a_ten_inch_panel_has_rails_nearer_by_half_of_what_it_is_narrower(tmp_path: Path) -> None:
    panel = job(tmp_path, place("xlr3-socket"), "{rack_units: 1, ten_inch: true, thickness: 2 mm}").panel
    assert panel.width == 254
    assert sorted({hole.centre.x for hole in panel.rack_holes}) == pytest.approx([-118.2625, 118.2625])
    made = report(tmp_path, place("xlr3-socket", at="[100, 0]"), "{rack_units: 1, ten_inch: true, thickness: 2 mm}")
    (rail,) = [f for f in made.findings if "rack rail" in f.says]
    assert rail.measured == pytest.approx(222.25 / 2 - 100 - 9.5 - 2.75)  # its nut of 5.5 at 9.5 is outermost
