"""Errors carry their arguments, so that they survive the way from one process to another."""

from __future__ import annotations

import pickle
from collections.abc import Iterator

import pytest

from dryfit.generators.intake.measuring.standing import Unclear
from dryfit.models.reading.errors import DryfitError, Fault, InputError, Misplaced, UnknownName

EXAMPLES: tuple[Exception, ...] = (
    DryfitError("something is wrong"),
    InputError([Fault("a.yaml", 3, "is wrong", "something right", "near"), Fault("a.yaml", None, "is empty")]),
    UnknownName("thread", "M33", ("M3", "M4")),
    UnknownName("thread", "zzz", ("M3", "M4")),
    Unclear(("+z", "-z"), "both sides look alike"),
    Misplaced(("fixings", "at", 0), "is off the flange"),
)


def _subclasses(of: type[Exception]) -> Iterator[type[Exception]]:
    yield of
    for below in of.__subclasses__():
        yield from _subclasses(below)


def test_every_error_has_an_example() -> None:
    assert {type(example) for example in EXAMPLES} >= {*_subclasses(DryfitError), Misplaced}


@pytest.mark.parametrize("error", EXAMPLES, ids=lambda error: type(error).__name__)
def test_an_error_is_the_same_after_a_pickle_round_trip(error: Exception) -> None:
    again = pickle.loads(pickle.dumps(error))
    assert type(again) is type(error)
    assert str(again) == str(error)
    assert again.args == error.args
    assert vars(again) == vars(error)


def test_an_unknown_name_says_the_nearest_or_all_there_are() -> None:
    assert str(UnknownName("thread", "M33", ("M3", "x9"))) == "unknown thread 'M33' (did you mean M3?)"
    assert str(UnknownName("thread", "zzz", ("M3", "M4"))) == "unknown thread 'zzz', expected one of M3, M4"


def test_the_same_fault_is_told_once() -> None:
    fault = Fault("a.yaml", 3, "is wrong")
    assert InputError([fault, fault]).faults == (fault,)
