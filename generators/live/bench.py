"""The bench: the panels of a layout or a folder, worked on one thing at a time, the most urgent first.

One thread works, so that nothing has to be shared; others read the finished pages, and wait for the next.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import Condition

from dryfit.generators.live.files import Files
from dryfit.generators.live.notice import list_page, panel_page
from dryfit.generators.live.states import Outdated, Panel, State
from dryfit.generators.pipeline import judged
from dryfit.generators.report import Report
from dryfit.models.job import Job
from dryfit.models.layout import layout_text, looks_like_layout, yaml_files
from dryfit.models.reading.errors import InputError, display_path

LIST = ""
"""The name of the page that lists the panels; no panel has it."""
SETTLE = 0.15  # s that a mistake must stay: an editor may be caught half way through saving
RESCAN = 1.0  # s between looks for new layouts in a folder

Tell = Callable[[str], None]


@dataclass(frozen=True)
class Page:
    """A finished page, with a number that is another whenever it has changed."""

    number: int
    text: bytes


class Bench:
    """The panels of ``source``, a layout or a folder of them, and their pages; ``tell`` is told each new verdict."""

    def __init__(self, source: Path, tell: Tell = lambda text: None):
        self.source = source
        self.is_folder = source.is_dir()
        self.ended = False
        self._tell = tell
        self._files = Files()
        self._panels: dict[str, Panel] = {}
        self._pages: dict[str, Page] = {}
        self._wanted: list[str] = []  # names of panels that somebody has looked at, the latest first
        self._changed = Condition()
        self._looked = -RESCAN
        self._count = 0
        if self.is_folder:
            self._publish_list()
        else:
            self._wanted.append(source.name)
            self._panels[source.name] = Panel(source, self._files)

    @property
    def start(self) -> str:
        """The name of the page to open first."""
        return LIST if self.is_folder else self.source.name

    # --- the one who works --------------------------------------------------------------------------------------------

    def work(self) -> bool:
        """Do what is most urgent, and say whether there was anything to do."""
        self._rescan()
        name = next(self._to_read(), None)
        if name is not None:
            self._read(name)
            return True
        name = next(self._to_finish(), None)
        if name is not None:
            self._finish(name)
        return name is not None

    def _rescan(self) -> None:
        """Look for layouts that have come into the folder, or gone."""
        if not self.is_folder or time.monotonic() - self._looked < RESCAN:
            return
        self._looked = time.monotonic()
        found = dict(_layouts(self.source))
        gone, come = self._panels.keys() - found.keys(), found.keys() - self._panels.keys()
        with self._changed:
            for name in gone.difference(self._wanted):  # where one is looked at, the page says that it is gone
                del self._panels[name]
                self._pages.pop(name, None)
            for name in sorted(come):
                self._panels[name] = Panel(found[name], self._files)
        if gone or come:
            self._publish_list()

    def _to_read(self) -> Iterator[str]:
        wanted = list(self._wanted)
        rest = (name for name in self._panels if name not in wanted)
        return (name for name in (*wanted, *rest) if self._panels[name].is_changed)

    def _to_finish(self) -> Iterator[str]:
        states = ((name, self._panels[name].state) for name in list(self._wanted))
        return (name for name, state in states if state.report and not state.whole and not state.mistakes)

    def _read(self, name: str) -> None:
        panel = self._panels[name]
        state = panel.read()
        if state.mistakes and not panel.state.mistakes:
            time.sleep(SETTLE)
            if panel.is_changed:
                return
        self._publish(name, state)

    def _finish(self, name: str) -> None:
        panel = self._panels[name]
        try:
            self._publish(name, panel.finished(self._again))
        except Outdated:
            return

    def _again(self, job: Job) -> Report:
        """Judge a trial, unless something more urgent has come up."""
        if next((name for name in list(self._wanted) if self._panels[name].is_changed), None) is not None:
            raise Outdated
        return judged(job)

    def _publish(self, name: str, state: State) -> None:
        panel = self._panels[name]
        before, panel.state = panel.state, state
        another = (before.verdict, before.mistakes) != (state.verdict, state.mistakes)
        if another:  # told before it is shown: who sees the page may end it at once
            self._tell("\n".join([f"{name}: {state.verdict}", *(f"  {m.fault}" for m in state.mistakes)]))
        self._put(name, lambda number: panel_page(name, state, number, listed=self.is_folder))
        if another:
            self._publish_list()

    def _publish_list(self) -> None:
        if self.is_folder:
            states = {name: panel.state for name, panel in self._panels.items()}
            self._put(LIST, lambda number: list_page(display_path(self.source), states, number))

    def _put(self, name: str, make: Callable[[int], str]) -> None:
        self._count += 1
        page = Page(self._count, make(self._count).encode())
        with self._changed:
            self._pages[name] = page
            self._changed.notify_all()

    # --- those who read ----------------------------------------------------------------------------------------------

    def page(self, name: str, unlike: int = 0, patience: float = 0.0) -> Page | None:
        """Return a page as soon as its number is another than ``unlike``, or what there is after ``patience`` s."""
        with self._changed:
            self._want(name)
            self._changed.wait_for(lambda: self.ended or not self.has(name) or self._number(name) != unlike, patience)
            return self._pages.get(name)

    def has(self, name: str) -> bool:
        """Whether there is a page of a name, or will be."""
        return name in self._panels or name in self._pages

    def end(self) -> None:
        """Let nobody wait any longer."""
        with self._changed:
            self.ended = True
            self._changed.notify_all()

    def _number(self, name: str) -> int:
        return self._pages[name].number if name in self._pages else 0

    def _want(self, name: str) -> None:
        if name in self._panels:
            self._wanted = [name, *(other for other in self._wanted if other != name)]


def _layouts(folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield the layouts of a folder by their names; one that cannot be read may be one."""
    for path in yaml_files(folder):
        try:
            is_layout = looks_like_layout(layout_text(path))
        except InputError:
            is_layout = True
        if is_layout:
            yield path.relative_to(folder).as_posix(), path
