"""Whole answers of mount-side, cutout-size and hardware, by hand: a barrel of 20 mm, a flange of 40 x 40 mm."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from dryfit.generators.checks.hardware import wish_in_words
from dryfit.models.findings import Answer, Verdict
from dryfit.models.geometry.outlines import Outline, box, round_
from dryfit.models.job import HardwareWish
from tests.fits import BOSS, fit, of_length, sheet, told
from tests.plain import about, fixings

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
BOX = [{"outline": {"box": [20, 10]}, "from": 0, "to": 20}]


# --- mount-side ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "allowed", "verdict", "margin", "says"),
    [
        ("front", ["front", "rear"], FITS, 0, "This part may be mounted from the front."),
        ("rear", ["front", "rear"], FITS, 0, "This part may be mounted from the rear."),
        ("rear", ["front"], FAILS, -1, "This part may be mounted from the front only, not from the rear."),
        ("front", ["rear"], FAILS, -1, "This part may be mounted from the rear only, not from the front."),
    ],
)
def test_a_side_is_allowed_or_not(side: str, allowed: list[str], verdict: Verdict, margin: float, says: str) -> None:
    answers = told("mount-side", fit(side=side, mount=allowed))
    assert answers == (Answer("mount-side", verdict, says, margin, "count", source="catalogue: allowed sides"),)


@pytest.mark.parametrize(
    ("thick", "room", "verdict"),
    [(0.9, -0.1, FAILS), (1.0, 0, FITS), (1.7, 0.7, FITS), (2.2, 0.8, FITS), (3.0, 0, FITS), (3.1, -0.1, FAILS)],
)
def test_spring_tabs_hold_on_panels_from_how_thin_to_how_thick(thick: float, room: float, verdict: Verdict) -> None:
    answers = told("mount-side", fit(panel=sheet(thick), snap={"from": 1, "to": 3}))
    says = f"The panel is {thick:g} mm thick; the spring tabs of this part hold on 1 mm to 3 mm."
    assert answers == (of_length("mount-side", verdict, says, room, source="catalogue: thickest panel"),)


def test_a_coating_on_both_faces_is_part_of_the_thickness() -> None:
    (answer,) = told("mount-side", fit(panel=replace(sheet(2.9), coating=0.1), thickest=3))
    assert answer.says == "The panel is 3.1 mm thick with its coating; this part suits at most 3 mm."
    assert answer.verdict is FAILS


SOURCES = {"thickest": {"source": "ours", "confidence": "as stated", "greatest": 3.5}}


@pytest.mark.parametrize(
    ("thick", "sources", "room", "verdict", "ends"),
    [
        (3.0, None, 0, FITS, "."),
        (3.1, None, -0.1, FAILS, "."),
        (3.0, SOURCES, 0.5, FITS, ", or 3.5 mm by some sources."),
        (3.1, SOURCES, 0.4, TIGHT, ", or 3.5 mm by some sources."),
        (3.5, SOURCES, 0, TIGHT, ", or 3.5 mm by some sources."),
        (3.6, SOURCES, -0.1, FAILS, ", or 3.5 mm by some sources."),
        (2.9, {"thickest": {**SOURCES["thickest"], "greatest": 2.5}}, 0.1, FITS, "."),
        (2.9, {"thickest": {"source": "ours", "confidence": "as stated"}}, 0.1, FITS, "."),
    ],
)
def test_between_what_sources_say_of_the_thickest_panel_it_is_tight(
    thick: float, sources: Any, room: float, verdict: Verdict, ends: str
) -> None:
    answers = told("mount-side", fit(panel=sheet(thick), thickest=3, sources=sources))
    says = f"The panel is {thick:g} mm thick; this part suits at most 3 mm{ends}"
    assert answers == (of_length("mount-side", verdict, says, room, source="catalogue: thickest panel"),)


def test_a_part_for_thin_panels_only_is_measured_by_its_own_limit() -> None:
    (answer,) = told("mount-side", fit(panel=sheet(0.9), thickest=0.8))
    assert (answer.verdict, answer.measured) == (FAILS, about(-0.1, 1e-9))


def test_tabs_go_before_a_thickest_panel_and_a_forbidden_side_before_both() -> None:
    both: dict[str, Any] = {"snap": {"from": 1, "to": 3}, "thickest": 2}
    assert "spring tabs" in told("mount-side", fit(**both))[0].says
    assert "only, not from" in told("mount-side", fit(side="rear", mount=["front"], **both))[0].says


# --- cutout-size -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("hole", "coating", "play", "verdict", "words"),
    [
        (22, 0, 2, FITS, "passes a hole 22 mm with 2 mm of play"),
        (20.15, 0, 0.15, FITS, "passes a hole 20.15 mm with 0.15 mm of play"),
        (20.14, 0, 0.14, TIGHT, "passes a hole 20.14 mm with only 0.14 mm of play"),
        (20, 0, 0, TIGHT, "passes a hole 20 mm with only 0 mm of play"),
        (19.9, 0, -0.1, FAILS, "does not pass a hole 19.9 mm: 0.1 mm too big"),
        (20.4, 0.1, 0.2, FITS, "passes a hole 20.4 mm with 0.1 mm of coating on its wall with 0.2 mm of play"),
        (20.1, 0.1, -0.1, FAILS, "does not pass a hole 20.1 mm with 0.1 mm of coating on its wall: 0.1 mm too big"),
    ],
)
def test_the_barrel_passes_what_coating_leaves_of_the_hole(
    hole: float, coating: float, play: float, verdict: Verdict, words: str
) -> None:
    answers = told("cutout-size", fit(panel=sheet(coating=coating), hole=round_(hole)))
    assert answers == (of_length("cutout-size", verdict, f"The 20 mm body {words}.", play, source="common practice"),)


def test_of_several_sections_in_the_sheet_the_largest_is_named_and_the_tightest_measured() -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 1}, {"outline": {"box": [20, 12]}, "from": 1, "to": 9}]
    answers = told("cutout-size", fit(hole=round_(22), rear=rear))
    corner = (20**2 + 12**2) ** 0.5  # 23.32 mm over the corners of the box, less than 20 x 20 / 4 x pi in area
    says = "The 20 mm body does not pass a hole 22 mm: 1.32 mm too big."
    assert answers == (of_length("cutout-size", FAILS, says, 22 - corner, source="common practice"),)


def test_width_and_height_are_told_of_what_is_not_round() -> None:
    says = "The 20 mm x 10 mm body passes a hole 20.6 mm x 10.3 mm with 0.3 mm of play."
    answers = told("cutout-size", fit(hole=box(20.6, 10.3), rear=BOX))
    assert answers == (of_length("cutout-size", FITS, says, 0.3, source="common practice"),)


@pytest.mark.parametrize(("side", "behind"), [("front", "rear"), ("rear", "front")])
def test_only_what_comes_to_rest_in_the_sheet_is_asked_of(side: str, behind: str) -> None:
    answers = told("cutout-size", fit(side=side, rear=None, front=None, cutout={"round": 12}))
    none = Answer("cutout-size", FITS, "Nothing of the part stands in its hole 12 mm.", source="common practice")
    assert answers == (none,)
    body: dict[str, Any] = {"rear": None, behind: BOX}
    within = told("cutout-size", fit(side=side, cutout={"round": 12}, **body))
    assert [a.verdict for a in within] == [FAILS]


@pytest.mark.parametrize(
    ("hole", "turn", "lap"),
    [
        (round_(40), 0, None),
        (round_(40.2), 0, -0.1),
        (round_(30).moved(5, 0), 0, None),
        (round_(30).moved(6, 0), 0, -1),
        (box(20, 36), 0, None),
        (box(20, 36), 90, -3),  # the flange of 30 x 40 mm, turned: 15 mm up, the hole 18
    ],
)
def test_a_hole_that_reaches_beyond_the_flange_stays_open(hole: Outline, turn: float, lap: float | None) -> None:
    flange = {"outline": {"box": [30, 40]} if hole.size[0] == 20 else {"box": [40, 40]}, "thick": 2}
    nothing, *more = told("cutout-size", fit(None, turn=turn, hole=hole, rear=None, fixings=None, flange=flange))
    assert nothing.verdict is FITS
    if lap is None:
        assert more == []
    else:
        says = f"The hole reaches {-lap:g} mm beyond the flange and stays open beside it."
        assert more == [of_length("cutout-size", FAILS, says, lap, source="common practice")]


# --- hardware --------------------------------------------------------------------------------------------------------


def test_what_holds_a_part_is_named() -> None:
    says = "Held by pan screws of M3."
    assert told("hardware", fit()) == (Answer("hardware", FITS, says, 0.0, "count", source="tables of fasteners"),)


def test_a_part_that_tabs_or_a_bush_hold_is_not_asked_for_hardware() -> None:
    bush = {"thread": 10, "length": 9, "nut_across": 14, "nut_height": 2}
    assert told("hardware", fit(None, fixings=None, snap={"from": 1, "to": 3})) == ()
    assert told("hardware", fit(None, fixings=None, bush=bush)) == ()


def test_a_part_that_nothing_holds_is_told() -> None:
    (answer,) = told("hardware", fit(None, fixings=None))
    assert (answer.verdict, answer.margin) == (TIGHT, None)
    assert answer.says == "Nothing that is said of it holds it: it has no fixings, no bush and no snap."


@pytest.mark.parametrize(
    ("wish", "asked", "without", "there"),
    [
        ({"threads": ("M3",), "nut": "narrow"}, "screw M3, nut narrow", "screw", "No. 4-40 x "),
        ({"nut": "square"}, "nut square", "nut", "M3 x "),
        ({"threads": ("M3",), "nut": "hexagon", "washers": ("square",)},
         "screw M3, nut hexagon, washers square", "washers", "M3 x "),
        ({"threads": ("M3",), "head": "countersunk", "drives": ("hexagon socket",)},
         "screw M3, head countersunk, drive hexagon socket", "head", "button"),
        ({"threads": ("M3",), "heads": ("countersunk",), "drives": ("hexagon socket",)},
         "screw M3, head countersunk, drive hexagon socket", "head", "button"),
        ({"threads": ("M3",), "drives": ("square",)}, "screw M3, drive square", "drive", "M3 x "),
    ],
)  # fmt: skip
def test_the_wish_that_is_in_the_way_is_named_with_what_there_would_be(
    wish: dict[str, Any], asked: str, without: str, there: str
) -> None:
    (answer,) = told("hardware", fit(None, wish=HardwareWish(**wish)))
    begins = f"Nothing in the tables holds it with {asked}; without the wish for `{without}` there would be "
    assert answer.says.startswith(begins)
    assert there in answer.says.removeprefix(begins)
    assert (answer.verdict, answer.margin, answer.unit) == (FAILS, -1.0, "count")
    assert answer.source == "tables of fasteners"


def test_a_boss_that_is_refused_its_thread_is_told_so() -> None:
    wish = HardwareWish(threads=("M4",), is_own=True, length=8.0)
    (answer,) = told("hardware", fit(None, fixings=fixings(boss=BOSS), wish=wish))
    assert answer.says.startswith("Nothing in the tables holds it with screw M4, length 8 mm; without the wish for `sc")
    assert "would be M3 x " in answer.says


def test_where_no_single_wish_is_in_the_way_none_is_named() -> None:
    (answer,) = told("hardware", fit(None, wish=HardwareWish(nut="narrow", washers=("square",), threads=("M3",))))
    assert answer.says == "Nothing in the tables holds it with screw M3, nut narrow, washers square."
    for unasked in (fit(None, side="rear", mount=["front"]), fit(None)):
        assert told("hardware", unasked)[0].says == "Nothing in the tables holds it."


def test_a_wish_is_told_as_the_layout_has_it() -> None:
    everything = HardwareWish(
        threads=("M3", "M4"), head="pan", length=10.0, nut="thin", washers=("plain", "split"),
        retention="thread locker", heads=("pan", "button"), drives=("slot", "cross recess"),
    )  # fmt: skip
    assert wish_in_words(everything) == (
        "screw M3 or M4, head pan, length 10 mm, drive slot or cross recess, nut thin, washers plain, split, "
        "retention thread locker"
    )
    assert wish_in_words(HardwareWish(washers=(), heads=("pan", "button"))) == "head pan or button, washers none"
    assert wish_in_words(HardwareWish()) == ""
