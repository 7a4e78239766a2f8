"""The hardware of a whole panel: never worse than trying every combination, and one bag where one serves."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
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
from dryfit.generators.lists.purchase import other_metals, purchase_list, strange_prices, supply_in_words, total
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


# --- a drawer --------------------------------------------------------------------------------------------------------


def _met(way: Sequence[_Bag], counts: Sequence[int], drawer: dict[str, int], share: float) -> tuple[int, int, int]:
    """Return items bought, items used and pieces bought with their spares, counted by hand."""
    needed: Counter[str] = Counter()
    for choice, count in zip(way, counts, strict=True):
        needed.update(dict.fromkeys(choice.bag, count))
    short = {item: n - drawer.get(item, 0) for item, n in needed.items() if n > drawer.get(item, 0)}
    spares = sum(max(2, math.ceil(Fraction(str(share)) * needed[item])) for item in short)
    return len(short), len(needed), sum(short.values()) + spares


drawers = st.dictionaries(st.sampled_from("abcdefg"), st.sampled_from([0, 1, 3, 10, 12, 30, 60]))


@settings(max_examples=30, deadline=None)
@given(places, drawers, st.lists(st.integers(1, 20), min_size=4, max_size=4), st.sampled_from([0.0, 0.1, 0.25]))
def test_what_a_drawer_leaves_to_buy_equals_the_exhaustive_optimum(
    given_places: list[list[list[str]]], drawer: dict[str, int], counts: list[int], share: float
) -> None:
    choices = [[_Bag(None, (), tuple(bag)) for bag in bags_of_one] for bags_of_one in given_places]
    counts = counts[: len(choices)]
    scores = {way: sum(of.index(one) for of, one in zip(choices, way, strict=True)) for way in product(*choices)}
    best = min((_met(way, counts, drawer, share), score) for way, score in scores.items())
    picked = fewest_items(choices, counts, (), Spares(share), drawer)
    assert (_met(picked, counts, drawer, share), scores[picked]) == best  # type: ignore[index, arg-type]  # bags


@settings(max_examples=30, deadline=None)
@given(places, price_lists, drawers, st.lists(st.integers(1, 20), min_size=4, max_size=4))
def test_of_what_a_drawer_leaves_to_buy_the_cost_equals_the_exhaustive_optimum(
    given_places: list[list[list[str]]], listed: dict[str, tuple[int, int]], drawer: dict[str, int], counts: list[int]
) -> None:
    choices = [[_Bag(None, (), tuple(bag)) for bag in bags_of_one] for bags_of_one in given_places]
    prices = {item: Price(item, pack, cents / 100, "EUR") for item, (pack, cents) in listed.items()}
    counts = counts[: len(choices)]

    def aims(way: Sequence[_Bag]) -> tuple[tuple[int, int, int], float]:
        needed: Counter[str] = Counter()
        for choice, count in zip(way, counts, strict=True):
            needed.update(dict.fromkeys(choice.bag, count))
        there = {item: drawer.get(item, 0) for item in needed}
        bought = {item: pieces(n, Spares()) - there[item] if n > there[item] else 0 for item, n in needed.items()}
        packs_of = {item: -(-n // prices[item].pack) for item, n in bought.items()}
        return _met(way, counts, drawer, 0.1), sum(n * prices[item].price for item, n in packs_of.items())

    best = min(aims(way) for way in product(*choices))
    met, spent = aims(fewest_items(choices, counts, prices.values(), Spares(), drawer))  # type: ignore[arg-type]  # bags
    assert met == best[0]
    assert abs(spent - best[1]) < 1e-4


def test_ten_screws_for_twelve_are_made_up_unless_others_lie_there_for_all() -> None:
    either = [[_Bag(None, (), ("a",)), _Bag(None, (), ("b",)), _Bag(None, (), ("c",))]]
    assert fewest_items(either, [12], (), Spares(), {"b": 10})[0].items == ("b",)  # 2 and two spares, not 14 of "a"
    assert fewest_items(either, [12], (), Spares(), {"b": 10, "c": 12})[0].items == ("c",)  # none are bought
    assert fewest_items(either, [12], (), Spares(), {"b": 10, "c": 11})[0].items == ("c",)  # 3 instead of 4
    assert fewest_items(either, [12], (), Spares(), {})[0].items == ("a",)  # the usual one


def test_one_kind_more_is_bought_of_rather_than_a_second_kind_taken_in() -> None:
    # 36 of "b", of which 30 are there: 6 and four spares; 8 of "a" would be fewer pieces, but a second kind
    places_ = [[_Bag(None, (), ("b",))], [_Bag(None, (), ("a",)), _Bag(None, (), ("b",))]]
    assert [c.items for c in fewest_items(places_, [30, 6], (), Spares(), {"b": 30})] == [("b",), ("b",)]


def test_a_drawer_that_has_enough_is_bought_nothing_for_and_one_that_is_short_is_made_up(tmp_path: Path) -> None:
    text = "item,count,order_number\nM3 x 12 pan,8,P-12\nM3 DIN 985 nut,6,\n"
    (tmp_path / "drawer.csv").write_text(text)
    rest = "hardware: {heads: [pan], drawer: drawer.csv}"
    two = "\n".join(place("phono-d", mount="rear", label=f"P{n}", at=f"[{40 * n}, 0]") for n in range(2))
    made = report(tmp_path, two, panel="{size: [200, 80], thickness: 3 mm}", rest=rest)
    (screw,) = [item for item in purchase_list(made) if item.group == "screw"]
    (nut,) = [item for item in purchase_list(made) if item.group == "nut"]
    assert (screw.item, screw.needed, screw.drawer, screw.order) == ("Pan head screw ISO 7045 - M3 x 12 - H", 4, 4, 0)
    assert (screw.note, screw.order_number) == ("from the drawer", "P-12")
    assert (nut.item, nut.drawer, nut.order) == ("Prevailing torque type hexagon nut DIN 985 - M3", 4, 0)
    (tmp_path / "drawer.csv").write_text("item,count\nM3 DIN 985 nut,3\n")
    made = report(tmp_path, two, panel="{size: [200, 80], thickness: 3 mm}", rest=rest)
    (nut,) = [item for item in purchase_list(made) if item.group == "nut"]
    assert (nut.item.split(" - ")[0], nut.needed, nut.drawer, nut.order) == (
        "Prevailing torque type hexagon nut DIN 985", 4, 3, 3,
    )  # fmt: skip
    assert "to buy" in supply_in_words(made)


def test_toothed_washers_that_lie_there_are_taken_rather_than_left_out_to_have_fewer_kinds(tmp_path: Path) -> None:
    (tmp_path / "drawer.csv").write_text("item,count\nM3 x 12 pan,9\nM3 nut,9\nM3 toothed washer,9\n")
    rest = "hardware: {threads: [M3], heads: [pan], drawer: drawer.csv}"
    plate = "{size: [100, 80], thickness: 3 mm}"
    (stack,) = report(tmp_path, place("phono-d", mount="rear"), panel=plate, rest=rest).stacks.values()
    assert [washer.kind for washer in stack.washers] == ["tooth internal"]


def test_a_drawer_makes_nothing_fit_less_well(tmp_path: Path) -> None:
    (tmp_path / "drawer.csv").write_text("item,count\nM2.5 x 12 pan,90\nM2.5 nut,90\n4-40 x 1/2 slotted pan,9\n")
    with_drawer = report(tmp_path, place("phono-d"), rest="hardware: {drawer: drawer.csv}")
    without = report(tmp_path, place("phono-d"))
    assert [f.verdict for f in with_drawer.findings] == [f.verdict for f in without.findings]


def test_what_lies_there_in_another_metal_is_told(tmp_path: Path) -> None:
    (tmp_path / "drawer.csv").write_text("item,count\nM3 nut,90\n")
    rest = "hardware: {threads: [M3], metal: stainless, retention: tooth washer, drawer: drawer.csv}"
    made = report(tmp_path, place("phono-d"), rest=rest)
    assert [item.drawer for item in purchase_list(made) if item.group == "nut"] == [0]
    assert list(other_metals(made)) == [
        "The drawer's M3 hexagon nuts do not say their metal: they count where `metal` asks for just that."
    ]


def test_a_part_is_priced_by_its_name_alone_with_its_order_number(tmp_path: Path) -> None:
    (tmp_path / "prices.csv").write_text("item,pack,price,currency,order_number\nphono-d,1,3.5,EUR,77-1\n")
    made = report(tmp_path, place("phono-d"), rest="hardware: {prices: prices.csv}")
    (part,) = [item for item in purchase_list(made) if item.group == "part"]
    assert (part.cost, part.order_number) == (3.5, "77-1")
    assert part.remark.endswith("order number 77-1")
    assert list(strange_prices(made)) == []


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
