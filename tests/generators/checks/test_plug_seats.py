"""The plug on its way home, by hand: a flange 2 mm thick, pan heads of M3, 2.4 mm high and 5.6 mm across, at 15 mm."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.pipeline import judged
from dryfit.models.findings import Verdict
from tests.helpers import finding, job, place
from tests.plain import M3, PANEL, PART, about, asked, at, fixings, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _plug(*across: float, steps: tuple[float, ...] = (40,)) -> dict[str, Any]:
    starts = (0, *steps[:-1])
    sections = [
        {"outline": {"round": d}, "from": start, "to": stop}
        for d, start, stop in zip(across, starts, steps, strict=True)
    ]
    return {"body": sections}


@pytest.mark.parametrize(
    ("seat", "room", "verdict"), [(2.6, 0.2, FITS), (2.5, 0.1, FITS), (2.45, 0.05, TIGHT), (2.0, -0.4, FAILS)]
)
def test_a_collar_over_the_heads_stops_on_them(tmp_path: Path, seat: float, room: float, verdict: Verdict) -> None:
    found = finding(plain(tmp_path, at(0), plug=_plug(39), seat=seat), "plug-seats")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(room)  # seat - 2.4


@pytest.mark.parametrize(("seat", "verdict"), [(0.1, FITS), (0.05, TIGHT)])
def test_a_collar_within_the_heads_stops_on_the_flange(tmp_path: Path, seat: float, verdict: Verdict) -> None:
    found = finding(plain(tmp_path, at(0), plug=_plug(16), seat=seat), "plug-seats")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(seat)


def test_a_wide_grip_that_begins_above_the_heads_clears_them(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0), plug=_plug(16, 39, steps=(5, 40)), seat=0.3)
    found = finding(made, "plug-seats")
    assert found.verdict is FITS
    assert found.measured == pytest.approx(0.3)  # the collar on the flange; the grip is 0.3 + 5 - 2.4 above the heads


@pytest.mark.parametrize(("across", "verdict"), [(20, FITS), (24, FAILS)])
def test_behind_the_panel_the_collar_must_pass_the_hole(tmp_path: Path, across: float, verdict: Verdict) -> None:
    made = plain(tmp_path, at(0, mount="rear"), plug=_plug(across), seat=1, rear=[], cutout={"round": 22})
    found = finding(made, "plug-seats")  # its shoulder is 2 mm behind the front face
    assert found.verdict is verdict, found.says


def test_plugs_side_by_side_need_their_own_room(tmp_path: Path) -> None:
    for apart, verdict in ((41.2, FITS), (40.8, FAILS)):
        made = asked(tmp_path, f"{at(0)}\n{at(apart, label='B')}", plug=_plug(41), seat=5)
        assert finding(made, "plug-seats").verdict is verdict, apart


# --- what is told, and of what ---------------------------------------------------------------------------------------


def test_the_screw_in_the_way_is_named(tmp_path: Path) -> None:
    found = finding(asked(tmp_path, at(0), plug=_plug(39), seat=2.0), "plug-seats")
    assert found.bodies == ("A: plain-plug", "A: screw 1")
    assert found.says == "The plug is kept 0.4 mm from home by the screw head."
    assert (found.view, found.limit) == ("front", 0.0)


def test_a_sunk_head_is_no_matter_to_a_collar(tmp_path: Path) -> None:
    seat = {"diameter": 6.4, "angle": 90}
    made = asked(tmp_path, at(0, hardware=M3.replace("pan", "countersunk")), plug=_plug(39), seat=0.2,
                 fixings=fixings(seat=seat))  # fmt: skip
    assert finding(made, "plug-seats").measured == pytest.approx(0.2)  # the flange; the head lies 0.05 below it


def test_heads_behind_the_panel_are_no_matter_to_a_plug(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, hardware="{screw: M3, head: pan, length: 6}"), plug=_plug(39), seat=0.5,
                 fixings=fixings(boss={"thread": "M3", "depth": 6}))  # fmt: skip
    assert finding(made, "plug-seats").measured == pytest.approx(0.5)


def test_a_countersunk_head_in_the_panel_is_measured_where_it_stands(tmp_path: Path) -> None:
    # rear-mounted, a pan head on the panel at z = 0; the flange's front 3 mm behind it, the shoulder 6 before that
    made = asked(tmp_path, at(0, mount="rear"), plug=_plug(39), seat=6, rear=[])
    assert finding(made, "plug-seats").measured == pytest.approx(6 - 3 - 2.4)


def test_what_stands_on_the_flange_inside_the_plug_is_meant_to_mate(tmp_path: Path) -> None:
    # a ring 16 mm wide, 10 high, lies within the plug's body of 20 mm; one of 24 mm does not
    inside = asked(tmp_path, at(0), front=[{"outline": {"round": 16}, "from": 0, "to": 10}], plug=_plug(20), seat=1)
    assert finding(inside, "plug-seats").measured == pytest.approx(1)
    wide = asked(tmp_path, at(0), front=[{"outline": {"round": 24}, "from": 0, "to": 10}], plug=_plug(20), seat=1)
    found = finding(wide, "plug-seats")
    assert (found.verdict, found.measured) == (FAILS, about(1 - 10))


def test_a_step_below_the_shoulder_stops_the_plug(tmp_path: Path) -> None:
    # 0.6 mm of a step within the plug's body, its shoulder 0.5 mm above the flange
    made = asked(tmp_path, at(0), front=[{"outline": {"round": 16}, "from": 0, "to": 0.45}], plug=_plug(20), seat=0.5)
    assert finding(made, "plug-seats").measured == pytest.approx(0.05)


@pytest.mark.parametrize(("hole", "room", "verdict"), [(21, 0.5, FITS), (20, 0.0, TIGHT), (19, -0.5, FAILS)])
def test_a_shoulder_within_the_panel_has_the_air_of_its_hole(
    tmp_path: Path, hole: float, room: float, verdict: Verdict
) -> None:
    made = asked(tmp_path, at(0, mount="rear", cutout=f"{{hole: {hole}}}"), plug=_plug(20), seat=1, rear=[])
    found = finding(made, "plug-seats")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(room)
    assert "panel" in found.says


def test_coating_narrows_the_hole_for_the_plug_too(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.2}")
    made = asked(tmp_path, at(0, mount="rear", cutout="{hole: 21}"), coated, plug=_plug(20), seat=1, rear=[])
    assert finding(made, "plug-seats").measured == pytest.approx(10.3 - 10)


def test_a_collar_over_the_hole_stops_on_the_panel(tmp_path: Path) -> None:
    # the shoulder is 3.2 mm before a flange that lies 3 mm behind the front face
    made = asked(tmp_path, at(0, mount="rear"), plug=_plug(24), seat=3.2, rear=[])  # within the heads
    assert finding(made, "plug-seats").measured == pytest.approx(0.2)


# --- neighbours ------------------------------------------------------------------------------------------------------


def _post(across: float, height: float) -> dict[str, Any]:
    return {
        "title": "Post", "family": "test", "flange": {"outline": {"round": 4}, "thick": 2}, "cutout": {"round": 3},
        "front": [{"outline": {"round": across}, "from": 0, "to": height}], "mount": ["front"],
    }  # fmt: skip


@pytest.mark.parametrize(
    ("spot", "room", "verdict"),
    [("[20, 0]", 1.0, FITS), ("[19.05, 0]", 0.05, TIGHT), ("[0, 18]", -1.0, FAILS), ("[-18, 0]", -1.0, FAILS)],
)
def test_a_post_beside_the_plug_leaves_it_its_gap(tmp_path: Path, spot: str, room: float, verdict: Verdict) -> None:
    places = f"{at(0)}\n{place('post', label='B', at=spot)}"
    made = asked(tmp_path, places, also={"post": _post(8, 20)}, plug=_plug(30), seat=5,
                 flange={"outline": {"box": [34, 4]}, "thick": 2})  # fmt: skip
    found = finding(made, "plug-seats")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(room)
    assert found.bodies == ("A: plain-plug", "B: post")
    assert found.beside == ("B",)


def test_what_lies_under_the_plug_keeps_it_from_home_by_its_height(tmp_path: Path) -> None:
    places = f"{at(0)}\n{place('post', label='B', at='[0, 16]')}"
    made = asked(tmp_path, places, also={"post": _post(4, 4)}, plug=_plug(39), seat=3.5,
                 flange={"outline": {"box": [34, 4]}, "thick": 2})  # fmt: skip
    found = finding(made, "plug-seats")  # the post is 2 + 4 mm high, the shoulder at 2 + 3.5
    assert (found.verdict, found.bodies) == (FAILS, ("A: plain-plug", "B: post"))
    for seat, verdict in ((4.0, TIGHT), (4.05, TIGHT), (4.15, FITS)):
        made = asked(tmp_path, places, also={"post": _post(4, 4)}, plug=_plug(39), seat=seat,
                     flange={"outline": {"box": [34, 4]}, "thick": 2})  # fmt: skip
        found = finding(made, "plug-seats")
        assert found.verdict is verdict, seat
        assert found.measured == pytest.approx(seat - 4)


def test_a_neighbour_in_front_of_the_plug_stops_it_on_its_way(tmp_path: Path) -> None:
    # the next part is wide 30 mm before the panel, above the plug, which is home well below it
    cap = {**_post(4, 60), "front": [{"outline": {"round": 4}, "from": 0, "to": 60},
                                     {"outline": {"round": 60}, "from": 60, "to": 70}]}  # fmt: skip
    places = f"{at(0)}\n{place('cap', label='B', at='[40, 0]')}"
    found = finding(asked(tmp_path, places, also={"cap": cap}, plug=_plug(30), seat=5), "plug-seats")
    assert (found.verdict, found.bodies) == (FAILS, ("A: plain-plug", "B: cap"))
    assert found.measured == pytest.approx(40 - 30 - 15)
    assert found.says.endswith("on its way.")


def test_another_plug_in_the_way_is_drawn_out_first(tmp_path: Path) -> None:
    # the neighbour's plug is narrow at first and 60 mm wide from 50 mm on, above this one's 40
    grip = {"outline": {"round": 60}, "from": 50, "to": 70}
    wide = {**PART, "plugs": ["wide-plug"], "seat": 5}
    body = [{"outline": {"round": 20}, "from": 0, "to": 50}, grip]
    parts = {"parts": {"plain": {**PART, "plugs": ["thin"], "seat": 5}, "wide": wide},
             "plugs": {"thin": {"title": "Thin", "travel": 10, "body": _plug(30)["body"]},
                       "wide-plug": {"title": "Wide", "travel": 10, "body": body}}}  # fmt: skip
    (tmp_path / "plain.yaml").write_text(json.dumps(parts), encoding="utf-8")
    places = f"{at(0)}\n{place('wide', label='B', at='[42, 0]', hardware=M3)}"
    found = finding(judged(job(tmp_path, places, PANEL, "parts: [plain.yaml]")), "plug-seats")
    assert (found.verdict, found.bodies) == (TIGHT, ("A: thin", "B: wide-plug"))
    assert found.measured == pytest.approx(42 - 30 - 15)
    assert "draw that out first" in found.says


def _oblong(motion: str) -> dict[str, Any]:
    """Return a plug 36 mm long and 10 wide at home, turned a quarter clockwise after the push."""
    return {"body": [{"outline": {"box": [36, 10]}, "from": 0, "to": 20}], "motion": motion, "turn": 90}


@pytest.mark.parametrize(
    ("spot", "motion", "verdict"),
    [
        ("[0, 14]", "push", FITS),  # home it lies along x: 5 mm up
        ("[0, 14]", "quarter turn", FAILS),  # pushed in along y, it runs into a post there
        ("[13, 13]", "quarter turn", FAILS),  # and on its way round, clockwise
        ("[-13, -13]", "quarter turn", FAILS),  # with its other end
        ("[-13, 13]", "quarter turn", FITS),  # there it never is
        ("[0, 21]", "quarter turn", FITS),  # 18.7 mm reach its corners
    ],
)
def test_a_plug_that_turns_sweeps_what_is_beside_it(tmp_path: Path, spot: str, motion: str, verdict: Verdict) -> None:
    places = f"{at(0)}\n{place('post', label='B', at=spot)}"
    made = asked(tmp_path, places, also={"post": _post(4, 20)}, plug=_oblong(motion), seat=5,
                 flange={"outline": {"box": [40, 4]}, "thick": 2})  # fmt: skip
    found = finding(made, "plug-seats")
    assert found.verdict is verdict, found.says


def test_a_plug_that_turns_a_little_sweeps_no_more_than_that(tmp_path: Path) -> None:
    places = f"{at(0)}\n{place('post', label='B', at='[6, 16]')}"  # 70 degrees on from home, anticlockwise
    for turn, verdict in ((90, FAILS), (45, FITS)):
        made = asked(tmp_path, places, also={"post": _post(2, 20)}, plug={**_oblong("quarter turn"), "turn": turn},
                     seat=5, flange={"outline": {"box": [40, 4]}, "thick": 2})  # fmt: skip
        assert finding(made, "plug-seats").verdict is verdict, turn
    places = f"{at(0)}\n{place('post', label='B', at='[16, -7]')}"  # a little clockwise from home: not swept
    made = asked(tmp_path, places, also={"post": _post(2, 20)}, plug={**_oblong("quarter turn"), "turn": 45}, seat=5,
                 flange={"outline": {"box": [40, 4]}, "thick": 2})  # fmt: skip
    assert finding(made, "plug-seats").verdict is FITS


def test_the_nut_of_a_bush_in_front_stops_the_plug(tmp_path: Path) -> None:
    bush = {"thread": 12, "length": 9, "nut_across": 15, "nut_height": 2, "washer": 1, "washer_across": 18}
    made = asked(tmp_path, at(0, hardware="{}", mount="rear"), fixings=None, cutout={"round": 12.6}, bush=bush,
                 rear=[], front=[{"outline": {"round": 12}, "from": 0, "to": 9}], plug=_plug(20), seat=5.5)  # fmt: skip
    found = finding(made, "plug-seats")
    # the flange's front lies 3 mm behind the face, the shoulder 2.5 before it, the nut 1 + 2 mm high
    assert (found.verdict, found.measured) == (FAILS, about(2.5 - 3))
    assert found.bodies == ("A: plain-plug", "A: bush nut")


def test_a_nose_lies_inside_the_part_and_is_no_matter(tmp_path: Path) -> None:
    plug = {**_plug(16), "nose": [{"outline": {"round": 30}, "from": 0, "to": 5}]}
    assert finding(asked(tmp_path, at(0), plug=plug, seat=0.3), "plug-seats").measured == pytest.approx(0.3)
