"""Candidates: every stack that could be bought for a place, those a builder would take first coming first.

What the layout asks for narrows them; where it asks for everything, there is one, and the checks say what they think.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from typing import TypeVar

from dryfit.generators.joints.joint import Joint
from dryfit.generators.joints.stacks import Stack, lengths_to_try
from dryfit.models.catalogue.parts import Boss
from dryfit.models.geometry.once import kept
from dryfit.models.job import HardwareWish, Mounting
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import RIVET, Head, Nut, RetentionWay, Screw, Thread, Washer

T = TypeVar("T")
DISTINCT = 128  # parts as they are mounted whose candidates are remembered: some hundreds of stacks each


@dataclass(frozen=True)
class Family:
    """Stacks that differ in nothing but the length of their screw, at least one, and the lengths to try, best first."""

    stack: Stack
    lengths: tuple[float, ...]

    def __iter__(self) -> Iterator[Stack]:
        """Yield the stacks."""
        return iter(self._stacks)

    @property
    def first(self) -> Stack:
        """The stack with the length to try first."""
        return self._stacks[0]

    @kept
    def _stacks(self) -> tuple[Stack, ...]:
        return tuple(replace(self.stack, screw=replace(self.stack.screw, length=length)) for length in self.lengths)


def candidates(mounting: Mounting, joint: Joint) -> Iterator[Stack]:
    """Yield the stacks that the layout allows in a joint, those a builder would take first coming first."""
    return (stack for family in families(mounting, joint) for stack in family)


@lru_cache(maxsize=DISTINCT)
def families(mounting: Mounting, joint: Joint) -> tuple[Family, ...]:
    """Return the same, with those together that differ in length only."""
    return tuple(_allowed(mounting, joint))


def _allowed(mounting: Mounting, joint: Joint) -> Iterator[Family]:
    if mounting.mount not in mounting.part.mount:
        return
    if joint.boss is not None:
        yield from _into_boss(mounting, joint, joint.boss)
        return
    yield from _riveted(mounting, joint)
    for thread in _threads(mounting):
        for head in _heads(mounting, joint, thread):
            for nut, washers in _nuts(mounting.wish, thread):
                yield _family(mounting.wish, Stack(joint, Screw(thread, head, 1.0), nut, washers))


def _riveted(mounting: Mounting, joint: Joint) -> Iterator[Family]:
    """Yield the rivets that the layout allows, one for each grip range, the nearest to what is gripped first."""
    for name in mounting.wish.threads:
        screws = fasteners.riveted(name.removeprefix(RIVET)) if name.startswith(RIVET) else ()
        stacks = [Stack(joint, s, None) for s in screws if mounting.wish.length in (None, s.length)]
        for stack in sorted(stacks, key=_out_of_grip):
            yield Family(stack, (stack.screw.length,))


def _out_of_grip(stack: Stack) -> float:
    """Return how far what is gripped lies outside the grips of a rivet, mm."""
    rivet = stack.screw.rivet
    assert rivet is not None  # the caller made it of one
    return max(0.0, rivet.grip_min - stack.grip, stack.grip - rivet.grip_max)


def _into_boss(mounting: Mounting, joint: Joint, boss: Boss) -> Iterator[Family]:
    """Yield the screws of the boss's own thread, if the layout allows that; washers asked for lie under the head."""
    thread = fasteners.thread(boss.screw)
    if mounting.wish.threads and thread.name not in mounting.wish.threads and mounting.wish.is_own:
        return
    if mounting.wish.nut not in (None, "none"):
        return
    for head in _heads(mounting, joint, thread):
        for washers in _washers(mounting.wish, mounting.wish.washers or (), thread):
            yield _family(mounting.wish, Stack(joint, Screw(thread, head, 1.0), None, washers))


def _threads(mounting: Mounting) -> Iterator[Thread]:
    """Yield the threads allowed: where the layout leaves it open the part's own, the usual ones, those at hand."""
    fixings = mounting.part.fixings
    own = (fixings.screw,) if fixings is not None and fixings.screw is not None else ()
    at_hand = (one.thread.name for one in mounting.wish.at_hand if isinstance(one, Screw))
    more = (name for name in at_hand if fasteners.nuts(name))
    names = mounting.wish.threads or dict.fromkeys((*own, *fasteners.usual("thread"), *more))
    return (fasteners.thread(name) for name in names if not name.startswith(RIVET))


def _heads(mounting: Mounting, joint: Joint, thread: Thread) -> Iterator[Head]:
    """Yield a head of each kind with a drive at hand, and those in the drawer; those that suit the seat first."""
    wish, sunk = mounting.wish, joint.head.sink is not None
    kinds = (wish.head,) if wish.head else (k for k in fasteners.usual("head") if k in (wish.heads or (k,)))
    at_hand = [one.head for one in wish.at_hand if isinstance(one, Screw)]
    driven = ([head for head in fasteners.heads(thread.name, kind) if _drives(wish, head)] for kind in kinds)
    found = [head for of_kind in driven for head in _first_and(of_kind, at_hand)]
    yield from sorted(found, key=lambda head: (head.angle is not None) is not sunk)


def _first_and(rows: Sequence[T], at_hand: Iterable[object]) -> Iterator[T]:
    """Yield the row that is taken of several alike, the first, and those that are in the drawer."""
    there = tuple(at_hand)
    return (row for number, row in enumerate(rows) if number == 0 or row in there)


def _drives(wish: HardwareWish, head: Head) -> bool:
    return not wish.drives or head.drive.startswith(wish.drives)


def _nuts(wish: HardwareWish, thread: Thread) -> Iterator[tuple[Nut | None, tuple[Washer, ...]]]:
    """Yield nuts with washers as the layout's wish and retention allow."""
    if wish.nut == "none":
        yield from ((None, washers) for washers in _washers(wish, wish.washers or (), thread) or [()])
        return
    for kind, kinds in dict.fromkeys(_picks(wish)):
        for nut in _first_and(fasteners.nuts(thread.name, kind), wish.at_hand):
            yield from ((nut, washers) for washers in _washers(wish, kinds, thread))


def _picks(wish: HardwareWish) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield kinds of nut and washers; a wished nut that no way has takes the washers of every way."""
    ways = fasteners.retention_ways()[wish.retention] if wish.retention else _usual_ways()
    is_known = wish.nut is None or any(way.nut == wish.nut for way in ways)
    for way in ways:
        if wish.nut in (None, way.nut) or not is_known:
            yield wish.nut or way.nut, wish.washers if wish.washers is not None else way.washers


def _usual_ways() -> tuple[RetentionWay, ...]:
    """Return every way, tooth washers first; split washers only when asked for, since they lock poorly."""
    return tuple(w for name, ways in fasteners.retention_ways().items() if name != "split washer" for w in ways)


def _washers(wish: HardwareWish, kinds: Sequence[str], thread: Thread) -> list[tuple[Washer, ...]]:
    """Return the washers of these kinds, in every way there is; none where a kind does not exist for the thread."""
    found = (_first_and(fasteners.washers(thread.name, kind), wish.at_hand) for kind in kinds)
    return list(product(*found))


def _family(wish: HardwareWish, stack: Stack) -> Family:
    """Return a stack in every length that its screw is sold in, or in the one asked for."""
    stack = replace(stack, metal=wish.metal or "")
    if wish.length is not None:
        return Family(stack, (wish.length,))
    return Family(stack, tuple(lengths_to_try(stack, fasteners.lengths(stack.thread.name))))
