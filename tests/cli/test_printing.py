"""Findings in a terminal: names as people list them, and every answer where all are asked for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dryfit.cli.printing import print_report
from dryfit.generators.lists.names import in_words
from dryfit.generators.pipeline import check
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, job, place
from tests.plain import at, plain_job


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (["MIC 1", "MIC 2", "MIC 3", "MIC 4"], "MIC 1 to MIC 4"),
        (["LECTERN", "STAGE", "FOH", "ZONE 1"], "LECTERN, STAGE, FOH, ZONE 1"),
        (["A"], "A"),
        (["MIC 1", "MIC 2"], "MIC 1, MIC 2"),
        (["MIC 1", "MIC 2", "MIC 3", "LINE 1", "LINE 3"], "MIC 1 to MIC 3, LINE 1, LINE 3"),
        (["9", "10", "11"], "9 to 11"),
        (["A", "B", "C"], "A, B, C"),
    ],
)
def test_names_are_listed_as_people_do(names: list[str], words: str) -> None:
    assert in_words(names) == words


def test_all_tells_every_answer(capsys: pytest.CaptureFixture[str]) -> None:
    report = check(read_job(LAYOUTS / "foyer.yaml"))
    print_report(report, True)
    told = re.findall(r"^       (?:fits |tight|fails) [a-z-]+: ", capsys.readouterr().out, re.MULTILINE)
    assert len(told) == len(report.findings)
    print_report(report, False)
    assert not re.search(r"^       fits  ", capsys.readouterr().out, re.MULTILINE)


def test_what_is_wrong_with_a_plain_hole_is_not_told_among_the_faults_of_the_last_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    print_report(check(plain_job(tmp_path, at(0), rest="cut: [{hole: 10, at: [50, 44.8]}]\n")), False)
    told = capsys.readouterr().out
    assert re.search(r"\n\nfails  the panel as a whole\n       fails web: .*edge", told)
    assert told.count("the panel as a whole") == 1
    print_report(check(plain_job(tmp_path, at(0))), False)
    assert "the panel as a whole" not in capsys.readouterr().out


def test_a_place_whose_fault_is_told_at_another_says_where(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    two = "\n".join(place("potentiometer", at=f"[{x}, 0]", label=name) for x, name in ((-9, "A"), (9, "B")))
    report = check(job(tmp_path, two, panel="{size: [80, 60], thickness: 2}"))
    print_report(report, False)
    told = capsys.readouterr().out
    assert told.index("fails  A: Potentiometer") < told.index("run 10 mm into each other") < told.index("fails  B: ")
    assert "       fails: see A\n" in told[told.index("fails  B: ") :]
