"""Findings of one cause are told once, by the nearest question about the same bodies or the first of a pair."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from dryfit.generators.checks.causes import folded
from dryfit.models.findings import Finding, Verdict

FAILS = Verdict.FAILS


def _fails(check: str, *bodies: str, place: str = "A", beside: tuple[str, ...] = (), margin: float = -1.0) -> Finding:
    return Finding(check, place, FAILS, f"{check} of {', '.join(bodies)}.", margin, bodies=bodies, beside=beside)


def _left(*findings: Finding) -> list[tuple[str, tuple[str, ...]]]:
    """Return what is told, each with the checks that it stands for."""
    return [(f.check, f.also) for f in folded(findings)]


NUT, BARREL = "A: nut 1", "A: plain"


# --- about the same bodies of one place -----------------------------------------------------------------


@pytest.mark.parametrize("follows", ["land", "goes-in", "body-room"])
@pytest.mark.parametrize("other_way", [False, True])
def test_what_follows_from_a_nearer_question_about_the_same_bodies_is_told_with_it(
    follows: str, other_way: bool
) -> None:
    both = [_fails("nut-room", NUT, BARREL), _fails(follows, NUT, BARREL)]
    assert _left(*(reversed(both) if other_way else both)) == [("nut-room", (follows,))]


def test_the_nearest_question_stands_for_all_that_follow_in_their_order() -> None:
    found = _left(_fails("nut-room", NUT), _fails("land", NUT), _fails("goes-in", NUT), _fails("body-room", NUT))
    assert found == [("nut-room", ("land", "goes-in", "body-room"))]


@pytest.mark.parametrize(("first", "second"), [("land", "goes-in"), ("land", "body-room"), ("goes-in", "body-room")])
def test_of_questions_that_follow_the_nearest_is_told(first: str, second: str) -> None:
    assert _left(_fails(second, NUT), _fails(first, NUT)) == [(first, (second,))]


@pytest.mark.parametrize(
    ("ours", "theirs"), [((NUT,), (NUT, BARREL)), ((NUT, BARREL), (NUT,)), ((BARREL, NUT), (NUT, BARREL))],
    ids=["one of them", "one more", "the same"],
)  # fmt: skip
def test_bodies_are_the_same_where_one_finding_names_more_of_them(
    ours: tuple[str, ...], theirs: tuple[str, ...]
) -> None:
    assert _left(_fails("nut-room", *ours), _fails("goes-in", *theirs)) == [("nut-room", ("goes-in",))]


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [((NUT,), (BARREL,)), ((NUT, BARREL), (BARREL, "A: screw 1")), ((), (NUT,)), ((NUT,), ())],
    ids=["others", "one alike, one not", "none named first", "none named next"],
)
def test_findings_about_other_bodies_are_told_apart(ours: tuple[str, ...], theirs: tuple[str, ...]) -> None:
    assert _left(_fails("nut-room", *ours), _fails("goes-in", *theirs)) == [("nut-room", ()), ("goes-in", ())]


def test_findings_that_name_no_bodies_at_all_are_alike() -> None:
    assert _left(_fails("cutout-size"), _fails("goes-in")) == [("cutout-size", ("goes-in",))]


@pytest.mark.parametrize("check", ["nut-room", "web", "head-seat", "plug-seats"])
def test_other_questions_follow_from_none(check: str) -> None:
    assert _left(_fails("cutout-size", NUT), _fails(check, NUT)) == [("cutout-size", ()), (check, ())]


def test_what_another_place_tells_is_its_own() -> None:
    found = _left(_fails("nut-room", NUT), _fails("goes-in", NUT, place="B"))
    assert found == [("nut-room", ()), ("goes-in", ())]


@pytest.mark.parametrize(("first", "second"), [(("B",), ()), ((), ("B",))], ids=["the nearer", "the other"])
def test_what_names_another_place_does_not_follow_and_is_not_followed(
    first: tuple[str, ...], second: tuple[str, ...]
) -> None:
    found = _left(_fails("nut-room", NUT, beside=first), _fails("goes-in", NUT, beside=second))
    assert found == [("nut-room", ()), ("goes-in", ())]


@pytest.mark.parametrize("verdict", [Verdict.TIGHT, Verdict.FITS])
def test_what_does_not_fail_stays_and_stands_for_nothing(verdict: Verdict) -> None:
    near, far = _fails("nut-room", NUT), _fails("goes-in", NUT)
    assert folded((replace(near, verdict=verdict), far)) == (replace(near, verdict=verdict), far)
    assert folded((near, replace(far, verdict=verdict))) == (near, replace(far, verdict=verdict))


def test_what_it_stands_for_already_is_kept_and_named_once() -> None:
    near = replace(_fails("nut-room", NUT), also=("web", "land"))
    found = folded((near, _fails("land", NUT), _fails("goes-in", NUT)))
    assert [f.also for f in found] == [("web", "land", "goes-in")]


# --- of two places --------------------------------------------------------------------------------------

TOO_NEAR = ["body-room", "goes-in", "web", "plug-seats", "latch-reach", "nut-room", "washer-land", "land"]


@pytest.mark.parametrize(("lead", "follows"), list(itertools.pairwise(TOO_NEAR)))
def test_places_too_near_to_each_other_are_told_by_the_first_of_these_checks(lead: str, follows: str) -> None:
    found = folded((_fails(follows, "B: x", place="B", beside=("A",)), _fails(lead, "A: x", beside=("B",))))
    assert [(f.check, f.place, f.also) for f in found] == [(lead, "A", (follows,))]


def test_all_that_a_pair_fails_by_is_told_once() -> None:
    found = _left(*(_fails(check, f"{check} body", beside=("B",)) for check in TOO_NEAR))
    assert found == [("body-room", tuple(TOO_NEAR[1:]))]


def test_of_the_same_question_asked_at_both_places_the_worse_leads() -> None:
    mild, bad = _fails("web", beside=("B",), margin=-1), _fails("web", place="B", beside=("A",), margin=-2)
    assert [(f.place, f.also) for f in folded((mild, bad))] == [("B", ("web",))]
    unmeasured = replace(mild, margin=None)  # counts as nothing lacking
    assert [(f.place, f.also) for f in folded((unmeasured, bad))] == [("B", ("web",))]
    gained = replace(bad, margin=0.5)
    assert [(f.place, f.also) for f in folded((gained, unmeasured))] == [("A", ("web",))]


def test_another_pair_is_told_by_itself() -> None:
    found = folded((_fails("body-room", beside=("B",)), _fails("web", beside=("C",)), _fails("web", beside=("B",))))
    assert [(f.check, f.beside, f.also) for f in found] == [("body-room", ("B",), ("web",)), ("web", ("C",), ())]


def test_what_names_two_others_or_asks_otherwise_is_told_by_itself() -> None:
    crowd = _fails("web", beside=("B", "C"))
    mains = _fails("mains-care", beside=("B",))
    pair = _fails("body-room", beside=("B",))
    assert folded((pair, crowd, mains)) == (pair, crowd, mains)


def test_what_follows_from_a_follower_is_told_by_the_first() -> None:
    # body-room of A alone follows from goes-in of A alone; both stand apart from what A and B tell of each other
    chain = (_fails("nut-room", NUT), _fails("land", NUT, BARREL), _fails("body-room", NUT, BARREL, "A: screw 1"))
    assert _left(*chain) == [("nut-room", ("land", "body-room"))]
