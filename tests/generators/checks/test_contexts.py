"""What a check is given to look at: what of the surroundings may matter to fasteners, and what comes closest."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.checks.contexts import Fit, Fitting, Met, own_slices
from dryfit.generators.clearance.surroundings import NEXT_PLUG, Obstacle, Surroundings
from dryfit.generators.joints.stacks import Stack
from dryfit.models.geometry.bodies import Contact, Slice, Straight, prism
from dryfit.models.geometry.outlines import Outline, box, filled, round_
from dryfit.models.geometry.rectangles import Rectangle
from tests.plain import M3, PANEL, about, asked, at, fixings

FIXINGS = fixings(boss={"thread": "M3", "depth": 6})
SCREWED = "{screw: M3, head: pan, length: 6}"
"""Pan heads of 5.6 mm, 15 mm left and right of the axis: with the 5 mm that matter, 22.8 mm across and 7.8 mm up."""
ROOM = Rectangle(-22.8, -7.8, 22.8, 7.8)
BUSH = {"thread": 12, "length": 9, "nut_across": 15, "nut_height": 2, "washer": 1, "washer_across": 18}


def _fit(folder: Path, hardware: str = SCREWED, panel: str = PANEL, keys: Any = None, **changes: Any) -> Fit:
    changes = {"fixings": FIXINGS, **changes}
    return asked(folder, at(0, hardware=hardware, **(keys or {})), panel, **changes).fits["A"]


def _obstacle(outline: Outline, name: str = "next part", z0: float = -10, z1: float = 0) -> Obstacle:
    slices = (prism(outline, z0, z1),)
    return Obstacle(name, slices, slices, slices)


@pytest.mark.parametrize(("apart", "kept"), [(-0.1, True), (0.1, False)])
@pytest.mark.parametrize(("side", "spot"), [("right", (1, 0)), ("left", (-1, 0)), ("top", (0, 1)), ("bottom", (0, -1))])
def test_what_stands_within_five_millimetres_of_a_fastener_matters_to_it(
    tmp_path: Path, side: str, spot: tuple[int, int], apart: float, kept: bool
) -> None:
    fit = _fit(tmp_path)
    assert fit.stack is not None
    assert fit.stack.widest == 5.6
    reach = getattr(ROOM, side) + sum(spot) * (apart + 1)
    here = box(2, 2).moved(reach * abs(spot[0]), reach * abs(spot[1]))
    far = box(1, 1).moved(90, 0)
    around = Surroundings((_obstacle(far), _obstacle(here), _obstacle(far)), (far, here), None)
    left, numbers = replace(fit, around=around).beside_fasteners()
    assert numbers == ((1,) if kept else ())
    assert left.around == Surroundings(around.obstacles[1:2] if kept else (), (here,) if kept else (), None)
    assert (left.panel, left.mounting, left.stack) == (fit.panel, fit.mounting, fit.stack)


@pytest.mark.parametrize(("inset", "kept"), [(0.1, False), (-0.1, True)])
@pytest.mark.parametrize("side", range(4))
def test_an_edge_matters_where_it_is_within_that_room(tmp_path: Path, side: int, inset: float, kept: bool) -> None:
    sides = list(ROOM.grown(30))
    sides[side] = ROOM[side] + (-inset if side < 2 else inset)
    edge = filled(Rectangle(*sides))
    left, _ = replace(_fit(tmp_path), around=Surroundings((), (), edge)).beside_fasteners()
    assert left.around.edge == (edge if kept else None)


@pytest.mark.parametrize(
    ("bush", "half"),
    [
        ({}, 18 / 2),  # the washer under its nut
        ({"washer_across": 16}, 15 * 2 / 3**0.5 / 2),  # the corners of the nut
    ],
)
def test_the_nut_of_a_bush_takes_its_room_about_the_axis(tmp_path: Path, bush: dict[str, float], half: float) -> None:
    fit = _fit(tmp_path, "{}", keys={"mount": "rear"}, fixings=None, cutout={"round": 12.6}, rear=[],
               bush={**BUSH, **bush, "nut_side": "front"})  # fmt: skip
    for off, kept in ((0.05, False), (-0.05, True)):
        for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            reach = half + 5 + off + 1
            around = Surroundings((), (box(2, 2).moved(x * reach, y * reach),), None)
            assert bool(replace(fit, around=around).beside_fasteners()[0].around.holes) is kept


def test_a_part_without_fasteners_has_room_about_its_axis(tmp_path: Path) -> None:
    fit = _fit(tmp_path, "{}", fixings=None)
    assert fit.stack is None
    for reach, kept in ((5.9, True), (6.1, False)):
        around = Surroundings((), (box(2, 2).moved(reach, 0),), None)
        assert bool(fit.with_stack(None)._with(replace(fit, around=around)).beside_fasteners()[0].around.holes) is kept


def test_a_fit_with_another_stack_is_the_same_but_for_that(tmp_path: Path) -> None:
    fit = _fit(tmp_path)
    bare = fit.with_stack(None)
    assert bare.stack is None
    assert (bare.panel, bare.mounting, bare.around) == (fit.panel, fit.mounting, fit.around)
    assert fit.with_stack(fit.stack) == fit
    again = bare.joint, bare.own, bare.main_hole, bare.fixing_holes
    assert again == (fit.joint, fit.own, fit.main_hole, fit.fixing_holes)
    other = fit.with_stack(None)
    assert all(name in other.__dict__ for name in ("joint", "own", "main_hole", "fixing_holes"))  # not worked out anew


def test_holes_are_finished_and_the_part_is_where_it_is_mounted(tmp_path: Path) -> None:
    coated = PANEL.replace("}", ", coating: 0.1}")
    cut = "{hole: 22, fixings: 3.4, at: [[-14, 1], [15, 2]]}"
    fit = _fit(tmp_path, M3, coated, {"cutout": cut, "mount": "rear"}, fixings=fixings(), part_turn=None)
    assert fit.main_hole.size == pytest.approx((21.8, 21.8))
    assert [(h.centre, round(h.size.width, 6)) for h in fit.fixing_holes] == [
        (about((-14, 1)), 3.2), (about((15, 2)), 3.2),
    ]  # fmt: skip
    assert fit.joint is not None
    assert sorted((round(s.z0, 6), round(s.z1, 6)) for s in fit.own) == [(-25.2, -5.2), (-5.2, -3.2)]
    assert _fit(tmp_path, "{}", fixings=None).joint is None


def test_a_part_turned_in_its_hole_is_turned_in_the_frame_of_its_place(tmp_path: Path) -> None:
    wide = {"outline": {"box": [40, 20]}, "thick": 2}
    fit = _fit(tmp_path, "{}", keys={"turn": "30", "part_turn": "90"}, flange=wide, fixings=None)
    assert max(s.plan.height for s in own_slices(fit.mounting, fit.panel)) == pytest.approx(40)
    assert fit.own == own_slices(fit.mounting, fit.panel)


# --- what comes closest ---------------------------------------------------------------------------------


PROBE = (prism(round_(2).moved(14, 0), -12, -8),)
"""3 mm off the barrel of 20 mm."""


def _beside(x: float, name: str = "next part") -> Obstacle:
    return _obstacle(round_(2).moved(x, 0), name)


@pytest.mark.parametrize(
    ("obstacles", "met", "gap", "number"),
    [
        ((), "body", 3.0, None),
        ((_beside(18.9),), "next part", 2.9, 0),
        ((_beside(19.1),), "body", 3.0, None),
        ((_beside(18.5), _beside(18.2, "rack rail")), "rack rail", 2.2, 1),
        ((_beside(18.2, "rack rail"), _beside(18.5)), "rack rail", 2.2, 0),
        ((_beside(15.5),), "next part", -0.5, 0),
        ((_beside(16.5, NEXT_PLUG), _beside(18.5)), NEXT_PLUG, 0.5, 0),
    ],
)
def test_the_nearest_of_the_own_part_and_all_around_is_met(
    tmp_path: Path, obstacles: tuple[Obstacle, ...], met: str, gap: float, number: int | None
) -> None:
    fit = replace(_fit(tmp_path), around=Surroundings(obstacles))
    found = fit.nearest(iter(PROBE))
    assert found == Met(Contact(about(gap), -12 if met == "body" else -10, -8), met, number)
    assert found is not None
    assert (found.gap, found.bodies) == (about(gap), () if number is None else (number,))


def test_plugs_are_no_matter_before_they_are_put_in(tmp_path: Path) -> None:
    fit = replace(_fit(tmp_path), around=Surroundings((_beside(16.5, NEXT_PLUG), _beside(18.5))))
    found = fit.nearest(PROBE, plugs=False)
    assert found is not None
    assert (found.name, found.number, found.gap) == ("next part", 1, about(2.5))


@pytest.mark.parametrize(("x", "seen"), [(15.9, True), (16.1, False)])
def test_what_is_five_millimetres_off_is_not_met(tmp_path: Path, x: float, seen: bool) -> None:
    fit = _fit(tmp_path)
    own = (Slice(Straight(round_(2).moved(x, 0)), -12, -8),)  # the barrel ends at 10
    assert (replace(fit, around=Surroundings()).nearest(own) is not None) is seen

    there = _beside(30)
    near = (prism(round_(2).moved(30 + 2 + (4.9 if seen else 5.1), 0), -5, -1),)
    assert (replace(fit, around=Surroundings((there,))).nearest(near) is not None) is seen


def test_a_fitting_knows_its_places_by_name_and_order(tmp_path: Path) -> None:
    made = asked(tmp_path, f"{at(-50, label='Z')}\n{at(0)}\n{at(50, label='B')}")
    stacks: dict[str, Stack] = dict(made.stacks)
    fitting = Fitting(made.job, stacks, made.assembly)
    assert fitting.order == {"Z": 0, "A": 1, "B": 2}
    assert fitting.by_name == {place.name: place for place in made.job.places}
