"""Other screws, metals and coatings: what is proposed, by hand on the plain part."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.edits import Edit
from dryfit.models.findings import Finding
from tests.generators.remedies.proposals import COATED, FAILS, proposed, short
from tests.plain import M3, PANEL, PART, asked, at


def test_other_hardware_keeps_what_it_can(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3.replace("length: 12", "length: 6")))
    found = proposed("other hardware", of, short(1))
    wanted = [r.edits[0].value for r in found]
    assert all(r.edits[0].path == ("hardware",) and r.edits[0].entry == 0 for r in found)
    assert wanted[0] == {"screw": "M3", "length": "8 mm", "head": "pan", "nut": "hexagon", "washers": []}
    assert found[0].says == "Take M3 x 8 mm pan screws with hexagon nuts (5.5 mm across flats)."
    assert all(r.says.startswith("Take ") for r in found)
    assert len({r.says for r in found}) == len(found)
    kinds = {(w["head"], w.get("nut")) for w in wanted}
    assert ("pan", "thin") in kinds or ("pan", "self-locking") in kinds


def test_the_metal_asked_for_is_asked_for_again(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3.replace("length: 12", "length: 6, metal: brass")))
    found = proposed("other hardware", of, short(1))
    assert {r.edits[0].value.get("metal") for r in found} == {"brass"}


def test_hardware_in_use_is_not_proposed(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3.replace("length: 12", "length: 8")))
    assert all(r.edits[0].value.get("length") != "8 mm" or r.edits[0].value["head"] != "pan"
               or r.edits[0].value["nut"] != "hexagon" or r.edits[0].value["washers"] != []
               for r in proposed("other hardware", of, short(1)))  # fmt: skip


def test_what_would_fail_the_same_at_its_own_place_is_not_proposed(tmp_path: Path) -> None:
    of = asked(tmp_path, at(0, hardware=M3, cutout="{fixings: 2.8}"))
    found = next(f for f in of.findings if f.check == "screw-passes")
    assert found.verdict is FAILS
    threads = {r.edits[0].value["screw"] for r in proposed("other hardware", of, found)}
    assert threads  # some are thin enough
    assert threads <= {"M2.5", "No. 2-56", "No. 3-48"}  # M3 and No. 4 (2.84 mm) are thicker than 2.8


@pytest.mark.parametrize(
    ("air", "metals_"),
    [("indoor", ["stainless", "nickel", "brass", "zinc", "steel"]), ("damp", ["stainless", "nickel", "brass", "zinc"])],
)
def test_screws_of_every_metal_are_proposed_but_plain_steel_where_damp_stays(
    tmp_path: Path, air: str, metals_: list[str]
) -> None:
    of = asked(tmp_path, at(0, hardware="{metal: zinc}"), rest=f"environment: {air}")
    found = proposed("other metal", of, short(1))
    assert [r.edits for r in found] == [(Edit(0, ("hardware", "metal"), name),) for name in metals_]
    assert found[0].says == "Take stainless steel screws."
    assert proposed("other metal", asked(tmp_path, at(0)), short(1)) == []


def test_a_coating_is_proposed_where_part_and_panel_touch_bare(tmp_path: Path) -> None:
    touching = Finding("metals", "A", FAILS, "Part and panel: ...")
    bare = proposed("coat the panel", asked(tmp_path, at(0)), touching)
    assert [r.says[:4] for r in bare] == ["Coat", "Keep"]
    assert all(r.edits == () for r in bare)
    assert [r.says[:4] for r in proposed("coat the panel", asked(tmp_path, at(0), COATED), touching)] == ["Keep"]
    screw = Finding("metals", "A", FAILS, "Screw and panel: ...")
    assert [r.says[:4] for r in proposed("coat the panel", asked(tmp_path, at(0)), screw)] == ["Keep"]


def test_the_earth_point_is_masked_where_a_coating_covers_it(tmp_path: Path) -> None:
    earth = {**PART, "earth": True}
    changes = {k: v for k, v in earth.items() if k == "earth"}
    (only,) = proposed("mask the earth point", asked(tmp_path, at(0), COATED, **changes), short(1))
    assert only.edits == (Edit(None, ("mask_earth",), True),)
    masked = COATED.replace("}", ", mask_earth: true}")
    assert proposed("mask the earth point", asked(tmp_path, at(0), masked, **changes), short(1)) == []
    assert proposed("mask the earth point", asked(tmp_path, at(0), PANEL, **changes), short(1)) == []
    assert proposed("mask the earth point", asked(tmp_path, at(0), COATED), short(1)) == []
