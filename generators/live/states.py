"""What is known of a panel as its files stand: the last report that could be made, and what is wrong since then."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from dryfit.generators.intake.solids.reals import with_solids
from dryfit.generators.live.files import Files, Look
from dryfit.generators.pipeline import advised, cross_check, judged
from dryfit.generators.report import Report
from dryfit.models.job import Job
from dryfit.models.layout import read_layout
from dryfit.models.reading.errors import DryfitError, Fault, InputError, display_path
from dryfit.models.resolve import job_of
from dryfit.models.resolving.files import files_beside

CONTEXT = 2  # lines shown before and after the one that is wrong
LONGEST_LINE = 160  # letters of a line that are shown


class Outdated(Exception):
    """A file was saved while remedies were tried for what stood in it before."""


@dataclass(frozen=True)
class Line:
    """A line of a file, to be shown with a fault: its number, its text, whether it is the one that is wrong."""

    number: int
    text: str
    wrong: bool


@dataclass(frozen=True)
class Mistake:
    """A fault with the lines about it, as they stood when it was found."""

    fault: Fault
    lines: tuple[Line, ...] = ()


@dataclass(frozen=True)
class State:
    """``report`` is the last that could be made, ``whole`` with meshes and remedies in it; ``mistakes`` came after."""

    report: Report | None = None
    whole: bool = False
    mistakes: tuple[Mistake, ...] = ()

    @property
    def verdict(self) -> str:
        """What there is to say in one word."""
        if self.mistakes:
            return "wrong"
        return str(self.report.verdict) if self.report is not None else ""


class Panel:
    """The files of one panel, looked at again and again, and the state they give."""

    def __init__(self, path: Path, files: Files):
        self.path = path
        self.files = files
        self.paths: tuple[Path, ...] = (path,)
        self.state = State()
        self._seen: tuple[Look, ...] | None = None

    @property
    def is_changed(self) -> bool:
        """Whether its files are other than when they were last read."""
        return self._look() != self._seen

    def _look(self) -> tuple[Look, ...]:
        return tuple(self.files.look(path) for path in self.paths)

    def read(self) -> State:
        """Return the state of the files as they are now, judged by exact gaps alone, which is quick."""
        paths, before = self.paths, self._look()  # what changes while it is read shows at the next look
        try:
            report = judged(self._job())
        except Exception as error:
            state = replace(self.state, mistakes=tuple(self._mistakes(error)))
        else:
            state = State(report)
        self._seen = before if paths == self.paths else None  # files that are new here are read once more
        return state

    def _job(self) -> Job:
        layout = read_layout(self.path)
        self.paths = (self.path, *files_beside(layout))
        job = job_of(layout)
        self.paths = (*self.paths, *(one.path for one in job.solids.values()))
        return job

    def finished(self, again: Callable[[Job], Report]) -> State:
        """Return the state with all that ``dryfit check`` tells; ``again`` judges trials, or says they are outdated."""
        assert self.state.report is not None  # what could not be read is not finished
        try:
            return replace(self.state, report=cross_check(with_solids(advised(self.state.report, again))), whole=True)
        except Outdated:
            raise
        except Exception as error:
            return replace(self.state, mistakes=tuple(self._mistakes(error)))

    def _mistakes(self, error: Exception) -> Iterator[Mistake]:
        for fault in _faults(error, self.path):
            path = next((path for path in self.paths if display_path(path) == fault.file), None)
            yield Mistake(fault, tuple(_about(path, fault.line)) if path is not None and fault.line else ())


def _faults(error: Exception, path: Path) -> Iterable[Fault]:
    """Return what an error tells, fault by fault; what is a fault of ours must not end the watch."""
    if isinstance(error, InputError):
        return error.faults
    if isinstance(error, DryfitError):
        return [Fault(display_path(path), None, str(error))]
    return [Fault(display_path(path), None, f"a fault of dryfit itself: {type(error).__name__}: {error}")]


def _about(path: Path, number: int) -> Iterator[Line]:
    """Yield the lines about one of a file, as far as it can be read."""
    try:
        lines = path.read_text(encoding="utf-8", errors="replace").split("\n")
    except OSError:
        return
    for n, text in enumerate(lines, 1):
        if abs(n - number) <= CONTEXT:
            yield Line(n, text.rstrip()[:LONGEST_LINE], n == number)
