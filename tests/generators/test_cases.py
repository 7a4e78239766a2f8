"""Every panel of ``cases.py`` answered as its arithmetic says, and every remedy told there cures and harms nothing."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.pipeline import check, judged
from dryfit.generators.report import Report
from dryfit.generators.writers.report_json import report_json
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from tests.generators.cases import CASES, OWN_PARTS, REFUSED, REMEDIES, Case, at
from tests.oracle.remedies import applied

RANK = ("fits", "tight", "fails")
AGREE = 0.006  # mm: the arithmetic beside a case is rounded to hundredths


@dataclass(frozen=True)
class Answer:
    """A report as data, and the text of the layout it was made of."""

    text: str
    data: dict[str, Any]

    def of(self, place: str, checks: tuple[str, ...] = ()) -> list[dict[str, Any]]:
        """Return the findings of a place, of some checks or of all."""
        return [f for f in self.data["findings"] if f["place"] == place and (not checks or f["check"] in checks)]

    def fails(self) -> set[tuple[str, str]]:
        """Return what fails, by place and check."""
        return {(f["place"], f["check"]) for f in self.data["findings"] if f["verdict"] == "fails"}

    def length(self, place: str) -> float | None:
        """Return the length of the screw chosen for a place."""
        hardware = next(p["hardware"] for p in self.data["places"] if p["place"] == place)
        return None if hardware is None else float(hardware["length"])


def ask(folder: Path, text: str, how: Callable[[Job], Report] = judged) -> Answer:
    """Return the report of a layout beside the parts of our own; remedies only where it is checked."""
    (folder / "own.yaml").write_text(OWN_PARTS, encoding="utf-8")
    path = folder / "layout.yaml"
    path.write_text(text, encoding="utf-8")
    return Answer(text, json.loads(report_json(how(read_job(path)))))


def asked(folder: Path, text: str) -> Answer | None:
    """Return the report of a layout, or None if the layout is refused."""
    try:
        return ask(folder, text)
    except InputError:
        return None


def layout(case: Case) -> str:
    """Return the text of a case's layout."""
    return f"title: {case.name}\npanel: {case.panel}\nparts: [own.yaml]\n{case.rest}\nplaces:\n{case.places}"


def named(cases: tuple[Case, ...]) -> list[Any]:
    """Return cases as parameters."""
    return [pytest.param(case, id=case.name) for case in cases]


@pytest.mark.parametrize("case", named(CASES))
def test_every_case_is_answered_as_its_arithmetic_says(case: Case, tmp_path: Path) -> None:
    answer = asked(tmp_path, layout(case))
    if answer is None:
        assert REFUSED in case.verdicts
        return
    findings = answer.of(case.place, case.checks)
    verdict = max((f["verdict"] for f in findings), key=RANK.index, default="fits")
    assert verdict in case.verdicts, [f["says"] for f in findings]
    if case.measured is not None:
        assert any(f["measured"] == pytest.approx(case.measured, abs=AGREE) for f in findings), findings
    if case.length is not None:
        lengths = {answer.length(p["place"]) for p in answer.data["places"]}
        assert lengths == {case.length}


@pytest.mark.parametrize("case", named(REMEDIES))
def test_every_remedy_told_cures_and_makes_nothing_new_fail(case: Case, tmp_path: Path) -> None:
    before = ask(tmp_path, layout(case), check)
    findings = before.of(case.place, case.checks)
    assert max((f["verdict"] for f in findings), key=RANK.index) in case.verdicts
    if case.measured is not None:
        assert any(f["measured"] == pytest.approx(case.measured, abs=AGREE) for f in findings), findings
    bad = [f for f in before.data["findings"] if f["verdict"] != "fits"]
    assert bad
    for finding in bad:
        assert finding["remedy"] or finding["verdict"] == "tight", f"no word on how to cure {finding['says']}"
        if finding["changes"]:
            after = ask(tmp_path, applied(before.text, finding["changes"]))
            mine = (finding["place"], finding["check"])
            assert mine not in after.fails(), finding["remedy"]
            assert after.fails() <= before.fails() - {mine}, finding["remedy"]


# --- small ---------------------------------------------------------------------------------------------------------


def says(answer: Answer) -> str:
    """Return all that a report says."""
    return "\n".join(f"{f['says']} {f['remedy']}" for f in answer.data["findings"])


def one(folder: Path, places: str, panel: str = "{size: [120, 120], thickness: 3}", rest: str = "") -> Answer:
    """Return the report of a few places."""
    return ask(folder, f"title: Test\npanel: {panel}\nparts: [own.yaml]\n{rest}\nplaces:\n{places}")


@pytest.mark.parametrize("part", sorted(load_catalogue().parts))
def test_every_side_the_catalogue_offers_goes_in_some_sheet(part: str, tmp_path: Path) -> None:
    record = load_catalogue().parts[part]
    material = "ABS" if record.live else "aluminium"  # what is live goes on no metal
    for side in record.mount:
        panels = (f"{{size: [160, 160], thickness: {t}, material: {material}}}" for t in (1, 1.5, 2, 3))
        assert any(not one(tmp_path, at(part, 80, 80, mount=side), panel).fails() for panel in panels), side


def test_a_sideways_clash_is_not_told_as_a_distance_from_home(tmp_path: Path) -> None:
    # The plug of A stands upright beside a lamp whose lens rises before the panel: sideways it is 1.75 too near.
    answer = one(tmp_path, at("xlr3-pins", 50, 60) + at("bnc-bush", 64, 60, label="B"))
    assert "from home" not in " ".join(f["says"] for f in answer.of("A", ("plug-seats",)))


@pytest.mark.parametrize("part", ["gland-m20", "multipin-round", "din-5"])
def test_no_room_is_told_where_nothing_is_near(part: str, tmp_path: Path) -> None:
    assert "1000 mm" not in says(one(tmp_path, at(part)))


def test_a_remedy_names_tooth_washer_nuts_once(tmp_path: Path) -> None:
    places = at("xlr3-socket", hardware="{screw: M3, length: 6, nut: tooth-washer nut, head: countersunk}")
    assert "nut nut" not in says(one(tmp_path, places))


def test_the_nearest_rivet_is_named_with_its_own_grip(tmp_path: Path) -> None:
    # Grip 3.2 + 12 = 15.2: the longest 1/8 in rivet is made for 0.313 to 0.375 in, 7.95 to 9.53 mm.
    answer = one(tmp_path, at("blank-d", hardware="{screw: rivet 1/8 in}"), "{size: [120, 120], thickness: 12}")
    told = " ".join(f["says"] for f in answer.of("A", ("screw-length",)))
    assert "9.53" in told or "9.525" in told


def test_an_insulated_bush_meets_no_other_metal(tmp_path: Path) -> None:
    answer = one(tmp_path, at("phono-bush"), rest="environment: salt air")
    assert {f["verdict"] for f in answer.of("A", ("metals",))} <= {"fits"}


def test_a_legend_of_none_is_no_legend(tmp_path: Path) -> None:
    path = tmp_path / "layout.yaml"
    path.write_text(f"title: T\npanel: {{size: [120, 120], thickness: 3}}\nplaces:\n{at('din-5', legend='none')}")
    assert read_job(path).places[0].legend == ""
