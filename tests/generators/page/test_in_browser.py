"""The page in a real browser, opened from a file: every feature driven, and seen to change what is shown."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.page.page import page
from dryfit.generators.pipeline import judged
from dryfit.models.resolve import read_job
from tests.generators.page.browser import SOFTWARE, Seen, chromium
from tests.helpers import LAYOUTS, place, report


@pytest.fixture(scope="module")
def launch() -> Iterator[Callable[..., Any]]:
    with chromium() as start:
        yield start


@pytest.fixture(scope="module")
def browser(launch: Callable[..., Any]) -> Any:
    return launch()


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    made = {}
    for name in ("foyer", "trouble"):
        made[name] = tmp_path_factory.mktemp(name) / "index.html"
        made[name].write_text(page(judged(read_job(LAYOUTS / f"{name}.yaml")), ()), encoding="utf-8")
    made["small"] = tmp_path_factory.mktemp("small") / "index.html"
    one = report(made["small"].parent, place("xlr3-socket"), rest="hardware: {threads: [M3], retention: tooth washer}")
    made["small"].write_text(page(one, ()), encoding="utf-8")
    return made


@pytest.fixture
def small(browser: Any, pages: dict[str, Path]) -> Iterator[Seen]:
    """A panel with one part and everything that holds it, which is drawn sooner than the demo."""
    seen = Seen(browser, pages["small"])
    yield seen
    seen.close()


@pytest.fixture
def foyer(browser: Any, pages: dict[str, Path]) -> Iterator[Seen]:
    seen = Seen(browser, pages["foyer"])
    yield seen
    seen.close()


@pytest.fixture
def trouble(browser: Any, pages: dict[str, Path]) -> Iterator[Seen]:
    seen = Seen(browser, pages["trouble"])
    yield seen
    seen.close()


def _changes(seen: Seen, before: bytes, what: str) -> bytes:
    after = seen.picture()
    assert after != before, f"{what} changed nothing"
    return after


def test_every_named_view_shows_another_picture_and_says_which(small: Seen) -> None:
    pictures = set()
    for button in small.page.locator("button[data-view]").all():
        button.click()
        pictures.add(small.picture())
        assert button.inner_text().lower() in small.told()
    assert len(pictures) == 6


def test_sliders_layers_and_cuts_change_the_picture(small: Seen) -> None:
    now = small.picture()
    for name, value in (("plugs", 100), ("apart", 40), ("apart", 100), ("apart", 0), ("plugs", 0)):
        small.slide(name, value)
        now = _changes(small, now, name)
    layers = {str(box.get_attribute("data-layer")): box for box in small.page.locator("input[data-layer]").all()}
    for view, behind in (("corner", False), ("rear corner", True)):
        small.page.locator(f"button[data-view='{view}']").click()
        whole = small.picture()
        for name, box in layers.items():
            if (name in ("washer", "nut")) is behind:
                box.uncheck()
                _changes(small, whole, name)
                box.check()
    now = small.picture()
    for axis in ("x", "y", "z"):
        small.page.select_option("#cut-axis", axis)
        now = _changes(small, now, f"a cut across {axis}")
    small.slide("cut-at", 8)
    now = _changes(small, now, "moving the cut")
    assert small.page.inner_text("#cut-says") == "z = 8.0 mm"
    small.page.check("#cut-other")
    _changes(small, now, "the other side of the cut")


def test_the_picture_turns_shifts_and_zooms_by_mouse_wheel_touch_and_keys(small: Seen) -> None:
    box = small.page.locator("#stage").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    now = small.picture()
    mouse = small.page.mouse
    for button in ("left", "right"):
        mouse.move(x, y)
        mouse.down(button=button)
        mouse.move(x + 60, y + 30)
        mouse.up(button=button)
        now = _changes(small, now, f"dragging with the {button} button")
    mouse.wheel(0, -300)
    now = _changes(small, now, "the wheel")
    touch = small.context.new_cdp_session(small.page)
    for kind, dx in (("touchStart", 0), ("touchMove", 40), ("touchMove", 80)):
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x + dx, "y": y}]})
    touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    now = _changes(small, now, "a finger")
    small.page.focus("#stage")
    for key in ("ArrowLeft", "ArrowUp", "Shift+ArrowRight", "Shift+ArrowDown", "+", "-", "2"):
        small.page.keyboard.press(key)
        now = _changes(small, now, key)


@pytest.mark.parametrize(
    ("words", "figure"),
    [
        ("kept 0.25 mm from home", "−0.25 mm"),
        ("clashes with the body by 0.56 mm", "−0.56 mm (wanted: 0.10 mm)"),
        ("run 2.1 mm into each other", "−2.10 mm"),
        ("runs 0.09 mm into the body", "−0.09 mm"),
        ("0.06 mm too big", "−0.06 mm across"),
    ],
)
def test_a_finding_flies_there_and_draws_its_gap_with_the_figure(trouble: Seen, words: str, figure: str) -> None:
    before = trouble.picture()
    trouble.find(words)
    _changes(trouble, before, words)
    assert trouble.page.locator("#overlay .measure text").text_content() == figure
    assert trouble.page.locator("#overlay .measure path").count() > 4  # two arrows, two ends, the leader
    assert words in trouble.told()
    assert "drawn" in trouble.told()


def test_a_figure_that_is_no_gap_between_bodies_is_told_without_a_line(trouble: Seen) -> None:
    trouble.find("on the floor of the boss")
    assert trouble.page.locator("#overlay .measure path").count() == 1  # the leader alone
    assert "not a gap between two bodies" in trouble.told()


def test_findings_are_listed_worst_first_and_the_chosen_one_is_marked_in_every_list(trouble: Seen) -> None:
    verdicts = trouble.page.locator("button[data-finding] b").all_inner_texts()
    order = [text.split()[0] for text in verdicts]
    assert order == ["fails"] * order.count("fails") + ["tight"] * order.count("tight")
    counted = f"{order.count('fails')} fail, {order.count('tight')} tight"
    assert counted in trouble.page.locator("header .verdict").inner_text()
    trouble.find("kept 0.25 mm from home")
    assert trouble.page.locator("button[data-finding][aria-current=true]").count() == 1
    assert trouble.page.locator("#flat .chosen title").text_content() == (
        "LS 2: Quarter-turn loudspeaker socket, 4 poles, D flange, fails"
    )
    assert trouble.page.inner_text("#about h3") == "LS 2"
    trouble.page.keyboard.press("Escape")
    assert trouble.page.locator("[aria-current=true], .chosen").count() == 0


def test_a_click_on_a_place_tells_part_hardware_torque_and_findings(foyer: Seen) -> None:
    foyer.page.locator("button[data-view=front]").click()
    foyer.page.uncheck("input[data-layer=plug]")
    spot = foyer.page.evaluate("JSON.parse(document.getElementById('data').textContent).places[8]")
    foyer.settle()
    foyer.page.mouse.click(*foyer.pixel(*spot["at"]))
    about = foyer.page.inner_text("#about")
    assert about.startswith(spot["name"])
    assert spot["part"] in about
    assert "N m" in about
    assert foyer.page.locator("#about .told li").count() > 10
    before = foyer.picture()
    foyer.page.get_by_text("Cut it open here").click()
    _changes(foyer, before, "cutting the place open")
    foyer.page.locator("#about .told button", has_text="forgives").click()
    assert "forgives" in foyer.told()


def test_the_flat_view_chooses_places_too(foyer: Seen) -> None:
    foyer.page.locator("#flat [data-place='3']").click()
    assert foyer.page.inner_text("#about h3") == "MIC 4"


def test_distances_between_picked_faces_and_axes_are_those_of_the_part(foyer: Seen) -> None:
    sunk = (p for p in read_job(LAYOUTS / "foyer.yaml").places if p.part.fixings is not None and p.part.fixings.seat)
    part = min(sunk, key=lambda p: math.hypot(*p.at))
    fixings = part.part.fixings
    assert fixings is not None
    assert fixings.seat is not None
    foyer.page.locator("button[data-view=front]").click()
    for layer in ("plug", "screw", "marks"):
        foyer.page.uncheck(f"input[data-layer={layer}]")
    foyer.page.check("#measuring")
    foyer.page.focus("#stage")
    for _ in range(6):
        foyer.page.keyboard.press("+")
    foyer.settle()
    flange = part.flange.box
    corner = flange.bottom + 4  # where a flange has no screw
    foyer.page.mouse.click(*foyer.pixel(flange.left + 2.5, corner))
    foyer.page.mouse.click(*foyer.pixel(flange.left - 1.5, corner))  # the panel beside it
    assert foyer.told().startswith(f"{part.part.flange.thick:.2f} mm, square to both faces")
    rim = (fixings.seat.diameter + fixings.hole) / 4
    for x, y in part.fixings:
        foyer.page.mouse.click(*foyer.pixel(x + rim, y))
    pitch = math.dist(*part.fixings)
    assert foyer.told().startswith(f"{pitch:.2f} mm, from axis to axis")
    foyer.settle()
    assert foyer.page.locator("#overlay .measure text").text_content() == f"{pitch:.2f} mm"


def test_straight_edges_are_picked_beside_their_faces_and_measured_to_edges_and_axes(foyer: Seen) -> None:
    job = read_job(LAYOUTS / "foyer.yaml")
    foyer.page.locator("button[data-view=front]").click()
    for layer in ("plug", "part", "screw", "washer", "nut", "marks"):
        foyer.page.uncheck(f"input[data-layer={layer}]")
    foyer.page.check("#measuring")
    foyer.settle()
    half, top = job.panel.width / 2, job.panel.height / 2
    foyer.page.mouse.click(*foyer.pixel(1.5 - half, 0))
    assert foyer.told() == "First: edge of panel. Pick the second."
    foyer.page.mouse.click(*foyer.pixel(half - 1.5, 5))
    assert foyer.told().startswith(f"{job.panel.width + 2 * job.panel.coating:.2f} mm, from edge to edge")
    foyer.page.mouse.click(*foyer.pixel(1.5 - half, 0))
    foyer.page.mouse.click(*foyer.pixel(0, top - 1))
    assert foyer.told().startswith("0.00 mm, from edge to edge, where they pass each other")
    slot = max(job.panel.rack_holes, key=lambda hole: (hole.centre.x, hole.centre.y))
    foyer.page.mouse.click(*foyer.pixel(0, 1 - top))
    foyer.page.mouse.click(*foyer.pixel(slot.centre.x, slot.box.bottom - 1))
    assert foyer.told().startswith(f"{slot.box.bottom + top + 2 * job.panel.coating:.2f} mm, from edge to edge")


def test_a_gap_is_cut_open_and_seen_from_near_by(trouble: Seen) -> None:
    trouble.find("kept 0.25 mm from home")
    before = trouble.picture()
    trouble.page.get_by_role("button", name="Close-up of the gap, cut open").click()
    _changes(trouble, before, "the close-up")
    assert trouble.page.locator("#cut-axis").input_value() in ("x", "y")
    assert "= " in trouble.page.inner_text("#cut-says")
    a, b = trouble.page.eval_on_selector_all(
        "#overlay .measure path", "paths => paths.slice(-3, -1).map(p => p.getBoundingClientRect().left)"
    )
    assert abs(a - b) > 3  # px: the quarter of a millimetre is seen
    assert trouble.page.locator("#overlay .measure text").text_content() == "−0.25 mm"
    trouble.find("on the floor of the boss")
    assert trouble.page.get_by_role("button", name="Close-up of the gap, cut open").count() == 0


def test_keys_alone_reach_everything_that_can_be_worked(trouble: Seen) -> None:
    count = trouble.page.evaluate(
        """() => { window.met = new Set(); document.addEventListener('focusin', e => window.met.add(e.target));
        return [...document.querySelectorAll('button, input:enabled, select, a, summary, [tabindex="0"]')].length; }"""
    )
    for _ in range(count + 12):
        trouble.page.keyboard.press("Tab")
    met = "[...document.querySelectorAll('button, input:enabled, select, a, summary, [tabindex=\"0\"]')]"
    assert trouble.page.evaluate(f"{met}.filter(one => !window.met.has(one)).map(one => one.outerHTML)") == []


def test_enter_picks_what_is_under_the_cross(foyer: Seen) -> None:
    foyer.page.locator("button[data-place='0']").click()
    foyer.page.focus("#stage")
    foyer.page.keyboard.press("1")
    foyer.page.keyboard.press("Enter")
    assert foyer.told() != "Seen from the front."


def test_nothing_is_said_on_the_console_and_nothing_asked_for(trouble: Seen) -> None:
    trouble.find("kept 0.25 mm from home")
    trouble.slide("apart", 60)
    trouble.picture()
    assert [text for text in trouble.said if SOFTWARE not in text] == []
    assert trouble.asked == [trouble.url]


def test_dark_and_print_have_colours_of_their_own(browser: Any, pages: dict[str, Path]) -> None:
    light, dark = (Seen(browser, pages["trouble"], color_scheme=scheme) for scheme in ("light", "dark"))
    assert light.picture() != dark.picture()
    dark.page.emulate_media(media="print")
    assert not dark.page.locator(".settings").is_visible()
    assert dark.page.locator("button[data-finding]").last.is_visible()
    assert dark.page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    light.close()
    dark.close()


def test_markup_in_a_layout_stays_text(browser: Any, tmp_path: Path) -> None:
    evil = "<img src=x onerror=alert(1)>"
    made = report(
        tmp_path, place("xlr3-socket", label=f'"{evil}"'), rest='notes: ["</script><script>alert(2)</script>"]'
    )
    path = tmp_path / "index.html"
    path.write_text(page(made, ()), encoding="utf-8")
    seen = Seen(browser, path)
    seen.page.locator("button[data-place='0']").click()
    assert seen.page.inner_text("#about h3") == evil
    assert seen.page.locator("img").count() == 0
    assert [text for text in seen.said if SOFTWARE not in text] == []
    assert seen.asked == [seen.url]
    seen.close()


def test_without_3d_the_page_says_so_and_tells_the_rest(launch: Callable[..., Any], pages: dict[str, Path]) -> None:
    seen = Seen(launch("--disable-3d-apis"), pages["trouble"])
    assert "draws nothing in 3D" in seen.told()
    seen.find("kept 0.25 mm from home")
    assert "kept 0.25 mm from home" in seen.told()
    assert seen.said == []
    seen.close()


def test_ninety_six_places_can_be_worked(browser: Any, tmp_path: Path) -> None:
    from tests.benchmark import layout_of

    path = tmp_path / "index.html"
    path.write_text(page(judged(read_job(layout_of(tmp_path, 96, 38))), ()), encoding="utf-8")
    seen = Seen(browser, path)
    now = seen.picture()
    seen.slide("apart", 100)
    now = _changes(seen, now, "pulling 96 places apart")
    seen.page.locator("button[data-place='95']").click()
    _changes(seen, now, "flying to the last place")
    seen.close()
