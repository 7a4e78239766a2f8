"""Hardware in words, and as a layout has it: what is written is read back as the same hardware."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from dryfit.generators.joints.stacks import Stack
from dryfit.generators.joints.words import as_hardware, describe
from tests.plain import M3, at, fixings, stack

BOSS = fixings(boss={"thread": "M3", "depth": 6})
INCH = "{screw: No. 6-32, head: pan, length: 1/2 in, nut: hexagon, washers: [split]}"


def _stack(folder: Path, hardware: str, mount: str = "front", **changes: Any) -> Stack:
    return stack(folder, at(0, hardware=hardware, mount=mount), **changes)


def test_screw_washers_and_nut_are_named_in_their_order(tmp_path: Path) -> None:
    assert describe(_stack(tmp_path, M3)) == "M3 x 12 mm pan screws with hexagon nuts (5.5 mm across flats)"
    washers = M3.replace("[]", "[plain, split]")
    assert describe(_stack(tmp_path, washers)) == (
        "M3 x 12 mm pan screws with plain washers, split washers and hexagon nuts (5.5 mm across flats)"
    )
    teeth = M3.replace("hexagon", "tooth-washer nut")
    assert describe(_stack(tmp_path, teeth)).endswith("with tooth-washer nuts (5.5 mm across flats)")


def test_a_screw_without_nut_or_washers_is_named_alone(tmp_path: Path) -> None:
    short = "{screw: M3, head: pan, length: 6}"
    assert describe(_stack(tmp_path, short, "rear", fixings=BOSS)) == "M3 x 6 mm pan screws"
    assert describe(_stack(tmp_path, short, fixings=BOSS)) == "M3 x 6 mm pan screws from behind"


@pytest.mark.parametrize(
    ("hardware", "mount", "boss"),
    [
        (M3, "front", False),
        (M3.replace("[]", "[plain, split]"), "rear", False),
        (M3.replace("hexagon", "self-locking"), "front", False),
        (INCH, "front", False),
        ("{screw: M3, head: pan, length: 6}", "rear", True),
        ("{screw: M3, head: pan, length: 6, washers: [plain]}", "front", True),
        ("{screw: rivet 3.2 mm, length: 8}", "front", False),
    ],
)
def test_what_is_written_is_read_back_as_the_same_hardware(
    tmp_path: Path, hardware: str, mount: str, boss: bool
) -> None:
    changes: dict[str, Any] = {"fixings": BOSS} if boss else {}
    of = _stack(tmp_path, hardware, mount, **changes)
    written = as_hardware(of)
    again = _stack(tmp_path, yaml.safe_dump(written, default_flow_style=True).strip(), mount, **changes)
    assert again.hardware == of.hardware
    assert ("nut" in written) is (of.nut is not None)
    assert ("washers" in written) is (of.nut is not None or bool(of.washers))
