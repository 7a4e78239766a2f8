"""Verdicts and margins at their very limits."""

from __future__ import annotations

import pytest

from dryfit.models.findings import Answer, Finding, Remedy, Verdict, grade, margin, worst
from tests.plain import about

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


@pytest.mark.parametrize(
    ("measured", "verdict"),
    [(0.2, FITS), (0.1 + 0.05, FITS), (0.15 - 1e-12, FITS), (0.149, TIGHT), (0.1, TIGHT), (0.1 - 1e-12, TIGHT),
     (0.0999, FAILS), (-1, FAILS)],
)  # fmt: skip
def test_a_length_fits_from_its_aim_on_and_fails_below_its_limit(measured: float, verdict: Verdict) -> None:
    assert grade(measured, 0.1, 0.15) is verdict


def test_noise_of_rounding_is_no_margin() -> None:
    assert margin(0.1 + 0.2, 0.3) == 0
    assert margin(0.5, 0.3) == pytest.approx(0.2)
    assert margin(0.1, 0.3) == pytest.approx(-0.2)
    assert margin(0.3 + 1e-8, 0.3) > 0


def test_the_worst_of_several_verdicts_counts() -> None:
    assert worst([FITS, FAILS, TIGHT]) is FAILS
    assert worst([TIGHT, FITS]) is TIGHT
    assert worst([]) is FITS
    assert [v.rank for v in (FITS, TIGHT, FAILS)] == [0, 1, 2]


def test_a_finding_of_length_has_the_margin_that_follows() -> None:
    found = Finding.of_length(
        "web", "A", TIGHT, "So.", measured=0.5, limit=0.2, bodies=("a",), beside=("B",), view="rear"
    )
    assert (found.margin, found.unit) == (about(0.3), "mm")
    assert (found.measured, found.limit, found.bodies, found.beside, found.view) == (0.5, 0.2, ("a",), ("B",), "rear")
    told = Answer.of_length("land", FAILS, "So.", measured=0.1, limit=0.2, bodies=(3,), view="rear", source="s")
    assert (told.margin, told.unit, told.bodies, told.view, told.source) == (
        about(-0.1),
        "mm",
        (3,),
        "rear",
        "s",
    )


def test_without_a_remedy_there_is_no_advice() -> None:
    found = Finding("web", "A", FITS, "So.")
    assert (found.advice, found.edits, found.is_bad) == ("", (), False)
    assert Finding("web", "A", TIGHT, "So.", remedy=Remedy("Move it.")).advice == "Move it."
    assert Finding("web", "A", TIGHT, "So.").is_bad
