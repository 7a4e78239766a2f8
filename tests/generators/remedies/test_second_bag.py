"""Which places force a second bag of screws, and what would save it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.pipeline import check
from dryfit.generators.remedies import second_bag
from dryfit.generators.remedies.second_bag import screw_name, second_bags
from dryfit.generators.report import Report, SecondBag
from dryfit.models.findings import Finding, Verdict
from dryfit.models.job import Job
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, place, report
from tests.plain import PART, asked, at, fixings


def test_one_bag_needs_no_words(tmp_path: Path) -> None:
    assert report(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3]}").second_bags == ()


def test_a_boss_forces_its_own_screw() -> None:
    bags = check(read_job(LAYOUTS / "foyer.yaml")).second_bags
    (boss,) = [bag for bag in bags if "GUEST 1" in bag.places]
    assert boss.places == ("GUEST 1", "GUEST 2")
    assert "blind boss" in boss.why
    assert "M3" in boss.change


def test_what_the_layout_asks_for_is_said_to_be_asked_for(tmp_path: Path) -> None:
    row = "\n".join(place("xlr3-pins", label=f"B{n}", at=f"[{40 * n}, 0]") for n in (1, 2, 3))
    own = place("xlr3-socket", at="[-60, 0]", hardware="{screw: No. 4-40}")
    (bag,) = report(tmp_path, f"{own}\n{row}", rest="hardware: {threads: [M3], retention: tooth washer}").second_bags
    assert bag.places == ("A",)
    assert bag.why == "the layout asks for it there."


def test_a_small_hole_forces_it_and_the_drill_that_saves_it_does(tmp_path: Path) -> None:
    row = "\n".join(place("xlr3-pins", label=f"B{n}", at=f"[{40 * n}, 0]", hardware="{screw: M3}") for n in (1, 2, 3))
    small = place("xlr3-socket", at="[-60, 0]", cutout="{fixings: 2.7 mm}")
    rest = "hardware: {threads: [M3, M2.5], retention: tooth washer}"
    (bag,) = report(tmp_path, f"{small}\n{row}", rest=rest).second_bags
    assert bag.places == ("A",)
    assert "M3" in bag.why
    assert bag.change.startswith("Drill the fixing holes to ")
    drilled = small.replace("2.7 mm", bag.change.split("(")[1].split(")")[0].split(" mm")[0] + " mm")
    healed = report(tmp_path, f"{drilled}\n{row}", rest=rest)
    assert healed.second_bags == ()
    assert all(f.verdict is not Verdict.FAILS for f in healed.findings)


# --- by made-up answers ------------------------------------------------------------------------------------------

FAILS, TIGHT, FITS = Verdict.FAILS, Verdict.TIGHT, Verdict.FITS
BOTH = "hardware: {threads: [M3, M2.5]}"
SMALL = {"small": {**PART, "fixings": fixings(hole=2.7, panel=2.7)}}
"""A part like the plain one whose holes let no M3 through."""
Seen = list[Job]


def _small(x: float, label: str, **keys: str) -> str:
    return place("small", at=f"[{x}, 0]", label=label, **keys)


def _bags(of: Report, *answers: tuple[Finding, ...]) -> tuple[tuple[SecondBag, ...], Seen]:
    """Return the bags told where the panel, checked anew, is found so: with the last answer for all that follow."""
    seen: Seen = []

    def again(made: Job) -> Report:
        seen.append(made)
        return replace(of, job=made, findings=answers[min(len(seen), len(answers)) - 1])

    return second_bags(of, again), seen


def _found(verdict: Verdict, at_place: str = "B", check: str = "screw-passes") -> Finding:
    return Finding(check, at_place, verdict, f"The {check} of it {verdict}.")


@pytest.fixture
def mixed(tmp_path: Path) -> Report:
    """Return the report of two places with M3 screws, then one with M2.5."""
    places = f"{at(-60, hardware='{}')}\n{_small(0, 'B')}\n{at(60, label='C', hardware='{}')}"
    return asked(tmp_path, places, rest=BOTH, also=SMALL)


def test_a_place_that_the_first_bag_would_serve_wants_one_more_item(mixed: Report) -> None:
    ((bag,), seen) = _bags(
        mixed, (_found(FITS), _found(FAILS, "A"), _found(FAILS, check="web"), _found(TIGHT, check="metals"))
    )
    assert (bag.places, bag.why, bag.change) == (("B",), "the other bag would fit there, but want one more item.", "")
    assert bag.screw == screw_name(mixed.stacks["B"])
    assert "M2.5" in bag.screw
    assert [p.wish.threads for p in seen[0].places] == [("M3", "M2.5"), ("M3",), ("M3", "M2.5")]
    assert seen[0].places[1].wish.length == mixed.stacks["A"].screw.length
    assert (seen[0].places[1].wish.nut, seen[0].places[1].wish.washers) == (None, None)


@pytest.mark.parametrize(
    ("found", "why"),
    [
        ((_found(TIGHT),), "the screw-passes of it tight."),
        ((_found(TIGHT, check="land"), _found(FAILS, check="nut-room")), "the nut-room of it fails."),
        ((_found(FAILS, check="nut-room"), _found(TIGHT, check="land")), "the nut-room of it fails."),
    ],
)
def test_why_the_first_bag_does_not_serve_is_the_worst_that_is_found_with_it(
    mixed: Report, found: tuple[Finding, ...], why: str
) -> None:
    ((bag,), _) = _bags(mixed, found)
    assert (bag.why, bag.change) == (why, "")


def test_the_change_that_lets_the_first_bag_serve_is_told(mixed: Report) -> None:
    ((bag,), seen) = _bags(mixed, (_found(FAILS),), ())
    assert bag.why == "the screw-passes of it fails."
    assert bag.change.startswith("Mount the part from the rear")  # the first of what is tried that alters anything here
    assert len(seen) == 2
    assert seen[1].places[1].mount == "rear"
    assert seen[1].places[1].wish.threads == ("M3",)  # with the screws of the first bag, not with others
    assert seen[1].places[1].wish.length == mixed.stacks["A"].screw.length
    ((bag,), _) = _bags(mixed, (_found(FAILS),), (_found(TIGHT),))
    assert bag.change == ""


def test_of_one_kind_of_screws_and_without_a_file_nothing_is_told(tmp_path: Path, mixed: Report) -> None:
    assert _bags(asked(tmp_path, f"{at(-60)}\n{at(60, label='C')}"), ()) == ((), [])
    assert _bags(replace(mixed, job=replace(mixed.job, draft=None)), ()) == ((), [])


def test_like_places_are_told_together_and_looked_into_once(tmp_path: Path) -> None:
    places = [at(-75, 25, hardware="{}"), at(75, 25, "C", "{}"), at(0, 25, "D", "{}")]
    places += [place("small", at=f"[{x}, -25]", label=name) for x, name in ((-60, "B"), (0, "E"))]
    of = asked(tmp_path, "\n".join(places), "{size: [240, 120], thickness: 3}", rest=BOTH, also=SMALL)
    ((bag,), seen) = _bags(of, ())
    assert (bag.places, len(seen)) == (("B", "E"), 1)


def test_bags_of_like_screws_with_a_like_reason_are_one(tmp_path: Path) -> None:
    places = [at(-75, 25, hardware="{}"), at(75, 25, "C", "{}"), at(0, 25, "D", "{}")]
    places += [_small(-60, "B").replace(", 0]", ", -25]"), _small(0, "E", mount="rear").replace(", 0]", ", -25]")]
    of = asked(tmp_path, "\n".join(places), "{size: [240, 120], thickness: 3}", rest=BOTH, also=SMALL)
    if screw_name(of.stacks["B"]) == screw_name(of.stacks["E"]):
        ((bag,), seen) = _bags(of, ())
        assert (bag.places, len(seen)) == (("B", "E"), 2)


@pytest.mark.parametrize("asks", ["{screw: M2.5}", "{head: countersunk}", "{length: 16}"])
def test_a_layout_that_rules_the_first_bag_out_is_told_as_the_reason(tmp_path: Path, asks: str) -> None:
    places = f"{at(-60, hardware='{head: pan, length: 12}')}\n{at(0, label='B', hardware=asks)}\n" + at(
        60, label="C", hardware="{head: pan, length: 12}"
    )
    of = asked(tmp_path, places, rest=BOTH)
    ((bag,), seen) = _bags(of, ())
    assert (bag.places, seen) == (("B",), [])
    assert bag.why == "the layout asks for it there."
    assert bag.change == "Leave that place's own `hardware` out, if it may be otherwise."


def test_a_boss_of_another_thread_is_told_as_the_reason(tmp_path: Path) -> None:
    boss = {"bossed": {**PART, "fixings": fixings(boss={"thread": "M2.5", "depth": 8})}}
    places = f"{at(-60, hardware='{}')}\n{place('bossed', at='[0, 0]', label='B')}\n{at(60, label='C', hardware='{}')}"
    of = asked(tmp_path, places, rest=BOTH, also=boss)
    ((bag,), seen) = _bags(of, ())
    assert seen == []
    assert bag.why == "the part's blind boss takes no other than M2.5."
    assert bag.change == "Swap the part for one that takes M3."


def test_a_crowded_panel_is_not_looked_into(mixed: Report, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second_bag, "MOST_WORK", 0)
    ((bag,), seen) = _bags(mixed, ())
    assert (bag.why, bag.change, seen) == ("the panel is too crowded to look for the reason.", "", [])


def test_no_more_than_six_kinds_of_places_are_looked_into() -> None:
    assert (second_bag.MOST_BAGS, second_bag.MOST_WORK) == (6, 5_000)
