"""Whole answers of plug-room and latch-reach, by hand: a flange 2 mm thick on a panel of 3 mm."""

from __future__ import annotations

from typing import Any

import pytest

from dryfit.models.findings import Answer, Verdict
from tests.fits import fit, of_length, post, sheet, told

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
PLUG = {
    "body": [{"outline": {"round": 16}, "from": 0, "to": 40}],
    "nose": [{"outline": {"round": 8}, "from": 0, "to": 15}],
    "grip": {"box": [40, 30]},
}
HAND = "room for the hand: catalogue"


# --- plug-room -------------------------------------------------------------------------------------------------------


def _room(*beside: Any, **given: Any) -> tuple[Answer, ...]:
    return told("plug-room", fit(None, beside=beside, **{"plug": PLUG, "seat": 1, **given}))


def test_a_hand_with_nothing_near_has_its_room() -> None:
    says = "A hand has its room about the plug; nothing is near it."
    assert _room() == (Answer("plug-room", FITS, says, bodies=("plain-plug",), source=HAND),)


@pytest.mark.parametrize(
    ("x", "name", "room", "verdict", "says"),
    [
        (26, "next part", 2, FITS, "A hand has its room about the plug, 2 mm clear of the next part."),
        (24, "next part", 0, FITS, "A hand has its room about the plug, 0 mm clear of the next part."),
        (23.5, "next part", -0.5, FAILS, "A hand about the plug needs 0.5 mm more beside the next part."),
        (23.5, "next plug", -0.5, TIGHT,
         "A hand about the plug needs 0.5 mm more beside the next plug: draw that plug first."),
        (24, "next plug", 0, FITS, "A hand has its room about the plug, 0 mm clear of the next plug."),
    ],
)  # fmt: skip
@pytest.mark.parametrize("further", [0, 1])
def test_a_hand_is_as_wide_as_its_grip(
    further: int, x: float, name: str, room: float, verdict: Verdict, says: str
) -> None:
    # a post of 8 mm, x from the axis; the grip reaches 20 mm; one further off stands before or behind it in the list
    near, far = post(x, 0, 8, name=name), post(-40, 0, 8, name="next part")
    beside = (near, far) if further else (far, near)
    expected = of_length("plug-room", verdict, says, room, bodies=("plain-plug", 1 - further), source=HAND)
    assert _room(*beside) == (expected,)


@pytest.mark.parametrize(("turn", "fails"), [(0, False), (90, True)])
def test_a_grip_turns_with_its_part(turn: float, fails: bool) -> None:
    (answer,) = _room(post(0, 20, 6), turn=turn)  # the grip reaches 15 mm up, 20 when it is turned
    assert (answer.verdict is FAILS) is fails


@pytest.mark.parametrize(
    ("side", "low", "high"),
    [("front", 2 + 1, 2 + 1 + 40), ("rear", -3 + 1, -3 + 1 + 40)],  # the flange's front, the seat, the plug's body
)
def test_a_hand_is_as_high_as_the_plug_from_its_shoulder_on(side: str, low: float, high: float) -> None:
    for z0, z1, meets in (
        (low - 5, low, False),
        (high, high + 5, False),
        (low, low + 0.1, True),
        (high - 1, high, True),
    ):
        (answer,) = _room(post(20, 0, 8, z0, z1), side=side)
        assert (answer.verdict is FAILS) is meets, (z0, z1)


def test_a_plug_without_a_grip_asks_for_no_hand() -> None:
    assert _room(plug={**PLUG, "grip": None}) == ()
    assert _room(plug=None) == ()


# --- latch-reach -----------------------------------------------------------------------------------------------------

LATCH = {"on": "part", "at": [0, 10], "height": 2, "finger": {"box": [12, 30]}, "deep": 12}


def _reach(*beside: Any, latch: Any = LATCH, **given: Any) -> tuple[Answer, ...]:
    return told("latch-reach", fit(None, beside=beside, latch=latch, **given))


@pytest.mark.parametrize(
    ("height", "shows", "verdict", "says"),
    [
        (3.5, None, FITS, "A finger reaches the release of the latch; nothing is near it."),
        (3.4, 0.4, TIGHT, "The release of the latch stands only 0.4 mm in front of the panel's front face: hard to "
                          "find with a finger."),
        (3.0, 0.0, FAILS, "The release of the latch lies 0 mm behind the panel's front face: a finger cannot work it."),
        (2.5, -0.5, FAILS, "The release of the latch lies 0.5 mm behind the panel's front face: a finger cannot work "
                           "it."),
        (5, None, FITS, "A finger reaches the release of the latch; nothing is near it."),
    ],
)  # fmt: skip
def test_a_release_behind_the_panel_must_stand_in_front_of_it(
    height: float, shows: float | None, verdict: Verdict, says: str
) -> None:
    found = Answer("latch-reach", verdict, says, source="common practice")
    if shows is not None:
        found = of_length("latch-reach", verdict, says, shows, source="common practice")
    assert _reach(side="rear", latch={**LATCH, "height": height}) == (found,)


@pytest.mark.parametrize(
    ("y", "room", "verdict", "says"),
    [
        (30, 1, FITS, "A finger reaches the release of the latch, 1 mm clear of the next part."),
        (29, 0, FITS, "A finger reaches the release of the latch, 0 mm clear of the next part."),
        (28.5, -0.5, FAILS, "A finger needs 0.5 mm more beside the next part to work the latch."),
    ],
)
@pytest.mark.parametrize("further", [0, 1])
def test_a_finger_has_its_room_beside_the_release(
    further: int, y: float, room: float, verdict: Verdict, says: str
) -> None:
    near, far = post(0, y, 8), post(0, -30, 8)  # the finger reaches 10 + 15 mm up
    beside = (near, far) if further else (far, near)
    expected = of_length("latch-reach", verdict, says, room, bodies=(1 - further,), source="common practice")
    assert _reach(*beside) == (expected,)


@pytest.mark.parametrize(("turn", "spot"), [(0, (0, 26)), (90, (-26, 0)), (180, (0, -26)), (270, (26, 0))])
def test_a_finger_turns_with_the_part(turn: float, spot: tuple[float, float]) -> None:
    assert _reach(post(*spot, 8), turn=turn)[0].verdict is FAILS
    assert _reach(post(*spot, 8), turn=turn + 180)[0].verdict is FITS


def test_a_finger_comes_from_the_release_as_deep_as_is_written() -> None:
    # the flange is 2 mm thick, the release 2 mm above it: a finger fills 4 to 16 mm
    for z0, z1, meets in ((0, 4, False), (0, 4.1, True), (15.9, 20, True), (16, 20, False)):
        assert (_reach(post(0, 26, 8, z0, z1))[0].verdict is FAILS) is meets, (z0, z1)
    behind = _reach(post(0, 26, 8, 0, 2.4), side="rear", latch={**LATCH, "height": 5.5}, panel=sheet(coating=0.1))
    assert behind[0].measured == pytest.approx(26 - 4 - 25)  # from 5.5 less a panel of 3.2 mm on: 2.3


def test_a_release_on_the_plug_is_asked_of_where_there_is_one() -> None:
    on_plug = {**LATCH, "on": "plug"}
    assert _reach(latch=on_plug) == ()
    assert [a.verdict for a in _reach(latch=on_plug, plug=PLUG)] == [FITS]
    assert [a.verdict for a in _reach(plug=PLUG)] == [FITS]
    assert _reach(latch=None, plug=PLUG) == ()
