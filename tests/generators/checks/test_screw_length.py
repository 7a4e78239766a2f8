"""Lengths by hand: flange 2 mm, panel 3 mm, M3 (pitch 0.5 mm), nut 2.4 mm (ISO 4032), screw 12 mm under a pan head."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding, place
from tests.plain import M3, PANEL, PART, asked, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _flange(thick: float) -> dict[str, Any]:
    return {"outline": {"box": [40, 40]}, "thick": thick}


@pytest.mark.parametrize("mount", ["front", "rear"])
@pytest.mark.parametrize(
    ("thick", "past", "verdict"),
    [
        (2, 4.6, FITS),  # 12 - 2 - 3 - 2.4
        (1.6, 5.0, FITS),  # ten pitches
        (1.5, 5.1, TIGHT),  # a tail
        (6.1, 0.5, FITS),  # one pitch
        (6.2, 0.4, FAILS),
        (7, -0.4, FAILS),
    ],
)
def test_what_stands_past_the_nut_is_what_is_left_of_the_length(
    tmp_path: Path, mount: str, thick: float, past: float, verdict: Verdict
) -> None:
    found = finding(plain(tmp_path, at(0, mount=mount), flange=_flange(thick)), "screw-length")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(past)


@pytest.mark.parametrize(
    ("washers", "past"),
    [
        ("[plain]", 12 - 2 - 3 - 0.5 - 2.4),  # ISO 7089: 0.5 mm
        ("[plain, split]", 12 - 2 - 3 - 0.5 - 0.8 - 2.4),  # DIN 127: 0.8 mm
    ],
)
def test_every_washer_takes_its_thickness(tmp_path: Path, washers: str, past: float) -> None:
    made = plain(tmp_path, at(0, hardware=M3.replace("[]", washers)))
    assert finding(made, "screw-length").measured == pytest.approx(past)


def test_coating_on_both_faces_is_clamped_too(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0), PANEL.replace("}", ", coating: 0.1}"))
    assert finding(made, "screw-length").measured == pytest.approx(12 - 2 - 3.2 - 2.4)


def test_a_countersunk_screw_is_measured_over_its_head(tmp_path: Path) -> None:
    fixings = {**PART["fixings"], "seat": {"diameter": 6.3, "angle": 90}}  # of the theoretical diameter: flush
    made = plain(tmp_path, at(0, hardware=M3.replace("pan", "countersunk")), fixings=fixings)
    assert finding(made, "screw-length").measured == pytest.approx(4.6)


def test_a_screw_without_nut_or_thread_fails(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0, hardware="{screw: M3, head: pan, length: 12, nut: none}"))
    assert finding(made, "screw-length").verdict is FAILS


@pytest.mark.parametrize(
    ("length", "depth", "engaged", "verdict"),
    [
        (8, 10, 5, FITS),  # 8 - 3
        (6, 10, 3, FITS),  # one diameter
        (5, 10, 2, FAILS),
        (8, 2.5, 2.5, FAILS),  # no more than the boss is deep
    ],
)
def test_a_boss_takes_what_reaches_into_it(
    tmp_path: Path, length: float, depth: float, engaged: float, verdict: Verdict
) -> None:
    fixings = {**PART["fixings"], "boss": {"thread": "M3", "depth": depth}}
    made = plain(tmp_path, at(0, mount="rear", hardware=f"{{head: pan, length: {length}}}"), fixings=fixings)
    found = finding(made, "screw-length")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(engaged)


@pytest.mark.parametrize(
    ("depth", "left", "verdict"),
    [(8, 2.71, FITS), (5.8, 0.51, FITS), (5.7, 0.41, TIGHT), (5.2, -0.09, FAILS)],
)
def test_a_screw_at_its_longest_stops_short_of_the_floor(
    tmp_path: Path, depth: float, left: float, verdict: Verdict
) -> None:
    fixings = {**PART["fixings"], "boss": {"thread": "M3", "depth": depth}}
    found = finding(
        plain(tmp_path, at(0, mount="rear", hardware="{head: pan, length: 8}"), fixings=fixings), "screw-bottoms"
    )
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(left)  # depth - (8.29 - 3): js15 of 8 mm is 0.29 (ISO 4759-1)


@pytest.mark.parametrize(("thickness", "left", "verdict"), [(3, 3.5, FITS), (6.5, 0.0, FITS), (6.6, -0.1, FAILS)])
def test_a_bush_takes_panel_washer_and_nut(tmp_path: Path, thickness: float, left: float, verdict: Verdict) -> None:
    bush = {"thread": 6, "length": 8.9, "nut_across": 8, "nut_height": 2, "washer": 0.4, "washer_across": 12}
    changes = {"bush": {**bush, "nut_side": "front"}, "fixings": None, "cutout": {"round": 6.4}, "mount": ["rear"]}
    panel = f"{{size: [100, 80], thickness: {thickness}}}"
    made = asked(
        tmp_path, place("plain", mount="rear"), panel, rear=[{"outline": {"round": 12}, "from": 0, "to": 9}], **changes
    )
    found = finding(made, "screw-length")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(left)  # 8.9 - thickness - washer 0.4 - nut 2
