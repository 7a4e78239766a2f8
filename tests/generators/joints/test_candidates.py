"""Candidates: each wish is honoured, usual things come first, each way of keeping screws has its nut and washers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.checks.contexts import Fit
from dryfit.generators.clearance.surroundings import around
from dryfit.generators.joints.candidates import candidates, families
from dryfit.generators.joints.stacks import Stack
from dryfit.models.tables import fasteners
from tests.plain import at, fixings, plain_job

BOSS = fixings(boss={"thread": "M3", "depth": 6})


def _fit(folder: Path, hardware: str = "{}", mount: str = "front", rest: str = "", **changes: Any) -> Fit:
    job = plain_job(folder, at(0, hardware=hardware, mount=mount), rest=rest, **changes)
    return Fit(job.panel, job.places[0].mounting, around(job, {})[0].surroundings)


def _all(*given: Any, **more: Any) -> list[Stack]:
    return _of(_fit(*given, **more))


def _of(fit: Fit) -> list[Stack]:
    return list(candidates(fit.mounting, fit.joint)) if fit.joint is not None else []


def _distinct(values: Any) -> list[Any]:
    return list(dict.fromkeys(values))


def test_the_usual_threads_are_tried_in_their_order(tmp_path: Path) -> None:
    usual = ["M3", "No. 4-40", "No. 6-32", "M2.5", "No. 5-40", "M4"]
    assert _distinct(s.thread.name for s in _all(tmp_path)) == usual
    assert list(fasteners.usual("thread")) == usual


def test_the_parts_own_thread_comes_first(tmp_path: Path) -> None:
    own = _all(tmp_path, fixings=fixings(screw="M4"))
    assert _distinct(s.thread.name for s in own) == ["M4", "M3", "No. 4-40", "No. 6-32", "M2.5", "No. 5-40"]


def test_only_threads_asked_for_are_tried(tmp_path: Path) -> None:
    assert {s.thread.name for s in _all(tmp_path, "{screw: M4}")} == {"M4"}
    panel = _all(tmp_path, rest="hardware: {threads: [M4, M2.5]}", fixings=fixings(screw="M3"))
    assert _distinct(s.thread.name for s in panel) == ["M4", "M2.5"]


def test_flat_heads_come_first_on_a_plain_flange_and_conical_ones_on_a_countersunk(tmp_path: Path) -> None:
    flat = _distinct(s.screw.head.kind for s in _all(tmp_path, "{screw: M3}"))
    assert flat == ["pan", "button", "countersunk", "raised countersunk"]
    sunk = _all(tmp_path, "{screw: M3}", fixings=fixings(seat={"diameter": 6.4, "angle": 90}))
    assert _distinct(s.screw.head.kind for s in sunk) == ["countersunk", "raised countersunk", "pan", "button"]


def test_one_head_of_each_kind_is_tried_with_a_cross_recess(tmp_path: Path) -> None:
    heads = {(s.screw.head.kind, s.screw.head.drive_kind) for s in _all(tmp_path, "{screw: M3}")}
    assert heads == {
        ("pan", "cross recess"), ("countersunk", "cross recess"), ("raised countersunk", "cross recess"),
        ("button", "hexagon socket"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("rest", "kinds"),
    [
        ("hardware: {heads: [pan]}", {"pan"}),
        ("hardware: {heads: [pan, button]}", {"pan", "button"}),
        ("hardware: {drives: [slot]}", {"pan", "countersunk", "raised countersunk"}),
        ("hardware: {drives: [hexagon socket]}", {"button"}),
    ],
)
def test_heads_and_drives_at_hand_are_kept_to(tmp_path: Path, rest: str, kinds: set[str]) -> None:
    found = _all(tmp_path, "{screw: M3}", rest=rest)
    assert {s.screw.head.kind for s in found} == kinds
    if "slot" in rest:
        assert {s.screw.head.drive for s in found} == {"slot"}


def test_a_head_asked_for_at_a_place_goes_over_what_is_at_hand(tmp_path: Path) -> None:
    found = _all(tmp_path, "{screw: M3, head: countersunk}", rest="hardware: {heads: [pan]}")
    assert {s.screw.head.kind for s in found} == {"countersunk"}


WAYS = [
    ("hexagon", ("tooth internal",)), ("thin", ("tooth internal",)), ("self-locking", ()), ("self-locking", ("plain",)),
    ("tooth-washer nut", ()), ("hexagon", ()), ("thin", ()), ("hexagon", ("plain",)),
]  # fmt: skip
"""What the table of ways has for M3, in its order, split washers aside; M3 has no narrow nut."""


def _ways(found: list[Stack]) -> list[tuple[str, tuple[str, ...]]]:
    return _distinct((s.nut.kind, tuple(w.kind for w in s.washers)) for s in found if s.nut is not None)


def test_every_way_but_split_washers_is_tried_unasked(tmp_path: Path) -> None:
    assert _ways(_all(tmp_path, "{screw: M3}")) == WAYS


@pytest.mark.parametrize(
    ("hardware", "ways"),
    [
        ("{screw: M3, retention: tooth washer}", WAYS[:2]),
        (
            "{screw: M3, retention: split washer}",
            [("hexagon", ("split",)), ("hexagon", ("plain", "split"))],
        ),
        ("{screw: M3, retention: self-locking nut}", WAYS[2:4]),
        ("{screw: M3, retention: thread locker}", WAYS[5:]),
        ("{screw: M3, nut: thin}", [WAYS[1], WAYS[6]]),
        ("{screw: M3, nut: thin, washers: [split]}", [("thin", ("split",))]),
        ("{screw: M3, washers: [plain, plain]}", [(n, ("plain", "plain")) for n in
                                                   ("hexagon", "thin", "self-locking", "tooth-washer nut")]),
        ("{screw: M3, washers: []}", [(n, ()) for n in ("hexagon", "thin", "self-locking", "tooth-washer nut")]),
        ("{screw: M3, retention: tooth washer, nut: hexagon}", WAYS[:1]),
    ],
)  # fmt: skip
def test_nuts_and_washers_asked_for_are_kept_to(
    tmp_path: Path, hardware: str, ways: list[tuple[str, tuple[str, ...]]]
) -> None:
    assert _ways(_all(tmp_path, hardware)) == ways


def test_a_nut_that_no_way_has_takes_the_washers_of_every_way(tmp_path: Path) -> None:
    found = _ways(_all(tmp_path, "{screw: M3, retention: self-locking nut, nut: thin}"))
    assert found == [("thin", ()), ("thin", ("plain",))]


def test_no_nut_asked_for_is_no_nut(tmp_path: Path) -> None:
    found = _all(tmp_path, "{screw: M3, nut: none}")
    assert found
    assert {(s.nut, s.washers) for s in found} == {(None, ())}
    washed = _all(tmp_path, "{screw: M3, nut: none, washers: [plain]}")
    assert {tuple(w.kind for w in s.washers) for s in washed} == {("plain",)}


def test_a_nut_or_a_drive_that_is_not_made_leaves_nothing(tmp_path: Path) -> None:
    fit = _fit(tmp_path, "{screw: M3}")
    for wish in ({"nut": "narrow"}, {"head": "countersunk", "drives": ("hexagon socket",)}):
        asks = replace(fit.mounting, wish=replace(fit.mounting.wish, **wish))
        assert _of(replace(fit, mounting=asks)) == []


def test_every_length_sold_is_tried_or_the_one_asked_for(tmp_path: Path) -> None:
    fit = _fit(tmp_path, "{screw: M3, head: pan, nut: hexagon, washers: []}")
    assert fit.joint is not None
    one = next(iter(families(fit.mounting, fit.joint)))
    assert sorted(one.lengths) == [4, 5, 6, 8, 10, 12, 14, 16, 20, 25, 30]
    assert one.lengths[0] == 8  # 2 + 3 + 2.4 mm and two and a half pitches: 8.65, and 8 leaves one
    assert [s.screw.length for s in one] == list(one.lengths)
    assert {s.screw.length for s in _all(tmp_path, "{screw: M3, length: 14}")} == {14}


def test_the_metal_asked_for_is_that_of_every_candidate(tmp_path: Path) -> None:
    assert {s.metal for s in _all(tmp_path, "{screw: M3, metal: brass}")} == {"brass"}
    assert {s.metal for s in _all(tmp_path, "{screw: M3}")} == {""}


def test_a_part_on_the_wrong_side_or_without_fixings_has_no_candidates(tmp_path: Path) -> None:
    assert _all(tmp_path, mount="rear")
    job = plain_job(tmp_path, at(0, hardware="{}", mount="rear"), mount=["front"])
    assert _of(Fit(job.panel, job.places[0].mounting)) == []
    assert _all(tmp_path, fixings=None) == []


# --- bosses ----------------------------------------------------------------------------------------------------------


def test_a_boss_takes_its_own_thread_without_a_nut(tmp_path: Path) -> None:
    found = _all(tmp_path, mount="rear", fixings=BOSS)
    assert {(s.thread.name, s.nut, s.washers) for s in found} == {("M3", None, ())}
    assert _distinct(s.screw.head.kind for s in found) == ["pan", "button", "countersunk", "raised countersunk"]
    assert found[0].screw.length == 8  # the floor is 9 mm below the head, one pitch is left


def test_threads_for_the_whole_panel_do_not_touch_a_boss_but_one_at_the_place_does(tmp_path: Path) -> None:
    assert _all(tmp_path, rest="hardware: {threads: [M4]}", fixings=BOSS)
    assert _all(tmp_path, "{screw: M3}", fixings=BOSS)
    assert _all(tmp_path, "{screw: M4}", fixings=BOSS) == []


def test_washers_for_a_boss_lie_under_the_head_and_a_nut_cannot_be_had(tmp_path: Path) -> None:
    found = _all(tmp_path, "{washers: [plain]}", fixings=BOSS)
    assert {tuple(w.kind for w in s.under_head) for s in found} == {("plain",)}
    assert _all(tmp_path, "{nut: hexagon}", fixings=BOSS) == []
    assert _all(tmp_path, "{nut: none}", fixings=BOSS)


# --- rivets ----------------------------------------------------------------------------------------------------------


def test_a_rivet_is_tried_in_every_grip_the_nearest_first_or_in_the_length_asked_for(tmp_path: Path) -> None:
    found = _all(tmp_path, "{screw: rivet 3.2 mm}")
    assert [(s.screw.length, s.screw.rivet and s.screw.rivet.grip_max) for s in found] == [
        (8, 5), (10, 7), (6, 3.5), (12, 9),
    ]  # fmt: skip
    assert [s.screw.length for s in _all(tmp_path, "{screw: rivet 3.2 mm, length: 8}")] == [8]
    assert {(s.nut, s.washers) for s in found} == {(None, ())}


def test_rivets_and_screws_may_both_be_at_hand(tmp_path: Path) -> None:
    found = _all(tmp_path, rest="hardware: {threads: [rivet 3.2 mm, M3]}")
    assert _distinct(s.screw.rivet is not None for s in found) == [True, False]
    assert {s.thread.name for s in found if s.screw.rivet is None} == {"M3"}
