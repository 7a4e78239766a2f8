"""Edits are carried out on the layout itself: what they say is what is read anew, and nothing else changes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from dryfit.models.edits import Edit, edited
from dryfit.models.geometry.outlines import box
from dryfit.models.layout import Layout
from dryfit.models.resolve import with_edits
from tests.plain import PANEL, at, fixings, plain_job

SINK = "{fixings: 3.5, countersink: {diameter: 6.4, angle: 90, from: rear}}"


def _layout(folder: Path, places: str, panel: str = PANEL) -> Layout:
    draft = plain_job(folder, places, panel).draft
    assert draft is not None
    return draft.layout.layout


def test_no_edit_changes_nothing(tmp_path: Path) -> None:
    layout = _layout(tmp_path, at(3, cutout=SINK, plug="none", legend="IN"))
    assert edited(layout, ()) == layout


def test_an_edit_of_an_entry_changes_that_entry_alone(tmp_path: Path) -> None:
    layout = _layout(tmp_path, f"{at(-30)}\n{at(30, label='B')}")
    other = edited(layout, [Edit(1, ("turn",), 90)])
    assert [entry.turn for entry in other.places] == [0, 90]
    assert [entry.turn for entry in layout.places] == [0, 0]
    assert other.places[0] == layout.places[0]


def test_an_edit_without_an_entry_changes_the_panel(tmp_path: Path) -> None:
    layout = _layout(tmp_path, at(0))
    other = edited(layout, [Edit(None, ("mask_earth",), True), Edit(None, ("thickness",), "2 mm")])
    assert other.panel.mask_earth
    assert other.panel.thickness == 2
    assert other.places == layout.places


def test_a_path_reaches_into_what_is_there_and_makes_what_is_not(tmp_path: Path) -> None:
    layout = _layout(tmp_path, at(0))
    assert edited(layout, [Edit(0, ("hardware", "length"), 16)]).places[0].hardware.length == 16
    assert edited(layout, [Edit(0, ("hardware", "length"), 16)]).places[0].hardware.screw == "M3"
    made = edited(layout, [Edit(0, ("cutout", "fixings"), 3.6)]).places[0].cutout
    assert (made.fixings, made.hole) == (3.6, None)


def test_a_value_of_none_takes_away_what_is_there(tmp_path: Path) -> None:
    layout = _layout(tmp_path, at(0))
    assert edited(layout, [Edit(0, ("hardware",), None)]).places[0].hardware.screw is None
    gone = edited(layout, [Edit(0, ("hardware", "nut"), None)]).places[0].hardware
    assert (gone.nut, gone.screw) == (None, "M3")
    assert edited(layout, [Edit(0, ("cutout", "hole"), None)]).places[0].cutout == layout.places[0].cutout


def test_keys_keep_the_names_that_a_file_has(tmp_path: Path) -> None:
    layout = _layout(tmp_path, at(0, cutout=SINK))
    other = edited(layout, [Edit(0, ("turn",), 45)])
    sink = other.places[0].cutout.countersink
    assert sink is not None
    assert (sink.side, sink.diameter) == ("rear", 6.4)
    front = edited(layout, [Edit(0, ("cutout", "countersink", "from"), "front")]).places[0].cutout.countersink
    assert front is not None
    assert front.side == "front"


def test_outlines_and_lists_survive_an_edit_of_something_else(tmp_path: Path) -> None:
    layout = _layout(tmp_path, at(0, cutout="{outline: {box: [22, 21]}, at: [[-15, 1], [15, -1]]}"))
    cut = edited(layout, [Edit(0, ("turn",), 45)]).places[0].cutout
    assert cut.outline == box(22, 21)
    assert cut.at == ((-15, 1), (15, -1))


def test_an_edited_outline_is_read_as_a_file_has_it(tmp_path: Path) -> None:
    layout = _layout(tmp_path, at(0))
    assert edited(layout, [Edit(0, ("cutout", "outline"), {"box": [30, 20]})]).places[0].cutout.outline == box(30, 20)


@pytest.mark.parametrize(
    "edit", [Edit(0, ("nonsense",), 1), Edit(0, ("mount",), "side"), Edit(0, ("part",), None), Edit(None, ("size",), 3)]
)
def test_what_makes_no_layout_is_refused(tmp_path: Path, edit: Edit) -> None:
    job = plain_job(tmp_path, at(0))
    assert job.draft is not None
    with pytest.raises(ValidationError):
        edited(job.draft.layout.layout, [edit])
    assert with_edits(job, [edit]) is None


def test_what_names_a_part_that_is_not_there_makes_no_job(tmp_path: Path) -> None:
    assert with_edits(plain_job(tmp_path, at(0)), [Edit(0, ("part",), "unheard-of")]) is None


def test_the_job_of_an_edited_layout_is_the_job_of_the_edited_file(tmp_path: Path) -> None:
    changes: dict[str, Any] = {"fixings": fixings(hole=3.6)}
    edits = [Edit(0, ("at",), [7, -3]), Edit(0, ("turn",), 90), Edit(0, ("cutout", "hole"), 23)]
    there = with_edits(plain_job(tmp_path, at(0), **changes), edits)
    assert there is not None
    written = plain_job(tmp_path, at(7, -3, turn="90", cutout="{hole: 23}"), **changes)
    assert (there.panel, [(p.at, p.turn, p.mounting) for p in there.places]) == (
        written.panel, [(p.at, p.turn, p.mounting) for p in written.places]
    )  # fmt: skip


def test_edits_are_known_again_by_what_they_say() -> None:
    one, same = Edit(0, ("at",), [1, 2]), Edit(0, ("at",), [1, 2])
    assert (one, hash(one)) == (same, hash(same))
    assert len({one, same, Edit(1, ("at",), [1, 2]), Edit(0, ("by",), [1, 2]), Edit(0, ("at",), [1, 3])}) == 4
