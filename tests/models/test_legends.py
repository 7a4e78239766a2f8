"""Legends written in full: a second line, a height, a side, a colour, a typeface of one's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.generators.lettering.legends import Legend, legends
from dryfit.generators.lettering.typeface import font_path
from dryfit.generators.writers.dxf import STROKES, dxf_bytes
from dryfit.models.job import Job
from dryfit.models.reading.errors import InputError
from dryfit.models.resolve import read_job
from tests.generators.writers.dxf_reader import read
from tests.helpers import place


def _job(folder: Path, legend: str, more: str = "") -> Job:
    path = folder / "layout.yaml"
    panel = "panel: {size: [160 mm, 90 mm], thickness: 2 mm}"
    row = place("bnc-bush", label='"V {n}"', at="[-30, 0]", count="2", pitch="60 mm", legend=legend)
    path.write_text(f"title: T\norigin: centre\n{more}{panel}\nplaces:\n{row}\n", encoding="utf-8")
    return read_job(path)


def _of(job: Job, name: str) -> list[Legend]:
    return [legend for legend in legends(job) if legend.place == name]


def test_a_legend_in_full_has_two_lines_of_its_height_on_its_side_in_its_colour(tmp_path: Path) -> None:
    job = _job(tmp_path, '{text: "IN {n}", second: "ch {n}", height: 4 mm, side: below, colour: white}')
    first, second = _of(job, "V 2")
    assert (first.text, second.text, first.height, second.height, first.colour) == ("IN 2", "ch 2", 4.0, 4.0, "white")
    assert second.y < first.y < job.places[1].flange.box.bottom
    assert first.outline.box.bottom > second.outline.box.top


@pytest.mark.parametrize(
    ("side", "axis", "sign"), [("above", 1, 1), ("below", 1, -1), ("left", 0, -1), ("right", 0, 1)]
)
def test_a_legend_stands_on_the_side_asked_for(tmp_path: Path, side: str, axis: int, sign: int) -> None:
    (legend,) = _of(_job(tmp_path, f"{{side: {side}}}"), "V 1")
    assert legend.text == "V 1"  # the name, where no text is given
    assert (legend.outline.centre[axis] - (-30.0, 0.0)[axis]) * sign > 5.0


def test_an_entry_may_have_no_legend(tmp_path: Path) -> None:
    assert legends(_job(tmp_path, "none")) == legends(_job(tmp_path, "{text: none}")) == ()


def test_an_unknown_colour_is_told_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"unknown colour 'whit'.*white"):
        _job(tmp_path, "{colour: whit}")


def test_legends_may_have_a_typeface_beside_the_layout(tmp_path: Path) -> None:
    (tmp_path / "own.ttf").write_bytes(font_path().read_bytes())
    own, ours = (_of(_job(tmp_path, '"Ø 5"', more), "V 1")[0] for more in ("legend_font: own.ttf\n", ""))
    assert own.font.endswith("own.ttf")
    assert own.outline.box == pytest.approx(ours.outline.box, abs=0.02)
    assert abs(sum(map(_area, own.loops)) - sum(map(_area, ours.loops))) < 0.02
    assert sum(map(_area, own.loops)) < 0  # clockwise around what is inked


def _area(loop: tuple[tuple[float, float], ...]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, loop[1:] + loop[:1], strict=True)) / 2


@pytest.mark.parametrize(("font", "says"), [("../x.ttf", "outside"), ("no.ttf", "no font"), ("layout.yaml", "no font")])
def test_what_is_no_font_file_is_told(tmp_path: Path, font: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        _job(tmp_path, '"A"', f"legend_font: {font}\n")


def test_the_cut_file_has_both_ways_of_lettering_apart(tmp_path: Path) -> None:
    file = read(dxf_bytes(_job(tmp_path, "{colour: white}")))
    chains = [entity for entity in file.entities if entity.layer == STROKES]
    assert len(chains) == 2 * 2  # V is one chain, and so are 1 and 2
    assert not any(entity.is_closed for entity in chains)
    assert any("white: V 1, V 2" in text for entity in file.entities for text in map(str, entity.pairs))
