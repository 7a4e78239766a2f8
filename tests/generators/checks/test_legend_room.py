"""Legends: all that is told of one, by what is worst about it, on a panel of 100 x 60 mm."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.checks.legend_room import judge, judge_one, quoted, standing
from dryfit.generators.lettering.legends import Cover, Crowd, Legend
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.outlines import Outline, box, round_
from dryfit.models.panel import Panel
from dryfit.models.tables.panels import materials
from tests.plain import M3, about, asked, at, length, told

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
PANEL = Panel(100.0, 60.0, 2.0, materials()["aluminium"])
LIPPED = replace(PANEL, lip=12.0, bend_radius=3.0)
SOURCE = "lettering heights: ISO 3098-1, from memory; clearances: common practice of engravers"
IN = 'Its legend "MIC" '


def _legend(height: float = 3.0, text: str = "MIC", **spot: float) -> Legend:
    """Return a legend whose letters end at a side of a rectangle: the middle of the panel where none is named."""
    flat = Legend("A", text, 0.0, 0.0, height).outline.box
    x = spot["right"] - flat.right if "right" in spot else spot.get("left", -flat.width / 2) - flat.left
    y = spot["top"] - flat.top if "top" in spot else spot.get("bottom", -flat.height / 2) - flat.bottom
    return Legend("A", text, x, y, height)


def _wanted(verdict: Verdict, says: str, room: float, limit: float = 0.0, **more: Any) -> Finding:
    return length("legend-room", verdict, says, room, limit=limit, source=SOURCE, **more)


def _above(room: float, shape: Outline = box(20, 10), height: float = 3.0) -> Outline:  # noqa: B008  # never changes
    """Return a shape so far above the legend in the middle of the panel."""
    return shape.moved(0, _legend(height).outline.box.top + room + shape.size.height / 2)


@pytest.mark.parametrize(
    ("height", "verdict", "says"),
    [
        (3.5, FITS, IN + "has capitals 3.5 mm high."),
        (2.5, FITS, IN + "has capitals 2.5 mm high."),
        (2.4, TIGHT, IN + "has room for capitals of 2.4 mm only."),
        (1.8, TIGHT, IN + "has room for capitals of 1.8 mm only."),
        (1.7, FAILS, IN + "has room for capitals of 1.7 mm only."),
    ],
)
def test_the_height_of_capitals_is_told(height: float, verdict: Verdict, says: str) -> None:
    assert judge_one(PANEL, _legend(height), ()) == _wanted(verdict, says, height, 1.8)


@pytest.mark.parametrize("side", ["left", "right", "top", "bottom"])
@pytest.mark.parametrize(
    ("room", "verdict", "says"),
    [
        (1.1, FITS, IN + "is 1.1 mm from the edge of the panel."),
        (1.0, FITS, IN + "is 1 mm from the edge of the panel."),
        (0.9, TIGHT, IN + "is 0.9 mm from the edge of the panel."),
        (0.0, TIGHT, IN + "is 0 mm from the edge of the panel."),
        (-0.2, FAILS, IN + "runs 0.2 mm over the edge of the panel."),
    ],
)
def test_the_edge_of_the_panel_is_told(side: str, room: float, verdict: Verdict, says: str) -> None:
    reach = (30 if side in ("top", "bottom") else 50) - room
    spot: dict[str, Any] = {side: reach if side in ("top", "right") else -reach}
    legend = _legend(**spot)
    found = judge_one(PANEL, legend, ())
    if room == 0.0:  # to rounding
        assert (found.verdict, found.measured) == (TIGHT, about(0, 1e-9))
    else:
        assert found == _wanted(verdict, says, room)


@pytest.mark.parametrize(
    ("room", "verdict", "says"),
    # 12 mm of lip: thickness 2 and radius 3 of it are bend
    [
        (0.5, FITS, IN + "is 0.5 mm from the bend of the lip."),
        (-0.2, FAILS, IN + "runs 0.2 mm over the bend of the lip."),
    ],
)
def test_the_bend_of_a_lip_is_told(room: float, verdict: Verdict, says: str) -> None:
    assert judge_one(LIPPED, _legend(top=25 - room), ()) == _wanted(verdict, says, room)
    assert judge_one(LIPPED, _legend(bottom=-25 + room), ()) == _wanted(verdict, says, room)


@pytest.mark.parametrize(
    ("what", "into"),
    [("cut-out", "into"), ("fixing hole", "into"), ("legend", "into"), ("flange", "under"), ("plug", "under"),
     ("screw head", "under"), ("rack screw", "under")],
)  # fmt: skip
def test_what_runs_into_a_legend_or_lies_over_it_is_told(what: str, into: str) -> None:
    found = judge_one(PANEL, _legend(), [Cover(what, "B", _above(-0.3))])
    assert found == _wanted(FAILS, f"{IN}runs 0.3 mm {into} the {what} of B.", -0.3, beside=("B",))


@pytest.mark.parametrize(
    ("room", "verdict", "how"),
    [(1.9, FITS, "1.9"), (0.5, FITS, "0.5"), (0.4, TIGHT, "0.4"), (-0.1, FAILS, None), (2.1, FITS, None)],
)
@pytest.mark.parametrize("shape", [box(20, 10), round_(6)])
def test_what_stands_beside_a_legend_is_told_with_its_room(
    room: float, verdict: Verdict, how: str | None, shape: Outline
) -> None:
    # capitals of 5 mm leave 3.2 to the least that can be read: what is nearer than that is worse
    found = judge_one(PANEL, _legend(5), [Cover("flange", "B", _above(room, shape, 5))])
    if how is None and room > 0:  # too far to look at
        assert found == _wanted(FITS, IN + "has capitals 5 mm high.", 5.0, 1.8)
    else:
        says = f"is {how} mm from" if how else "runs 0.1 mm under"
        assert found == _wanted(verdict, f"{IN}{says} the flange of B.", room, beside=("B",))


@pytest.mark.parametrize(
    ("place", "words", "beside"),
    [("A", "its own flange", ()), ("B", "the flange of B", ("B",)), ("", "the flange", ())],
    ids=["its own", "another's", "the panel's"],
)
def test_a_cover_is_told_by_whose_it_is(place: str, words: str, beside: tuple[str, ...]) -> None:
    found = judge_one(PANEL, _legend(), [Cover("flange", place, _above(0.25))])
    assert found == _wanted(TIGHT, f"{IN}is 0.25 mm from {words}.", 0.25, beside=beside)


def test_a_legends_own_letters_are_left_aside_and_anothers_are_not() -> None:
    legend = _legend()
    own = Cover("legend", "A", legend.outline)
    assert judge_one(PANEL, legend, [own]) == judge_one(PANEL, legend, ())
    assert judge_one(PANEL, legend, [own, replace(own, place="B")]).verdict is FAILS


def test_the_worst_is_told_and_of_what_is_alike_bad_the_nearest() -> None:
    near, nearer = Cover("flange", "B", _above(0.4)), Cover("flange", "C", _above(0.3))
    hidden = Cover("plug", "D", _above(-0.1))
    assert judge_one(PANEL, _legend(), [near, nearer]).beside == ("C",)
    assert judge_one(PANEL, _legend(), [nearer, near]).beside == ("C",)
    assert judge_one(PANEL, _legend(), [nearer, hidden, near]).beside == ("D",)


def test_signs_that_cannot_be_drawn_are_told() -> None:
    legend = _legend(text="MIC \u8a71")
    says = 'The typeface has no sign for "\u8a71" of its legend "MIC \u8a71".'
    assert judge_one(PANEL, legend, ()) == _wanted(FAILS, says, 0.0, 1.8)


def test_what_cannot_be_printed_of_a_strangers_text_is_left_blank() -> None:
    assert quoted("A\tB\x1bC") == '"A B C"'


# --- what stands on the face ----------------------------------------------------------------------------

PLUG = {"body": [{"outline": {"round": 16}, "from": 0, "to": 40}]}


def test_all_that_stands_before_the_face_and_all_holes_may_hide_a_legend(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(-40)}\n{at(40, label='B', mount='rear')}", plug=PLUG)
    crowd = standing(made.job, made.assembly)
    covers = set(crowd.about(box(200, 100), 0))
    seen = sorted({(c.place, c.what, round(c.outline.size.width, 3)) for c in covers
                   if c.what != "fixing hole"})  # fmt: skip
    assert seen == [
        ("A", "cut-out", 22), ("A", "flange", 40), ("A", "plug", 16),
        ("A", "screw head", 3), ("A", "screw head", 5.6),
        # the flange of B lies behind; its plug and its screws stand before the panel
        ("B", "cut-out", 22), ("B", "plug", 16), ("B", "screw head", 5.6),
    ]  # fmt: skip
    assert len([c for c in covers if c.what == "fixing hole"]) == 4
    assert {c.outline.centre.x for c in covers if c.place == "B" and c.what == "screw head"} == {25, 55}


def test_nuts_and_washers_before_the_face_hide_a_legend_too(tmp_path: Path) -> None:
    bush = {"thread": 12, "length": 9, "nut_across": 15, "nut_height": 2, "washer": 1, "washer_across": 18,
            "nut_side": "front"}  # fmt: skip
    made = asked(tmp_path, at(0, hardware="{}", mount="rear"), fixings=None, cutout={"round": 12.6}, bush=bush, rear=[])
    covers = standing(made.job, made.assembly).about(box(200, 100), 0)
    assert {round(c.outline.size.width, 3) for c in covers if c.what == "nut"} == {15, 18}
    washed = asked(tmp_path, at(0, hardware=M3.replace("[]", "[plain]")))
    behind = standing(washed.job, washed.assembly).about(box(200, 100), 0)
    assert not [c for c in behind if c.what in ("nut", "washer")]


def test_screws_of_the_rack_hide_a_legend(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0), "{rack_units: 1, thickness: 3}")
    covers = standing(made.job, made.assembly).about(box(482, 44), 0)
    assert len({c.outline.centre for c in covers if c.what == "rack screw"}) == 4


def test_every_legend_is_judged_among_all_others_and_all_that_stands_near(tmp_path: Path) -> None:
    places = [at(-40, legend="'IN'"), at(40, label="B", legend="'OUT'")]
    made = asked(tmp_path, "\n".join(places))
    assert [f.place for f in judge(made.job, Crowd())] == ["A", "B"]
    assert [len(told(made, "legend-room", name)) for name in ("A", "B")] == [1, 1]
    lettered = judge(made.job, Crowd())
    assert all(f.verdict is FITS and "capitals" in f.says for f in lettered)
    (first, _) = judge(made.job, Crowd([Cover("flange", "B", box(30, 100).moved(-40, 0))]))
    assert (first.verdict, first.beside) == (FAILS, ("B",))
