"""The assembly sheet: every place in a step, every item counted, nothing off the page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dryfit.generators.drawing.assembly_sheet import assembly_sheet
from dryfit.generators.drawing.marks import Text
from dryfit.generators.lists.steps import kept_by, steps
from dryfit.generators.pipeline import check
from dryfit.generators.report import Report
from dryfit.models.resolve import read_job
from dryfit.models.tables.fasteners import retentions
from tests.helpers import LAYOUTS, place, report

EDGE = 10.0  # mm of paper that a desk printer leaves blank


@pytest.fixture(scope="module")
def foyer() -> Report:
    return check(read_job(LAYOUTS / "foyer.yaml"))


def test_every_place_is_put_together_once(foyer: Report) -> None:
    mounted = [name for step in steps(foyer) if ", from the " in step.title for name in step.places]
    assert sorted(mounted) == sorted(p.name for p in foyer.job.places)


def test_a_step_tells_hardware_tool_torque_and_retention(foyer: Report) -> None:
    (step,) = [s for s in steps(foyer) if "MIC 1" in s.places]
    text = " ".join(step.lines)
    for words in ("M3 x", "spanner", "N m", "lbf in", "Tooth washers"):
        assert words in text


def test_the_panel_is_earthed_and_hung(foyer: Report) -> None:
    titles = [s.title for s in steps(foyer)]
    assert titles[0] == "Prepare the panel"
    assert titles[-1] == "Hang the panel in its rack"
    assert "Bond the panel to protective earth" in titles


WAYS = ["tooth washer", "split washer", "self-locking nut", "tooth-washer nut", "thread locker"]


@pytest.mark.parametrize("retention", WAYS)
def test_every_way_of_keeping_a_screw_has_its_advice(tmp_path: Path, retention: str) -> None:
    made = report(tmp_path, place("xlr3-socket", hardware=f"{{screw: M3, retention: {retention}}}"))
    assert kept_by(made.stacks["A"], made.job.place("A").wish) == retention
    assert retentions()[retention].advice


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("layout", ["foyer", "trouble"])
def test_no_text_leaves_the_page_or_runs_over_another(layout: str, paper: str) -> None:
    drawing = assembly_sheet(check(read_job(LAYOUTS / f"{layout}.yaml")), paper)
    for sheet in drawing.sheets:
        texts = [m for block in sheet.blocks for m in block.marks if isinstance(m, Text)]
        for text in texts:
            x0, y0, x1, y1 = text.box
            assert min(x0, y0, sheet.width - x1, sheet.height - y1) >= EDGE, text.text
        lines = [t for t in texts if not t.masked]
        for n, a in enumerate(lines):
            assert not [b.text for b in lines[n + 1 :] if a.box.overlaps(b.box, -0.05)], a.text


def test_steps_are_numbered_in_order(foyer: Report) -> None:
    texts = [m.text for s in assembly_sheet(foyer).sheets for b in s.blocks for m in b.marks if isinstance(m, Text)]
    heads = [int(t.split(".")[0]) for t in texts if re.match(r"\d+\. [A-Z]", t) or re.match(r"\d+\. \d", t)]
    assert heads == list(range(1, len(steps(foyer)) + 1))
