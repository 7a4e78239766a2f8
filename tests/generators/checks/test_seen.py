"""What a check says it sees of the surroundings is all it sees."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from dryfit.generators.checks.asking import answered, ask_place
from dryfit.generators.checks.contexts import NOTHING_NEAR, Fit
from dryfit.generators.checks.registry import StackCheck, stack_checks
from dryfit.generators.pipeline import judged
from dryfit.models.job import HardwareWish
from dryfit.models.resolve import read_job

LAYOUTS = Path(__file__).parents[3] / "models/data/layouts"
BLIND = [check for check in stack_checks() if check.sees == "nothing"]


@cache
def fits() -> tuple[Fit, ...]:
    reports = [judged(read_job(LAYOUTS / f"{name}.yaml")) for name in ("foyer", "trouble")]
    return tuple(dict.fromkeys(fit for report in reports for fit in report.fits.values()))


@pytest.mark.parametrize("check", BLIND, ids=lambda check: check.name)
def test_a_check_that_sees_nothing_answers_alike_in_any_company_and_whatever_is_asked_for(check: StackCheck) -> None:
    for fit in fits():
        mounting = replace(fit.mounting, wish=HardwareWish())
        assert answered(check, fit) == answered(check, replace(fit, mounting=mounting, around=NOTHING_NEAR))


def test_answers_among_what_is_beside_fasteners_are_those_in_the_whole_surroundings() -> None:
    for fit in fits():
        told = tuple(answer for check in stack_checks() for answer in answered(check, fit))
        if fit.mounting.mount in fit.mounting.part.mount:
            assert ask_place(fit) == told
