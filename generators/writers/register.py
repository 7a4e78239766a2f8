"""The register of files, and what a file is made from.

A file brings its own row: the word that ``--only`` takes, its name, what it is for, and the function that makes it,
decorated with ``file_kind``. Asking for the rows imports every module of this package, so these import the heavy
libraries they write with inside their functions.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TypeVar, cast

from dryfit.generators.lists.failing import Fails, failing, titled
from dryfit.generators.report import Report
from dryfit.generators.tolerances import GENERAL, Tolerances, tolerances
from dryfit.models.measures import Measures, measures
from dryfit.models.printer import Printer
from dryfit.models.reading.errors import DryfitError, UnknownName
from dryfit.models.titles import BLANK, Titles

T = TypeVar("T")


@dataclass(frozen=True)
class Order:
    """What the files are made from: the report, the paper of the shop drawing, the printer of the test plate.

    ``done`` are the files made before, for the page that lists them: each with an empty text or why it was not made.
    """

    report: Report
    paper: str = ""  # of the drawings; empty: A3, or Tabloid where they are in inches
    printer: Printer | None = None  # None: a generic one
    size: tuple[int, int] | None = None  # of pictures, in pixels; None: each as suits it
    transparent: bool = False  # whether pictures have no background
    step_legends: bool = field(default=False, kw_only=True)  # whether the panel's STEP has them as faces
    shop: Titles = BLANK  # what the shop's own file says for title blocks
    done: tuple[tuple[FileKind, str], ...] = ()
    _made: dict[object, object] = field(default_factory=dict, repr=False, compare=False)

    @property
    def fails(self) -> Fails:
        """What fails, for files that say so; nothing of a panel that may be made."""
        return failing(self.report.findings)

    @property
    def title(self) -> str:
        """The panel's title as files bear it, which says so in front where it is not for manufacture."""
        return titled(self.report.job.title, self.fails)

    @property
    def titles(self) -> Titles:
        """What stands in title blocks: the layout's own word before the shop's."""
        return self.report.job.titles.over(self.shop)

    @property
    def allowed(self) -> Tolerances:
        """The tolerances that the checks leave; the general ones where the panel is not for manufacture anyhow."""
        return self.once(_allowed)

    @property
    def written(self) -> Measures:
        """How lengths are written on what is drawn."""
        return measures(self.titles.units, self.report.job.inches)

    @property
    def drawing_paper(self) -> str:
        """Paper of the drawings."""
        return self.paper or ("Tabloid" if self.written.inches else "A3")

    @property
    def small_paper(self) -> str:
        """Paper for pages that come from a desk printer: A4, or Letter where the drawing is on inch paper."""
        return "Letter" if self.drawing_paper in {"Letter", "Tabloid"} else "A4"

    def once(self, make: Callable[[Order], T]) -> T:
        """Return what ``make`` makes of this order: once for all files that share it, also where it fails."""
        if make not in self._made:
            try:
                self._made[make] = make(self)
            except DryfitError as error:
                self._made[make] = error
        made = self._made[make]
        if isinstance(made, DryfitError):
            raise made
        return cast(T, made)


def _allowed(order: Order) -> Tolerances:
    return GENERAL if order.fails else tolerances(order.report)


Maker = Callable[[Order, Path], None]


def always(report: Report) -> bool:
    """Whether a file that every panel has is made: it is."""
    return True


@dataclass(frozen=True)
class FileKind:
    """One file: the word that ``--only`` takes, its name, what it is for, what makes it, and for which reports.

    A name that ends with a slash is that of a folder: its maker fills it.
    """

    word: str
    name: str
    purpose: str
    make: Maker
    when: Callable[[Report], bool] = always


ORDER = (
    "report",
    "drawing",
    "dxf",
    "template",
    "holes",
    "parts",
    "assembly",
    "step",
    "stl",
    "test-plate",
    "glb",
    "pictures",
    "page",
)
"""The order in which files are made and told, by their words. A word that is not named here comes last."""

_KINDS: list[FileKind] = []


def file_kind(word: str, name: str, purpose: str, when: Callable[[Report], bool] = always) -> Callable[[Maker], Maker]:
    """Register a file with the function that makes it, for the reports of which ``when`` is true."""

    def register(make: Maker) -> Maker:
        _KINDS.append(FileKind(word, name, purpose, make, when))
        return make

    return register


@cache
def kinds() -> tuple[FileKind, ...]:
    """Return all files in the order of telling; those of one word as their module has them."""
    package = importlib.import_module("dryfit.generators.writers")
    for module in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"{package.__name__}.{module.name}")
    return tuple(sorted(_KINDS, key=_in_order))


def _in_order(kind: FileKind) -> tuple[int, str]:
    """Return what sorts files: their words, then their modules, whichever was imported first."""
    return ORDER.index(kind.word) if kind.word in ORDER else len(ORDER), kind.make.__module__


def named(name: str) -> FileKind:
    """Return the kind of a file's name, such as ``panel.dxf``.

    Raises:
        UnknownName: if no file is called so.
    """
    by_name = {kind.name: kind for kind in kinds()}
    if name not in by_name:
        raise UnknownName("file", name, by_name)
    return by_name[name]


def words() -> tuple[str, ...]:
    """Return the words that name files, each once."""
    return tuple(dict.fromkeys(kind.word for kind in kinds()))


def chosen(report: Report, only: Iterable[str] = ()) -> tuple[FileKind, ...]:
    """Return the files to make of a report: all, or those of the words given.

    Raises:
        UnknownName: for a word that names no file.
    """
    wanted = tuple(only)
    for word in wanted:
        if word not in words():
            raise UnknownName("kind of file", word, words())
    return tuple(kind for kind in kinds() if kind.when(report) and (not wanted or kind.word in wanted))
