"""Candidates: every stack that could be bought for a place, those a builder would take first coming first.

What the layout asks for narrows them; where it asks for everything, there is one, and the checks say what they think.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from dryfit.generators.bodies.parts import boss_thread
from dryfit.generators.checks.contexts import Fit
from dryfit.generators.joints.joint import Joint
from dryfit.generators.joints.stacks import Stack, lengths_to_try
from dryfit.models.catalogue.parts import Boss
from dryfit.models.job import HardwareWish, Mounting
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import RIVET, Head, Nut, Screw, Thread, Washer

USUAL_THREADS = ("M3", "No. 4-40", "No. 6-32", "M2.5", "No. 5-40", "M4")  # as builders have them at hand, best first
USUAL_HEADS = ("countersunk", "raised countersunk", "pan", "button")
Way = tuple[str, tuple[str, ...]]  # nut kind and washer kinds, from the panel outwards

RETENTIONS: dict[str, tuple[Way, ...]] = {
    "tooth washer": (("hexagon", ("tooth internal",)), ("narrow", ("tooth internal",)), ("thin", ("tooth internal",))),
    "split washer": (("hexagon", ("split",)), ("narrow", ("split",)), ("hexagon", ("plain", "split"))),
    "self-locking nut": (("self-locking", ()), ("self-locking", ("plain",))),
    "tooth-washer nut": (("tooth-washer nut", ()),),
    "thread locker": (("hexagon", ()), ("narrow", ()), ("thin", ()), ("hexagon", ("plain",))),
}
"""What each way of keeping a screw from working loose is made of, the better first (common practice)."""
LOCKING_NUTS = {"self-locking": "self-locking nut", "tooth-washer nut": "tooth-washer nut"}
"""The nuts that lock by themselves, by kind, with the way of keeping a screw that each is."""


def candidates(fit: Fit) -> Iterator[Stack]:
    """Yield the stacks that the layout allows at a place, those a builder would take first coming first."""
    joint, mounting = fit.joint, fit.mounting
    if joint is None or mounting.mount not in mounting.part.mount:
        return
    if joint.boss is not None:
        yield from _into_boss(mounting, joint, joint.boss)
        return
    yield from _riveted(mounting, joint)
    for thread in _threads(mounting):
        for head in _heads(mounting, joint, thread):
            for nut, washers in _nuts(mounting.wish, thread):
                yield from _lengths(mounting.wish, Stack(joint, Screw(thread, head, 1.0), nut, washers))


def _riveted(mounting: Mounting, joint: Joint) -> Iterator[Stack]:
    """Yield the rivets that the layout allows, one for each grip range."""
    for name in mounting.wish.threads:
        for screw in fasteners.riveted(name.removeprefix(RIVET)) if name.startswith(RIVET) else ():
            if mounting.wish.length in (None, screw.length):
                yield Stack(joint, screw, None)


def _into_boss(mounting: Mounting, joint: Joint, boss: Boss) -> Iterator[Stack]:
    """Yield the screws of the boss's own thread, if the layout allows that; washers asked for lie under the head."""
    thread = fasteners.thread(boss_thread(boss))
    if mounting.wish.threads and thread.name not in mounting.wish.threads and mounting.wish.is_own:
        return
    washers = _washers(mounting.wish.washers or (), thread)
    if washers is None or mounting.wish.nut not in (None, "none"):
        return
    for head in _heads(mounting, joint, thread):
        yield from _lengths(mounting.wish, Stack(joint, Screw(thread, head, 1.0), None, washers))


def _threads(mounting: Mounting) -> Iterator[Thread]:
    """Yield the threads allowed, the part's own usual one first where the layout leaves it open."""
    fixings = mounting.part.fixings
    own = (fixings.screw,) if fixings is not None and fixings.screw is not None else ()
    names = mounting.wish.threads or dict.fromkeys((*own, *USUAL_THREADS))
    return (fasteners.thread(name) for name in names if not name.startswith(RIVET))


def _heads(mounting: Mounting, joint: Joint, thread: Thread) -> Iterator[Head]:
    """Yield a head of each kind with a drive at hand, those that suit the seat first."""
    wish = mounting.wish
    kinds = USUAL_HEADS if joint.head.sink is not None else USUAL_HEADS[2:] + USUAL_HEADS[:2]
    at_hand = wish.heads or kinds
    for kind in (wish.head,) if wish.head else (k for k in kinds if k in at_hand):
        yield from [head for head in fasteners.heads(thread.name, kind) if _drives(wish, head)][:1]


def _drives(wish: HardwareWish, head: Head) -> bool:
    return not wish.drives or head.drive.startswith(wish.drives)


def _nuts(wish: HardwareWish, thread: Thread) -> Iterator[tuple[Nut | None, tuple[Washer, ...]]]:
    """Yield nuts with washers as the layout's wish and retention allow."""
    ways: Sequence[Way] = RETENTIONS[wish.retention] if wish.retention else _usual_ways()
    if wish.nut == "none":
        yield None, _washers(wish.washers or (), thread) or ()
        return
    if wish.nut is not None and all(kind != wish.nut for kind, _ in ways):
        ways = tuple((wish.nut, washers) for washers in dict.fromkeys(w for _, w in ways))
    seen = set()
    for kind, kinds in ways:
        pick = (kind, wish.washers if wish.washers is not None else kinds)
        nuts, washers = fasteners.nuts(thread.name, kind), _washers(pick[1], thread)
        if (wish.nut in (None, kind)) and nuts and washers is not None and pick not in seen:
            seen.add(pick)
            yield nuts[0], washers


def _usual_ways() -> tuple[Way, ...]:
    """Return every way, tooth washers first; split washers only when asked for, since they lock poorly."""
    return tuple(dict.fromkeys(w for name, ways in RETENTIONS.items() if name != "split washer" for w in ways))


def _washers(kinds: Sequence[str], thread: Thread) -> tuple[Washer, ...] | None:
    """Return the washers of these kinds, or None where a kind does not exist for the thread."""
    found = [fasteners.washers(thread.name, kind)[:1] for kind in kinds]
    return tuple(w[0] for w in found) if all(found) else None


def _lengths(wish: HardwareWish, stack: Stack) -> Iterator[Stack]:
    """Yield a stack in every length that its screw is sold in, or in the one asked for."""
    sold = fasteners.lengths(stack.thread.name)
    for length in (wish.length,) if wish.length is not None else lengths_to_try(stack, sold):
        yield replace(stack, screw=replace(stack.screw, length=length), metal=wish.metal or "")
