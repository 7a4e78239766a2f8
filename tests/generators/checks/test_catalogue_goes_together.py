"""Every part of the catalogue goes through its own cut-out, lands and takes its plug, from each side it claims."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from dryfit.generators.pipeline import judged
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.parts import Part, Side
from dryfit.models.catalogue.worst import worst_part
from dryfit.models.findings import Verdict
from tests.helpers import job, place

PARTS = load_catalogue().parts
THIN, THICK = 1.0, 3.0  # mm of sheet for parts without a limit of their own
LAYER = 0.02  # mm of coating per face: keystone tabs hold on 1.5 to 1.6 mm, so it has to be thin
SIDES = [(name, side) for name, part in PARTS.items() for side in part.mount]


def _sheets(part: Part) -> Iterator[tuple[float, float]]:
    """Yield the thinnest sheet bare, and the thickest coated: its thickness with the coating is the limit.

    Where sources differ on that limit, the least of them is meant: up to there all agree.
    """
    most = worst_part(part).thickest or THICK
    least, most = (part.snap.thinnest, part.snap.thickest) if part.snap else (THIN, most)
    yield least, 0.0
    yield most - 2 * LAYER, LAYER


@pytest.mark.parametrize(("name", "side"), SIDES)
def test_a_part_goes_together_on_the_thinnest_and_the_thickest_panel(tmp_path: Path, name: str, side: Side) -> None:
    for thickness, coating in _sheets(PARTS[name]):
        material = "ABS" if PARTS[name].live else "aluminium"  # what is live goes on no metal
        keys = f"thickness: {thickness}, coating: {coating}, material: {material}, mask_earth: true"
        panel = f"{{size: [200, 200], {keys}}}"
        report = judged(job(tmp_path, place(name, mount=side), panel))
        failing = {found.check: found.says for found in report.findings if found.verdict is Verdict.FAILS}
        if side == "rear" and thickness > THIN:
            failing.pop("latch-reach", None)  # a thick panel hides the release of a part behind it, which is told
        assert failing == {}
