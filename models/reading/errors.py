"""What is said when the input is wrong: one line with the file, the line, what was found and what was expected."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path

MOST_TOLD = 20  # names or lines; a longer list would hide the message
MOST_SAID = 6  # items of a list that are repeated
LONGEST_QUOTE = 80  # characters of a stranger's text repeated in a message; more would bury the point


class DryfitError(Exception):
    """Base of every error that dryfit raises on purpose and the command line prints in one line.

    ``args`` are what the class is made from, as Python's own errors have it, so that every error can be pickled and
    thrown again in another process; ``str`` gives the line.
    """


@dataclass(frozen=True)
class Fault:
    """One thing wrong with one line of a file.

    ``line`` counts from 1, or is None where the file as a whole is meant. ``what`` says what was found,
    ``expected`` what would have been right, and ``nearest`` the closest valid name, if one is close. ``also`` are other
    lines of which the same is to be told.
    """

    file: str
    line: int | None
    what: str
    expected: str = ""
    nearest: str = ""
    also: tuple[int, ...] = ()

    def __str__(self) -> str:
        where = self.file if self.line is None else f"{self.file}:{self.line}"
        text = f"{where}: {self.what}"
        if self.expected:
            text += f", expected {self.expected}"
        if self.nearest:
            text += f" (did you mean {self.nearest}?)"
        if self.also:
            more = ", ".join(map(str, self.also[:MOST_TOLD])) + (", ..." if len(self.also) > MOST_TOLD else "")
            text += f"; so on line{'s' * (len(self.also) > 1)} {more}"
        return " ".join(text.split())


class InputError(DryfitError):
    """A file from outside is wrong; carries every fault found in one run, each once, in order of line."""

    def __init__(self, faults: Iterable[Fault]):
        self.faults: tuple[Fault, ...] = tuple(_each_once(faults))
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


def _each_once(faults: Iterable[Fault]) -> Iterator[Fault]:
    """Yield faults in order of line, those that say the same of several lines once."""
    alike: dict[Fault, list[Fault]] = {}
    for fault in sorted(set(faults), key=lambda f: (f.file, f.line or 0, f.what)):
        alike.setdefault(replace(fault, line=None, also=()), []).append(fault)
    for first, *others in alike.values():
        more = {line for fault in (first, *others) for line in (fault.line, *fault.also) if line} - {first.line}
        yield replace(first, also=tuple(sorted(more)))


class Misplaced(ValueError):
    """What a record says against one of its keys: ``key`` is the way to it, so that its own line is told."""

    def __init__(self, key: tuple[str | int, ...], what: str):
        self.key = key
        self.what = what
        super().__init__(key, what)

    def __str__(self) -> str:
        return self.what


class UnknownName(DryfitError, KeyError):
    """A name that no table holds; ``nearest`` is what may be meant, by default the closest valid name, or empty."""

    def __init__(self, kind: str, found: str, candidates: Iterable[str], nearest: str | None = None):
        self.kind = kind
        self.found = found
        self.candidates = tuple(candidates)
        self.nearest = nearest_name(found, self.candidates) if nearest is None else nearest
        super().__init__(kind, found, self.candidates, self.nearest)

    def __str__(self) -> str:
        hint = f" (did you mean {self.nearest}?)" if self.nearest else ""
        if not self.nearest and 0 < len(self.candidates) <= MOST_TOLD:
            hint = f", expected one of {', '.join(self.candidates)}"
        return f"unknown {self.kind} {quote(self.found)}{hint}"


def nearest_name(found: str, candidates: Sequence[str], least: float = 0.5) -> str:
    """Return the candidate that reads most like ``found``, or an empty string if none is close.

    ``least`` is the share of letters that must agree.
    """
    import difflib  # only on the way to an error

    folded = {name.casefold(): name for name in candidates}
    close = difflib.get_close_matches(found.casefold()[:LONGEST_QUOTE], folded, n=1, cutoff=least)
    return folded[close[0]] if close else ""


def number_of(count: int, noun: str) -> str:
    """Return ``1 place``, ``2 places``: a count with its noun."""
    return f"{count} {noun}{'s' * (count != 1)}"


def begun(words: str) -> str:
    """Return words as a sentence begins with them."""
    return words[:1].upper() + words[1:]


def in_series(words: Iterable[str]) -> str:
    """Return words one after the other as a sentence has them: ``a, b and c``."""
    *before, last = words
    return f"{', '.join(before)} and {last}" if before else last


def quote(value: object) -> str:
    """Return a stranger's value as printable text of bounded length, in quotes."""
    text = str(value)
    if len(text) > LONGEST_QUOTE:
        text = text[: LONGEST_QUOTE - 1] + "…"
    return repr(text)


def said(value: object) -> str:
    """Return a stranger's value as a message repeats it: text in quotes, numbers as they are, no value as nothing."""
    return f"{_said(value, 2):.{LONGEST_QUOTE}}"


def _said(value: object, deep: int) -> str:
    """Return a value as a file has it, lists and keys so many levels down."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        pairs = (f"{key}" if inner is None else f"{key}: {_said(inner, deep - 1)}" for key, inner in value.items())
        return "{" + _listed(pairs, len(value), deep) + "}"
    if isinstance(value, list | tuple):
        return "[" + _listed((_said(item, deep - 1) for item in value), len(value), deep) + "]"
    return "nothing" if value is None else repr(value)


def _listed(items: Iterable[str], count: int, deep: int) -> str:
    if deep <= 0 < count:
        return "..."
    return ", ".join([*islice(items, MOST_SAID), *(["..."] if count > MOST_SAID else [])])


def printable(text: str) -> str:
    """Return text with a space for each letter that cannot be shown."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def display_path(path: Path | str) -> str:
    """Return a path as messages show it: as given, with control characters made visible."""
    return str(path).encode("unicode_escape").decode("ascii") if not str(path).isprintable() else str(path)
