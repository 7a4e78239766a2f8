"""Facts of the trade (common practice) come out of the computation; none of them is written into the program."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.findings import Verdict
from dryfit.models.tables import fasteners
from tests.helpers import finding, place, report

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS
THIN, THICK = "1/16 in", "1/8 in"


def _screw_passes(folder: Path, thread: str, hole: str) -> Verdict:
    """Judge a screw in a panel hole, in a part whose own flange hole is the wider."""
    wide = folder / "wide.yaml"
    wide.write_text(
        "parts:\n  wide-flange:\n    title: Wide\n    family: test\n"
        "    flange: {outline: {box: [40, 50]}, thick: 2}\n    cutout: {round: 24}\n"
        "    fixings: {at: [[-9.5, 12], [9.5, -12]], hole: 3.8, panel: 3.8}\n    rear:\n"
        "      - {outline: {round: 10}, from: 0, to: 10}\n"
    )
    keys = {"cutout": f"{{fixings: {hole}}}", "hardware": f"{{screw: {thread}}}"}
    made = report(folder, place("wide-flange", **keys), rest="parts: [wide.yaml]")
    return finding(made, "screw-passes").verdict


@pytest.mark.parametrize(
    ("thread", "hole", "verdict"),
    [
        ("No. 4-40", "3.1 mm", FITS),
        ("No. 4-40", "3.4 mm", FITS),
        ("No. 5-40", "3.4 mm", FITS),
        ("No. 5-40", "3.1 mm", FAILS),
        ("No. 5-40", "9/64 in", FITS),
        ("No. 6-32", "3.1 mm", FAILS),
        ("No. 6-32", "3.4 mm", FAILS),
        ("No. 6-32", "3.5 mm", TIGHT),
        ("No. 6-32", "0.139 in", TIGHT),
    ],
)
def test_which_screw_passes_which_hole(tmp_path: Path, thread: str, hole: str, verdict: Verdict) -> None:
    assert _screw_passes(tmp_path, thread, hole) is verdict


@pytest.mark.parametrize(
    ("screw", "nut", "verdict", "measured"),
    [
        ("No. 6-32", "hexagon", FAILS, -0.56),  # 5/16 in across flats
        ("No. 6-32", "narrow", TIGHT, 0.23),  # 1/4 in: a flat to the barrel, cannot spin
        ("M3", "hexagon", FITS, 0.23),  # 5.5 mm: spins on its corners
    ],
)
def test_nut_beside_a_barrel_of_23_8_mm(
    tmp_path: Path, screw: str, nut: str, verdict: Verdict, measured: float
) -> None:
    length = "16 mm" if screw.startswith("M") else "5/8 in"
    keys = {"hardware": f"{{screw: {screw}, nut: {nut}, washers: [], length: {length}}}"}
    found = finding(report(tmp_path, place("xlr3-socket", **keys)), "nut-room")
    assert found.verdict is verdict
    assert found.measured == pytest.approx(measured, abs=0.005)


@pytest.mark.parametrize("thickness", [THIN, THICK])
@pytest.mark.parametrize(("screw", "length"), [("No. 4-40", "3/8 in"), ("M3", "10 mm")])
def test_three_eighths_or_ten_serve_ordinary_flanges(tmp_path: Path, thickness: str, screw: str, length: str) -> None:
    panel = f"{{rack_units: 1, thickness: {thickness}}}"
    keys = {"hardware": f"{{screw: {screw}, length: {length}, nut: hexagon}}"}
    assert finding(report(tmp_path, place("xlr3-socket", **keys), panel), "screw-length").verdict is FITS


@pytest.mark.parametrize(("screw", "short", "right"), [("No. 4-40", "3/8 in", "1/2 in"), ("M3", "10 mm", "12 mm")])
def test_thick_quarter_turn_flange_wants_the_next_length(tmp_path: Path, screw: str, short: str, right: str) -> None:
    for length, verdict in ((short, FAILS), (right, FITS)):
        keys = {"hardware": f"{{screw: {screw}, length: {length}, nut: hexagon}}"}
        found = finding(report(tmp_path, place("mains-quarter-turn-inlet", **keys)), "screw-length")
        assert found.verdict is verdict, found.says
    chosen = report(tmp_path, place("mains-quarter-turn-inlet", hardware=f"{{screw: {screw}, nut: hexagon}}")).stacks[
        "A"
    ]
    assert fasteners.length_name(chosen.screw.length, chosen.thread.system) == right


@pytest.mark.parametrize(("coating", "verdict"), [("0", TIGHT), ("0.08 mm", FAILS)])
def test_barrel_of_0_940_in_a_hole_of_0_945(tmp_path: Path, coating: str, verdict: Verdict) -> None:
    panel = f"{{rack_units: 2, thickness: 1/8 in, coating: {coating}}}"
    made = report(tmp_path, place("xlr5-socket", cutout="{hole: 0.945 in}"), panel)
    assert finding(made, "cutout-size").verdict is verdict


def test_old_pitch_goes_on_a_19_mm_panel_only_by_turning(tmp_path: Path) -> None:
    found = finding(report(tmp_path, place("xlr3-socket-old-pitch", cutout="{across: 19, up: 24}")), "hole-pattern")
    assert found.verdict is FAILS
    assert found.advice == "Turn the part 5.3 degrees anticlockwise in its cut-out."
    turned = report(tmp_path, place("xlr3-socket-old-pitch", cutout="{across: 19, up: 24}", part_turn="5.3"))
    assert finding(turned, "hole-pattern").verdict is FITS


@pytest.mark.parametrize("part", ["combination-jack-forming", "combination-jack-threaded"])
def test_combination_jack_is_refused_from_the_front(tmp_path: Path, part: str) -> None:
    found = finding(report(tmp_path, place(part, mount="front")), "mount-side")
    assert (found.verdict, found.advice) == (FAILS, "Mount the part from the rear.")
    assert report(tmp_path, place(part, mount="rear")).verdict is not FAILS


def test_rear_mounted_socket_hides_its_release_behind_a_thick_panel(tmp_path: Path) -> None:
    for thickness, verdict in ((THICK, FAILS), (THIN, FITS)):
        panel = f"{{rack_units: 2, thickness: {thickness}}}"
        found = finding(report(tmp_path, place("xlr3-socket", mount="rear"), panel), "latch-reach")
        assert found.verdict is verdict, found.says


def test_pan_heads_where_the_head_bears_on_the_panel(tmp_path: Path) -> None:
    thin = "{rack_units: 2, thickness: 1/16 in}"
    rear = report(tmp_path, place("xlr3-socket", mount="rear"), thin).stacks["A"]
    front = report(tmp_path, place("xlr3-socket", mount="front"), thin).stacks["A"]
    assert (rear.screw.head.kind, front.screw.head.kind) == ("pan", "countersunk")


def test_raised_heads_keep_a_fat_collar_from_going_home(tmp_path: Path) -> None:
    for head, verdict in (("raised countersunk", FAILS), ("countersunk", FITS)):
        keys = {"hardware": f"{{screw: M3, head: {head}}}"}
        assert finding(report(tmp_path, place("loudspeaker-4", **keys)), "plug-seats").verdict is verdict
