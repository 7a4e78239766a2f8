"""Wishes for hardware that no table can meet: told as faults of the layout, each with what there is instead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from dryfit.models.reading.errors import quote
from dryfit.models.reading.units import SAME_WRITTEN, format_mm
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import RIVET
from dryfit.models.wishes.hardware import Hardware, PlaceHardware

TOOTH = "tooth internal"  # what plain `tooth` means
NEAREST = 3  # sold lengths that are told


@dataclass(frozen=True)
class Unmet:
    """A wish that cannot be met: the keys below ``hardware`` where it stands, what is wrong, and what there is."""

    path: tuple[str | int, ...]
    what: str
    expected: str


def unmet(own: PlaceHardware, names: tuple[str, ...], forming: str | None) -> Iterator[Unmet]:
    """Yield what a place asks for that exists for none of the threads it may have (``names``; empty: the usual ones).

    ``forming`` is the thread-forming screw that the part's own boss takes, if it takes one.
    """
    if own.screw is not None:
        yield from (Unmet(("screw",), *found) for found in not_for_nuts(names, forming))
    threads = tuple(name for name in names or fasteners.usual("thread") if not name.startswith(RIVET))
    if not threads:
        return
    if own.head is not None and not any(fasteners.heads(name, own.head) for name in threads):
        yield Unmet(("head",), *_none(f"{own.head} head", threads, _heads(threads)))
    if own.nut not in (None, "none") and not any(fasteners.nuts(name, own.nut) for name in threads):
        yield Unmet(("nut",), *_none(f"nut of the kind {own.nut}", threads, _nuts(threads)))
    for number, kind in enumerate(own.washers or ()):
        wanted = TOOTH if kind == "tooth" else kind
        if not any(fasteners.washers(name, wanted) for name in threads):
            yield Unmet(("washers", number), *_none(f"{kind} washer", threads, _washers(threads)))
    if own.length is not None:
        yield from _not_sold(own.length, threads)


def unmet_by_all(wish: Hardware, names: tuple[str, ...], forming: tuple[str, ...]) -> Iterator[Unmet]:
    """Yield what a layout asks for on the whole panel that exists for none of the threads it allows."""
    for number, name in enumerate(names):
        for what, expected in not_for_nuts((name,), name if name in forming else None):
            yield Unmet(("threads", number), what, expected)
    threads = tuple(name for name in names or fasteners.usual("thread") if not name.startswith(RIVET))
    heads = [head for name in threads for kind in wish.heads or _heads((name,)) for head in fasteners.heads(name, kind)]
    if wish.drives and threads and not any(head.drive.startswith(wish.drives) for head in heads):
        has = dict.fromkeys(head.drive_kind for head in heads)
        yield Unmet(("drives",), *_none(f"{' or '.join(wish.drives)} head", threads, has))
    if wish.retention is not None and threads and not any(_kept(wish.retention, name) for name in threads):
        ways = (way for way in fasteners.retention_ways() if any(_kept(way, name) for name in threads))
        yield Unmet(("retention",), *_none(wish.retention, threads, ways))


def not_for_nuts(names: tuple[str, ...], forming: str | None) -> Iterator[tuple[str, str]]:
    """Yield thread-forming screws, which take no nut, where the part has no boss for them."""
    for name in names:
        if not name.startswith(RIVET) and name != forming and not fasteners.nuts(name):
            yield f"{quote(name)} is a thread-forming screw, which takes no nut", "a machine thread, such as M3"


def _not_sold(length: float, threads: tuple[str, ...]) -> Iterator[Unmet]:
    sold = sorted({sold for name in threads for sold in fasteners.sold_lengths(name)}, key=lambda s: abs(s - length))
    if sold and abs(sold[0] - length) > SAME_WRITTEN:
        what = f"no {' or '.join(threads)} screw is sold {format_mm(length)} long"
        yield Unmet(("length",), what, " or ".join(format_mm(s, 3) for s in sorted(sold[:NEAREST])))


def _none(what: str, threads: tuple[str, ...], there_is: Iterable[str]) -> tuple[str, str]:
    names = list(there_is)
    return f"there is no {what} for {' or '.join(threads)}", f"one of {', '.join(names)}" if names else "another thread"


def _heads(threads: tuple[str, ...]) -> dict[str, None]:
    return dict.fromkeys(head.kind for name in threads for head in fasteners.heads(name))


def _nuts(threads: tuple[str, ...]) -> dict[str, None]:
    return dict.fromkeys(nut.kind for name in threads for nut in fasteners.nuts(name))


def _washers(threads: tuple[str, ...]) -> dict[str, None]:
    return dict.fromkeys(washer.kind for name in threads for washer in fasteners.washers(name))


def _kept(way: str, name: str) -> bool:
    """Whether nut and washers of a way of keeping screws exist for a thread."""
    return any(
        fasteners.nuts(name, made.nut) and all(fasteners.washers(name, kind) for kind in made.washers)
        for made in fasteners.retention_ways()[way]
    )
