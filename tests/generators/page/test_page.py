"""The page as text, and the data in it: whole, in order, small, and safe from what a layout says."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from dryfit.generators.page.document import Listed
from dryfit.generators.page.markup import element
from dryfit.generators.page.page import page
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.models.resolve import read_job
from tests.benchmark import layout_of
from tests.helpers import LAYOUTS, place, report


@pytest.fixture(scope="module")
def trouble() -> Report:
    return judged(read_job(LAYOUTS / "trouble.yaml"))


class _Reader(HTMLParser):
    """Gathers elements that are open, what they hold, and the attributes of all."""

    def __init__(self, text: str):
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.held: dict[str, str] = {}
        self.open: list[str] = ["document"]
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.open.append(dict(attrs).get("id") or tag)

    def handle_data(self, data: str) -> None:
        self.held[self.open[-1]] = self.held.get(self.open[-1], "") + data


def _data(text: str) -> Any:
    return json.loads(gzip.decompress(base64.b64decode(_Reader(text).held["data"])))


def test_the_data_have_every_body_once_and_every_instance_and_finding(trouble: Report) -> None:
    data = _data(page(trouble, ()))
    assert [one["name"] for one in data["instances"]] == [i.name for i in trouble.assembly.instances]
    assert [one["name"] for one in data["bodies"]] == [body.name for body in trouble.assembly.bodies()]
    assert sorted(f["says"] for f in data["findings"]) == sorted(f.says for f in trouble.findings)
    assert [p["verdict"] for p in data["places"]] == [str(trouble.verdict_of(p.name)) for p in trouble.job.places]


def test_findings_name_their_bodies_and_stand_worst_first(trouble: Report) -> None:
    data = _data(page(trouble, ()))
    ranks = {"fails": 0, "tight": 1, "fits": 2}
    order = [ranks[f["verdict"]] for f in data["findings"]]
    assert order == sorted(order)
    (plug,) = (f for f in data["findings"] if "kept 0.25 mm from home" in f["says"])
    assert [data["instances"][n]["name"] for n in plug["bodies"]] == ["LS 2: loudspeaker-plug-4", "LS 2: screw 1"]


def test_everything_comes_off_to_the_side_it_went_on_from_in_the_order_of_assembly(trouble: Report) -> None:
    ones = [one for one in _data(page(trouble, ()))["instances"] if one["role"] != "panel"]
    assert {one["side"] for one in ones} == {1, -1}
    place_of = dict(enumerate(trouble.job.places))
    for one in ones:
        if one["role"] == "part":
            assert one["side"] == (1 if place_of[one["place"]].mount == "front" else -1)
        if one["role"] == "plug":
            assert one["side"] == 1
    rank = {role: {one["rank"] for one in ones if one["role"] == role} for role in ("part", "screw", "nut", "plug")}
    assert max(rank["part"]) < min(rank["screw"]) < min(rank["nut"]) < min(rank["plug"])


def test_the_same_report_gives_the_same_page(trouble: Report) -> None:
    assert page(trouble, ()) == page(judged(trouble.job), ())


def test_pages_stay_small(tmp_path: Path, trouble: Report) -> None:
    assert len(page(judged(read_job(LAYOUTS / "foyer.yaml")), ()).encode()) < 400_000
    assert len(page(judged(read_job(layout_of(tmp_path, 96, 38))), ()).encode()) < 700_000


def test_nothing_points_outside_and_the_policy_names_what_may_run(trouble: Report) -> None:
    text = page(trouble, (Listed("drawing.pdf", "The shop drawing."),))
    reader = _Reader(text)
    links = [v for _, attributes in reader.tags for k, v in attributes.items() if k in ("src", "href") and v]
    assert {link for link in links if not link.startswith("#")} == {"drawing.pdf"}
    (policy,) = (a["content"] for tag, a in reader.tags if a.get("http-equiv") == "Content-Security-Policy")
    assert policy is not None
    assert policy.startswith("default-src 'none'")
    scripts = re.findall(r"<script>(.*?)</script>", text, re.DOTALL)
    program = gzip.decompress(base64.b64decode(reader.held["program"])).decode()
    for code in (*scripts, program):
        assert base64.b64encode(hashlib.sha256(code.encode()).digest()).decode() in policy
    assert not any(name.startswith("on") or name == "style" for _, attributes in reader.tags for name in attributes)


def test_what_a_layout_says_is_escaped_everywhere(tmp_path: Path) -> None:
    evil = "</script><b onclick=x>&"
    text = page(report(tmp_path, place("xlr3-socket", label=f'"{evil}"')), ())
    assert evil not in text
    assert evil in _data(text)["places"][0]["name"]
    assert not [tag for tag, attributes in _Reader(text).tags if "onclick" in attributes]


def test_an_element_escapes_its_text_and_attributes_and_drops_empty_ones() -> None:
    made = element("p", "a < b\x07", element("path", d="M0 0"), class_='"', data_x=True, title=None, hidden=False)
    assert str(made) == '<p class="&quot;" data-x>a &lt; b <path d="M0 0"/></p>'


def test_files_are_listed_with_what_is_in_them_or_why_they_were_not_made(trouble: Report) -> None:
    files = (Listed("plates/", "Pieces.", inside=("one.stl",)), Listed("panel.step", "The panel.", why="no solid"))
    text = page(trouble, files)
    assert 'href="plates/one.stl"' in text
    assert "not made: no solid" in text
    assert 'href="panel.step"' not in text
