"""What goes on which hole, worked out by hand from published sizes, against what is matched."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from dryfit.generators.matching.asked import Opening, Question, Sheet
from dryfit.generators.matching.match import Match, match
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.findings import Verdict
from dryfit.models.wishes.hardware import Hardware
from dryfit.models.wishes.places import CutoutWish

NO_4, NO_6 = 25.4 * (0.060 + 4 * 0.013), 25.4 * (0.060 + 6 * 0.013)
"""mm over the thread: a numbered size n is 0.060 in + n x 0.013 in (ASME B1.1): 2.845 and 3.505."""
M3 = 3.0  # ISO 261
BARREL = 25.4 * 0.940  # 23.876 mm: the inch barrel of the D flange (common practice)
ACROSS, UP = 19.0, 24.0  # of the D flange's fixing holes (common practice)


def plain(folder: Path) -> tuple[Path, ...]:
    """Return a part file with a D flange whose barrel is 0.940 in and whose own fixing holes are wide."""
    path = folder / "own.yaml"
    part = {
        "title": "Plain", "family": "test", "flange": {"outline": {"box": [26, 31]}, "thick": 2},
        "cutout": {"round": 24}, "rear": [{"outline": {"round": "0.940 in"}, "from": 0, "to": 12}],
        "fixings": {"at": [[-ACROSS / 2, UP / 2], [ACROSS / 2, -UP / 2]], "hole": 4.5, "panel": 3.2},
        "mount": ["front"], "metal": "plastic",
    }  # fmt: skip
    path.write_text(json.dumps({"parts": {"plain": part}}))
    return (path,)


def asked(folder: Path, hole: float, fixings: float, coating: float = 0.0, threads: tuple[str, ...] = ()) -> Match:
    cutout = CutoutWish(hole=hole, fixings=fixings, across=ACROSS, up=UP)
    sheet = Sheet.of(2.0, Hardware(threads=threads or ("M3",), heads=("pan",)), coating=coating)
    return match(Question("plain", "front", Opening("hole", cutout=cutout), sheet, deeply=True), plain(folder))


@pytest.mark.parametrize("hole", [3.2, 3.4])
def test_m3_and_no_4_pass_the_fixing_holes_of_trade_panels_and_no_6_does_not(hole: float, tmp_path: Path) -> None:
    names = {"M3": M3, "No. 4-40": NO_4, "No. 6-32": NO_6}
    passes = {name: major < hole for name, major in names.items()}
    assert passes == {"M3": True, "No. 4-40": True, "No. 6-32": False}
    threads = asked(tmp_path, 24.2, hole, threads=tuple(names)).threads
    assert {p.thread: p.verdict is not Verdict.FAILS for p in threads} == passes
    assert [p.check for p in threads if p.verdict is Verdict.FAILS] == ["screw-passes"]


@pytest.mark.parametrize(("hole", "coating"), [(24.0, 0.0), (24.2, 0.0), (24.0, 0.06), (24.2, 0.06), (24.0, 0.08)])
def test_an_inch_barrel_passes_a_hole_that_leaves_it_air_after_coating(
    hole: float, coating: float, tmp_path: Path
) -> None:
    play = hole - 2 * coating - BARREL  # 0.124, 0.324; coated 0.06 mm 0.004, 0.204; coated 0.08 mm 0.036 too small
    answer = asked(tmp_path, hole, 3.4, coating)
    assert answer.goes is (play > 0)
    assert (answer.check == "cutout-size") is (play < 0.15)  # by hand, 0.15 mm is what punch and casting spread


def test_a_flange_16_7_wide_does_not_line_up_on_19_but_turned_it_does() -> None:
    ours, theirs = (16.7 / 2, 25.654 / 2), (ACROSS / 2, UP / 2)
    assert math.hypot(*ours) == pytest.approx(math.hypot(*theirs), abs=0.001)  # on one circle: 15.305 mm
    turn = math.degrees(math.atan2(*theirs) - math.atan2(*ours))
    hole = Opening("d-hole", load_catalogue().patterns["d-hole"])
    answer = match(Question("xlr3-socket-old-pitch", "front", hole, Sheet.of(2.0, Hardware()), True))
    assert (answer.verdict, answer.check) == (Verdict.FAILS, "hole-pattern")
    assert f"{math.dist(ours, theirs):.2f} mm apart" in answer.says
    assert answer.work is not None
    assert f"Turn the part {turn:.1f} degrees" in answer.work.says
