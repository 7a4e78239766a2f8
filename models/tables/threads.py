"""Threads: their sizes, the holes they pass and form, and the lengths their screws are sold in. All lengths mm."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Protocol, TypeVar

from dryfit.models.geometry.once import hashed_once
from dryfit.models.reading.errors import UnknownName
from dryfit.models.reading.tables import read_table


@hashed_once
@dataclass(frozen=True)
class Thread:
    """A thread: basic major diameter, its limits as made (6g or 2A), pitch, basic internal minor, stress area mm2.

    Of a thread-forming screw ``minor`` is the core and ``stress_area`` the core's.
    """

    name: str
    system: str  # metric or inch
    size: str  # as an order writes it: M3, 4-40
    number: str | None  # what people call it by alone: No. 4
    length_rule: str  # which row of the length tolerances holds for its screws
    major: float
    major_max: float
    major_min: float
    pitch: float
    minor: float
    minor_max: float | None  # of the internal thread, 6H or 2B
    stress_area: float
    standard: str
    source: str
    confidence: str


@dataclass(frozen=True)
class Clearance:
    """A clearance hole: fit is close, normal or loose (ISO 273: fine, medium, coarse)."""

    thread: str
    fit: str
    standard: str
    diameter: float
    source: str
    confidence: str


@dataclass(frozen=True)
class FormingScrew:
    """Pilot holes of a thread-forming screw; thread, heads and lengths stand in the tables of all screws."""

    name: str
    soft_plastic: float
    hard_plastic: float
    sheet_metal: float | None
    source: str
    confidence: str

    @property
    def major(self) -> float:
        """Diameter over the thread."""
        return thread(self.name).major

    @property
    def core(self) -> float:
        """Diameter of the core."""
        return thread(self.name).minor


@dataclass(frozen=True)
class _SoldLength:
    thread: str
    length: float
    source: str
    confidence: str


class OfThread(Protocol):
    """A row that belongs to one thread."""

    @property
    def thread(self) -> str:
        """Name of the thread."""


T = TypeVar("T", bound=OfThread)


def of_thread(rows: Iterable[T], name: str) -> tuple[T, ...]:
    """Return the rows of one thread."""
    return tuple(row for row in rows if row.thread == name)


@cache
def threads() -> tuple[Thread, ...]:
    """Return every thread, machine threads first."""
    return read_table("fasteners/threads", Thread, plain=("stress_area",))


def thread(name: str) -> Thread:
    """Return the thread that people call ``M3``, ``m3``, ``No. 4``, ``4-40`` or ``#4-40``.

    A bare number is none: to one it is a screw gauge, to another a diameter.

    Raises:
        UnknownName: with the nearest name there is.
    """
    found = _by_word().get(_folded(name))
    if found is None:
        raise UnknownName("thread", name, (row.name for row in threads()))
    return found


@cache
def _by_word() -> dict[str, Thread]:
    """Return the threads by all they are called; where two share a word, the first is meant."""
    words = [(word, row) for row in threads() for word in (row.name, row.size, row.number) if word is not None]
    return {_folded(word): row for word, row in reversed(words)}


def _folded(name: str) -> str:
    return re.sub(r"^no\.?", "#", re.sub(r"\s+", "", name.casefold()))


@cache
def clearances(thread: str | None = None) -> tuple[Clearance, ...]:
    """Return the clearance holes of a thread (None: all), from close to loose."""
    rows = read_table("fasteners/clearances", Clearance)
    return rows if thread is None else of_thread(rows, thread)


@cache
def forming_screws() -> tuple[FormingScrew, ...]:
    """Return the pilot holes of thread-forming screws."""
    return read_table("fasteners/forming_screws", FormingScrew)


def lengths(thread_name: str) -> tuple[float, ...]:
    """Return the lengths a screw of this thread is sold in, mm, shortest first."""
    return _lengths().get(thread_name, ())


@cache
def _lengths() -> dict[str, tuple[float, ...]]:
    sold: dict[str, list[float]] = {}
    for row in read_table("fasteners/lengths", _SoldLength):
        sold.setdefault(row.thread, []).append(row.length)
    return {name: tuple(sorted(found)) for name, found in sold.items()}
