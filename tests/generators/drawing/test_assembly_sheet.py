"""The assembly sheet: every place in a step, every item counted, nothing off the page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dryfit.generators.drawing.assembly_sheet import assembly_sheet
from dryfit.generators.drawing.marks import Text
from dryfit.generators.drawing.section import stack_key
from dryfit.generators.joints.keeping import kept_by
from dryfit.generators.lists.earth import bonds
from dryfit.generators.lists.purchase import purchase_list
from dryfit.generators.lists.steps import steps
from dryfit.generators.pipeline import check
from dryfit.generators.report import Report
from dryfit.models.resolve import read_job
from dryfit.models.tables.fasteners import retentions
from tests.generators.drawing.sheets_seen import texts
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


def _page_texts(of: Report) -> list[str]:
    return [m.text for s in assembly_sheet(of).sheets for b in s.blocks for mark in b.marks for m in texts([mark])]


def test_a_step_names_its_places_beside_their_numbers(foyer: Report) -> None:
    assert "At MIC 1 to MIC 8 (places 1 to 8)." in _page_texts(foyer)


def test_every_different_stack_has_one_picture(foyer: Report) -> None:
    wanted = {stack_key(p, foyer.assembly) for p in foyer.job.places}
    captions = [t for t in _page_texts(foyer) if re.fullmatch(r"[A-Z]+( \d)?  \d+:\d+", t)]
    assert len(captions) == len(wanted)


def test_advice_is_given_once(foyer: Report) -> None:
    lines = [line for step in steps(foyer) for line in step.lines]
    long = [line for line in lines if line.startswith("Tooth washers hold")]
    assert len(long) == 1
    assert sum("as told in step 2" in line for line in lines) > 2


def test_advice_on_buying_does_not_stand_before_the_start(tmp_path: Path) -> None:
    two = place("xlr3-socket") + "\n" + place("din-5", label="B", at="[60, 0]")
    made = report(tmp_path, two)
    assert made.second_bags
    blocks = [b for s in assembly_sheet(made).sheets for b in s.blocks]
    (before,) = (b for b in blocks if b.name == "cautions")
    assert not any("wants it" in t.text for t in texts(before.marks))
    assert any(b.name == "bags" for b in blocks)


def test_the_bond_to_earth_has_its_hardware_in_steps_and_list(foyer: Report) -> None:
    (bond,) = bonds(foyer)
    (step,) = (s for s in steps(foyer) if s.title.startswith("Bond"))
    assert bond.says in step.lines
    assert "ring terminal for M3" in bond.says
    listed = {item.item: item for item in purchase_list(foyer) if item.group == "earth"}
    assert listed[bond.ring].needed == 1
    assert bond.longer is not None  # terminal and nut take more than the screw has left
    stack = foyer.stacks["LECTERN"]
    assert bond.longer.length - stack.screw.length >= 0.8 - (stack.protrusion - stack.thread.pitch)
    assert listed[bond.longer.designation].needed == 1


def test_nuts_of_bushes_are_counted_but_not_ordered(foyer: Report) -> None:
    (nut,) = (item for item in purchase_list(foyer) if "bush" in item.item)
    assert (nut.needed, nut.order, nut.note) == (1, 0, "comes with the part")
