"""The live page in a real browser: it follows what is saved where it stands, and asks its own server alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.live.bench import Bench
from dryfit.generators.live.server import Server, serving
from tests.generators.live.layouts import save, settle
from tests.generators.page.browser import SOFTWARE, Seen, chromium

RAISED = """title: Raised heads
revision: A
panel: {rack_units: 2, thickness: 1/8 in, coating: 0.08 mm, holes: d-hole-wide}
places:
  - {part: xlr3-socket, at: [100, 64], label: MIC 1}
  - part: loudspeaker-4
    at: [200, 64]
    label: LS 2
    hardware: {screw: M3, length: 12 mm, head: raised countersunk, nut: hexagon, washers: [tooth]}
"""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with chromium() as launch:
        yield launch()


class Live:
    """A panel that is watched, with its page open."""

    def __init__(self, browser: Any, bench: Bench, server: Server, name: str = "", *, shows: bool = True):
        self.bench = bench
        self.server = server
        settle(bench)
        self.seen = Seen(browser, server.url + name, shows=shows)
        self.page = self.seen.page

    def work(self, *, shows: str) -> None:
        """Let the bench work, and wait until the page shows some words in its notice or head."""
        settle(self.bench)
        self.page.locator("header, #live").filter(has_text=shows).first.wait_for()
        self.seen.settle()

    def quiet(self) -> None:
        """Assert that nothing was said on the console, and nothing asked for but from its server."""
        assert [text for text in self.seen.said if SOFTWARE not in text] == []
        assert {url[: len(self.server.url)] for url in self.seen.asked} == {self.server.url}


Opened = Callable[..., Live]


@pytest.fixture
def opened(browser: Any) -> Iterator[Opened]:
    """Return what opens the page of a source."""
    ends: list[Callable[[], object]] = []

    def start(source: Path, name: str = "", *, shows: bool = True) -> Live:
        bench = Bench(source)
        serving_now = serving(bench)
        server = serving_now.__enter__()
        ends.append(lambda: serving_now.__exit__(None, None, None))
        live = Live(browser, bench, server, name, shows=shows)
        ends.append(live.seen.close)
        return live

    yield start
    for end in reversed(ends):
        end()


def _edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_it_follows_what_is_saved_and_keeps_camera_and_settings(opened: Opened, tmp_path: Path) -> None:
    path = save(tmp_path / "a.yaml")
    live = opened(path)
    live.page.locator("button[data-view=rear]").click()
    live.page.uncheck("input[data-layer=legends]")
    live.seen.slide("plugs", 60)
    before = live.seen.picture()
    save(path, title="One &amp; <b>more</b>")
    live.work(shows="One &amp; <b>more</b>")
    assert live.page.title() == "One &amp; <b>more</b>"
    assert live.seen.picture() == before  # all else is as it was
    save(path, title="Moved", x=200)
    live.work(shows="Moved")
    assert live.seen.picture() != before
    assert live.page.locator("#stage").get_attribute("data-view") == "rear"
    assert not live.page.is_checked("input[data-layer=legends]")
    save(path, title="One")
    live.work(shows="One")
    assert live.seen.picture() == before
    live.quiet()


def test_what_is_chosen_stays_chosen_until_it_is_cured(opened: Opened, tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text(RAISED, encoding="utf-8")
    live = opened(path)
    live.seen.find("kept 0.25 mm from home")
    figure = live.page.locator("#overlay .measure text").text_content()
    seen_from = live.seen.picture()
    _edit(path, "revision: A", "revision: B")
    live.work(shows="revision B")
    chosen = live.page.locator("button[data-finding][aria-current=true]")
    assert "kept 0.25 mm from home" in chosen.inner_text()
    assert live.page.locator("#overlay .measure text").text_content() == figure
    assert live.seen.picture() == seen_from
    assert live.page.evaluate("document.activeElement.dataset.finding") == chosen.get_attribute("data-finding")
    _edit(path, "head: raised countersunk", "head: countersunk")
    _edit(path, "revision: B", "revision: C")
    live.work(shows="revision C")
    assert live.page.locator("button[data-finding][aria-current=true], #overlay .measure *").count() == 0
    assert live.page.inner_text("#about h3") == "LS 2"
    assert live.seen.told().startswith("What was chosen is no longer told.")
    live.quiet()


def test_mistakes_are_shown_at_their_line_and_the_last_good_panel_stays(opened: Opened, tmp_path: Path) -> None:
    path = save(tmp_path / "a.yaml", title="Good")
    live = opened(path)
    before = live.seen.picture()
    save(path, title="Bad", part="</script><script>alert(1)</script>")
    live.work(shows="What was saved cannot be built.")
    assert live.page.inner_text("mark") == "  - {part: </script><script>alert(1)</script>, at: [60, 22], label: A}"
    assert "line 4" in live.page.inner_text(".mistakes b")
    assert live.page.inner_text("h1") == "Good"
    live.page.evaluate("scrollTo(0, 0)")
    assert live.seen.picture() == before
    path.unlink()
    live.work(shows="there is no such file")
    assert live.page.inner_text("h1") == "Good"
    save(path, title="Back")
    live.work(shows="Back")
    assert live.page.locator(".mistakes").count() == 0
    live.quiet()


def test_a_page_that_began_with_a_mistake_shows_the_first_panel_that_can_be_built(
    opened: Opened, tmp_path: Path
) -> None:
    path = save(tmp_path / "a.yaml", part="nothing")
    live = opened(path, shows=False)
    assert "It is shown as soon as it can be" in live.page.inner_text("#live")
    assert live.page.locator("#stage").count() == 0
    save(path, title="First")
    settle(live.bench)
    live.page.wait_for_selector("html[data-shows=solid]")
    assert live.page.inner_text("h1") == "First"
    live.quiet()


def test_of_fifty_quick_saves_the_last_one_is_shown(opened: Opened, tmp_path: Path) -> None:
    path = save(tmp_path / "a.yaml")
    live = opened(path)
    for n in range(50):
        save(path, title=f"Save {n}", x=60 + n, part="xlr3-socket" if n % 5 else "nothing")
        live.bench.work()
    save(path, title="Save 50", x=110)
    live.work(shows="Save 50")
    live.page.locator("#live").filter(has_text="Checked in full").wait_for()
    assert live.page.inner_text("h1") == "Save 50"
    live.quiet()


def test_a_hidden_page_holds_no_line_and_catches_up_when_it_is_seen(opened: Opened, tmp_path: Path) -> None:
    path = save(tmp_path / "a.yaml")
    live = opened(path)
    turn = (
        "hidden => { Object.defineProperty(document, 'hidden', {value: hidden, configurable: true});"
        " document.dispatchEvent(new Event('visibilitychange')); }"
    )
    live.page.evaluate(turn, True)
    save(path, title="Unseen")
    settle(live.bench)
    live.seen.settle()
    assert live.page.inner_text("h1") == "One"
    live.page.evaluate(turn, False)
    live.work(shows="Unseen")
    live.quiet()


def test_a_folder_lists_its_panels_and_each_leads_to_its_page_and_back(opened: Opened, tmp_path: Path) -> None:
    save(tmp_path / "a.yaml", title="First panel")
    save(tmp_path / "b.yaml", part="nothing")
    live = opened(tmp_path, shows=False)
    assert "First panel" in live.page.inner_text("#live")
    assert "unknown part" in live.page.inner_text("#live")
    save(tmp_path / "b.yaml", title="Second panel")
    live.work(shows="Second panel")
    live.page.get_by_role("link", name="b.yaml").click()
    live.page.wait_for_selector("html[data-shows=solid]")
    live.work(shows="Checked in full")
    live.page.get_by_role("link", name="All panels").click()
    live.page.get_by_role("link", name="a.yaml").wait_for()
    live.quiet()


def test_the_end_of_the_watch_is_told(opened: Opened, tmp_path: Path) -> None:
    live = opened(save(tmp_path / "a.yaml"))
    live.bench.end()
    live.work(shows="The watch has ended")
    live.page.locator("button[data-place='0']").click()
    assert live.page.inner_text("#about h3") == "A"
    live.quiet()
