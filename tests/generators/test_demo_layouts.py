"""The demo layouts: two fit, the third has a mistake of each kind, and its remedies heal it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from dryfit.generators.checks.registry import names
from dryfit.generators.pipeline import check, cross_check
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, Verdict
from dryfit.models.resolve import read_job
from tests.helpers import LAYOUTS, demo

PLANTED = {
    "STAGE": "cutout-size",
    "OLD MIC": "hole-pattern",
    "MIC 1": "screw-passes",
    "MIC 2": "head-seat",
    "MIC 3": "screw-length",
    "GUEST 1": "screw-bottoms",
    "LS 1": "nut-room",
    "RETURN 1": "washer-land",
    "GUEST 2": "mount-side",
    "LS 2": "plug-seats",
    "MIC 4": "latch-reach",
    "RETURN 2": "body-room",
    "CLOCK": "web",
    "NET": "body-room",
    "POWER": "metals",
}


@pytest.fixture(scope="module")
def trouble() -> Report:
    return demo("trouble")


def _failing(report: Report) -> list[Finding]:
    return [f for f in report.findings if f.verdict is Verdict.FAILS]


@pytest.mark.parametrize(("name", "places"), [("foyer", 22), ("bench", 20)])
def test_a_good_layout_fits_and_both_engines_agree(name: str, places: int) -> None:
    report = cross_check(check(read_job(LAYOUTS / f"{name}.yaml")))
    assert report.verdict is Verdict.FITS
    assert len(report.job.places) == places


def test_the_two_good_layouts_share_no_kind_of_part() -> None:
    foyer, bench = ({place.kind for place in read_job(LAYOUTS / f"{n}.yaml").places} for n in ("foyer", "bench"))
    assert not foyer & bench
    assert len(bench) == 13


@pytest.mark.parametrize(("place", "kind"), PLANTED.items())
def test_every_planted_mistake_is_found(trouble: Report, place: str, kind: str) -> None:
    assert kind in {check for f in _failing(trouble) if f.place == place for check in (f.check, *f.also)}


def test_every_check_of_the_issue_is_planted_and_registered() -> None:
    assert set(PLANTED.values()) <= set(names())


def test_every_failure_has_a_remedy_and_a_source(trouble: Report) -> None:
    for found in _failing(trouble):
        assert found.advice, found
        assert found.edits, found
        assert found.source or found.check == "hole-pattern", found


def test_applying_the_remedies_makes_it_fit(trouble: Report, tmp_path: Path) -> None:
    yaml = YAML()
    data = yaml.load((LAYOUTS / "trouble.yaml").read_text(encoding="utf-8"))
    path, report = tmp_path / "healed.yaml", trouble
    for _ in range(4):  # one change may uncover another fault; four rounds are ample
        for found in _failing(report):
            _apply(data, found)
        with path.open("w", encoding="utf-8") as stream:
            yaml.dump(data, stream)
        report = check(read_job(path))
        if not _failing(report):
            break
    assert _failing(report) == []


def _apply(data: Any, found: Finding) -> None:
    for change in found.edits:
        node = data["panel"] if change.entry is None else data["places"][change.entry]
        for key in change.path[:-1]:
            node = node.setdefault(key, {})
        if change.value is None:
            node.pop(change.path[-1], None)
        else:
            node[change.path[-1]] = change.value
