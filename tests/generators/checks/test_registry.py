"""The register: the order of asking, what may cure what is found, and what of a stack the answers depend on."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.checks.registry import (
    EVERYTHING,
    ORDER,
    always,
    names,
    only_pairs,
    panel_checks,
    place_in_order,
    seen_by,
    stack_checks,
    strategies,
)
from tests.plain import M3, asked, at

CURES = {
    "mount-side": "other side, other sheet",
    "hardware": "other hardware",
    "cutout-size": "open the cut-out, other side",
    "goes-in": "other side, other hardware, open the cut-out, move inwards, move apart",
    "hole-pattern": "turn the part, other hardware, redrill the fixings",
    "screw-passes": "other hardware, open the fixings",
    "head-seat": "other hardware",
    "screw-length": "other hardware",
    "screw-bottoms": "other hardware",
    "nut-room": "other hardware, move apart, move inwards",
    "washer-land": "other hardware",
    "land": "other hardware, smaller fixings, move inwards",
    "plug-seats": "other hardware, other side, move apart, move inwards",
    "latch-reach": "other side, move apart, move inwards",
    "plug-room": "move apart, move inwards",
    "body-room": "move apart, move inwards, other hardware",
    "rear-room": "other side, other hardware, deeper box",
    "web": "move apart, move inwards, smaller fixings",
    "legend-room": "shorter legend, move inwards, move apart, spread the rows",
    "metals": "other metal, mask the earth point, coat the panel",
    "mains-care": "move apart",
    "live-bush": "insulate",
}
"""What a builder could do about it, the least trouble first: screws before holes, holes before a new place."""

DEPENDS = {
    "hardware": "thread, head",
    "goes-in": "thread, head, nut, washers",
    "hole-pattern": "thread, head, washers",
    "screw-passes": "thread, head, washers",
    "head-seat": "thread, head, washers",
    "screw-length": "thread, head, length, nut, washers",
    "screw-bottoms": "thread, head, length, washers",
    "nut-room": "thread, nut, washers",
    "washer-land": "thread, washers",
    "land": "thread, head, nut, washers",
    "plug-seats": "thread, head, washers",
}
"""A check asked less often than its answer changes gives a wrong answer; one asked more often, a slow one."""

AMONG = {
    "all": {"hardware", "plug-seats", "latch-reach", "plug-room"},
    "beside fasteners": {"goes-in", "nut-room", "washer-land", "land"},
}


@pytest.mark.parametrize("name", CURES)
def test_what_a_check_finds_may_be_cured_by_what_mends_its_cause(name: str) -> None:
    assert strategies(name) == tuple(CURES[name].split(", "))


def test_every_check_is_known_by_what_may_cure_it() -> None:
    assert names() == tuple(CURES)  # in the order of asking
    assert strategies("nothing of the kind") == ()


def test_stack_checks_depend_on_what_of_the_stack_they_look_at() -> None:
    for check in stack_checks():
        assert check.looks_at == tuple(part for part in DEPENDS.get(check.name, "").split(", ") if part), check.name


def test_stack_checks_see_what_of_the_surroundings_matters_to_them() -> None:
    for check in stack_checks():
        seen = next((how for how, checks in AMONG.items() if check.name in checks), "nothing")
        assert check.sees == seen, check.name


def test_checks_are_told_in_the_order_of_asking_and_those_not_named_last() -> None:
    assert [place_in_order(name) for name in ORDER] == list(range(len(ORDER)))
    assert place_in_order("anything else") == len(ORDER)
    for checks in (stack_checks(), panel_checks()):
        asked_at = [place_in_order(check.name) for check in checks]
        assert asked_at == sorted(asked_at)
    assert stack_checks()[0].name == ORDER[0] == "mount-side"


def test_what_is_seen_of_a_stack_tells_stacks_apart_by_each_of_its_parts(tmp_path: Path) -> None:
    made = asked(tmp_path, at(0, hardware=M3.replace("[]", "[plain]")))
    stack = made.stacks["A"]
    whole = replace(stack_checks()[0], looks_at=EVERYTHING)
    assert stack.nut is not None
    head = (stack.screw.head.kind, stack.screw.head.standard)
    assert seen_by(whole, stack) == ("M3", head, 12.0, stack.nut, stack.washers)
    assert seen_by(replace(whole, looks_at=("nut", "thread")), stack) == (stack.nut, "M3")
    assert seen_by(whole, None) is None
    assert EVERYTHING == ("thread", "head", "length", "nut", "washers")


def test_a_check_of_pairs_answers_for_no_place_alone_and_others_for_every_one() -> None:
    assert not only_pairs(None)
    assert always(None)


HANGS_ON = {
    "mount-side": "thickest snap.*", "cutout-size": "through.*.width through.*.height",
    "goes-in": "through.*.width through.*.height", "hole-pattern": "fixings.at.*", "screw-passes": "fixings.hole",
    "head-seat": "fixings.hole fixings.seat.diameter", "screw-bottoms": "flange.thick fixings.boss.depth",
    "screw-length": "flange.thick bush.length bush.nut_height bush.washer", "latch-reach": "latch.height",
    "nut-room": "rear.*.width rear.*.height bush.nut_across", "plug-room": "plug.body.*.width",
    "plug-seats": "plug.body.*.width plug.body.*.height seat",
    "body-room": "flange.outline.* rear.*.width rear.*.height",
    "mains-care": "flange.outline.* rear.*.width rear.*.height", "rear-room": "rear.*.depth",
    "legend-room": "flange.outline.*",
}  # fmt: skip
"""What is to be measured first where it is from memory: the dimensions that an answer stands or falls with."""


def test_what_an_answer_stands_or_falls_with_is_known_of_every_check() -> None:
    told = {check.name: set(check.hangs_on) for check in stack_checks() if check.hangs_on}
    told |= {check.name: set(check.hangs_on) for check in panel_checks() if check.hangs_on}
    assert told == {name: set(keys.split()) for name, keys in HANGS_ON.items()}
