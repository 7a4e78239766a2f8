"""Asking: each question once for all that have in common what it depends on, and no silence where it applies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.checks import asking
from dryfit.generators.checks.asking import WORST, Asking, answered, ask_panel, ask_place, rank
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.checks.registry import PanelCheck, StackCheck
from dryfit.generators.clearance.surroundings import Obstacle, Surroundings
from dryfit.generators.joints.stacks import Stack, StackPart
from dryfit.models.findings import Answer, Finding, Verdict
from dryfit.models.geometry.bodies import prism
from dryfit.models.geometry.outlines import round_
from dryfit.models.job import HardwareWish
from tests.plain import asked, at

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


class Question:
    """A made-up check that remembers of which stacks it was asked, and in what company."""

    def __init__(self, name: str, verdict: Verdict = FITS, looks_at: tuple[StackPart, ...] = (), sees: str = "nothing",
                 bodies: tuple[str | int, ...] = ()):  # fmt: skip
        self.asked: list[tuple[Stack | None, Surroundings]] = []
        self.answer = Answer(name, verdict, "", bodies=bodies)
        self.check: StackCheck = StackCheck(name, self._ask, lambda _: True, (), looks_at, sees)  # type: ignore[arg-type]

    def _ask(self, fit: Fit) -> Iterator[Answer]:
        self.asked.append((fit.stack, fit.around))
        yield self.answer


def _asks(monkeypatch: pytest.MonkeyPatch, before: Sequence[Question], length: Sequence[Question] = ()) -> None:
    monkeypatch.setattr(asking, "_but_by_length", lambda: tuple(q.check for q in before))
    monkeypatch.setattr(asking, "_by_length", lambda: tuple(q.check for q in length))


@pytest.fixture
def fit(tmp_path: Path) -> Fit:
    asking._told.cache_clear()  # what other tests were told of the same place
    return asked(tmp_path, at(0)).fits["A"]


def _stack(fit: Fit, length: float = 12.0) -> Stack:
    assert fit.stack is not None
    return replace(fit.stack, screw=replace(fit.stack.screw, length=length))


def test_failures_count_first_then_all_that_does_not_simply_fit() -> None:
    answers = [Answer("x", v, "") for v in (FITS, TIGHT, FAILS, TIGHT, FITS)]
    assert rank(answers) == (1, 3)
    assert rank(answers[:2]) == (0, 1)
    assert rank([]) == (0, 0)
    assert (1, 1) < (1, 3) < (2, 2) < WORST


def test_answers_are_told_in_the_order_of_telling(fit: Fit, monkeypatch: pytest.MonkeyPatch) -> None:
    web, nut, length = Question("web"), Question("nut-room"), Question("screw-length", looks_at=("length",))
    _asks(monkeypatch, [web, nut], [length])
    told = Asking(fit).of(_stack(fit))
    assert told == (length.answer, nut.answer, web.answer)


def test_a_part_on_the_wrong_side_is_asked_nothing_more(fit: Fit, monkeypatch: pytest.MonkeyPatch) -> None:
    side, nut, length = Question("mount-side", FAILS), Question("nut-room"), Question("screw-length")
    _asks(monkeypatch, [side, nut], [length])
    assert Asking(fit).of(_stack(fit)) == (side.answer,)
    assert nut.asked == length.asked == []
    asking._told.cache_clear()
    tight = Question("mount-side", TIGHT)
    _asks(monkeypatch, [tight, nut], [length])
    assert Asking(fit).of(_stack(fit)) == (tight.answer, length.answer, nut.answer)


@pytest.mark.parametrize(
    ("verdict", "limit", "told"),
    [
        (FAILS, (1, 1), False), (FAILS, (1, 2), True), (FAILS, (0, 9), False),
        (TIGHT, (0, 1), False), (TIGHT, (0, 2), True), (FITS, (0, 1), True),
    ],
)  # fmt: skip
@pytest.mark.parametrize("late", [False, True], ids=["whatever its length", "by its length"])
def test_what_is_no_better_than_a_limit_is_told_as_none(
    fit: Fit, *, monkeypatch: pytest.MonkeyPatch, verdict: Verdict, limit: tuple[int, int], told: bool, late: bool
) -> None:
    fine, one = Question("web"), Question("nut-room", verdict)
    _asks(monkeypatch, [fine] if late else [one, fine], [one] if late else [])
    assert (Asking(fit).of(_stack(fit), limit) is not None) is told


def test_what_is_hopeless_is_asked_no_further_and_known_for_other_lengths(
    fit: Fit, monkeypatch: pytest.MonkeyPatch
) -> None:
    bad, next_, length = Question("nut-room", FAILS), Question("web"), Question("screw-length", looks_at=("length",))
    _asks(monkeypatch, [bad, next_], [length])
    asks = Asking(fit)
    assert asks.of(_stack(fit), (1, 1)) is None
    assert asks.whatever_length(_stack(fit, 16), (1, 1)) is None
    assert asks.whatever_length(_stack(fit, 16), (0, 5)) is None
    assert next_.asked == length.asked == []
    assert len(bad.asked) == 1
    assert asks.whatever_length(replace(_stack(fit), nut=None), (1, 1)) is None
    assert asks.whatever_length(_stack(fit, 16), (1, 2)) == (bad.answer, next_.answer)
    assert asks.of(_stack(fit, 16), (1, 1)) is None
    assert asks.of(_stack(fit, 16), (2, 0)) == (length.answer, bad.answer, next_.answer)


def test_a_question_is_asked_once_for_stacks_that_have_in_common_what_it_looks_at(
    fit: Fit, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = Question("cutout-size")
    thread = Question("screw-passes", looks_at=("thread",))
    nut = Question("nut-room", looks_at=("nut",), sees="all")
    length = Question("screw-length", looks_at=("length",))
    _asks(monkeypatch, [part, thread, nut], [length])
    asks = Asking(fit)
    for stack in (_stack(fit), _stack(fit, 16), replace(_stack(fit), nut=None), replace(_stack(fit, 16), nut=None)):
        told = asks.of(stack)
        assert told is not None
        assert len(told) == 4
    assert [len(q.asked) for q in (part, thread, nut, length)] == [1, 1, 2, 2]
    assert asks.of(None) is not None
    assert [len(q.asked) for q in (part, thread, nut, length)] == [2, 2, 3, 3]  # no stack at all is something else


def test_what_sees_nothing_is_asked_once_for_all_places_alike(fit: Fit, monkeypatch: pytest.MonkeyPatch) -> None:
    blind, seeing = Question("cutout-size"), Question("plug-room", sees="all")
    _asks(monkeypatch, [blind, seeing])
    wished = replace(fit, mounting=replace(fit.mounting, wish=HardwareWish(metal="brass")))
    other = replace(fit, mounting=replace(fit.mounting, part_turn=30.0))
    for one in (fit, replace(fit, around=Surroundings((), (round_(5),))), wished):
        Asking(one).of(one.stack)
    assert [len(q.asked) for q in (blind, seeing)] == [1, 3]
    Asking(other).of(other.stack)
    assert len(blind.asked) == 2
    thick = replace(fit, panel=replace(fit.panel, thickness=4.0))
    Asking(thick).of(thick.stack)
    assert len(blind.asked) == 3


def _obstacle(x: float) -> Obstacle:
    slices = (prism(round_(2).moved(x, 0), -10, 0),)
    return Obstacle("next part", slices, slices, slices)


def test_beside_fasteners_only_what_is_near_them_is_seen_and_told_by_its_number(
    fit: Fit, monkeypatch: pytest.MonkeyPatch
) -> None:
    beside = Question("land", sees="beside fasteners", bodies=("nut 1", 0, 1), looks_at=("nut",))
    _asks(monkeypatch, [beside])
    far, near, nearer = _obstacle(90), _obstacle(21), _obstacle(20)
    around = Surroundings((far, near, far, nearer))
    told = Asking(replace(fit, around=around)).of(fit.stack)
    assert told == (replace(beside.answer, bodies=("nut 1", 1, 3)),)
    assert beside.asked == [(fit.stack, Surroundings((near, nearer)))]
    again = Asking(replace(fit, around=Surroundings((near, nearer, far)))).of(fit.stack)
    assert again == (beside.answer,)
    assert len(beside.asked) == 1  # in company alike it is not asked again
    alone = replace(fit.stack, nut=None) if fit.stack is not None else None
    assert Asking(replace(fit, around=around)).of(alone) == (replace(beside.answer, bodies=("nut 1", 1, 3)),)
    assert [stack for stack, _ in beside.asked] == [fit.stack, alone]


def test_real_questions_that_depend_on_least_come_first_and_those_of_length_last() -> None:
    before, by_length = asking._but_by_length(), asking._by_length()
    assert before[0].name == "mount-side"
    assert [len(c.looks_at) for c in before] == sorted(len(c.looks_at) for c in before)
    assert [c.name for c in by_length] == ["screw-bottoms", "screw-length"]
    assert not {c.name for c in before} & {c.name for c in by_length}


# --- no silence -----------------------------------------------------------------------------------------

SILENCE = "The question made-up applies here and was not answered: this place cannot be said to fit."


def test_a_question_that_applies_and_is_not_answered_fails(fit: Fit) -> None:
    silent: StackCheck = StackCheck("made-up", lambda _: iter(()), lambda _: True, ())
    assert answered(silent, fit) == (Answer("made-up", FAILS, SILENCE),)
    assert answered(replace(silent, applies=lambda _: False), fit) == ()
    two = (Answer("made-up", FITS, "1"), Answer("made-up", TIGHT, "2"))
    assert answered(replace(silent, ask=lambda _: iter(two)), fit) == two
    assert answered(replace(silent, ask=lambda _: iter(two), applies=lambda _: False), fit) == ()


def test_a_panel_question_answers_for_every_place_it_applies_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = asked(tmp_path, f"{at(-50)}\n{at(0, label='B')}\n{at(50, label='C')}")
    told = (Finding("made-up", "B", FITS, "1"), Finding("made-up", "B", TIGHT, "2"))
    check: PanelCheck = PanelCheck("made-up", lambda _: iter(told), lambda place: place.name != "C", ())
    monkeypatch.setattr(asking, "panel_checks", lambda: (check,))
    assert list(ask_panel(made.fitting)) == [*told, Finding("made-up", "A", FAILS, SILENCE)]


def test_a_place_is_asked_with_the_stack_it_has(fit: Fit) -> None:
    assert ask_place(fit) == Asking(fit).of(fit.stack)
    assert {answer.check for answer in ask_place(fit)} > {"mount-side", "nut-room", "screw-length"}
