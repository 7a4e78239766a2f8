"""Many layouts: every one told once, in one table, whatever happens to the processes that work on them."""

from __future__ import annotations

import json
import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from dryfit.generators import pipeline
from dryfit.generators.batch import DIED, Journal, Numbered, Row, Task, Work, forget, here, row_of, run, scheduled
from dryfit.generators.batch_table import page, results_csv, results_jsonl
from dryfit.generators.clearance import gaps
from dryfit.generators.report import Report
from dryfit.models.job import Job
from dryfit.models.reading.errors import DryfitError
from tests.helpers import place

QUICK = Work(quick=True)


def text(label: str) -> str:
    one = place("xlr3-socket", label=label, at="[99, 44]")
    return f"title: T\npanel: {{rack_units: 2, thickness: 3 mm}}\nplaces:\n{one}\n"


def tasks(folder: Path, count: int = 6) -> list[Task]:
    """Return a few small layouts, one of them wrong."""
    good = [Task(f"panel {n}", folder / f"{n}.yaml", text(f"A{n}")) for n in range(count - 1)]
    return [*good[:2], Task("wrong", folder / "wrong.yaml", "places: []"), *good[2:]]


def in_order(coming: Iterator[Numbered], of: Sequence[Task]) -> list[Row]:
    """Return the rows in the order of the tasks; each must come once."""
    rows = list(coming)
    assert sorted(number for number, _ in rows) == list(range(len(of)))
    return [row for _, row in sorted(rows, key=lambda numbered: numbered[0])]


def test_the_table_is_the_same_however_many_processes(tmp_path: Path) -> None:
    of = tasks(tmp_path)
    alone = [row_of(task, QUICK) for task in of]
    assert [row.verdict == "wrong" for row in alone] == [False, False, True, False, False, False]
    assert alone[2].says.startswith("wrong.yaml:1: ")
    for processes in (1, 2):
        assert in_order(here(processes)(of, QUICK), of) == alone


def test_what_is_remembered_of_panels_can_be_dropped_at_any_time(tmp_path: Path) -> None:
    task = tasks(tmp_path)[0]
    before = row_of(task, QUICK)
    assert gaps.contact.cache_info().currsize > 0
    forget()
    assert gaps.contact.cache_info().currsize == 0
    assert row_of(task, QUICK) == before


def test_a_layout_that_breaks_dryfit_is_told_and_stops_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(job: Job) -> Report:
        raise ZeroDivisionError("by zero")

    monkeypatch.setattr(pipeline, "judged", broken)
    row = row_of(tasks(tmp_path)[0], QUICK)
    assert (row.verdict, row.says) == ("broken", "ZeroDivisionError: by zero")


def test_nothing_is_lost_or_told_twice_when_a_worker_is_killed(tmp_path: Path) -> None:
    of = tasks(tmp_path, 12)
    coming = here(2)(of, QUICK)
    rows = [next(coming)]
    for process in multiprocessing.active_children():
        process.kill()
    rows += coming
    assert in_order(iter(rows), of) == [row_of(task, QUICK) for task in of]


def test_a_layout_whose_worker_dies_each_time_is_told(tmp_path: Path) -> None:
    of, stop = tasks(tmp_path, 3), threading.Event()

    def reaper() -> None:
        while not stop.wait(0.05):
            for process in multiprocessing.active_children():
                process.kill()

    thread = threading.Thread(target=reaper)
    thread.start()
    try:
        rows = in_order(here(2)(of, QUICK), of)
    finally:
        stop.set()
        thread.join()
    assert {(row.verdict, row.says) for row in rows} == {("broken", DIED)}


def test_an_engine_gives_the_same_table_also_when_a_worker_is_killed(tmp_path: Path) -> None:
    from distributed import LocalCluster

    of = tasks(tmp_path, 20)
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:  # type: ignore[no-untyped-call]
        coming = scheduled(cluster.scheduler_address)(of, QUICK)
        rows = [next(coming)]
        os.kill(next(iter(cluster.workers.values())).pid, signal.SIGTERM)
        rows += coming
    assert in_order(iter(rows), of) == [row_of(task, QUICK) for task in of]


def test_where_no_scheduler_answers_one_line_says_so(tmp_path: Path) -> None:
    with pytest.raises(DryfitError, match=r"--scheduler nonsense://x: no scheduler answers there"):
        list(scheduled("nonsense://x")(tasks(tmp_path), QUICK))


def alone(asked: list[str]) -> object:
    """Return a way to work in this process that notes what it is asked for."""

    def spread(of: Sequence[Task], work: Work) -> Iterator[Numbered]:
        for number, task in enumerate(of):
            asked.append(task.name)
            yield number, row_of(task, work)

    return spread


def test_a_run_that_was_stopped_goes_on_where_it_stopped(tmp_path: Path) -> None:
    of, asked = tasks(tmp_path), list[str]()
    stopped = run(of, QUICK, Journal(tmp_path / "journal", QUICK), alone(asked))  # type: ignore[arg-type]
    first = [next(stopped), next(stopped)]
    with (tmp_path / "journal").open("a") as journal:
        journal.write('\n{"key": "torn by a k')
    again = list(run(of, QUICK, Journal(tmp_path / "journal", QUICK), alone(asked)))  # type: ignore[arg-type]
    assert again[:2] == first
    assert in_order(iter(again), of) == [row_of(task, QUICK) for task in of]
    assert sorted(asked) == sorted(task.name for task in of)


def test_what_has_changed_since_a_stop_is_done_again(tmp_path: Path) -> None:
    (tmp_path / "rack.yaml").write_text("parts: {}\n")
    one = [Task("one", tmp_path / "one.yaml", text("A") + "parts: [rack.yaml]\n")]

    def asked_for(task: Task, work: Work) -> int:
        asked = list[str]()
        list(run([task], work, Journal(tmp_path / "out" / "journal", work), alone(asked)))  # type: ignore[arg-type]
        return len(asked)

    (tmp_path / "out").mkdir()
    assert [asked_for(one[0], QUICK) for _ in range(2)] == [1, 0]
    assert asked_for(replace(one[0], text=one[0].text + "#\n"), QUICK) == 1
    assert asked_for(one[0], Work()) == 1
    (tmp_path / "rack.yaml").write_text("parts: {}\n# another day\n")
    assert asked_for(one[0], QUICK) == 1


def test_a_build_whose_folder_is_no_longer_whole_is_done_again(tmp_path: Path) -> None:
    task, work = Task("one", tmp_path / "one.yaml", text("A")), Work(folder=tmp_path / "out", only=("holes",))
    (tmp_path / "out").mkdir()
    journal, asked = tmp_path / "out" / "journal", list[str]()
    for _ in range(2):
        list(run([task], work, Journal(journal, work), alone(asked)))  # type: ignore[arg-type]
    assert asked == ["one"]
    (tmp_path / "out" / "one" / "holes.csv").unlink()
    list(run([task], work, Journal(journal, work), alone(asked)))  # type: ignore[arg-type]
    assert asked == ["one", "one"]


def test_tables_show_what_strangers_write_and_never_run_it() -> None:
    rows = [Row("=1+1", "<b>.yaml", "fails", says="<script>alert(1)</script>"), Row("b", "b.yaml", "fits")]
    assert "\r\n'=1+1," in results_csv(rows)
    assert "<script>" not in page(rows, True)
    assert "<b>" not in page(rows, True)
    assert [json.loads(line)["name"] for line in results_jsonl(rows).splitlines()] == ["=1+1", "b"]
