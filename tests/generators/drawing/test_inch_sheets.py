"""Drawings of an inch job: third angle, inches to three decimals, drills and sheet as the inch trade calls them."""

from __future__ import annotations

import re

import pytest

from dryfit.generators.drawing.marks import Drawing
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order
from dryfit.generators.writers.shop_drawing import drawing
from dryfit.models.titles import Titles
from tests.generators.drawing.sheets_seen import texts
from tests.helpers import place, report

PANEL = '{size: [5 in, 3 1/2 in], thickness: 16 ga, material: steel, corner: 1/8 in, coating: "0.06 mm"}'
PLACES = place("bnc-bush", at="[-1 1/4 in, 0.1 in]") + "\n" + place("xlr3-socket", label="B", at='[1", 0]')


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report(tmp_path_factory.mktemp("inch"), PLACES, PANEL)


def _told(of: Drawing) -> list[str]:
    return [text.text for sheet in of.sheets for text in texts(sheet.marks)]


def test_a_panel_given_in_inches_is_drawn_in_inches_in_third_angle_on_inch_paper(made: Report) -> None:
    sheets = drawing(Order(made))
    told = _told(sheets)
    assert {"inch", "Tabloid", "5.000", "3.500", "1.250", "1.850", "steel, 16 ga (.060) thick"} <= set(told)
    assert (sheets.sheets[0].width, sheets.sheets[0].height) == (431.8, 279.4)
    assert any(text.startswith("Dimensions in inches") for text in told)


def test_numbers_are_inches_wherever_they_stand(made: Report) -> None:
    # ASME Y14.5-2009, 1.6.2 (from memory): no zero before the point, zeros after it as many as the tolerance has
    told = " ".join(_told(drawing(Order(made))))
    numbers = re.findall(r"(?<![\w.])(\d*\.\d+)(?![\w.]| mm| lb)", told)
    assert len(numbers) > 20
    assert all(not number.startswith("0.") for number in numbers)
    assert {len(number.split(".")[1]) for number in numbers} <= {3, 4}


def test_a_size_has_the_decimals_of_its_tolerance(made: Report) -> None:
    pairs = re.findall(r"⌀([.\d]+) ±([.\d]+)", " ".join(_told(drawing(Order(made)))))
    assert len(pairs) >= 3
    for size, tolerance in pairs:
        assert len(size.split(".")[1]) == len(tolerance.split(".")[1])


def test_drills_of_the_inch_trade_come_first(made: Report) -> None:
    drills = [text for text in _told(drawing(Order(made))) if "No. " in text or "/64 in" in text]
    assert drills
    assert not any(text.startswith(("3.5 mm", "3.4 mm")) for text in drills)


def test_a_shop_may_ask_for_its_own_units(made: Report) -> None:
    assert {"mm", "127", "88.9"} <= set(_told(drawing(Order(made, shop=Titles(units="mm")))))
    assert {"inch [mm]", "5.000 [127]"} <= set(_told(drawing(Order(made, shop=Titles(units="inch and mm")))))
