"""Part files: what a part is like, read whole, with every fault on its line."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from dryfit.models.catalogue.dimensions import confidence_of, dimensions, source_of
from dryfit.models.catalogue.likeness import followers, merged
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.worst import Extent, extent
from dryfit.models.reading.errors import InputError

BASE = """\
parts:
  base:
    title: Base
    family: test
    flange: {outline: {box: [26, 31]}, thick: 2}
    cutout: {round: 24}
    seat: 2
    sources: {cutout: common practice}
"""


def read(folder: Path, text: str) -> Catalogue:
    path = folder / "own.yaml"
    path.write_text(text, encoding="utf-8")
    return load_catalogue([path])


def faults(folder: Path, text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(folder, text)
    return [str(fault).removeprefix(f"{folder}/") for fault in caught.value.faults]


def test_a_part_is_like_another_but_for_what_it_says(tmp_path: Path) -> None:
    other = """\
  other: # thicker
    like: base
    title: Other
    flange: {thick: 5}
    cutout: {box: [9, 9]}
    seat:
"""
    found = read(tmp_path, BASE + other).parts
    assert found["other"].title == "Other"
    assert found["other"].family == "test"
    assert found["other"].flange.thick == 5
    assert found["other"].flange.outline == found["base"].flange.outline
    assert found["other"].cutout.size == (9, 9)
    assert (found["base"].seat, found["other"].seat) == (2, 0)


def test_a_part_may_be_like_one_of_the_catalogue_and_come_before_its_base(tmp_path: Path) -> None:
    text = "parts:\n  second: {like: first, title: B}\n  first: {like: xlr3-socket, title: A}\n"
    found = read(tmp_path, text).parts
    assert found["second"].fixings == found["xlr3-socket"].fixings
    assert found["second"].title == "B"


def test_a_plug_may_be_like_another(tmp_path: Path) -> None:
    found = read(tmp_path, "plugs:\n  mine: {like: jack-6-plug, cable: 9 mm}\n").plugs
    assert found["mine"].cable == 9
    assert found["mine"].body == found["jack-6-plug"].body


def test_lists_are_replaced_and_empty_keys_taken_away() -> None:
    base = {"a": [1, 2], "b": {"c": 1, "g": 2}, "e": 3, "f": {"round": 3, "at": [0, 1]}}
    own = {"a": [9], "b": {"g": None, "x": 4}, "e": None, "f": {"round": 4}}
    assert merged(base, own) == {"a": [9], "b": {"c": 1, "x": 4}, "f": {"round": 4}}
    assert base["b"] == {"c": 1, "g": 2}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("  x: {like: xlr3-soket}\n", ["own.yaml:9: is like an unknown part 'xlr3-soket', expected the name of a part "
                                       "(did you mean xlr3-socket?)"]),
        ("  x: {like: [base]}\n", ["own.yaml:9: is like an unknown part \"['base']\""]),
        ("  x: {like: jack-6-plug}\n", ["own.yaml:9: is like an unknown part 'jack-6-plug'"]),
        ("  x: {like: x}\n", ["own.yaml:9: 'x' is like itself by way of itself, expected one of them written out"]),
        ("  x: {like: y}\n  y: {like: x}\n",
         ["own.yaml:9: 'x' is like itself by way of y, expected one of them written out",
          "own.yaml:10: 'y' is like itself by way of x, expected one of them written out"]),
        ("  x: {like: base, lik: base}\n", ["own.yaml:9: unknown key 'lik'"]),
        ("  x: {like: base, seat: -1}\n", ["own.yaml:9: parts.x.seat: -1 is negative; a length is zero or more"]),
        ("  x:\n", ["own.yaml:9: parts.x is empty, expected keys and values"]),
    ],
)  # fmt: skip
def test_what_is_like_nothing_is_told_with_its_line(tmp_path: Path, text: str, expected: list[str]) -> None:
    found = faults(tmp_path, BASE + text)
    assert len(found) == len(expected)
    assert all(line.startswith(start) for line, start in zip(found, expected, strict=True)), found


def test_what_is_wrong_with_a_part_is_not_told_again_of_those_like_it(tmp_path: Path) -> None:
    text = BASE.replace("thick: 2", "thick: -2") + "".join(f"  x{n}: {{like: base}}\n" for n in range(9))
    assert faults(tmp_path, text) == ["own.yaml:5: parts.base.flange.thick: -2 is negative; a length is zero or more"]


def test_a_long_line_of_likes_is_read(tmp_path: Path) -> None:
    text = BASE + "".join(f"  x{n}: {{like: x{n + 1}}}\n" for n in range(498)) + "  x498: {like: base, title: Last}\n"
    assert read(tmp_path, text).parts["x0"].title == "Last"


def test_many_parts_like_a_huge_faulty_one_are_refused_at_once(tmp_path: Path) -> None:
    keys = ", ".join(f"k{n}: 1" for n in range(60_000))
    text = BASE.replace("seat: 2", f"seat: 2\n    junk: {{{keys}}}")
    began = time.process_time()
    found = faults(tmp_path, text + "".join(f"  x{n}: {{like: base}}\n" for n in range(400)))
    assert time.process_time() - began < 3  # of a tenth of it
    assert len(found) == 1
    assert "unknown key 'junk'" in found[0]


def test_two_files_may_not_share_a_name(tmp_path: Path) -> None:
    for name in ("a.yaml", "b.yaml"):
        (tmp_path / name).write_text(BASE, encoding="utf-8")
    with pytest.raises(InputError, match=r"b\.yaml:2: the name 'base' is taken"):
        load_catalogue([tmp_path / "a.yaml", tmp_path / "b.yaml"])


def test_every_record_of_the_catalogue_is_valid() -> None:
    found = load_catalogue()
    assert len([found.parts[name] for name in found.parts]) + len([found.plugs[name] for name in found.plugs]) >= 55


def told(folder: Path, text: str, name: str) -> dict[str, tuple[float, str]]:
    """Return value and source of every dimension of a part."""
    part = read(folder, text).parts[name]
    return {d.path: (d.value, d.source.source if d.source is not None else "") for d in dimensions(part)}


def test_what_follows_from_a_dimension_that_differs_follows_it(tmp_path: Path) -> None:
    found = told(tmp_path, "parts:\n  x: {like: gland-m20, bush: {thread: 18 mm}}\n", "x")
    assert found["rear.0.width"] == (18, "follows from bush.thread")
    assert found["cutout.width"][0] == pytest.approx(18.3)
    assert found["thickest"][0] == found["bush.length"][0] - 3
    text = "parts:\n  x: {like: gland-m20, bush: {length: 12 mm}}\n  y: {like: x, bush: {thread: 18 mm}}\n"
    deeper = told(tmp_path, text, "y")
    assert (deeper["rear.0.depth"][0], deeper["rear.0.width"][0], deeper["thickest"][0]) == (12, 18, 9)


def test_what_is_written_follows_nothing(tmp_path: Path) -> None:
    text = "parts:\n  x: {like: gland-m20, bush: {thread: 18 mm}, cutout: {round: 18.5 mm}}\n  y: {like: x, title: Y}\n"
    for name in ("x", "y"):
        assert told(tmp_path, text, name)["cutout.width"] == (18.5, "as written in own.yaml")


def test_what_is_written_rests_on_no_source_and_range_of_another_part(tmp_path: Path) -> None:
    own = "parts:\n  x: {like: xlr3-socket, rear: [{outline: {round: 20 mm}, to: 12 mm}], cutout: {round: 21 mm}"
    part = read(tmp_path, f"{own}}}\n").parts["x"]
    assert source_of(part, "rear.0.width") != source_of(load_catalogue().parts["xlr3-socket"], "rear.0.width")
    assert extent(part, "rear.0.width", 20.0) == Extent(20, 20)
    assert confidence_of(part, "cutout.width") == "as stated"
    assert confidence_of(part, "flange.outline.width") == "confirmed"  # as it is there
    named = told(tmp_path, f"{own}, sources: {{rear: measured twice}}}}\n", "x")
    assert named["rear.0.width"] == (20, "measured twice")
    assert named["cutout_rear.width"] == (21, "follows from cutout")


def test_a_shape_that_no_one_number_changes_is_asked_for(tmp_path: Path) -> None:
    text = """\
