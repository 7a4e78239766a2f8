"""Many layouts: each checked or built by itself, a failing one isolated, the results in one table.

Work is spread over processes of this machine, or over an engine that is there already; the table is the same. Results
are noted in a journal as they come, so that a run that was stopped goes on where it stopped. A worker that dies loses
the layout it was at, which is tried once more; nothing is told twice.
"""

from __future__ import annotations

import hashlib
import json
import multiprocessing
import signal
import sys
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field, fields
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import Any

from dryfit.generators import pipeline
from dryfit.generators.build import build
from dryfit.generators.intake.solids.reals import with_solids
from dryfit.generators.manifest import read_manifest, torn
from dryfit.generators.report import Report
from dryfit.generators.writers.register import Order, chosen
from dryfit.models.catalogue.shelf import shelf_files
from dryfit.models.findings import Verdict
from dryfit.models.reading.errors import DryfitError, display_path
from dryfit.models.reading.stepfile import STEP_ENDS
from dryfit.models.resolve import parse_job
from dryfit.models.version import version

CHUNK = 8  # layouts handed to a worker at a time: enough to keep it busy, few enough to share the last ones out
MOST_TRIES = 2  # of a layout whose worker died
BESIDE = (".yaml", ".yml", ".csv", *STEP_ENDS)  # what a layout may name that lies in its folder
MOST_BY_ONE = 400  # layouts, then a fresh process takes over: what libraries keep does not add up
WRONG, BROKEN = "wrong", "broken"
VERDICTS = (*(str(verdict) for verdict in Verdict), WRONG, BROKEN)
DIED = f"the process at work on it died {MOST_TRIES} times, for want of memory perhaps"


@dataclass(frozen=True)
class Task:
    """One layout: its name in the table, where it lies, its text, and values for its fields; or why it is not read."""

    name: str
    path: Path
    text: str = ""
    values: Mapping[str, str] | None = None
    unread: str = ""


@dataclass(frozen=True)
class Work:
    """What is done with each layout: checked (``quick``: by exact gaps alone), or built into a folder of its name.

    All workers read the same shelf, wherever they run.
    """

    quick: bool = False
    folder: Path | None = None  # where folders are built; None: only check
    only: tuple[str, ...] = ()
    paper: str = ""
    force: bool = False
    shelf: tuple[Path, ...] = field(default_factory=shelf_files)


@dataclass(frozen=True)
class Row:
    """One line of the table: the verdict, the places by verdict, and the first thing to say."""

    name: str
    layout: str
    verdict: str
    places: int = 0
    fits: int = 0
    tight: int = 0
    fails: int = 0
    says: str = ""
    layout_sha256: str = ""
    dryfit: str = field(default_factory=version)


COLUMNS = tuple(f.name for f in fields(Row))

Numbered = tuple[int, Row]
Spread = Callable[[Sequence[Task], Work], Iterator[Numbered]]


# --- one layout ------------------------------------------------------------------------------------------------------


def row_of(task: Task, work: Work) -> Row:
    """Return the row of one layout, whatever happens to it."""
    if task.unread:
        return Row(task.name, task.path.name, WRONG, says=task.unread)
    try:
        return _row(task, work)
    except DryfitError as error:
        return Row(task.name, task.path.name, WRONG, says=_without_folder(_first_line(str(error)), task))
    except Exception as error:  # a fault of ours must not stop the others
        return Row(task.name, task.path.name, BROKEN, says=f"{type(error).__name__}: {_first_line(str(error))}")


def _row(task: Task, work: Work) -> Row:
    job = parse_job(task.path, task.text, task.values, work.shelf)
    report = pipeline.judged(job) if work.folder is None else pipeline.check(job)  # the table tells no remedies
    if work.folder is not None:
        report = with_solids(report)
        order, kinds = Order(report, work.paper), chosen(report, work.only)
        for _ in build(order, work.folder / task.name, kinds, work.only, work.force):
            pass
    elif not work.quick:
        report = pipeline.cross_check(with_solids(report))
    count = Counter(str(report.verdict_of(place.name)) for place in job.places)
    return Row(
        task.name, task.path.name, str(report.verdict), len(job.places), count["fits"], count["tight"], count["fails"],
        _worst(report), job.digest,
    )  # fmt: skip


