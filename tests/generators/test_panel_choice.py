"""The hardware of a whole panel: never worse than trying every combination, and one bag where one serves."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.generators.choice import BEST, Choice, Judge, candidates, options
from dryfit.generators.panel_choice import count_items, fewest_items
from dryfit.generators.surroundings import fits
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
    both = place("xlr3-socket") + "\n" + place("mains-twist-inlet", label="B", at="[40, 0]")
    stacks = report(tmp_path, both, rest="hardware: {threads: [M3]}").stacks
    alone = report(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3]}").stacks
    assert {stack.screw.designation for stack in stacks.values()} == {stacks["B"].screw.designation}
    assert alone["A"].screw.length < stacks["A"].screw.length


def test_remembering_answers_changes_none_of_them(tmp_path: Path) -> None:
    made = job(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3, 4-40]}")
    (fit,) = fits(made)
    one = Judge(fit)
    for stack in list(candidates(fit))[::7]:
        assert one.of(stack) == Judge(fit).of(stack)


def test_options_are_all_of_the_best_rank(tmp_path: Path) -> None:
    (fit,) = fits(job(tmp_path, place("xlr3-socket"), rest="hardware: {threads: [M3]}"))
    found = options(fit)
    assert len(found) > 1
    assert {choice.rank for choice in found} == {BEST}
