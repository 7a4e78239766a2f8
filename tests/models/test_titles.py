"""Title blocks: from the layout, from a file that a shop keeps once, the layout's own word first."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.models.reading.errors import InputError
from dryfit.models.titles import Titles, read_titles
from tests.generators.drawing.sheets_seen import texts
from tests.helpers import job, place


def test_the_layouts_own_word_comes_before_the_shops() -> None:
    own, shop = Titles(number="P-117", status="draft"), Titles(owner="Example Ltd", status="released")
    assert own.over(shop) == Titles(number="P-117", status="draft", owner="Example Ltd")
    assert Titles().over(shop) == shop


def test_a_layout_fills_its_title_block(tmp_path: Path) -> None:
    rest = 'title_block: {number: P-117, creator: A. N. Other, date: "2024-05-31", grade: EN AW-5754 H22}'
    made = job(tmp_path, place("xlr3-socket"), rest=rest)
    told = {text.text for sheet in shop_drawing(made, titles=made.titles).sheets for text in texts(sheet.marks)}
    assert {"P-117", "A. N. Other", "2024-05-31", "aluminium EN AW-5754 H22, 3.175 thick"} <= told


def test_a_shops_file_is_read_and_what_is_wrong_in_it_is_told(tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_text("owner: Example Ltd\napproval: N. O. Body\n", encoding="utf-8")
    assert read_titles(path) == Titles(owner="Example Ltd", approval="N. O. Body")
    path.write_text("owner: Example Ltd\ndate: yesterday\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"shop\.yaml:2"):
        read_titles(path)
    path.write_text("ownr: Example Ltd\n", encoding="utf-8")
    with pytest.raises(InputError, match="did you mean owner"):
        read_titles(path)
