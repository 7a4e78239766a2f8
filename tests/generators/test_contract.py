"""A finding is a contract: margins, units, bodies and places mean what they say, and no question goes unanswered."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from pathlib import Path

import pytest

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.checks import asking
from dryfit.generators.checks.contexts import Fit, Fitting
from dryfit.generators.checks.registry import Check, PanelCheck, StackCheck, names
from dryfit.generators.pipeline import check, judged
from dryfit.generators.report import Report
from dryfit.models.catalogue.parts import Part
from dryfit.models.findings import Answer, Finding, Verdict
from dryfit.models.geometry.bodies import closest
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, place, report

WALLS = {"panel lip", "rack rail", "panel"}  # what an answer may name that is no body of a place


@pytest.fixture(scope="module", params=["foyer", "trouble"])
def made(request: pytest.FixtureRequest) -> Report:
    return judged(read_job(LAYOUTS / f"{request.param}.yaml"))


def test_a_margin_is_at_least_zero_where_it_fits_and_below_where_it_fails(made: Report) -> None:
    for found in made.findings:
        if found.margin is not None:
            assert found.verdict is not Verdict.FITS or found.margin >= 0, found
            assert found.verdict is not Verdict.FAILS or found.margin < 0, found


def test_what_is_measured_is_a_length_and_the_margin_what_it_is_over_its_limit(made: Report) -> None:
    for found in made.findings:
        assert (found.measured is None) == (found.limit is None), found
        if found.measured is not None and found.limit is not None:
            assert found.unit == "mm", found
            assert found.margin == pytest.approx(found.measured - found.limit, abs=1e-6), found
            assert abs(found.measured) < 900, found  # no number that stands for nothing near


def test_every_body_and_place_that_is_named_is_there(made: Report) -> None:
    bodies = {i.name for i in made.assembly.instances} | WALLS
    places = {p.name for p in made.job.places}
    for found in made.findings:
        assert found.place in places
        assert set(found.beside) <= places - {found.place}, found
        assert set(found.bodies) <= bodies, found


def asked_of(part: Part, has_plug: bool, legend: str) -> set[str]:
    """Return the questions that must be answered of a part, from its record alone."""
    wanted = {"mount-side", "cutout-size", "goes-in", "body-room", "rear-room", "web", "metals"}
    if part.fixings is not None:
        wanted |= {"hardware", "hole-pattern", "screw-passes", "head-seat", "screw-length", "land"}
        wanted |= {"screw-bottoms"} if part.fixings.boss is not None else {"nut-room"}
    if part.bush is not None:
        wanted |= {"screw-length", "land"}
    wanted |= {"plug-seats"} if has_plug else set()
    wanted |= {"latch-reach"} if part.latch is not None and (part.latch.on == "part" or has_plug) else set()
    wanted |= {"legend-room"} if legend else set()
    return wanted | ({"mains-care"} if part.mains else set()) | ({"live-bush"} if part.live else set())


def test_every_question_that_applies_is_answered_at_every_place() -> None:
    made = judged(read_job(LAYOUTS / "foyer.yaml"))
    for spot in made.job.places:
        told = {check for f in made.of(spot.name) for check in (f.check, *f.also)}
        assert asked_of(spot.part, spot.plug is not None, spot.legend) <= told, spot.name
        assert told <= set(names())


def _nothing(of: Fit) -> Iterator[Answer]:
    yield from ()


def test_a_check_that_is_silent_where_it_applies_fails_the_place(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket"))
    silent: StackCheck = Check("silent", _nothing, lambda _: True, ())
    (answer,) = asking.answered(silent, made.fits["A"])
    assert answer.verdict is Verdict.FAILS
    assert "not answered" in answer.says


def test_a_panel_check_that_forgets_a_place_fails_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = report(tmp_path, place("xlr3-socket") + "\n" + place("bnc-d", label="B", at="[40, 0]"))

    def only_one(of: Fitting) -> Iterator[Finding]:
        yield Finding("forgetful", "A", Verdict.FITS, "All is well.")

    forgetful: PanelCheck = Check("forgetful", only_one, lambda _: True, ())
    monkeypatch.setattr(asking, "panel_checks", lambda: (forgetful,))
    found = {f.place: f.verdict for f in asking.ask_panel(made.fitting)}
    assert found == {"A": Verdict.FITS, "B": Verdict.FAILS}


def test_the_model_that_is_delivered_is_the_one_that_was_judged(tmp_path: Path) -> None:
    """The nuts of D-sub parts stand beside a shell that leaves them no way to spin: they rest at one angle."""
    made = report(tmp_path, place("dsub-9", hardware="{screw: No. 4-40}"))
    stack = made.stacks["A"]
    assert stack.rest is not None
    nuts = [i for i in made.assembly.of("nut") if i.place == "A"]
    assert [i.placement.turn for i in nuts] == list(stack.rest.turns)
    part = next(made.assembly.of("part"))
    for nut in nuts:
        assert _least_gap(nut, part) > -1e-6


def _least_gap(one: Instance, other: Instance) -> float:
    found = closest(one.slices, other.slices)
    return found.gap if found is not None else 0.0


def test_a_report_and_its_findings_are_values(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket"))
    with pytest.raises(dataclasses.FrozenInstanceError):
        made.findings[0].verdict = Verdict.FITS  # type: ignore[misc]
    assert check(made.job).findings == made.findings
