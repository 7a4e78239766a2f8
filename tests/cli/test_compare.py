"""``dryfit compare``: exit status, table, files, and lines on standard error."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dryfit.generators.writers.dxf import dxf_bytes
from dryfit.models.resolve import parse_job
from tests.cli.test_commands import run

ONE = """
title: One
panel: {size: [80 mm, 60 mm], thickness: 2 mm, coating: 0.03 mm}
places: [{part: gland-m20, label: FEED, at: [40, 30], legend: none}]
"""


def test_what_came_back_is_told_with_exit_status_table_and_picture(tmp_path: Path) -> None:
    layout, drawing, picture = tmp_path / "one.yaml", tmp_path / "back.dxf", tmp_path / "picture.svg"
    layout.write_text(ONE)
    drawing.write_bytes(dxf_bytes(parse_job(layout, ONE)))
    same = run("compare", layout, drawing)
    assert (same.returncode, same.stderr) == (0, "")
    assert same.stdout.splitlines()[-1] == "fits: it is what was asked for; 1 of 1 hole is as asked for"
    drawing.write_bytes(dxf_bytes(parse_job(layout, ONE.replace("40, 30", "43, 30"))))
    told = run("compare", layout, drawing, "--json", "--picture", picture, "--csv", tmp_path / "table.csv")
    assert (told.returncode, told.stderr) == (1, "")
    data = json.loads(told.stdout)
    assert data["verdict"] == "fails"
    assert [(one["what"], one["place"], one["off"]) for one in data["differences"]] == [("shifted", "FEED", 3.0)]
    assert picture.read_text().startswith("<?xml")
    assert (tmp_path / "table.csv").read_text().startswith("number,what,hole")
    missing = run("compare", layout, tmp_path / "none.dxf")
    assert (missing.returncode, missing.stderr.count("\n")) == (2, 1)


@pytest.mark.parametrize(
    ("asked", "told"),
    [("nowhere/p.svg", "its folder does not exist"), ("p.png", "--picture: * expected a name that ends with .svg")],
)
def test_what_cannot_be_written_is_refused_before_the_rest_is(tmp_path: Path, asked: str, told: str) -> None:
    layout, drawing, table = tmp_path / "one.yaml", tmp_path / "back.dxf", tmp_path / "table.csv"
    layout.write_text(ONE)
    drawing.write_bytes(dxf_bytes(parse_job(layout, ONE)))
    refused = run("compare", layout, drawing, "--csv", table, "--picture", tmp_path / asked)
    assert (refused.returncode, refused.stderr.count("\n")) == (2, 1)
    assert all(words in refused.stderr for words in told.split(" * "))
    assert not table.exists()