parts:
  base:
    title: Base
    family: test
    flange: {outline: {box: [40, 40]}, thick: 2}
    cutout: {slot: [24, 12]}
    rear: [{outline: {round: 20}, to: 9}]
    sources: {cutout.width: {of: rear.0.width, plus: 4 mm}}
  x: {like: base, rear: [{outline: {round: 21}, to: 9}]}
"""
    assert faults(tmp_path, text) == [
        "own.yaml:9: cutout.width follows from rear.0.width, which makes it 25 mm, but it is neither round nor a box, "
        "expected cutout written out"
    ]


def test_no_record_of_the_catalogue_is_changed_by_what_follows() -> None:
    found = load_catalogue()
    records: list[Part | Plug] = [*found.parts.values(), *found.plugs.values()]
    for one in records:
        assert list(followers(one, {})) == []
        assert not [
            d.path for d in dimensions(one) if d.source is not None and d.source.source.startswith("as written")
        ]


def test_a_list_of_one_may_be_written_without_brackets_and_follows_too(tmp_path: Path) -> None:
    text = """\
parts:
  base:
    like: gland-m20
    rear: {outline: {round: 20 mm}, to: 10 mm}
    mount: front
    plugs: jack-6-plug
    sources: {rear.0.width: {of: bush.thread}}
  x: {like: base, bush: {thread: 18 mm}}
"""
    part = read(tmp_path, text).parts["x"]
    assert (part.mount, part.plugs, len(part.rear)) == (("front",), ("jack-6-plug",), 1)
    assert told(tmp_path, text, "x")["rear.0.width"] == (18, "follows from bush.thread")
    other = text.replace("bush: {thread: 18 mm}", "rear: {outline: {round: 19 mm}, to: 10 mm}")
    assert told(tmp_path, other, "x")["rear.0.width"] == (19, "as written in own.yaml")


def test_a_source_that_is_taken_away_leaves_none_of_the_other_part(tmp_path: Path) -> None:
    rear = "rear: [{outline: {round: 20 mm}, to: 9 mm}]"
    text = f"parts:\n  x: {{like: xlr3-socket, {rear}, cutout: {{round: 21}}, sources: {{cutout: , rear.0.width: }}}}\n"
    found = told(tmp_path, text, "x")
    assert found["rear.0.width"] == (20, "as written in own.yaml")  # though `rear` has one that covers it
    assert found["cutout.width"] == (21, "")
