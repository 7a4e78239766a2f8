"""Rows: places stand where hand arithmetic puts them, and what is written short is what is written out."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dryfit.models.geometry.points import Point
from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import parse_job

OWN = """\
parts:
  narrow: {title: N, family: test, flange: {outline: {box: [20, 30]}, thick: 2}, cutout: {round: 12}}
  wide: {title: W, family: test, flange: {outline: {box: [40, 30]}, thick: 2}, cutout: {round: 12}, mount: [rear]}
  lopsided: {title: L, family: test, flange: {outline: {box: [20, 30], at: [5, 0]}, thick: 2}, cutout: {round: 12}}
"""
"""Flanges 20 and 40 mm across; that of the last reaches 5 mm left and 15 mm right of its axis."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("rows")
    (made / "own.yaml").write_text(OWN, encoding="utf-8")
    return made


def job(folder: Path, *places: str, origin: str = "corner", wide: int = 400) -> Job:
    """Return the job of a panel 100 mm high."""
    panel = f"{{size: {wide} x 100 mm, thickness: 2}}"
    head = f"title: T\nparts: own.yaml\norigin: {origin}\npanel: {panel}\nplaces:\n"
    return parse_job(folder / "t.yaml", head + "".join(f"  - {{{entry}}}\n" for entry in places))


def seen(job: Job) -> list[tuple[str, float, float]]:
    """Return the places by name, from the corner."""
    return [(p.name, round(p.x + 200, 3), round(p.y + 50, 3)) for p in job.places]


def across(job: Job) -> list[float]:
    return [x for _, x, _ in seen(job)]


@pytest.mark.parametrize(
    ("row", "xs"),
    [
        ("from: 50, to: 350", [50, 150, 250, 350]),  # 300 / 3 between centres
        ("from: 50, pitch: 30", [50, 80, 110, 140]),
        ("to: 350, pitch: 30", [260, 290, 320, 350]),
        ("from: 50, gap: 5", [50, 75, 100, 125]),  # a flange of 20 and 5
        ("gap: 5", [162.5, 187.5, 212.5, 237.5]),  # about 200
        ("pitch: 1 in, centre: 100", [61.9, 87.3, 112.7, 138.1]),
        ("margin: 40", [50, 150, 250, 350]),  # 320 - 4 flanges of 20 leaves 3 gaps of 80
        ("margin: [100, 40]", [110, 190, 270, 350]),
    ],
)
def test_a_row_stands_where_it_is_said(row: str, xs: list[float], folder: Path) -> None:
    made = seen(job(folder, f"part: narrow, label: A, count: 4, row: {{{row}}}"))
    assert made == [(f"A {n}", x, 50.0) for n, x in enumerate(xs, start=1)]


def test_a_row_is_measured_as_the_layout_measures(folder: Path) -> None:
    made = job(folder, "part: narrow, count: 2, row: {from: -50, to: 50, y: 10}", origin="centre")
    assert [(p.x, p.y) for p in made.places] == [(-50, 10), (50, 10)]


def test_lines_share_the_height_and_are_filled_from_the_top_left(folder: Path) -> None:
    made = seen(job(folder, "part: narrow, label: A, count: 5, row: {lines: 2, pitch: 30, from: 20}"))
    assert made == [
        ("A 1", 20, 75), ("A 2", 50, 75), ("A 3", 80, 75), ("A 4", 20, 25), ("A 5", 50, 25),
    ]  # fmt: skip
    levels = seen(job(folder, "part: narrow, label: A, count: 2, row: {y: [80 mm, 1 in]}"))
    assert levels == [("A 1", 200, 80), ("A 2", 200, 25.4)]


def test_entries_that_share_a_row_are_spaced_together(folder: Path) -> None:
    entries = (
        "part: narrow, count: 2, row: {gap: 4}",
        "part: wide, row: same",
        "part: narrow, label: Z, row: {after: 30}",
    )
    left = 200 - (20 + 4 + 20 + 4 + 40 + 30 + 20) / 2
    assert across(job(folder, *entries)) == [left + 10, left + 34, left + 68, left + 128]


def test_in_a_shared_row_each_entry_fills_its_own_columns_in_all_lines(folder: Path) -> None:
    made = seen(job(folder, "part: narrow, label: A, count: 4, row: {lines: 2, pitch: 30, from: 20}",
                    "part: wide, label: B, count: 2, row: same"))  # fmt: skip
    assert made == [
        ("A 1", 20, 75), ("A 2", 50, 75), ("A 3", 20, 25), ("A 4", 50, 25), ("B 1", 80, 75), ("B 2", 80, 25),
    ]  # fmt: skip


def test_flanges_that_lie_beside_their_axis_have_even_metal_too(folder: Path) -> None:
    made = across(job(folder, "part: lopsided, count: 2, row: {margin: 100}"))
    assert made == [105, 285]  # from 100 to 120, and from 280 to 300
    turned = across(job(folder, "part: lopsided, count: 2, turn: 180, row: {margin: 100}"))
    assert turned == [115, 295]


