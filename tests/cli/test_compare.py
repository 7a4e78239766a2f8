"""``dryfit compare``: exit status, table, files, and lines on standard error."""

from __future__ import annotations

import json
import random
from pathlib import Path

from tests.came_back import SUNK, Copy, asked
from tests.cli.test_commands import run


def test_what_came_back_is_told_with_exit_status_table_and_picture(tmp_path: Path) -> None:
    layout, drawing, picture = tmp_path / "sunk.yaml", tmp_path / "back.dxf", tmp_path / "picture.svg"
    layout.write_text(SUNK)
    drawing.write_bytes(asked("sunk", general=True).file)
    same = run("compare", layout, drawing)
    assert (same.returncode, same.stderr) == (0, "")
    assert same.stdout.splitlines()[-1].startswith("fits: it is what was asked for; 16 of 16 holes")
    copy = Copy(asked("sunk", general=True), random.Random(1))
    copy.holes[0][1].translate(3, 0, 0)
    copy.document.saveas(drawing)
    told = run("compare", layout, drawing, "--json", "--picture", picture, "--csv", tmp_path / "table.csv")
    assert told.stderr == ""
    data = json.loads(told.stdout)
    assert (told.returncode, data["verdict"]) == (1, "fails")
    assert [(one["what"], one["place"], one["off"]) for one in data["differences"]] == [("shifted", "NET 1", 3.0)]
    assert picture.read_text().startswith("<?xml")
    assert (tmp_path / "table.csv").read_text().startswith("number,what,hole")
    missing = run("compare", layout, tmp_path / "none.dxf")
    assert (missing.returncode, missing.stderr.count("\n")) == (2, 1)
