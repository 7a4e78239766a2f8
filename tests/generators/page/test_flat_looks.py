"""The flat front view: each look drawn once and put where it stands, its faces in order, what is covered left out."""

from __future__ import annotations

import re

from dryfit.generators.looks.shapes import Layer, Spot, Turning
from dryfit.generators.page.flat_looks import flat_look
from dryfit.generators.page.front_view import front_view
from dryfit.generators.pipeline import judged
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS

SQUARE = ((-5.0, -5.0), (5.0, -5.0), (5.0, 5.0), (-5.0, 5.0))
SMALL = ((-2.0, -1.0), (2.0, -1.0), (2.0, 1.0), (-2.0, 1.0))


def _paths(look: object) -> list[str]:
    return re.findall(r'<path d="([^"]+)"', str(look))


def test_faces_are_painted_from_the_rear_on_and_turned_at_their_spots() -> None:
    plate = Layer("nickel", 0.0, 2.0, (SQUARE,))
    pins = Layer("gold", 1.0, 3.0, (SMALL,), (Spot(1.0, 0.0), Spot(0.0, 3.0, 90.0)))
    assert _paths(flat_look((pins, plate), False, "a")) == [
        "M-5 -5L5 -5L5 5L-5 5Z",
        "M-1 -1L3 -1L3 1L-1 1Z",
        "M1 1L1 5L-1 5L-1 1Z",
    ]


def test_a_flipped_look_is_mirrored_and_shows_its_other_side() -> None:
    plate = Layer("nickel", 0.0, 2.0, (SQUARE,))
    knob = Turning("gold", ((0.0, -3.0), (1.0, -3.0), (1.0, 0.0), (0.0, 0.0)), (Spot(2.0, 0.0),))
    assert _paths(flat_look((plate, knob), True, "a"))[-1] == "M-3 0A1 1 0 1 0 -1 0A1 1 0 1 0 -3 0Z"
    assert len(_paths(flat_look((plate, knob), False, "a"))) == 2  # its front lies behind the plate's, and is no disc's


def test_what_a_whole_disc_covers_or_lies_far_behind_is_left_out() -> None:
    disc = Turning("gold", ((0.0, 4.0), (9.0, 4.0), (9.0, 5.0), (0.0, 5.0)))
    plate, deep = (
        Layer("nickel", 0.0, 2.0, (SQUARE,)),
        Layer("tin", -40.0, -30.0, (((-20.0, 0.0), (20.0, 0.0), (0.0, 9.0)),)),
    )
    assert len(_paths(flat_look((plate, deep, disc), False, "a"))) == 1


def test_every_look_of_a_panel_is_drawn_once() -> None:
    report = judged(read_job(LAYOUTS / "foyer.yaml"))
    text = str(front_view(report))
    names = re.findall(r'<g id="(look-\d+)"', text)
    used = re.findall(r'href="#(look-\d+)"', text)
    assert len(names) == len(set(names)) == len(set(used))
    assert len(used) > 2 * len(names)
    assert "NaN" not in text
