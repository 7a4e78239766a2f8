"""``dryfit batch``: many layouts at once."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dryfit.cli.processors import usable
from dryfit.models.reading.errors import DryfitError, InputError, display_path

if TYPE_CHECKING:
    from dryfit.generators.batch import Row, Spread, Task

JOURNAL = ".dryfit-journal.jsonl"
STATUS = {"fits": 0, "tight": 0, "fails": 1, "wrong": 2, "broken": 3}


@click.command()
@click.argument("sources", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for the table and the builds.")
@click.option(
    "--fill", type=click.Path(path_type=Path), metavar="CSV",
    help="Table of parameters: each row is filled into the {name} fields of the one layout given.",
)  # fmt: skip
@click.option("--build", "building", is_flag=True, help="Build each layout into a folder of its name; else check only.")
@click.option("--only", multiple=True, metavar="KIND", help="With --build: only this kind of file; see `dryfit build`.")
@click.option("--quick", is_flag=True, help="Exact gaps only; do not cross-check with meshes.")
@click.option("--processes", type=click.IntRange(1, 256), metavar="N", help="By default one for each processor.")
@click.option("--scheduler", metavar="ADDRESS", help="Spread the work over this dask.distributed scheduler instead.")
@click.option("--force", is_flag=True, help="Replace files in the way that dryfit did not write, or that were changed.")
def batch(
    sources: tuple[Path, ...],
    *,
    out: Path,
    fill: Path | None,
    building: bool,
    only: tuple[str, ...],
    quick: bool,
    processes: int | None,
    scheduler: str | None,
    force: bool,
) -> None:
    """Check or build many layouts: SOURCES are layout files, or folders that are searched for them.

    Results go to OUT: results.csv, results.jsonl and index.html, in the order of the layouts. A layout that is wrong is
    told there and stops no other. A run that was stopped goes on where it stopped if it is started again.

    Exit status: the worst of all layouts: 0 nothing fails, 1 something fails, 2 a layout is wrong, 3 a fault of dryfit.

    \b
    Example:
      dryfit batch rooms/ --out results
      dryfit batch box.yaml --fill sizes.csv --out results --build --only dxf
    """
    from dryfit.generators.batch import Journal, Work, run
    from dryfit.generators.batch_table import TABLES, counted, worst, write_tables
    from dryfit.generators.folder import commit, rebuilding, refuse_strangers
    from dryfit.generators.manifest import MANIFEST

    out = Path(os.path.abspath(out))
    work = Work(quick, out if building else None, _known(only), force=force)
    tasks, spread = _tasks(sources, fill, out), _spread(processes, scheduler)
    with rebuilding(out, force) as staging:
        refuse_strangers(out, (*TABLES, MANIFEST), force)
        journal = Journal(out / JOURNAL, work)
        rows = _rows(run(tasks, work, journal, spread), len(tasks))
        write_tables(rows, staging, building)
        commit(out, staging, force)
        journal.path.unlink(missing_ok=True)
    click.echo(f"{counted(rows)}\n{display_path(out / TABLES[0])}\n{display_path(out / TABLES[2])}")
    sys.exit(STATUS[worst(rows)])


def _known(only: tuple[str, ...]) -> tuple[str, ...]:
    from dryfit.generators.writers.register import words
    from dryfit.models.reading.errors import UnknownName

    for word in only:
        if word not in words():
            raise UnknownName("kind of file", word, words())
    return only


def _spread(processes: int | None, scheduler: str | None) -> Spread:
    from dryfit.generators.batch import here, scheduled

    if scheduler is not None:
        return scheduled(scheduler)
    return here(processes or usable())


def _rows(coming: Iterable[tuple[int, Row]], total: int) -> list[Row]:
    """Return the rows in the order of the layouts, showing on a terminal how far they are."""
    rows: dict[int, Row] = {}
    with click.progressbar(length=total, label="layouts", file=sys.stderr, hidden=not sys.stderr.isatty()) as bar:
        for number, row in coming:
            rows[number] = row
            bar.update(1)
    return [rows[number] for number in range(total)]


# --- which layouts ---------------------------------------------------------------------------------------------------


def _tasks(sources: tuple[Path, ...], fill: Path | None, out: Path) -> list[Task]:
    """Return all layouts, each with a name of its own that serves for a folder beside the tables."""
    from dryfit.generators.batch_table import TABLES
    from dryfit.generators.manifest import MANIFEST

    tasks = list(_filled(sources, fill) if fill is not None else _found(sources, out))
    seen: dict[str, Task] = {}
    for task in tasks:
        first = seen.setdefault(task.name.casefold(), task)  # some systems know no capitals
        if first is not task:
            raise DryfitError(f"{display_path(first.path)} and {display_path(task.path)} have the same name")
        if (
            task.name in (*TABLES, MANIFEST)
            or not task.name.isprintable()
            or "." in {p[:1] for p in task.name.split("/")}
        ):
            raise DryfitError(f"{display_path(task.path)}: its name cannot be that of a folder of results")
    if not tasks:
        raise DryfitError(f"{', '.join(display_path(s) for s in sources)}: no layouts found, expected YAML files")
    return tasks


def _filled(sources: tuple[Path, ...], fill: Path) -> Iterator[Task]:
    from dryfit.generators.batch import Task
    from dryfit.models.filling import read_fillings
    from dryfit.models.layout import layout_text

    if len(sources) != 1:
        raise DryfitError("--fill: expected one layout file to fill")
    path, text = Path(os.path.abspath(sources[0])), layout_text(sources[0])
    for filling in read_fillings(fill, sources[0], text):
        yield Task(filling.name, path, text, filling.values)


def _found(sources: tuple[Path, ...], out: Path) -> Iterator[Task]:
    from dryfit.models.layout import looks_like_layout, yaml_files

    for source in sources:
        if not source.is_dir():
            yield _task(source.stem, source)
            continue
        for path in yaml_files(source):
            task = _task(path.relative_to(source).with_suffix("").as_posix(), path)
            if out not in task.path.parents and (task.unread or looks_like_layout(task.text)):
                yield task


def _task(name: str, path: Path) -> Task:
    """Return the task of a file; one that cannot be read is told in the table."""
    from dryfit.generators.batch import Task
    from dryfit.models.layout import layout_text

    where = Path(os.path.abspath(path))
    try:
        return Task(name, where, layout_text(path))
    except InputError as error:
        return Task(name, where, unread=str(error).replace(display_path(path), path.name))
