"""The loader of tables, and what every table must carry."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from dryfit.models import fasteners
from dryfit.models.errors import InputError
from dryfit.models.tables import parse_table


@dataclass(frozen=True)
class _Row:
    name: str
    size: float
    extra: float | None
    angle: float


def _read(text: str) -> list[_Row]:
    return list(parse_table("t.csv", text, _Row, frozenset({"angle"})))


def test_inch_rows_become_millimetres_and_angles_stay() -> None:
    assert _read("name,unit,size,extra,angle\na,in,0.5,,82\nb,mm,0.5,2,90\n") == [
        _Row("a", 12.7, None, 82.0), _Row("b", 0.5, 2.0, 90.0),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("row", "word"),
    [
        ("a,in,x,,82", "'x'"), ("a,in,nan,,82", "'nan'"), ("a,in,-1,,82", "'-1'"), ("a,ft,1,,82", "'ft'"),
        ("a,in,,,82", "size is empty"), (",in,1,,82", "name is empty"), ("a,in,1", "extra is missing"),
    ],
)  # fmt: skip
def test_a_bad_row_is_told_with_its_line(row: str, word: str) -> None:
    with pytest.raises(InputError, match="t.csv:2:") as caught:
        _read(f"name,unit,size,extra,angle\n{row}\n")
    assert word in str(caught.value)


CONFIDENCES = {"two sources", "one source", "derived", "common practice", "from memory"}
TABLES = [fasteners.threads, fasteners.heads, fasteners.nuts, fasteners.washers, fasteners.clearances,
          fasteners.drills, fasteners.rivets, fasteners.forming_screws]  # fmt: skip


@pytest.mark.parametrize("table", TABLES, ids=lambda t: t.__name__)
def test_every_row_names_its_source_and_how_far_to_trust_it(table: object) -> None:
    for row in table():  # type: ignore[operator]
        assert row.source
        assert row.confidence in CONFIDENCES
        assert ("from memory" in row.source) or row.confidence != "from memory", row


def test_every_nut_has_a_driver_of_its_size() -> None:
    for nut in fasteners.nuts():
        assert nut.driver_across == pytest.approx(nut.across_flats, abs=0.05)
        assert nut.driver_outside > nut.corners_min if nut.corners_min else nut.driver_outside > nut.across_flats


def test_sizes_are_in_order() -> None:
    for thread in fasteners.threads():
        assert thread.major_min < thread.major_max <= thread.major + 0.04
        assert fasteners.lengths(thread.name) == tuple(sorted(fasteners.lengths(thread.name)))
        assert len(fasteners.lengths(thread.name)) >= 5
    for head in fasteners.heads():
        assert head.diameter_min < head.diameter
        assert (head.angle is None) == (head.theoretical is None)
    for nut in fasteners.nuts():
        assert nut.across_flats_min < nut.across_flats < nut.corners
    for washer in fasteners.washers():
        assert fasteners.thread(washer.thread).major < washer.inner < washer.outer