def _worst(report: Report) -> str:
    """Return the first finding that is as bad as the whole, unless all is well."""
    finding = report.first_worst
    return "" if finding is None else ": ".join(filter(None, (finding.place, finding.check, finding.says)))


def _first_line(text: str) -> str:
    first, *more = text.splitlines() or [""]
    return f"{first} (and {len(more)} more)" if more else first


def _without_folder(text: str, task: Task) -> str:
    """Return a message without the folder of the layout: the table may travel."""
    return text.replace(f"{display_path(task.path.parent)}/", "").replace(f"{display_path(task.path.parent)}\\", "")


# --- the journal -----------------------------------------------------------------------------------------------------


class Journal:
    """Results as they come, one a line, each under the digest of all that it was made from."""

    def __init__(self, path: Path, work: Work):
        self.path = path
        self.work = work
        self.beside: dict[Path, bytes] = {}
        self.shelf = b"".join(_digest(path) for path in work.shelf)
        self.rows = dict(_entries(path))

    def done(self, task: Task) -> Row | None:
        """Return the row of a layout that was done already, of a build only if its folder is still whole."""
        row = self.rows.get(self.key(task))
        if row is None or self.work.folder is None or row.verdict not in tuple(map(str, Verdict)):
            return row
        manifest = read_manifest(self.work.folder / task.name)
        whole = manifest is not None and manifest.layout == row.layout_sha256 and not torn(self.work.folder / task.name)
        return row if whole else None

    def note(self, task: Task, row: Row) -> None:
        """Note a row."""
        with self.path.open("a", encoding="utf-8") as stream:
            stream.write("\n" + json.dumps({"key": self.key(task), **asdict(row)}))  # after what a kill tore

    def key(self, task: Task) -> str:
        """Return the digest of all that a row is made from."""
        work, values = repr((version(), self.work)), sorted((task.values or {}).items())
        whole = hashlib.sha256(
            repr((task.name, str(task.path), task.text, task.unread, values, work)).encode() + self.shelf
        )
        if any(key in task.text for key in ("parts", "prices", "drawer")):  # it may name files beside it
            whole.update(self._beside(task.path.parent))
        return whole.hexdigest()

    def _beside(self, folder: Path) -> bytes:
        """Return a digest of the part files, solids, prices and drawers that may lie in a folder or below it."""
        if folder not in self.beside:
            whole = hashlib.sha256()
            for path in sorted(folder.rglob("*")):
                if path.suffix.lower() in BESIDE and path.is_file() and self.path.parent not in path.parents:
                    whole.update(f"{path}\0".encode() + path.read_bytes())
            self.beside[folder] = whole.digest()
        return self.beside[folder]


def _digest(path: Path) -> bytes:
    return hashlib.sha256(path.read_bytes()).digest()


def _entries(path: Path) -> Iterator[tuple[str, Row]]:
    with suppress(FileNotFoundError):
        for line in path.read_text(encoding="utf-8", errors="replace").split("\n"):
            with suppress(ValueError, TypeError, KeyError):  # a line torn by a kill
                entry = json.loads(line)
                yield entry.pop("key"), Row(**entry)


def run(tasks: Sequence[Task], work: Work, journal: Journal, spread: Spread) -> Iterator[Numbered]:
    """Yield the row of every task with its number, in the order in which they come; what was done already first."""
    left = []
    for number, task in enumerate(tasks):
        row = journal.done(task)
        if row is None:
            left.append(number)
        else:
            yield number, row
    for at, row in spread([tasks[number] for number in left], work):
        journal.note(tasks[left[at]], row)
        yield left[at], row


# --- processes of this machine ---------------------------------------------------------------------------------------


@dataclass
class _Worker:
    process: Any
    connection: Connection
    undone: deque[tuple[int, Task]] = field(default_factory=deque)
    taken: int = 0

    def take(self, waiting: deque[tuple[int, Task]], retried: Counter[int]) -> None:
        """Take a few layouts on; one whose worker died before comes alone."""
        while waiting and len(self.undone) < CHUNK:
            if self.undone and (retried[waiting[0][0]] or retried[self.undone[-1][0]]):
                break
            self.undone.append(waiting.popleft())
        self.taken += len(self.undone)
        self.connection.send(list(self.undone))

    def stop(self) -> None:
        """End the process, at once."""
        self.connection.close()
        self.process.terminate()
        self.process.join()


