"""The bench: pages follow what is saved, mistakes are shown at their line, the last good panel stays."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators.live.bench import LIST, Bench
from dryfit.generators.live.files import Files
from dryfit.generators.live.states import Panel, State
from dryfit.generators.pipeline import check, cross_check, judged
from dryfit.generators.report import Report
from dryfit.models.job import Job
from dryfit.models.reading.errors import DryfitError
from dryfit.models.resolve import read_job
from tests.generators.live.layouts import save, settle, text_of
from tests.helpers import LAYOUTS

QUICK, FULL, WRONG = "meshes and remedies follow", "Checked in full", "What was saved cannot be built."
PART = """parts:
  my-socket: {{like: xlr3-socket, title: "{title}"}}
"""


def test_the_quick_answer_comes_first_and_the_full_one_after_it(tmp_path: Path) -> None:
    bench = Bench(save(tmp_path / "a.yaml"))
    assert bench.work()
    assert QUICK in text_of(bench, "a.yaml")
    assert bench.work()
    assert FULL in text_of(bench, "a.yaml")
    assert not bench.work()


def test_in_the_end_it_tells_what_check_tells(tmp_path: Path) -> None:
    path = Path(shutil.copy(LAYOUTS / "trouble.yaml", tmp_path))
    panel = Panel(path, Files())
    panel.state = panel.read()
    assert panel.finished(judged) == State(cross_check(check(read_job(path))), whole=True)


def test_what_is_saved_is_shown_and_numbers_grow(tmp_path: Path) -> None:
    bench = Bench(save(tmp_path / "a.yaml"))
    settle(bench)
    first = bench.page("a.yaml")
    save(tmp_path / "a.yaml", title="Two")
    settle(bench)
    second = bench.page("a.yaml")
    assert first is not None
    assert second is not None
    assert b"<h1>Two</h1>" in second.text
    assert f'data-live="{second.number}"'.encode() in second.text
    assert second.number > first.number


def test_a_file_touched_without_a_change_is_left_alone(tmp_path: Path) -> None:
    bench = Bench(save(tmp_path / "a.yaml"))
    settle(bench)
    save(tmp_path / "a.yaml")
    assert not bench.work()


def test_a_mistake_is_shown_at_its_line_and_the_last_good_panel_stays(tmp_path: Path) -> None:
    told: list[str] = []
    bench = Bench(save(tmp_path / "a.yaml", title="Good"), told.append)
    settle(bench)
    save(tmp_path / "a.yaml", title="Bad", part="xlr3-soket")
    settle(bench)
    text = text_of(bench, "a.yaml")
    assert WRONG in text
    assert "a.yaml, line 4</b>: unknown part 'xlr3-soket'" in text
    assert "Did you mean xlr3-socket?" in text
    assert "<mark>  - {part: xlr3-soket, at: [60, 22], label: A}</mark>" in text
    assert "<h1>Good</h1>" in text
    assert [line.split("\n")[0] for line in told] == ["a.yaml: tight", "a.yaml: wrong"]
    save(tmp_path / "a.yaml", title="Better")
    settle(bench)
    assert WRONG not in text_of(bench, "a.yaml")
    assert told[-1] == "a.yaml: tight"


def test_a_deleted_layout_is_told_and_one_that_comes_back_is_shown(tmp_path: Path) -> None:
    path = save(tmp_path / "a.yaml", title="Good")
    bench = Bench(path)
    settle(bench)
    path.unlink()
    settle(bench)
    assert "there is no such file" in text_of(bench, "a.yaml")
    assert "<h1>Good</h1>" in text_of(bench, "a.yaml")
    save(path, title="Back")
    settle(bench)
    assert "<h1>Back</h1>" in text_of(bench, "a.yaml")
    assert FULL in text_of(bench, "a.yaml")


def test_a_layout_that_is_wrong_from_the_start_has_a_page_that_says_so(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text("places: [<b>\n")
    bench = Bench(path)
    settle(bench)
    text = text_of(bench, "a.yaml")
    assert WRONG in text
    assert "places: [&lt;b&gt;" in text
    assert "<b>\n" not in text
    assert 'id="data"' not in text


def test_part_files_and_price_files_are_followed_also_where_they_are_missing(tmp_path: Path) -> None:
    layout, part, prices = tmp_path / "a.yaml", tmp_path / "my.yaml", tmp_path / "prices.csv"
    save(layout, part="my-socket")
    layout.write_text(layout.read_text() + "parts: [my.yaml]\nhardware: {prices: prices.csv}\n")
    bench = Bench(layout)
    settle(bench)
    assert "my.yaml</b>: there is no such file" in text_of(bench, "a.yaml")
    part.write_text(PART.format(title="My own"))
    settle(bench)
    assert "prices.csv</b>: there is no such file" in text_of(bench, "a.yaml")
    prices.write_text("item,pack,price,currency\n")
    settle(bench)
    assert "My own" in text_of(bench, "a.yaml")
    part.write_text(PART.format(title="My other own"))
    settle(bench)
    assert "My other own" in text_of(bench, "a.yaml")
    part.write_text(PART.format(title="My third own") + "  more: {like: nothing-there}\n")
    settle(bench)
    assert "my.yaml, line 3" in text_of(bench, "a.yaml")


def test_of_fifty_quick_saves_the_last_one_wins(tmp_path: Path) -> None:
    path = save(tmp_path / "a.yaml")
    bench = Bench(path)
    for n in range(50):
        save(path, title=f"Save {n}", part="xlr3-socket" if n % 7 else "nothing")
        bench.work()
    settle(bench)
    assert "<h1>Save 49</h1>" not in text_of(bench, "a.yaml")  # the 49th is wrong
    assert WRONG in text_of(bench, "a.yaml")
    save(path, title="Save 50")
    settle(bench)
    assert "<h1>Save 50</h1>" in text_of(bench, "a.yaml")
    assert FULL in text_of(bench, "a.yaml")


def test_a_save_ends_the_search_for_remedies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = Path(shutil.copy(LAYOUTS / "trouble.yaml", tmp_path / "a.yaml"))
    bench = Bench(path)
    assert bench.work()
    trials: list[Job] = []

    def judged_and_saved(job: Job) -> Report:
        trials.append(job)
        save(path, title="Saved meanwhile")
        return judged(job)

    monkeypatch.setattr("dryfit.generators.live.bench.judged", judged_and_saved)
    assert bench.work()
    assert len(trials) == 1
    assert QUICK in text_of(bench, "a.yaml")
    monkeypatch.undo()
    settle(bench)
    assert "<h1>Saved meanwhile</h1>" in text_of(bench, "a.yaml")


@pytest.mark.parametrize("error", [DryfitError("no room"), RuntimeError("our own")])
@pytest.mark.parametrize("stage", ["judged", "advised"])
def test_no_fault_of_any_kind_ends_the_watch(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception, stage: str
) -> None:
    def fail(*given: object) -> Report:
        raise error

    bench = Bench(save(tmp_path / "a.yaml"))
    with monkeypatch.context() as patched:
        patched.setattr(f"dryfit.generators.live.states.{stage}", fail)
        settle(bench)
    assert str(error) in text_of(bench, "a.yaml")
    save(tmp_path / "a.yaml", title="Again")
    settle(bench)
    assert FULL in text_of(bench, "a.yaml")


def test_a_half_saved_file_is_not_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = save(tmp_path / "a.yaml")
    told: list[str] = []
    bench = Bench(path, told.append)
    settle(bench)
    path.write_text("")

    def rest_is_saved(seconds: float) -> None:
        assert seconds > 0
        save(path, title="Whole")

    monkeypatch.setattr("dryfit.generators.live.bench.time.sleep", rest_is_saved)
    settle(bench)
    assert told == ["a.yaml: tight"]
    assert "<h1>Whole</h1>" in text_of(bench, "a.yaml")


def test_a_folder_has_a_list_that_follows_its_layouts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dryfit.generators.live.bench.RESCAN", 0.0)
    (tmp_path / "in").mkdir()
    save(tmp_path / "in" / "a & b.yaml", title="<i>")
    (tmp_path / "my.yaml").write_text(PART.format(title="No layout"))
    bench = Bench(tmp_path)
    assert "no layout in this folder yet" in text_of(bench, LIST)
    settle(bench)
    text = text_of(bench, LIST)
    assert '<a href="/panel/in/a%20%26%20b.yaml">in/a &amp; b.yaml</a></td><td role="cell">&lt;i&gt;</td>' in text
    assert "my.yaml" not in text
    save(tmp_path / "b.yaml", part="nothing")
    settle(bench)
    assert "unknown part" in text_of(bench, LIST)
    (tmp_path / "b.yaml").unlink()
    settle(bench)
    assert "b.yaml</a>" in text_of(bench, LIST)
    assert not bench.has("b.yaml")


def test_in_a_folder_only_what_is_looked_at_is_checked_in_full(tmp_path: Path) -> None:
    for name in ("a", "b"):
        save(tmp_path / f"{name}.yaml")
    bench = Bench(tmp_path)
    settle(bench)
    assert QUICK in text_of(bench, "a.yaml")
    settle(bench)
    assert FULL in text_of(bench, "a.yaml")
    (tmp_path / "a.yaml").unlink()
    bench._looked = -100.0
    settle(bench)
    assert "there is no such file" in text_of(bench, "a.yaml")  # not gone: somebody looks at it


def test_a_state_is_wrong_while_mistakes_stand_whatever_was_before(tmp_path: Path) -> None:
    panel = Panel(save(tmp_path / "a.yaml"), Files())
    state = panel.read()
    assert (State().verdict, state.verdict) == ("", "tight")
    save(tmp_path / "a.yaml", part="nothing")
    panel.state = state
    assert panel.read() == replace(state, mistakes=panel.read().mistakes)
    assert panel.read().verdict == "wrong"
