"""The hardware of a whole panel: never worse than trying every combination, and one bag where one serves."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.generators.checks.asking import Asking
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.clearance.surroundings import around
from dryfit.generators.hardware.choice import Choice, options
from dryfit.generators.hardware.panel_choice import Spares, cost, count_items, fewest_items, packs, pieces
from dryfit.generators.joints.candidates import candidates
from dryfit.generators.lists.purchase import purchase_list, total
from dryfit.models.job import Job
from dryfit.models.prices import Price
from tests.helpers import job, place, report


@dataclass(frozen=True)
class _Bag(Choice):
    """A choice of made-up items."""

    bag: tuple[str, ...] = ()

    @property
    def items(self) -> tuple[str, ...]:
        return self.bag


bags = st.lists(st.sampled_from("abcdefg"), min_size=1, max_size=3, unique=True)
places = st.lists(st.lists(bags, min_size=1, max_size=4), min_size=1, max_size=4)


@settings(max_examples=150, deadline=None)
@given(places)
def test_the_choice_equals_the_exhaustive_optimum(given_places: list[list[list[str]]]) -> None:
    choices = [[_Bag(None, (), tuple(bag)) for bag in bags_of_one] for bags_of_one in given_places]
    best = min(count_items(combination) for combination in product(*choices))
    picked = fewest_items(choices)
    assert count_items(picked) == best
    assert all(choice in offered for choice, offered in zip(picked, choices, strict=True))


def test_one_length_serves_a_thin_and_a_thick_flange(tmp_path: Path) -> None:
    both = place("xlr3-socket") + "\n" + place("mains-quarter-turn-inlet", label="B", at="[40, 0]")
    stacks = report(tmp_path, both, rest="hardware: {threads: [M3]}").stacks
    alone = report(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3]}").stacks
    assert {stack.screw.designation for stack in stacks.values()} == {stacks["B"].screw.designation}
    assert alone["A"].screw.length < stacks["A"].screw.length


def only_fit(made: Job) -> Fit:
    (here,) = around(made, {})
    return Fit(made.panel, made.places[0].mounting, here.surroundings)


def test_remembering_answers_changes_none_of_them(tmp_path: Path) -> None:
    made = job(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3, 4-40]}")
    fit = only_fit(made)
    one = Asking(fit)
    assert fit.joint is not None
    for stack in list(candidates(fit.mounting, fit.joint))[::7]:
        assert one.of(stack) == Asking(fit).of(stack)


def test_options_are_all_of_the_best_rank(tmp_path: Path) -> None:
    fit = only_fit(job(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3]}"))
    found = options(fit)
    assert len(found) > 1
    assert {choice.rank for choice in found} == {(0, 0)}


# --- cost ------------------------------------------------------------------------------------------------------------

price_lists = st.fixed_dictionaries({item: st.tuples(st.integers(1, 50), st.integers(1, 400)) for item in "abcdefg"})


@settings(max_examples=100, deadline=None)
@given(places, price_lists, st.lists(st.integers(1, 40), min_size=4, max_size=4), st.sampled_from([0.0, 0.1, 0.25]))
def test_the_cost_equals_the_exhaustive_optimum(
    given_places: list[list[list[str]]], listed: dict[str, tuple[int, int]], counts: list[int], share: float
) -> None:
    choices = [[_Bag(None, (), tuple(bag)) for bag in bags_of_one] for bags_of_one in given_places]
    counts, spares = counts[: len(choices)], Spares(share)
    prices = {item: Price(item, pack, cents / 100, "EUR") for item, (pack, cents) in listed.items()}
    least = min(count_items(c) for c in product(*choices))
    best = min(cost(c, counts, prices, spares) for c in product(*choices) if count_items(c) == least)
    picked = fewest_items(choices, counts, prices.values(), spares)
    assert count_items(picked) == least
    assert abs(cost(picked, counts, prices, spares) - best) < 1e-4


def test_spares_come_in_whole_packs() -> None:
    assert pieces(100, Spares(0.1)) == 110
    assert pieces(4, Spares(0.1)) == 6  # at least two more
    assert packs(100, 50, Spares(0.1)) == 3


def test_the_parts_list_adds_up_what_is_priced(tmp_path: Path) -> None:
    (tmp_path / "prices.csv").write_text("item,pack,price,currency\nHexagon nut ISO 4032 - M3,50,3.00,EUR\n")
    rest = "hardware: {threads: [M3], retention: tooth washer, prices: prices.csv}"
    items = purchase_list(report(tmp_path, place("xlr3-socket"), rest=rest))
    (nut,) = [item for item in items if item.group == "nut"]
    assert (nut.needed, nut.order, nut.packs, nut.cost) == (2, 50, 1, 3.0)
    assert total(items) == (3.0, "EUR")


def test_the_cheaper_of_two_like_bags_is_taken(tmp_path: Path) -> None:
    rows = ["Countersunk flat head screw ISO 7046-1 - M3 x 10 - H,100,9.00,EUR",
            "Countersunk flat head screw ISO 7046-1 - M3 x 12 - H,100,2.00,EUR"]  # fmt: skip
    (tmp_path / "prices.csv").write_text("item,pack,price,currency\n" + "\n".join(rows) + "\n")
    plain = report(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3], retention: tooth washer}")
    priced = report(
        tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3], retention: tooth washer, prices: prices.csv}"
    )
    assert plain.stacks["A"].screw.length == 10
    assert priced.stacks["A"].screw.length == 12


def test_the_drive_at_hand_is_kept_to(tmp_path: Path) -> None:
    rest = "hardware: {threads: [M3], drives: [slot]}"
    assert report(tmp_path, place("xlr3-socket"), rest=rest).stacks["A"].screw.head.drive == "slot"
    plain = report(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3]}").stacks["A"]
    assert plain.screw.head.drive.startswith("cross recess")


def _offered(folder: Path, beside: float) -> set[tuple[str, str]]:
    """Return threads and heads among which a socket has its choice, with another so far to its left."""
    made = job(folder, place("xlr3-socket") + "\n" + place("xlr3-socket", label="B", at=f"[{-beside}, 0]"))
    here = around(made, {})[0]
    found = options(Fit(made.panel, made.places[0].mounting, here.surroundings))
    return {(c.stack.thread.name, c.stack.screw.head.kind) for c in found if c.stack is not None}


def test_no_choice_is_sought_where_another_part_stands_on_the_axis_for_no_screw_mends_that(tmp_path: Path) -> None:
    # the flange of the other is 26 mm wide, at most 26.1: 12.5 to the left it still covers the axis, 13.5 no more
    assert len(_offered(tmp_path, 12.5)) == 1
    assert len(_offered(tmp_path, 30.0)) > 1


def test_each_fixing_counts_once_where_nothing_else_is_said() -> None:
    prices = [Price("a", 1, 3.0, "EUR"), Price("b", 10, 8.0, "EUR")]  # with two spares: three packs of a, one of b
    choices = [[_Bag(None, (), ("a",)), _Bag(None, (), ("b",))]]
    assert fewest_items(choices, prices=prices) == fewest_items(choices, [1], prices)
    assert fewest_items(choices, prices=prices)[0].items == ("b",)


def test_where_nothing_has_a_price_nothing_is_reckoned() -> None:
    assert cost([_Bag(None, (), ("a", "b"))], [4], {}, Spares()) == 0.0
