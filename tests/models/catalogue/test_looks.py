"""Looks: within the envelope of everything that has one; read with every fault on its line; finishes and colours."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.catalogue.looks import levels_of, strays
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from dryfit.models.tables.finishes import colours, finishes, is_dark, panel_finishes, said_finish, shares

CATALOGUE = load_catalogue()
ALL: dict[str, Part | Plug] = {**CATALOGUE.parts, **CATALOGUE.plugs}

BASE = """\
parts:
  base:
    title: Base
    family: test
    look: own
    flange: {outline: {box: [26, 31]}, thick: 2}
    front: [{outline: {round: 20}, to: 1}]
    cutout: {round: 24}
    rear: [{outline: {round: 23}, to: 10}]
looks:
  own:
    cut:
      mouth: {outline: {round: 12}, to: 8}
    put:
      pins: {finish: gold, outline: {round: 2}, around: {count: 3, radius: 4}, from: 1, to: 8}
"""


def read(folder: Path, text: str) -> Catalogue:
    path = folder / "own.yaml"
    path.write_text(text, encoding="utf-8")
    return load_catalogue([path])


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(folder, text)
    return [str(fault).removeprefix(f"{folder}/") for fault in caught.value.faults]


@pytest.mark.parametrize("name", ALL)
def test_nothing_of_a_look_stands_out_of_what_is_checked(name: str) -> None:
    if ALL[name].look:
        assert strays(ALL[name], CATALOGUE.looks[ALL[name].look]) is None


def test_every_part_and_plug_but_blanking_plates_has_a_look_and_every_look_is_used() -> None:
    plain = {name for name, one in ALL.items() if not one.look}
    assert plain == {"blank-d"}
    assert {one.look for one in ALL.values()} - {""} <= set(CATALOGUE.looks)
    assert set(CATALOGUE.looks) - {one.look for one in ALL.values()} <= {"bnc", "phono"}


def test_a_users_part_has_a_look_of_its_own(tmp_path: Path) -> None:
    found = read(tmp_path, BASE)
    pins = found.looks["own"].put["pins"]
    assert [(round(s.at.x, 2), round(s.at.y, 2)) for s in pins.stands] == [(0, 4), (-3.46, -2), (3.46, -2)]
    assert pins.range(levels_of(found.parts["base"])) == (3 - 8, 3 - 1)


def test_a_look_is_like_another_but_for_the_pieces_it_names(tmp_path: Path) -> None:
    pieces = "      pins: {around: {count: 5}}\n      key: {finish: tin, inset: 8, to: 2}\n"
    other = f"  other:\n    like: own\n    put:\n{pieces}"
    found = read(tmp_path, BASE + other).looks
    assert len(found["other"].put["pins"].stands) == 5
    assert list(found["other"].put) == ["pins", "key"]
    assert found["other"].cut == found["own"].cut


@pytest.mark.parametrize(
    ("before", "after", "line", "says"),
    [
        ("look: own", "look: owm", 5, "unknown look 'owm'"),
        ("{round: 2}", "{round: 9}", None, ""),
        ("radius: 4", "radius: 11.6", 5, "'pins' of the look 'own' stands out of the body of 'base'"),
        ("from: 1, to: 8", "from: 1, to: 18", 5, "stands out"),
        ("finish: gold", "finish: gould", 15, "gould"),
        ("to: 8}\n    put", "to: 0.0}\n    put", 13, "runs on"),
        ("count: 3", "count: 300", 15, "128"),
        ("outline: {round: 2}, ", "", 15, "one of outline, inset, share and turned"),
        ("outline: {round: 2}, ", "outline: {round: 2}, inset: 3, ", 15, "one of outline, inset, share and turned"),
        ("radius: 4}", "radius: 4}, rows: {counts: [3], pitch: 2}", 15, "either around or in rows"),
        ("outline: {round: 2}, ", "turned: [[0, 0], [2, 0]], ", 15, "at least three corners"),
        ("  own:\n", "  bnc:\n", 11, "the name 'bnc' is taken"),
    ],
)
def test_a_wrong_look_is_told_with_its_line(
    tmp_path: Path, before: str, after: str, line: int | None, says: str
) -> None:
    text = BASE.replace(before, after, 1)
    assert text != BASE
    if line is None:
        assert read(tmp_path, text).parts["base"].look == "own"
        return
    told = faults(tmp_path, text)
    assert any(f"own.yaml:{line}:" in fault and says in fault for fault in told), told


def test_a_look_taken_over_from_a_larger_part_is_no_fault_of_the_smaller_one(tmp_path: Path) -> None:
    text = "parts:\n  small:\n    like: xlr3-socket\n    title: Small\n    rear: [{outline: {round: 9}, to: 4}]\n"
    small = read(tmp_path, text).parts["small"]
    assert strays(small, CATALOGUE.looks[small.look]) is not None


def test_colours_are_read_as_shares_and_dark_ones_told_from_light() -> None:
    tables = [*(row.colour for row in finishes().values()), *(row.colour for row in colours().values())]
    assert all(len(shares(colour)) == 3 and max(shares(colour)) <= 1 for colour in tables)
    assert is_dark(colours()["RAL 9005"].colour)
    assert not is_dark(colours()["RAL 7035"].colour)
    assert {row.colour for row in panel_finishes().values()} <= {None, *colours()}


def _panel(folder: Path, finish: str) -> Path:
    path = folder / "layout.yaml"
    places = "places:\n  - {part: xlr3-socket, at: [50, 30]}\n"
    path.write_text(f"title: T\npanel:\n  size: [100, 60]\n  thickness: 2\n{finish}{places}", encoding="utf-8")
    return path


def test_a_panel_is_coated_in_the_colour_it_asks_for(tmp_path: Path) -> None:
    panel = read_job(_panel(tmp_path, "  finish: powder coat\n  coating: 0.08\n  colour: RAL 5010\n")).panel
    assert (panel.finish, panel.colour) == ("powder coat", "RAL 5010")


@pytest.mark.parametrize(
    ("finish", "says"),
    [
        ("  coating: 80 um\n  finish: powder coat\n  colour: RAL 5011\n", "layout.yaml:7: unknown colour 'RAL 5011'"),
        ("  finish: brushed\n  colour: black\n", "layout.yaml:6: a brushed"),
        ("  colour: black\n", "layout.yaml:5: a panel without finish"),
        ("  material: steel\n  coating: 0.01\n  finish: anodised\n", "layout.yaml:7: 'anodised' is no finish of steel"),
        (
            "  material: ABS\n  coating: 0.08\n  finish: powder coat\n",
            "layout.yaml:7: 'powder coat' is no finish of A",
        ),
        ("  coating: 0.08\n  finish: bare\n", "layout.yaml:6: 'bare' has no layer, but a coating is written"),
        ("  finish: chrome\n", "layout.yaml:5: "),
        (
            "  finish: powder coat\n",
            "layout.yaml:5: 'powder coat' is a layer that narrows holes and insulates, but no coating is",
        ),
        ("  coating: 0\n  finish: anodised\n", "layout.yaml:6: 'anodised' is a layer"),
    ],
)
def test_a_finish_or_colour_there_is_not_is_told_with_its_line(tmp_path: Path, finish: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read_job(_panel(tmp_path, finish))
    assert says in str(caught.value.faults[0])


def test_a_finish_is_said_with_its_colour_and_what_the_colour_is_called() -> None:
    assert said_finish("brushed", None) == "brushed"
    assert said_finish("anodised", "black") == "anodised black"
    assert said_finish("powder coat", "RAL 7016") == "powder coat RAL 7016"
    assert said_finish("powder coat", "RAL 7016", in_full=True) == "powder coat RAL 7016 (anthracite grey)"
    assert said_finish("anodised", "black", in_full=True) == "anodised black"
