"""``dryfit match``, as a person calls it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dryfit.cli.match import match


def run(*arguments: str) -> Result:
    return CliRunner().invoke(match, list(arguments))


def test_a_part_is_told_pattern_by_pattern_what_suits_first() -> None:
    done = run("--part", "gland-m16", "--processes", "1")
    assert done.exit_code == 1
    assert (
        "fails  d-hole: Cable gland M16, plastic, from the front\n"
        "       cutout-size: The hole reaches 2.5 mm beyond the nut" in done.output
    )


def test_parts_and_patterns_make_a_matrix_with_the_reason_in_each_cell() -> None:
    done = run("--part", "gland-m16", "--part", "gland-pg16", "--pattern", "d-hole", "--pattern", "d-hole-wide")
    head, one, other = done.output.splitlines()[4:7]
    assert head.split() == ["d-hole", "d-hole-wide"]
    assert one.split() == ["gland-m16", "front", "fails", "cutout-size", "fails", "cutout-size"]
    assert other.split() == ["gland-pg16", "front", "tight", "cutout-size", "tight", "cutout-size"]


def test_a_hole_on_which_everything_asked_goes_ends_with_0(tmp_path: Path) -> None:
    csv, page = tmp_path / "found.csv", tmp_path / "found.html"
    hole = ("--hole", "20.5mm", "--part", "gland-m20", "--csv", str(csv), "--page", str(page), "--json")
    done = run(*hole)
    assert done.exit_code == 0
    assert [m["verdict"] for m in json.loads(done.output)["matches"]] == ["fits"]
    assert csv.read_text().startswith("part,title,mount,hole,verdict")
    assert "gland-m20" in page.read_text()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ("--part xlr3-soket", "unknown part 'xlr3-soket' (did you mean xlr3-socket?)"),
        ("--pattern d-hol", "unknown hole pattern 'd-hol' (did you mean d-hole?)"),
        ("--hole 2miles", "--hole: '2miles' is not a length"),
        ("--fixings 3.2", "the hole itself is missing: give --hole or --outline, or a --pattern"),
        ("--hole 24 --across 19 --up 24", "--across and --up say where fixing holes are"),
        ("--hole 24 --fixings 3 --across 19", "across and up go together"),
        ("--material tinn", "unknown material 'tinn'"),
        ("--thickness 40", "--thickness: '40' is no panel's thickness"),
        ("--coating -1", "--coating: "),
        ("--outline {bx:3}", "--outline"),
        ("--csv found.txt", "--csv: found.txt: expected a name that ends with .csv"),
        ("--own nothing.yaml", "nothing.yaml"),
    ],
)
def test_what_is_wrong_is_told_in_one_line(arguments: str, says: str) -> None:
    done = run(*arguments.split())
    assert says in str(done.exception)
    assert "\n" not in str(done.exception)
