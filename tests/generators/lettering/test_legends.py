"""Legends: where they go, what hides them (``legend-room``), and remedies that cure it when carried out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from dryfit.generators.checks.legend_room import judge_one
from dryfit.generators.lettering.legends import HEIGHTS, LEAST_GAP, Cover, Legend, covers, legends
from dryfit.generators.lettering.typeface import text_width
from dryfit.generators.pipeline import check
from dryfit.generators.remedies.legends import pattern_of, shortened
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.outlines import Outline, box, clearance, gap, round_
from dryfit.models.job import Job
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, job, place, report

WALL = "{size: [100 mm, 60 mm], thickness: 2 mm}"


def _of(of: Report) -> dict[str, Finding]:
    return {f.place: f for f in of.findings if f.check == "legend-room"}


# --- where they go ---------------------------------------------------------------------------------------------------


def _only(of: Job) -> Legend:
    (legend,) = legends(of)
    return legend


def test_a_legend_stands_centred_over_its_flange_as_large_as_can_be(tmp_path: Path) -> None:
    legend = _only(job(tmp_path, place("xlr3-socket", label="MIC")))
    assert legend.height == HEIGHTS[0]
    assert legend.x + text_width("MIC", legend.height) / 2 == pytest.approx(0)
    assert legend.outline.box.bottom == pytest.approx(31 / 2 + 1.2)  # half a flange of 31 mm, and the gap


def test_without_room_above_it_stands_below_and_without_either_beside(tmp_path: Path) -> None:
    near_the_top = _only(job(tmp_path, place("xlr3-socket", label="MIC", at="[0, 25]")))
    assert near_the_top.outline.box.top < 25 - 31 / 2
    low_panel = "{size: [100 mm, 36 mm], thickness: 2 mm}"
    beside = _only(job(tmp_path, place("xlr3-socket", label="MIC"), low_panel))
    assert beside.outline.box.left == pytest.approx(26 / 2 + 1.2, abs=0.1)


def test_a_smaller_height_is_taken_before_a_legend_goes_beside(tmp_path: Path) -> None:
    tight = "{size: [100 mm, 39.8 mm], thickness: 2 mm}"  # 4.4 mm over the flange: gap 1.2, edge 1, so 2.2 are left
    legend = _only(job(tmp_path, place("xlr3-socket", label="MIC"), tight))
    assert legend.height == 2.0
    assert legend.y > 0


def test_a_rear_mounted_part_keeps_its_legend_clear_of_screw_heads(tmp_path: Path) -> None:
    rear = report(tmp_path, place("xlr3-socket", label="A", mount="rear"))
    heads = [o for i in rear.assembly.of("screw") for s in i.slices if s.z1 > 0 for o in [s.profile.widest]]
    legend = _only(rear.job)
    assert heads
    assert min(gap(legend.outline, head) for head in heads) >= LEAST_GAP


def test_folded_lips_leave_less_of_the_face(tmp_path: Path) -> None:
    panel = job(tmp_path, place("8p8c-d"), "{rack_units: 2, thickness: 2 mm, lip: 12 mm, bend_radius: 3 mm}").panel
    assert panel.flat.size == pytest.approx((panel.width, panel.height - 2 * 5))


@pytest.mark.parametrize(("over", "verdict"), [(0.3, Verdict.FAILS), (-0.1, Verdict.FITS)])
def test_a_legend_on_the_bend_of_a_lip_is_found(tmp_path: Path, over: float, verdict: Verdict) -> None:
    panel = job(tmp_path, place("8p8c-d"), "{rack_units: 2, thickness: 2 mm, lip: 12 mm, bend_radius: 3 mm}").panel
    top = _legend().outline.box.top
    found = judge_one(panel, _legend(y=panel.height / 2 - 5 - top + over), ())
    assert found.verdict is verdict
    if over > 0:
        assert found.measured == pytest.approx(-over)
        assert "bend of the lip" in found.says


@pytest.mark.parametrize("name", ["foyer", "blank"])
def test_legends_of_the_demos_are_clear_of_everything(name: str) -> None:
    of = read_job(LAYOUTS / f"{name}.yaml")
    found = legends(of)
    assert [legend.text for legend in found] == [p.legend for p in of.places]
    for legend in found:
        others = [o.outline for o in found if o != legend] + [c.outline for c in covers(of)]
        assert min(gap(legend.outline, o) for o in others) >= LEAST_GAP
        assert clearance(legend.outline, of.panel.flat) >= 1.0


@pytest.mark.parametrize("name", ["foyer", "blank"])
def test_the_demos_fit(name: str) -> None:
    found = _of(check(read_job(LAYOUTS / f"{name}.yaml")))
    assert found
    assert {f.verdict for f in found.values()} == {Verdict.FITS}


# --- what is found ---------------------------------------------------------------------------------------------------


def _judged(tmp_path: Path, legend: Legend, *standing: Cover, lettered: tuple[Cover, ...] = ()) -> Finding:
    panel = job(tmp_path, place("8p8c-d"), WALL).panel
    return judge_one(panel, legend, (*standing, *lettered))


def _legend(height: float = 3.0, text: str = "MIC", x: float = 0.0, y: float = 0.0) -> Legend:
    return Legend("A", text, x, y, height)


def _above(legend: Legend, shape: Outline, room: float) -> Outline:
    """Return a shape that stands over a legend with so much room between them."""
    left, _, right, top = legend.outline.box
    return shape.moved((left + right) / 2, top + room + shape.size.height / 2)


@pytest.mark.parametrize("what", ["flange", "plug", "screw head", "washer", "nut", "cut-out", "rack screw"])
@pytest.mark.parametrize(
    ("room", "verdict"),
    [(-0.7, Verdict.FAILS), (-0.01, Verdict.FAILS), (0.3, Verdict.TIGHT), (0.5, Verdict.FITS), (1.9, Verdict.FITS)],
)
@pytest.mark.parametrize("shape", [box(26, 31, 3), round_(5.6)])
def test_what_lies_over_a_legend_is_found_and_measured(
    tmp_path: Path, what: str, room: float, verdict: Verdict, shape: Outline
) -> None:
    legend = _legend()
    found = _judged(tmp_path, legend, Cover(what, "B", _above(legend, shape, room)))
    assert found.verdict is verdict
    if verdict is not Verdict.FITS:
        assert found.measured == pytest.approx(room)
        assert found.limit == 0.0
        assert f"the {what} of B" in found.says


def test_two_legends_that_run_into_each_other_are_found(tmp_path: Path) -> None:
    legend = _legend()
    other = Cover("legend", "B", legend.outline.moved(legend.outline.size.width - 0.4, 0))
    found = _judged(tmp_path, legend, lettered=(other, Cover("legend", "A", legend.outline)))
    assert found.verdict is Verdict.FAILS
    assert found.measured == pytest.approx(-0.4)
    assert "into the legend of B" in found.says


@pytest.mark.parametrize(("room", "verdict"), [(-0.5, Verdict.FAILS), (0.5, Verdict.TIGHT), (1.0, Verdict.FITS)])
def test_a_legend_at_the_edge_of_the_panel_is_found(tmp_path: Path, room: float, verdict: Verdict) -> None:
    flush = _legend().outline.box.left
    found = _judged(tmp_path, _legend(x=-50 - flush + room))
    assert found.verdict is verdict
    assert "edge of the panel" in found.says or verdict is Verdict.FITS


@pytest.mark.parametrize(
    ("height", "verdict"),
    [(1.7, Verdict.FAILS), (1.8, Verdict.TIGHT), (2.0, Verdict.TIGHT), (2.5, Verdict.FITS), (3.5, Verdict.FITS)],
)
def test_small_lettering_is_found(tmp_path: Path, height: float, verdict: Verdict) -> None:
    # ISO 3098-1: nominal heights 1.8, 2.5, 3.5 ... mm; the least of them is the least allowed here
    found = _judged(tmp_path, _legend(height))
    assert (found.verdict, found.measured, found.limit) == (verdict, height, 1.8)


def test_a_sign_that_the_typeface_lacks_is_found(tmp_path: Path) -> None:
    found = _of(report(tmp_path, place("8p8c-d", legend='"NET 話"')))["A"]
    assert found.verdict is Verdict.FAILS
    assert "話" in found.says
    assert [c.value for c in found.edits] == ["NET"]


def test_a_place_without_room_says_so_without_a_false_remedy(tmp_path: Path) -> None:
    found = _of(report(tmp_path, place("xlr3-socket"), "{size: [28 mm, 33 mm], thickness: 2 mm}"))["A"]
    assert found.verdict is Verdict.FAILS
    assert found.edits == ()
    assert found.advice.endswith("choose another part or panel.")


# --- remedies --------------------------------------------------------------------------------------------------------


def _rows(*rows: tuple[str, float]) -> str:
    return "\n".join(
        place("xlr3-socket", label=f'"{name} {{n}}"', count="4", pitch="27 mm", at=f"[-40, {y}]") for name, y in rows
    )


WIDE_ROW = place("xlr3-socket", label='"PROGRAMME RETURN LEFT CHANNEL {n}"', count="4", pitch="27 mm", at="[-40, 0]")
COLUMN = place("xlr3-socket", label='"CH {n}"', count="3", pitch="[0, 32]", at="[0, -32]")
LONG = '"STAGE LEFT MICROPHONE INPUT FROM THE ORCHESTRA PIT, NORTH SIDE, PRESENTER AND READING DESK"'


@pytest.mark.parametrize(
    ("places", "panel"),
    [
        (place("xlr3-socket", legend=LONG, at="[-200, 0]") + "\n" + place("8p8c-d", label="B", at="[-170, 0]"), ""),
        (WIDE_ROW, "{size: [140 mm, 60 mm], thickness: 2 mm}"),
        (_rows(("TOP", 32), ("MID", 0), ("LOW", -32)), "{rack_units: 3, thickness: 2 mm}"),
        (COLUMN, "{size: [44 mm, 140 mm], thickness: 2 mm}"),
        (place("8p8c-d", legend='"NET 話"'), WALL),
    ],
    ids=["long", "wide row", "rows", "column", "sign"],
)
def test_remedies_carried_out_better_the_verdict(tmp_path: Path, places: str, panel: str) -> None:
    before = _of(report(tmp_path, places, panel))
    found = max(before.values(), key=lambda f: f.verdict.rank)
    assert found.verdict is not Verdict.FITS
    assert found.edits
    after = _of(check(_changed(tmp_path / "layout.yaml", found)))
    assert after[found.place].verdict.rank < found.verdict.rank
    assert max(f.verdict.rank for f in after.values()) < found.verdict.rank


def _changed(path: Path, found: Finding) -> Job:
    yaml = YAML()
    data: Any = yaml.load(path.read_text(encoding="utf-8"))
    for change in found.edits:
        assert change.entry is not None
        data["places"][change.entry][change.path[0]] = change.value
    with path.open("w", encoding="utf-8") as stream:
        yaml.dump(data, stream)
    return read_job(path)


@pytest.mark.parametrize(
    ("texts", "pattern"),
    [
        (("MIC 1", "MIC 2", "MIC 3"), ("MIC {n}", 1)),
        (("2 CH 9 L", "2 CH 10 L"), ("2 CH {n} L", 9)),
        (("8", "9"), ("{n}", 8)),
        (("IN", "IN"), ("IN", 0)),
        (("STAGE 5",), ("STAGE 5", 0)),
    ],
)
def test_the_pattern_of_a_row_is_found_again(texts: tuple[str, ...], pattern: tuple[str, int]) -> None:
    assert pattern_of(texts) == pattern


def test_legends_get_shorter_word_by_word_and_keep_their_number() -> None:
    steps = list(shortened("MONITOR SEND {n}"))
    assert steps[0] == "MONITO SEND {n}"
    assert steps[-2:] == ["MON {n}", "{n}"]
    assert all("{n}" in step for step in steps)
    assert list(shortened("話", "話")) == []