def test_one_place_alone_stands_in_the_middle(folder: Path) -> None:
    assert seen(job(folder, "part: narrow, row: {}")) == [("narrow", 200, 50)]
    assert across(job(folder, "part: narrow, row: {from: 100, to: 200}")) == [150]
    assert across(job(folder, "part: lopsided, row: {margin: [0, 100]}")) == [145]


def test_centres_may_be_listed(folder: Path) -> None:
    assert seen(job(folder, "part: narrow, label: A, at: [[20, 30], [2 in, 60]]")) == [
        ("A 1", 20, 30),
        ("A 2", 50.8, 60),
    ]


def test_numbers_run_on_over_entries_with_one_label(folder: Path) -> None:
    made = job(
        folder, "part: narrow, label: A, count: 2, row: {y: 80, pitch: 30}", "like: above, row: {y: 20}",
        "like: above, first: 9, row: {y: 50}", "part: wide, at: [20, 20]",
        "part: narrow, label: 'A {n}', at: [380, 50]",
    )  # fmt: skip
    assert [p.name for p in made.places] == ["A 1", "A 2", "A 3", "A 4", "A 9", "A 10", "wide", "A 11"]
    assert [p.legend for p in made.places] == [p.name for p in made.places]


def test_an_entry_like_the_one_above_is_that_entry_but_for_what_it_says(folder: Path) -> None:
    short = job(
        folder, "part: narrow, label: A, at: [50, 80], count: 3, pitch: 40, mount: front, cutout: {hole: 13}",
        "like: above, at: [50, 20], cutout: {at: []}", "like: above, part: wide, row: {from: 200, gap: 2}",
    )  # fmt: skip
    whole = job(
        folder, "part: narrow, label: A, at: [50, 80], count: 3, pitch: 40, mount: front, cutout: {hole: 13}",
        "part: narrow, label: A, at: [50, 20], count: 3, pitch: 40, mount: front, cutout: {hole: 13, at: []}",
        "part: wide, label: A, count: 3, mount: front, cutout: {hole: 13, at: []}, row: {from: 200, gap: 2}",
    )  # fmt: skip
    assert short.places == whole.places


def test_a_part_that_is_mounted_from_one_side_only_is_mounted_from_there(folder: Path) -> None:
    made = job(
        folder,
        "part: wide, at: [50, 50]",
        "part: narrow, at: [150, 50]",
        "part: wide, label: C, mount: front, at: [250, 50]",
    )
    assert [p.mount for p in made.places] == ["rear", "front", "front"]


def test_a_fault_that_is_taken_over_is_told_once_where_it_stands(folder: Path) -> None:
    with pytest.raises(InputError) as caught:
        job(folder, "part: narrow, at: [20, 20], turn: 999", "like: above, at: [60, 20]", "like: above, at: [90, 20]")
    assert str(caught.value).splitlines() == [
        f"{folder / 't.yaml'}:6: places.1.turn: 999 is not an angle; write degrees from -360 to 360"
    ]


widths = st.lists(st.tuples(st.sampled_from(["narrow", "wide", "lopsided"]), st.integers(1, 4)), min_size=1, max_size=4)
EXTENT = {"narrow": (10, 10), "wide": (20, 20), "lopsided": (5, 15)}
SHARED = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@SHARED
@given(widths, st.integers(1, 2), st.sampled_from(["gap: 3", "margin: 1", "pitch: 41", "from: 20, to: 960"]))
def test_even_distances_are_even_and_written_out_are_the_same(
    folder: Path, parts: list[tuple[str, int]], lines: int, how: str
) -> None:
    named = [f"part: {part}, label: {'ABCD'[n]}, count: {count * lines}" for n, (part, count) in enumerate(parts)]
    rows = [f"row: {{lines: {lines}, {how}}}", *["row: same"] * (len(parts) - 1)]
    made = job(folder, *(f"{name}, {row}" for name, row in zip(named, rows, strict=True)), wide=1000)
    top = [p for p in made.places if p.y == made.places[0].y]
    steps = [b.x - a.x for a, b in pairwise(top)]
    if how.startswith(("gap", "margin")):
        steps = [(b.x - EXTENT[b.kind][0]) - (a.x + EXTENT[a.kind][1]) for a, b in pairwise(top)]
    assert max(steps, default=0) - min(steps, default=0) <= 0.0021  # each end is rounded to a thousandth
    corner = Point(500, 50)
    spots = ([[round(d, 3) for d in p.at + corner] for p in made.places if p.entry == n] for n in range(len(parts)))
    out = job(folder, *(f"{name}, at: {at}" for name, at in zip(named, spots, strict=True)), wide=1000)
    assert out.places == made.places
