"""What a panel may have of places that are each looked at by themselves: told by hand on small panels."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import parse_job
from dryfit.models.resolving import crowds, places
from dryfit.models.resolving.crowds import different, heaped

PANEL = "title: T\norigin: centre\npanel: {size: [400, 200], thickness: 2}\nplaces:\n"


def _job(*entries: str) -> Job:
    return parse_job(Path("t.yaml"), PANEL + "".join(f"  - {{{entry}}}\n" for entry in entries))


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crowds, "MOST_DIFFERENT", 0)


def test_like_places_in_like_company_are_looked_at_once() -> None:
    row = "part: xlr3-socket, label: '{n}', count: 6, at: [-100, 0], pitch: 30"
    assert different(_job(row).places) == 5  # one kind, which counts twice; the first, those in the middle, the last
    apart = row.replace("30", "41")
    assert different(_job(apart).places) == 3  # 26 mm of flange and 14 between are 40: no company
    assert different(_job(apart.replace("41", "39")).places) == 5


def test_a_turned_pair_is_the_pair_that_was_turned() -> None:
    pair = ("part: xlr3-socket, label: A, at: [0, 0]", "part: xlr3-pins, label: B, at: [30, 0]")
    turned = (
        "part: xlr3-socket, label: C, at: [150, 0], turn: 90",
        "part: xlr3-pins, label: D, at: [150, 30], turn: 90",
    )
    assert different(_job(*pair).places) == 6
    assert different(_job(*pair, *turned).places) == 6
    assert different(_job(*pair, turned[0], turned[1].replace("turn: 90", "turn: 91")).places) == 8


def test_each_kind_of_place_counts_for_itself() -> None:
    one = "part: xlr3-socket, label: A, at: [0, 0]"
    other = "part: xlr3-socket, label: B, at: [100, 0], cutout: {hole: 25}"
    assert different(_job(one).places) == 3
    assert different(_job(one, other).places) == 6


def test_few_places_are_not_counted_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crowds, "MOST_DIFFERENT", 8)
    assert different(_job("part: xlr3-socket, label: '{n}', count: 6, at: [-100, 0], pitch: 30").places) == 8


def test_a_heap_is_told_once_for_its_entry() -> None:
    close = _job("part: xlr3-socket, label: '{n}', count: 7, at: [0, 0], pitch: 4")
    assert list(heaped(close.places)) == []  # each lies over the six others
    with pytest.raises(InputError, match=r"1 lies over 9 other places, expected at most 8") as told:
        _job("part: xlr3-socket, label: '{n}', count: 10, at: [0, 0], pitch: 2")
    assert len(told.value.faults) == 1


def test_places_that_are_all_different_are_refused_beyond_a_number(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crowds, "MOST_DIFFERENT", 8)
    monkeypatch.setattr(places, "MOST_DIFFERENT", 8)
    row = [f"part: xlr3-socket, label: P{n}, at: [{-150 + 40 * n}, 0]" for n in range(8)]
    assert len(_job(*row).places) == 8
    with pytest.raises(InputError, match=r"t\.yaml:4: 10 kinds of places, .* expected at most 8") as told:
        _job(*(f"{place}, turn: {n}" for n, place in enumerate(row)))
    assert len(told.value.faults) == 1
