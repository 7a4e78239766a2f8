"""A real browser for the tests of the page: Debian's Chromium, headless, its graphics in software."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
PATIENCE = 120_000  # ms for a page to show something: software graphics on a busy machine take their time
SOFTWARE = "GL Driver Message (OpenGL, Performance"
"""How Chromium begins to say that drawing without a graphics card is slow; it says so of any page that draws in 3D."""


def lacking(what: str) -> None:
    """Skip a test for want of something that a machine need not have to use dryfit."""
    pytest.skip(f"{what} is not installed")


@contextmanager
def chromium() -> Iterator[Callable[..., Any]]:
    """Yield what starts a browser, with more flags if need be."""
    where = shutil.which("chromium")
    if where is None:
        lacking("the browser chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        lacking("the package playwright")
    with sync_playwright() as driver:
        yield lambda *more: driver.chromium.launch(executable_path=where, args=[*FLAGS, *more])


class Seen:
    """One page as it is opened from its file or an address, with everything that it says or asks for.

    ``shows``: it has a panel to show, and is waited for until it does.
    """

    def __init__(self, browser: Any, source: Path | str, *, shows: bool = True, **options: Any):
        self.context = browser.new_context(
            **{"viewport": {"width": 1280, "height": 800}, "reduced_motion": "reduce", **options}
        )
        self.page = self.context.new_page()
        self.said: list[str] = []
        self.asked: list[str] = []
        self.page.on("console", lambda message: self.said.append(message.text))
        self.page.on("pageerror", lambda error: self.said.append(str(error)))
        self.page.on("dialog", lambda dialog: self.said.append(dialog.message))
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.url = source if isinstance(source, str) else source.as_uri()
        self.page.goto(self.url)
        if shows:
            self.page.wait_for_selector("html[data-shows]", timeout=PATIENCE)
        self.settle()

    def settle(self) -> None:
        """Wait until the picture was drawn twice in peace."""
        self.page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")

    def picture(self) -> bytes:
        """Return what the 3D picture looks like now."""
        self.settle()
        shot: bytes = self.page.locator("#stage").screenshot()
        return shot

    def told(self) -> str:
        """Return what the page says of what it shows."""
        text: str = self.page.inner_text("#said")
        return text

    def slide(self, name: str, value: float) -> None:
        """Set a slider as a hand would."""
        self.page.evaluate(
            "([id, value]) => { const slider = document.getElementById(id); slider.value = value;"
            " for (const kind of ['input', 'change']) slider.dispatchEvent(new Event(kind)); }",
            [name, value],
        )

    def find(self, words: str) -> None:
        """Choose the finding that says some words."""
        self.page.locator("button[data-finding]", has_text=words).first.click()
        self.settle()

    def pixel(self, x: float, y: float) -> tuple[float, float]:
        """Return where in the window a point of the panel is seen from the front, worked out from two marks."""
        places = self.page.evaluate("JSON.parse(document.getElementById('data').textContent).places")
        spots = self.page.eval_on_selector_all(
            "#overlay .mark", "marks => marks.map(m => m.getAttribute('transform').match(/-?[\\d.]+/g).map(Number))"
        )
        known = sorted((p["at"][0] + 11, p["at"][1] + 13, *spot[:2]) for p, spot in zip(places, spots, strict=True))
        (x0, y0, px0, py0), (x1, _, px1, _) = known[0], known[-1]
        scale = (px1 - px0) / (x1 - x0)
        stage = self.page.locator("#stage").bounding_box()
        return stage["x"] + px0 + (x - x0) * scale, stage["y"] + py0 - (y - y0) * scale

    def close(self) -> None:
        """Close it."""
        self.context.close()
