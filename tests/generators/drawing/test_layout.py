"""How a sheet is laid out: rows of dimensions, fitted texts, tables, packing on sheets, scales, projection symbol."""

from __future__ import annotations

from itertools import islice, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryfit.generators.drawing.dimensions import Leader, Ordinate, leaders, ordinates, spread
from dryfit.generators.drawing.marks import CONTINUED, Block, Stroke, Text, around, in_pieces
from dryfit.generators.drawing.paper import GAP, Space, pack, pack_into, scale_text, scales
from dryfit.generators.drawing.textblocks import SMALL, fitted, notes, table, tables, wrapped
from dryfit.generators.drawing.titleblock import WIDTH, projection_symbol
from dryfit.generators.lettering.typeface import text_width
from dryfit.models.geometry.contours import Circle
from dryfit.models.geometry.rectangles import Rectangle, Size

letters = st.text(st.characters(min_codepoint=33, max_codepoint=0x17F), min_size=1, max_size=60)


@given(st.lists(st.floats(-200, 200), min_size=1, max_size=60).map(sorted), st.floats(0.5, 8))
def test_spread_values_keep_their_order_and_pitch(wanted: list[float], pitch: float) -> None:
    found = spread(wanted, pitch)
    assert all(b - a >= pitch - 1e-6 for a, b in pairwise(found))
    assert sum(found) == pytest.approx(sum(wanted), abs=1e-6)  # moved as much one way as the other


def test_values_far_enough_apart_are_not_moved() -> None:
    assert spread([0, 10, 20], 3.6) == [0, 10, 20]
    assert spread([0, 1], 4) == [-1.5, 2.5]


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=40), st.sampled_from(["below", "left"]))
def test_no_two_ordinates_overlap_and_each_value_is_told_once(values: list[float], side: str) -> None:
    marks = list(ordinates([Ordinate(f"{v:.2f}", v) for v in values], 0.0, side))  # type: ignore[arg-type]
    texts = [m for m in marks if isinstance(m, Text)]
    assert {t.text for t in texts} <= {f"{v:.2f}" for v in values}
    assert not any(a.box.overlaps(b.box) for a, b in pairwise(sorted(texts, key=lambda t: (t.x, t.y))))


@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=1, max_size=12))
def test_leaders_do_not_run_into_each_other(spots: list[tuple[float, float]]) -> None:
    marks = list(leaders([Leader(f"A{n}", x, y, 1.0) for n, (x, y) in enumerate(spots)], 40.0))
    texts = sorted((m for m in marks if isinstance(m, Text)), key=lambda t: t.y)
    assert len(texts) == len(spots)
    assert not any(a.box.overlaps(b.box) for a, b in pairwise(texts))


@given(letters, st.floats(5, 200))
def test_fitted_text_is_no_wider_than_its_room(text: str, width: float) -> None:
    shown, height = fitted(text, width, 3.5)
    assert text_width(shown, height) <= width + 1e-6
    assert height >= SMALL - 1e-9
    assert shown == text or shown.endswith("…")


@given(st.text(st.characters(min_codepoint=32, max_codepoint=0x17F), max_size=200))
def test_wrapping_loses_no_letter(text: str) -> None:
    rows = list(wrapped(text, 30.0, 2.5))
    assert "".join("".join(rows).split()) == "".join(text.split())
    assert all(text_width(row, 2.5) <= 30.0 or len(row) == 1 for row in rows)


def test_a_table_keeps_to_its_width_and_every_cell_to_its_column() -> None:
    cells = (("No.", "Name"), [("1", "W" * 80), ("2", "short")])
    made = table("t", "TABLE", cells, 100.0)
    assert made.size.width <= 100 + 1e-6
    assert around(made.marks).right <= 100 + 1e-6