def here(processes: int) -> Spread:
    """Return the way to spread layouts over processes of this machine."""

    def spread(tasks: Sequence[Task], work: Work) -> Iterator[Numbered]:
        waiting, tries = deque(enumerate(tasks)), Counter[int]()
        crew: list[_Worker] = []
        try:
            while waiting or crew:
                while waiting and len(crew) < processes:
                    crew.append(_hired(work))
                    crew[-1].take(waiting, tries)
                for ready in wait([worker.connection for worker in crew]):
                    worker = next(w for w in crew if w.connection is ready)
                    yield from _heard(worker, crew, waiting, tries)
        finally:
            for worker in crew:
                worker.stop()

    return spread


def _hired(work: Work) -> _Worker:
    context = multiprocessing.get_context("spawn")  # nothing of this process leaks in, on every system alike
    ours, theirs = context.Pipe()
    process = context.Process(target=_serve, args=(theirs, work), daemon=True)
    process.start()
    theirs.close()  # so that its end is the connection's end
    return _Worker(process, ours)


def _heard(
    worker: _Worker, crew: list[_Worker], waiting: deque[tuple[int, Task]], tries: Counter[int]
) -> Iterator[Numbered]:
    """Yield what a worker has to tell: a row, or by its death that the layout it was at is to be tried again."""
    try:
        row = worker.connection.recv()
    except (EOFError, OSError):
        number, task = worker.undone[0]
        tries[number] += 1
        if tries[number] == MOST_TRIES:
            worker.undone.popleft()
            yield number, Row(task.name, task.path.name, BROKEN, says=DIED)
        waiting.extendleft(reversed(worker.undone))
        crew.remove(worker)
        worker.stop()
        return
    yield worker.undone.popleft()[0], row
    if worker.undone:
        return
    if waiting and worker.taken < MOST_BY_ONE:
        worker.take(waiting, tries)
    else:
        crew.remove(worker)
        worker.stop()


def _serve(connection: Connection, work: Work) -> None:
    """Work on layouts as they are handed in, until the other side is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the first process is asked to stop, and stops us
    with suppress(EOFError, OSError):
        while True:
            for _, task in connection.recv():
                connection.send(row_of(task, work))
            forget()


# --- an engine that is there already ---------------------------------------------------------------------------------


def scheduled(address: str) -> Spread:
    """Return the way to spread layouts over the workers of a dask.distributed scheduler, which see the same disk."""
    try:
        import distributed
    except ImportError:
        raise DryfitError("--scheduler needs the package distributed: pip install 'dryfit[cluster]'") from None

    def spread(tasks: Sequence[Task], work: Work) -> Iterator[Numbered]:
        try:
            client = distributed.Client(address, set_as_default=False)
        except (OSError, ValueError) as error:
            raise DryfitError(f"--scheduler {address}: no scheduler answers there: {_first_line(str(error))}") from None
        with client:
            yield from _gathered(client, list(enumerate(tasks)), work)

    return spread


def _gathered(client: Any, tasks: list[tuple[int, Task]], work: Work) -> Iterator[Numbered]:
    """Yield rows as the engine has them; a chunk that its workers died of is tried again, one by one."""
    from distributed import as_completed

    def submitted(chunk: list[tuple[int, Task]]) -> Any:
        future = client.submit(_rows, [task for _, task in chunk], work, pure=False)
        chunks[future.key] = chunk
        return future

    chunks: dict[str, list[tuple[int, Task]]] = {}
    first = [submitted(tasks[at : at + CHUNK]) for at in range(0, len(tasks), CHUNK)]
    coming = as_completed(first, loop=client.loop)
    for future in coming:
        chunk = chunks.pop(future.key)
        if future.status == "finished":
            yield from zip((number for number, _ in chunk), future.result(), strict=True)
        elif len(chunk) > 1 or future.status != "error":
            for one in chunk:
                coming.add(submitted([one]))
        else:
            number, task = chunk[0]
            yield number, Row(task.name, task.path.name, BROKEN, says=DIED)


def _rows(tasks: Iterable[Task], work: Work) -> list[Row]:
    rows = [row_of(task, work) for task in tasks]
    forget()
    return rows


def forget() -> None:
    """Drop what the generators remember of panels they have seen: of thousands it would fill the memory."""
    for name, module in list(sys.modules.items()):
        if name.startswith("dryfit.generators."):
            for thing in list(vars(module).values()):
                if hasattr(thing, "cache_clear"):
                    thing.cache_clear()
