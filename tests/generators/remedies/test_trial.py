"""Remedies are tried on the whole panel: told only if they better their finding and break nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.pipeline import judged
from dryfit.generators.remedies import trial
from dryfit.generators.remedies.trial import A_CHANGE, A_PLACE, ENDED, MOST_WORK, Trials, cured, state
from dryfit.generators.report import Report
from dryfit.models.edits import Edit
from dryfit.models.findings import Finding, Remedy, Verdict
from dryfit.models.job import Job
from dryfit.models.resolve import read_job
from tests.helpers import finding
from tests.plain import M3, asked, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
MOVE, TURN, BROKEN = Edit(0, ("at",), [1, 0]), Edit(0, ("turn",), 90), Edit(0, ("mount",), "nowhere")


def _told(check: str, verdict: Verdict, place: str = "A") -> Finding:
    return Finding(check, place, verdict, f"{check} {verdict}", margin=-0.5 if verdict is FAILS else 0.0)


def _report(folder: Path, *findings: Finding, places: str = "") -> Report:
    return replace(asked(folder, places or at(0)), findings=findings)


def _world(of: Report, after: Mapping[tuple[float, float], tuple[Finding, ...]]) -> Callable[[Job], Report]:
    """Return what checks the panel anew: by where the first place stands and how it is turned, it finds this."""

    def again(job: Job) -> Report:
        place = job.places[0]
        return replace(of, job=job, findings=after[place.x, place.turn])

    return again


def _strategies(monkeypatch: pytest.MonkeyPatch, **proposals: list[Remedy]) -> list[str]:
    """Put made-up strategies in place of the real ones for the check ``web``; return who was asked, in order."""
    asked_: list[str] = []

    def strategy(name: str) -> Callable[[Report, Finding], Iterator[Remedy]]:
        def propose(report: Report, found: Finding) -> Iterator[Remedy]:
            asked_.append(name)
            yield from proposals[name]

        return propose

    monkeypatch.setattr(trial, "of_check", lambda _: tuple(proposals))
    monkeypatch.setattr(trial, "strategies", lambda: {name: strategy(name) for name in proposals})
    return asked_


def test_what_betters_its_finding_and_breaks_nothing_cures(tmp_path: Path) -> None:
    of = _report(tmp_path, _told("web", FAILS), _told("land", TIGHT))
    for after, cures in (
        ((_told("web", FITS), _told("land", TIGHT)), True),
        ((_told("web", TIGHT), _told("land", TIGHT)), True),  # better, though not well
        ((_told("web", FAILS), _told("land", FITS)), False),  # betters another only
        ((_told("web", FITS), _told("land", FAILS)), False),  # breaks what was tight
        ((_told("web", FITS), _told("land", TIGHT), _told("metals", FAILS)), False),  # breaks what was not told
        ((_told("web", FITS), _told("land", FAILS, "B")), False),  # at another place
        ((_told("land", TIGHT),), True),  # no more is told of it
    ):
        trials = Trials(of, _world(of, {(1, 0): after}))
        assert trials.cures(of.findings[0], Remedy("Move it.", (MOVE,))) is cures, after


def test_what_failed_before_may_go_on_failing(tmp_path: Path) -> None:
    of = _report(tmp_path, _told("web", FAILS), _told("land", FAILS))
    trials = Trials(of, _world(of, {(1, 0): (_told("web", FITS), _told("land", FAILS))}))
    assert trials.cures(of.findings[0], Remedy("Move it.", (MOVE,)))


def test_a_tight_finding_is_cured_only_where_it_fits(tmp_path: Path) -> None:
    of = _report(tmp_path, _told("web", TIGHT))
    assert not Trials(of, _world(of, {(1, 0): (_told("web", TIGHT),)})).cures(of.findings[0], Remedy("", (MOVE,)))
    assert Trials(of, _world(of, {(1, 0): ()})).cures(of.findings[0], Remedy("", (MOVE,)))


def test_what_the_layout_cannot_say_is_taken_as_said(tmp_path: Path) -> None:
    of = _report(tmp_path, _told("web", FAILS))
    assert Trials(of, _world(of, {})).cures(of.findings[0], Remedy("Keep them apart."))


def test_edits_that_make_no_layout_cure_nothing(tmp_path: Path) -> None:
    of = _report(tmp_path, _told("web", FAILS))
    assert not Trials(of, _world(of, {})).cures(of.findings[0], Remedy("", (BROKEN,)))


def test_the_worst_of_a_check_at_a_place_counts(tmp_path: Path) -> None:
    of = _report(tmp_path, _told("web", FITS), _told("web", FAILS), _told("web", TIGHT), _told("web", TIGHT, "B"))
    assert state(of) == {("web", "A"): FAILS, ("web", "B"): TIGHT}


def test_a_change_is_tried_once_and_trials_come_to_an_end(tmp_path: Path) -> None:
    of = _report(tmp_path, _told("web", FAILS))
    tried: list[Job] = []

    def again(job: Job) -> Report:
        tried.append(job)
        return replace(of, job=job)

    trials = Trials(of, again, most=12 * A_PLACE * len(of.job.places))
    for _ in range(3):
        trials.after((MOVE,))
    assert len(tried) == 1
    for n in range(2, 300):
        trials.after((Edit(0, ("at",), [n / 10, 0]),))
    assert len(tried) == 10
    assert trials.ended
    assert trials.after((MOVE,)) is not None  # known already
    assert trials.after((TURN,)) is None
    assert trials.edited((TURN,)) is None


def test_what_makes_no_layout_is_work_too(tmp_path: Path) -> None:
    of = _report(tmp_path)
    trials = Trials(of, _world(of, {}), most=5 * A_PLACE * len(of.job.places))
    for n in range(3):
        assert not trials.ended
        assert trials.after((Edit(None, ("nonsense",), n),)) is None
    assert trials.ended


def test_a_trial_is_worth_what_stands_around_its_places_and_what_is_new_about_them(tmp_path: Path) -> None:
    path = tmp_path / "row.yaml"
    path.write_text(
        "title: Row\npanel: {size: [200, 80], thickness: 2}\n"
        "places:\n  - {part: xlr3-socket, at: [40, 40], count: 4, pitch: 33, plug: none, legend: none}\n",
        encoding="utf-8",
    )
    of = judged(read_job(path))
    met = sum(len(fit.around.obstacles) for fit in of.fits.values())
    assert met == 6 * 3  # every place sees of each beside it the part, one screw and its nut
    as_it_is, moved = Edit(0, ("label",), "X {n}"), Edit(0, ("pitch",), 34)
    for edit, new in ((as_it_is, 0), (moved, 3)):  # first, last, and the two alike between them
        work = 3 * (A_PLACE * 4 + met) + A_CHANGE * new  # twice for the panel as it is, once for the trial
        for most, ended in ((work, True), (work + 1, False)):
            trials = Trials(of, judged, most)
            assert trials.edited((edit,)) is not None
            assert trials.ended is ended, (edit, most)


def test_the_first_proposal_that_cures_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    of = _report(tmp_path, _told("web", FAILS))
    who = _strategies(monkeypatch, one=[Remedy("Move it.", (MOVE,))], two=[Remedy("Turn it.", (TURN,))])
    after = cured(of, _world(of, {(1, 0): (_told("web", FAILS),), (0, 90): ()}))
    assert (after.findings[0].advice, after.findings[0].edits) == ("Turn it.", (TURN,))
    assert who == ["one", "two"]


def test_what_cannot_be_cured_says_what_was_tried(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    of = _report(tmp_path, _told("web", FAILS), _told("land", TIGHT))
    _strategies(monkeypatch, one=[Remedy("Move it.", (MOVE,))], two=[], three=[Remedy("Turn it.", (TURN,))])
    nothing = (_told("web", FAILS), _told("land", TIGHT))
    after = cured(of, _world(of, {(1, 0): nothing, (0, 90): nothing}))
    assert after.findings[0].advice == ("Nothing that was tried cures this (one, three): choose another part or panel.")
    assert after.findings[0].edits == ()
    assert after.findings[1].remedy is None  # what is only tight stands as it is


def test_where_nothing_can_be_tried_it_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    of = _report(tmp_path, _told("web", FAILS))
    _strategies(monkeypatch, one=[])
    assert cured(of, _world(of, {})).findings[0].advice.startswith("No change of hardware, hole, side or place")


def test_no_more_than_24_trials_go_to_one_finding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    of = _report(tmp_path, _told("web", FAILS))
    many = [Remedy(f"{n}", (Edit(0, ("at",), [float(n), 0]),)) for n in range(1, 40)]
    _strategies(monkeypatch, one=many)
    world: dict[tuple[float, float], tuple[Finding, ...]]
    world = {(float(n), 0): (_told("web", FAILS),) if n < 25 else () for n in range(1, 40)}
    assert cured(of, _world(of, world)).findings[0].advice.startswith("Nothing that was tried")
    world[24.0, 0] = ()
    assert cured(of, _world(of, world)).findings[0].advice == "24"


def test_the_end_of_trials_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bad = tuple(_told("web", FAILS, name) for name in ("A",)) + tuple(_told(f"c{n}", FAILS) for n in range(30))
    of = _report(tmp_path, *bad)
    count = iter(range(1, 10_000))

    def propose(report: Report, found: Finding) -> Iterator[Remedy]:
        yield from (Remedy("", (Edit(0, ("at",), [next(count) / 1000, 0]),)) for _ in range(30))

    monkeypatch.setattr(trial, "of_check", lambda _: ("one",))
    monkeypatch.setattr(trial, "strategies", lambda: {"one": propose})
    monkeypatch.setattr(trial, "A_PLACE", MOST_WORK / 252 / len(of.job.places))
    after = cured(of, lambda job: replace(of, job=job))
    told = [f.advice == ENDED for f in after.findings]
    assert told == [False] * 10 + [True] * 21  # 250 trials are ten findings and a bit


def test_what_fails_is_cured_first_and_what_cured_one_is_tried_first_on_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = _report(tmp_path, _told("land", TIGHT), _told("web", FAILS))
    who = _strategies(monkeypatch, one=[Remedy("Move it.", (MOVE,))])
    after = cured(of, _world(of, {(1, 0): ()}))
    assert [f.advice for f in after.findings] == ["Move it.", "Move it."]
    assert who == ["one"]  # it was proposed once, and known at the second


def test_a_known_remedy_that_does_not_better_the_next_is_not_told_of_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = _report(tmp_path, _told("web", FAILS), _told("land", FAILS))
    _strategies(monkeypatch, one=[Remedy("Move it.", (MOVE,)), Remedy("Turn it.", (TURN,))])
    world: dict[tuple[float, float], tuple[Finding, ...]]
    world = {(1, 0): (_told("land", FAILS),), (0, 90): (_told("web", FAILS),)}
    assert [f.advice for f in cured(of, _world(of, world)).findings] == ["Move it.", "Turn it."]


def test_a_remedy_of_another_place_is_told_only_where_it_edits_this_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    places = f"{at(0)}\n{at(50, label='B')}"
    of = _report(tmp_path, _told("web", FAILS), _told("web", FAILS, "B"), places=places)
    _strategies(monkeypatch, one=[Remedy("Move it.", (MOVE,))])
    after = cured(of, _world(of, {(1, 0): ()}))
    assert [f.advice for f in after.findings] == ["Move it.", "Move it."]  # proposed of its own for the second
    named = _report(tmp_path, _told("web", FAILS), replace(_told("web", FAILS, "B"), beside=("A",)), places=places)
    who = _strategies(monkeypatch, one=[Remedy("Move it.", (MOVE,))])
    assert [f.advice for f in cured(named, _world(named, {(1, 0): ()})).findings] == ["Move it.", "Move it."]
    assert who == ["one"]
    panel = Edit(None, ("depth",), 99)
    who = _strategies(monkeypatch, one=[Remedy("Deeper.", (panel,))])
    assert [f.advice for f in cured(of, _world(of, {(0, 0): ()})).findings] == ["Deeper.", "Deeper."]
    assert who == ["one"]


def test_what_fits_gets_no_remedy_and_a_job_without_a_file_gets_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = _report(tmp_path, _told("web", FITS), _told("land", FAILS))
    _strategies(monkeypatch, one=[Remedy("Move it.", (MOVE,))])
    assert cured(of, _world(of, {(1, 0): ()})).findings[0].remedy is None
    lost = replace(of, job=replace(of.job, draft=None))
    assert cured(lost, _world(of, {})) is lost


# --- on real panels --------------------------------------------------------------------------------------------------


def _healed(of: Report, found: Finding) -> Report:
    from dryfit.models.resolve import with_edits

    job = with_edits(of.job, found.edits)
    assert job is not None
    return judged(job)


@pytest.mark.parametrize(
    ("places", "check"),
    [
        (at(0, hardware=M3.replace("12", "6")), "screw-length"),
        (at(0, cutout="{hole: 19.9}"), "cutout-size"),
        (at(0, cutout="{fixings: 2.8}"), "screw-passes"),
        (f"{at(-20)}\n{at(19.9, label='B')}", "body-room"),
        (at(84), "web"),
    ],
)
def test_what_is_told_carried_out_on_the_layout_cures_it(tmp_path: Path, places: str, check: str) -> None:
    of = plain(tmp_path, places)
    found = finding(of, check)
    assert found.verdict is FAILS
    assert found.edits
    after = _healed(of, found)
    assert finding(after, check).verdict.rank < FAILS.rank
    failed = {(f.check, f.place) for f in of.findings if f.verdict is FAILS}
    assert {(f.check, f.place) for f in after.findings if f.verdict is FAILS} <= failed


def test_a_remedy_that_would_push_a_neighbour_into_the_next_is_not_told(tmp_path: Path) -> None:
    # three flanges of 40 mm in 121 mm: only two of the three gaps can be had, so no move parts the first two alone
    panel = "{size: [121, 100], thickness: 3}"
    row = f"{at(-40)}\n{at(-0.3, label='B')}\n{at(40, label='C')}"
    of = plain(tmp_path, row, panel)
    found = finding(of, "body-room")
    assert found.verdict is FAILS
    for told in (f for f in of.findings if f.edits):
        after = _healed(of, told)
        failed = {(f.check, f.place) for f in of.findings if f.verdict is FAILS}
        assert {(f.check, f.place) for f in after.findings if f.verdict is FAILS} <= failed