def test_a_long_table_is_continued() -> None:
    pieces = list(tables("t", "TABLE", (("No.",), [(str(n),) for n in range(100)]), Size(50.0, 100.0)))
    assert len(pieces) > 2
    assert [p.name.endswith(CONTINUED) for p in pieces] == [False] + [True] * (len(pieces) - 1)
    told = [m.text for p in pieces for m in p.marks if isinstance(m, Text) and m.text.isdigit()]
    assert told == [str(n) for n in range(100)]


def _block(name: str, width: float, height: float) -> Block:
    return Block(name, (), Rectangle(0.0, 0.0, width, height))


@given(st.lists(st.tuples(st.floats(1, 99), st.floats(1, 59)), max_size=25))
def test_packed_blocks_keep_their_distance_and_stay_in_the_window(sizes: list[tuple[float, float]]) -> None:
    window = Rectangle(10.0, 20.0, 110.0, 80.0)
    pages = pack_into([_block(str(n), *size) for n, size in enumerate(sizes)], window)
    assert sum(map(len, pages)) == len(sizes)
    for page in pages:
        for n, one in enumerate(page):
            assert window.holds(one.box, -1e-6)
            assert not any(one.box.overlaps(other.box, GAP - 1e-6) for other in page[n + 1 :])


def test_what_is_continued_stands_on_no_earlier_sheet() -> None:
    blocks = [_block("view", 90, 30), _block("t", 90, 55), _block(f"t{CONTINUED}", 90, 10)]
    first, second, *_ = pack(blocks, Space([Rectangle(0, 0, 100, 60)]), Space([Rectangle(0, 0, 100, 80)]))
    assert [b.name for b in first.blocks] == ["view"]
    assert [b.name for b in second.blocks] == ["t", f"t{CONTINUED}"]


@given(st.lists(letters, min_size=1, max_size=20), st.floats(8, 60))
def test_text_higher_than_its_page_goes_on_on_the_next(items: list[str], height: float) -> None:
    whole = notes("notes", "NOTES", items, 40.0)
    pieces = list(in_pieces(whole, height))
    assert [mark for piece in pieces for mark in piece.marks] == [*whole.marks]
    assert all(piece.size.height <= height and piece.box.grown(0.5).holds(around(piece.marks)) for piece in pieces)
    assert [piece.name for piece in pieces] == ["notes", *["notes (continued)"] * (len(pieces) - 1)]


def test_what_cannot_be_cut_stays_whole() -> None:
    shown = Block("ring", (Stroke(Circle(0, 0, 50)), Text(0, 60, "above")), Rectangle(-50, -50, 50, 65))
    above, below = in_pieces(shown, 20.0)
    assert (above.marks, below.marks) == (shown.marks[1:], shown.marks[:1])


def test_a_block_larger_than_the_sheet_is_refused() -> None:
    with pytest.raises(ValueError, match="larger than the sheet"):
        pack([_block("big", 300, 10)], Space([Rectangle(0, 0, 100, 60)]), Space([Rectangle(0, 0, 100, 60)]))


def test_scales_step_down_by_the_standard() -> None:
    """ISO 5455: 1, 2 or 5 times a power of ten."""
    assert [scale_text(s) for s in islice(scales(5.0), 9)] == [
        "5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100",
    ]  # fmt: skip


@pytest.mark.parametrize(("third", "rings_left"), [(False, False), (True, True)])
def test_the_projection_symbol_shows_the_method(third: bool, rings_left: bool) -> None:
    """ISO 5456-2: the rings stand right of the cone in first angle, left of it in third; its small end is left."""
    strokes = [m for m in projection_symbol(WIDTH / 2, 0.0, third) if isinstance(m, Stroke)]
    rings = next(s.shape.x for s in strokes if isinstance(s.shape, Circle))
    cone = strokes[0].shape
    assert not isinstance(cone, Circle)
    assert (rings < cone.vertices[0][0]) == rings_left
    by_x: dict[float, list[float]] = {}
    for x, y, _ in cone.vertices:
        by_x.setdefault(x, []).append(y)
    (_, small), (_, large) = sorted(by_x.items())
    assert max(small) - min(small) < max(large) - min(large)
