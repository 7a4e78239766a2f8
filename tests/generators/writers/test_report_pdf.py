"""The report as PDF: with pictures where they can be drawn, without them where not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.writers.register import Order, named
from dryfit.models.reading.errors import DryfitError
from tests.helpers import place, report


def _pictures(path: Path) -> int:
    import pypdfium2

    kind: Callable[[Any], bool] = lambda one: one.type == pypdfium2.raw.FPDF_PAGEOBJ_IMAGE  # noqa: E731
    return sum(kind(one) for page in pypdfium2.PdfDocument(path) for one in page.get_objects())


def test_it_shows_the_panel_with_its_plugs_where_pictures_can_be_drawn(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    order = Order(report(tmp_path, place("xlr3-socket")))
    named("report.pdf").make(order, tmp_path / "with.pdf")
    assert _pictures(tmp_path / "with.pdf") == 2

    def fail(order: Order) -> dict[str, bytes]:
        raise DryfitError("no graphics")

    monkeypatch.setattr("dryfit.generators.writers.report_pdf.pictures", fail)
    named("report.pdf").make(order, tmp_path / "without.pdf")
    assert _pictures(tmp_path / "without.pdf") == 0
