"""Washers on their ring of metal, by hand.

M3: the plain washer is 7 mm across, 3.2 mm in the hole and 0.5 mm thick (ISO 7089), the split one 6.2 mm across and
0.8 mm thick as clamped (DIN 127).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from dryfit.models.findings import Verdict
from tests.helpers import finding
from tests.plain import M3, PART, at, plain

FITS, TIGHT, FAILS = Verdict.FITS, Verdict.TIGHT, Verdict.FAILS


def _fixings(x: float) -> dict[str, Any]:
    return {**PART["fixings"], "at": [[x, 0], [-x, 0]]}


@pytest.mark.parametrize(
    ("x", "measured", "verdict"),
    [
        (15, 1.5, FITS),  # beside the barrel: 15 - 10 - 3.5
        (13.56, 0.06, FITS),  # 0.94 over the edge of the hole of 22 mm, half of the ring's 1.9 may be
        (13.54, -0.96, TIGHT),  # 13.54 - 11 - 3.5
        (13.4, -0.1, FAILS),  # into the barrel
    ],
)
def test_a_washer_lies_beside_the_barrel_and_not_far_over_the_hole(
    tmp_path: Path, x: float, measured: float, verdict: Verdict
) -> None:
    found = finding(plain(tmp_path, at(0, hardware=M3.replace("[]", "[plain]")), fixings=_fixings(x)), "washer-land")
    assert found.verdict is verdict, found.says
    assert found.measured == pytest.approx(measured)


@pytest.mark.parametrize(("starts", "second"), [(4.0, FAILS), (3.9, FAILS), (4.4, FITS)])
def test_the_second_washer_lies_behind_the_first(tmp_path: Path, starts: float, second: Verdict) -> None:
    # the first fills 3 to 3.5 mm behind the face, the second 3.5 to 4.3; the body widens to 26.4 mm at `starts`
    rear = [{"outline": {"round": 20}, "from": 0, "to": starts}, {"outline": {"round": 26.4}, "from": starts, "to": 20}]
    made = plain(
        tmp_path, at(0, hardware=M3.replace("[]", "[plain, split]")), rear=rear, cutout={"round": 23},
        fixings=_fixings(16),
    )  # fmt: skip
    told = [f.verdict for f in made.findings if f.check == "washer-land"]
    assert told == [FITS, second]


def test_on_a_flange_behind_the_panel_there_is_no_edge(tmp_path: Path) -> None:
    made = plain(tmp_path, at(0, mount="rear", hardware=M3.replace("[]", "[plain]")), fixings=_fixings(13.52))
    assert finding(made, "washer-land").verdict is FITS  # in front the hole's edge would tip it
