"""True scale: pages of the PDF are rasterised by another program's library and measured like prints, to 0.1 mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.drawing.marks import Drawing, Stroke
from dryfit.generators.drawing.template import drill_template
from dryfit.generators.writers.pdf import pdf_bytes
from tests.generators.drawing.jobs import JOBS, eight, one

DOTS = 600 / 25.4  # a mm
PRINTED = 0.1  # mm that a measured length may miss
Ink = NDArray[np.bool_]


@dataclass(frozen=True)
class Print:
    """A window of a page as ink or no ink, row 0 at the top; lengths and places in mm from its upper left corner."""

    ink: Ink

    def runs(self, row: int) -> list[float]:
        """Return the middles of all inked stretches of one row of dots."""
        edges = np.flatnonzero(np.diff(np.pad(self.ink[row].astype(np.int8), 1)))
        return [(a + b) / 2 / DOTS for a, b in edges.reshape(-1, 2)]

    def spots(self) -> Iterator[tuple[float, float, float, float]]:
        """Yield middle and size (x, y, width, height) of every connected piece of ink."""
        from scipy import ndimage

        for rows, columns in ndimage.find_objects(ndimage.label(self.ink, np.ones((3, 3)))[0]):
            x0, x1, y0, y1 = (v / DOTS for v in (columns.start, columns.stop, rows.start, rows.stop))
            yield (x0 + x1) / 2, (y0 + y1) / 2, x1 - x0, y1 - y0


def printed(drawing: Drawing, page: int, window: tuple[float, float, float, float] | None = None) -> Print:
    """Return a page, or a window of it (left, bottom, right, top in mm), as it prints."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf_bytes(drawing))
    sheet = document[page]
    width, height = sheet.get_size()
    crop = (0.0, 0.0, 0.0, 0.0)
    if window is not None:
        x0, y0, x1, y1 = (v * 72 / 25.4 for v in window)
        crop = (x0, y0, width - x1, height - y1)
    image = sheet.render(scale=600 / 72, crop=crop, grayscale=True).to_numpy()
    return Print(image.reshape(image.shape[0], image.shape[1]) < 128)


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_scale_bars_measure_100_mm_and_4_in(size: str) -> None:
    drawing = drill_template(one(), size)
    sheet = drawing.sheets[0]
    foot = printed(drawing, 0, (5.0, 5.0, 130.0, 36.0))
    # of a bar's ticks, only the two at its ends are tall: above the others there are just two inked stretches
    ends = [runs for row in range(foot.ink.shape[0]) if len(runs := foot.runs(row)) == 2]
    apart = np.array([b - a for a, b in ends])
    for length in (100.0, 101.6):
        found = apart[abs(apart - length) < 0.5]
        assert len(found) > 0.5 * DOTS
        assert found == pytest.approx(length, abs=PRINTED)
    assert sheet.width == pytest.approx({"A4": 210, "Letter": 215.9}[size])


def test_two_holes_of_the_template_are_as_large_and_as_far_apart_as_in_the_panel() -> None:
    drawing = drill_template(eight())
    pen = 0.35
    rings = [s for s in printed(drawing, 0).spots() if abs(s[2] - 24) < 1 and abs(s[3] - 24) < 1]
    first, second = sorted(rings)[:2]  # places 1 and 2, 56 mm apart
    for _, _, width, height in (first, second):
        assert (width - pen, height - pen) == pytest.approx((24, 24), abs=PRINTED)
    assert (second[0] - first[0], second[1] - first[1]) == pytest.approx((56, 0), abs=PRINTED)


def test_fixing_holes_of_the_template_are_19_and_24_mm_apart() -> None:
    drawing = drill_template(one())
    crosses = [s for s in printed(drawing, 0).spots() if abs(s[2] - 6.35) < 0.3 and abs(s[3] - 6.35) < 0.3]
    (x0, y0, *_), (x1, y1, *_) = sorted(crosses)
    assert (x1 - x0, y1 - y0) == pytest.approx((19, 24), abs=PRINTED)


@pytest.mark.parametrize(("name", "size", "scale"), [("1", "A3", 1.0), ("8", "A3", 0.5), ("96", "Tabloid", 0.5)])
def test_the_shop_drawing_is_to_its_scale(name: str, size: str, scale: float) -> None:
    job = JOBS[name]()
    drawing = shop_drawing(job, size)
    page, view = next(
        (n, block) for n, s in enumerate(drawing.sheets) for block in s.blocks if block.name == "front view"
    )
    left, bottom, right, _ = next(m.box for m in view.marks if isinstance(m, Stroke))
    low = 3.0 * scale  # mm over the lower edge: above the datum's circle and below all holes
    strip = printed(drawing, page, (left - 2, bottom + low, right + 2, bottom + low + 0.5))
    edges = strip.runs(strip.ink.shape[0] // 2)
    assert edges[-1] - edges[0] == pytest.approx(job.panel.width * scale, abs=PRINTED)


def test_pages_have_the_size_of_their_paper() -> None:
    import pypdfium2

    for size, wanted in (
        ("A4", (297, 210)),
        ("A3", (420, 297)),
        ("Letter", (279.4, 215.9)),
        ("Tabloid", (431.8, 279.4)),
    ):
        document = pypdfium2.PdfDocument(pdf_bytes(shop_drawing(one(), size)))
        assert [v / 72 * 25.4 for v in document[0].get_size()] == pytest.approx(wanted, abs=0.01)


def test_the_typeface_is_embedded_and_text_can_be_searched() -> None:
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf_bytes(shop_drawing(eight(), "A3")))
    text = "".join(page.get_textpage().get_text_bounded() for page in document)
    assert "Stage box input panel" in text
    assert "⌀24 ±0.2" in text
    assert b"/FontFile2" in pdf_bytes(shop_drawing(one()))


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert pdf_bytes(shop_drawing(one())) == pdf_bytes(shop_drawing(one()))
