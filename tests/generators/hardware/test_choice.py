"""The best of the candidates of a place: nothing that is worse by the checks is kept, and margins are counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.checks.asking import Asking, rank
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.clearance.surroundings import around
from dryfit.generators.hardware.choice import Choice, options
from dryfit.generators.hardware.panel_choice import Spares, cost, fewest_items, packs, pieces
from dryfit.generators.joints import candidates as made
from dryfit.generators.joints.stacks import Stack
from dryfit.models.findings import Answer, Verdict
from dryfit.models.prices import Price
from tests.plain import M3, asked, at, fixings, plain_job

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _answer(verdict: Verdict, margin: float | None = None, check: str = "nut-room", unit: str = "mm") -> Answer:
    return Answer(check, verdict, "", margin, unit)  # type: ignore[arg-type]  # a unit


def test_failures_count_before_what_is_tight() -> None:
    assert rank([_answer(FITS), _answer(TIGHT), _answer(FAILS)]) == (1, 2)
    assert rank([_answer(FITS)]) == (0, 0)
    assert Choice(None, (_answer(TIGHT), _answer(TIGHT))).rank == (0, 2)


def test_the_margin_is_the_least_of_the_clearances_up_to_what_is_ample() -> None:
    assert Choice(None, (_answer(FITS, 0.5), _answer(FITS, 0.12))).margin == 0.12
    assert Choice(None, (_answer(FITS, 0.5),)).margin == 0.2
    assert Choice(None, (_answer(FITS, None), _answer(FITS, 0.05, unit="share"))).margin == 0.2
    assert Choice(None, (_answer(FITS, 0.01, "screw-length"), _answer(FITS, 0.02, "land"))).margin == 0.2
    assert Choice(None, (_answer(FAILS, -0.3),)).margin == -0.3


def _fit(folder: Path, hardware: str, radius: float = 13.4) -> Fit:
    job = plain_job(folder, at(0, hardware=hardware), fixings=fixings(at=[[-radius, 0], [radius, 0]]))
    return Fit(job.panel, job.places[0].mounting, around(job, {})[0].surroundings)


def candidates(fit: Fit) -> list[Stack]:
    assert fit.joint is not None
    return list(made.candidates(fit.mounting, fit.joint))


@pytest.mark.parametrize("hardware", ["{screw: M3, head: pan}", "{screw: M4, nut: hexagon}"])
def test_options_are_just_the_candidates_of_the_best_rank_in_their_order(tmp_path: Path, hardware: str) -> None:
    fit = _fit(tmp_path, hardware)
    judged = [(stack, Asking(fit).of(stack)) for stack in candidates(fit)]
    ranks = [rank(answers or ()) for _, answers in judged]
    best = [stack for (stack, _), r in zip(judged, ranks, strict=True) if r == min(ranks)]
    assert [choice.stack for choice in options(fit)] == best
    assert all(choice.answers == dict(judged)[choice.stack] for choice in options(fit) if choice.stack)


def test_without_candidates_the_checks_are_asked_of_the_bare_place(tmp_path: Path) -> None:
    fit = _fit(tmp_path, "{screw: M3}")
    narrow = replace(fit.mounting, wish=replace(fit.mounting.wish, nut="narrow"))  # is not made for M3
    (only,) = options(replace(fit, mounting=narrow))
    assert only.stack is None
    assert only.items == ()
    assert [a.verdict for a in only.answers if a.check == "hardware"] == [FAILS]


def test_an_answer_no_better_than_the_limit_is_none(tmp_path: Path) -> None:
    fit = _fit(tmp_path, M3, 13.0)  # its nut cannot spin
    stack = next(iter(candidates(fit)))
    told = Asking(fit).of(stack)
    assert told is not None
    assert rank(told) == (0, 1)
    assert Asking(fit).of(stack, rank(told)) is None
    assert Asking(fit).of(stack, (rank(told)[0], rank(told)[1] + 1)) == told


def test_answers_come_in_the_order_of_telling(tmp_path: Path) -> None:
    fit = _fit(tmp_path, M3)
    told = Asking(fit).of(next(iter(candidates(fit))))
    assert told is not None
    assert [a.check for a in told] == [
        "mount-side", "hardware", "cutout-size", "goes-in", "hole-pattern", "screw-passes", "head-seat", "screw-length",
        "nut-room", "land",
    ]  # fmt: skip


def test_a_part_on_the_wrong_side_is_asked_nothing_more(tmp_path: Path) -> None:
    report = asked(tmp_path, at(0, hardware="{}", mount="rear"), mount=["front"])
    told = [f.check for f in report.findings if f.check not in ("body-room", "rear-room", "web", "metals")]
    assert told[0] == "mount-side"
    assert "cutout-size" not in told
    assert report.stacks == {}


# --- all places together ---------------------------------------------------------------------------------------------


class _Bag(Choice):
    """A choice of made-up items with a made-up margin."""

    def __init__(self, items: str, margin: float = 0.2, stack: Stack | None = None):
        super().__init__(stack, ())
        object.__setattr__(self, "bag", tuple(items))
        object.__setattr__(self, "wide", margin)

    @property
    def items(self) -> tuple[str, ...]:
        bag: tuple[str, ...] = self.__dict__["bag"]
        return bag

    @property
    def margin(self) -> float:
        wide: float = self.__dict__["wide"]
        return wide


def _picked(options_: Sequence[Sequence[Choice]], *given: Any) -> list[str]:
    return ["".join(choice.items) for choice in fewest_items(options_, *given)]


def test_of_equally_few_items_the_widest_margin_is_taken() -> None:
    narrow, wide = _Bag("ab", 0.05), _Bag("ac", 0.15)
    assert _picked([[narrow, wide]]) == ["ac"]
    assert _picked([[wide, narrow]]) == ["ac"]
    alike = _Bag("ad", 0.1499)  # less than a hundredth apart: the one that is more usual stays
    assert _picked([[alike, wide]]) == ["ad"]
    assert _picked([[wide, alike]]) == ["ac"]


def test_margins_decide_between_solutions_for_several_places_too() -> None:
    # each place may take "a" or "b": one item for both either way, and "b" has the wider margins
    places = [[_Bag("a", 0.1), _Bag("b", 0.15)], [_Bag("a", 0.12), _Bag("b", 0.2), _Bag("c", 0.2)]]
    assert _picked(places) == ["b", "b"]
    assert _picked([[_Bag("a", 0.2), _Bag("b", 0.15)], [_Bag("a", 0.12), _Bag("b", 0.1)]]) == ["a", "a"]


def test_fewer_items_go_before_wider_margins() -> None:
    one, other = [_Bag("ab", 0.2), _Bag("cd", 0.0)], [_Bag("cd", 0.0)]
    assert _picked([one, other]) == ["cd", "cd"]


def test_a_usual_screw_goes_before_a_wider_margin_and_a_nut_does_not(tmp_path: Path) -> None:
    usual = asked(tmp_path, at(0)).stacks["A"]
    thin = asked(tmp_path, at(0, hardware=M3.replace("hexagon", "thin"))).stacks["A"]
    m4 = asked(tmp_path, at(0, hardware=M3.replace("M3", "M4")), fixings=fixings(hole=4.5, panel=4.5)).stacks["A"]
    assert fewest_items([[_Bag("ab", 0.0, usual), _Bag("cd", 0.2, m4)]])[0].stack is usual
    assert fewest_items([[_Bag("ab", 0.0, usual), _Bag("cd", 0.2, thin)]])[0].stack is thin


def test_prices_decide_between_equally_few_items_by_whole_packs() -> None:
    prices = [Price("a", 100, 5.0, "EUR"), Price("b", 10, 1.0, "EUR")]
    few = [[_Bag("b"), _Bag("a")]]
    assert _picked(few, [5], prices) == ["b"]  # one pack of ten for 7
    assert _picked(few, [36], prices) == ["b"]  # four packs for 40
    assert _picked(few, [45], prices) == ["b"]  # five packs for 50: as dear, and the more usual
    assert _picked(few, [46], prices) == ["a"]  # six packs would be needed for 51
    assert _picked(few, [40], prices, Spares(0.3)) == ["a"]  # and for 52
    assert _picked(few, [10], prices, Spares(0.0, 41)) == ["a"]  # and for 51
    assert _picked(few, [10], prices, Spares(0.0, 40)) == ["b"]


def test_like_places_may_differ_where_whole_packs_part_them() -> None:
    # of "a" a pack of 10 costs 1, of "b" too; both are needed elsewhere, so that they cost no further item
    prices = [Price("a", 10, 1.0, "EUR"), Price("b", 10, 1.0, "EUR")]
    fixed = [[_Bag("a")], [_Bag("b")]]
    free = [[_Bag("a"), _Bag("b")], [_Bag("a"), _Bag("b")]]
    picked = _picked([*fixed, *free], [4, 4, 4, 4], prices, Spares(0.0, 2))
    assert sorted(picked[2:]) == ["a", "b"]  # 8 and two spares of each: one pack each, and not two of one


def test_what_has_no_price_counts_each_piece_as_much_as_the_dearest_pack() -> None:
    prices = {"a": Price("a", 100, 5.0, "EUR")}
    assert cost([_Bag("b")], [3], prices, Spares(0.1)) == 5 * 5.0  # three and two spares
    assert cost([_Bag("ab")], [3], prices, Spares(0.1)) == 5.0 + 25.0
    assert cost([_Bag("a"), _Bag("a")], [60, 40], prices, Spares(0.1)) == 10.0  # 110 together


def test_spares_are_a_share_and_at_least_two() -> None:
    assert [pieces(n, Spares(0.1)) for n in (1, 20, 21, 30, 100)] == [3, 22, 24, 33, 110]
    assert [pieces(n, Spares(0.0, 0)) for n in (1, 20)] == [1, 20]
    assert [packs(n, 10, Spares(0.0, 0)) for n in (9, 10, 11)] == [1, 1, 2]
