"""Bodies of parts, plugs and bush nuts, each in its own frame (see :mod:`dryfit.models.catalogue.parts`)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache

from dryfit.models.catalogue.parts import Boss, Bush, Fixings, Part, Plug, Side
from dryfit.models.geometry.bodies import TOUCHING, Body, Slice, Straight, Taper, prism
from dryfit.models.geometry.outlines import clearance, hexagon, round_
from dryfit.models.tables.fasteners import thread

BUSH_NUT = "bush nut"  # as its body is called
DISTINCT = 1024  # bodies remembered: some hundred kinds are in use at a time


@lru_cache(maxsize=DISTINCT)
def part_body(name: str, part: Part, mount: Side) -> Body:
    """Return the body of a part: rear sections, flange with its fixing holes, front sections, bosses bored."""
    rear = tuple(section.behind(0.0) for section in part.rear)
    front = tuple(section.ahead(part.flange.thick) for section in part.front)
    slices: Iterable[Slice] = (*rear, *_flange(part), *front)
    if part.fixings is not None and part.fixings.boss is not None:
        slices = _bored(slices, part, part.fixings, part.fixings.boss, mount)
    return Body(name, tuple(slices), part.metal, passed=(0.0, part.flange.thick))


def _flange(part: Part) -> Iterator[Slice]:
    """Yield the flange: with countersunk fixing holes in two slices, the lower one straight."""
    outline, thick, fixings = part.flange.outline, part.flange.thick, part.fixings
    if fixings is None or fixings.boss is not None:
        yield prism(outline, 0.0, thick)
        return
    straight = tuple(round_(fixings.hole).moved(*at) for at in fixings.at)
    cone = fixings.seat.depth_in(fixings.hole) if fixings.seat is not None else 0.0
    if fixings.seat is None or cone == 0:
        yield prism(outline, 0.0, thick, straight)
        return
    below = max(0.0, thick - cone)
    if below > 0:
        yield prism(outline, 0.0, below, straight)
    share = min(1.0, thick / cone)
    low = fixings.seat.diameter - (fixings.seat.diameter - fixings.hole) * share
    sinks = tuple(Taper(low, fixings.seat.diameter, *at) for at in fixings.at)
    yield Slice(Straight(outline), below, thick, sinks)


def _bored(slices: Iterable[Slice], part: Part, fixings: Fixings, boss: Boss, mount: Side) -> Iterator[Slice]:
    """Yield slices with the bosses bored at the diameter of their thread, where a screw in them touches and no more.

    A boss opens in the face that lies on the panel: the front one of a part that is mounted from the rear.
    """
    bore = round_(thread(boss.screw).major)
    opens_front = mount == "rear"
    low = part.flange.thick - boss.depth if opens_front else 0.0
    high = part.flange.thick if opens_front else boss.depth
    for whole in slices:
        for piece in _split(_split((whole,), low), high):
            inside = low - TOUCHING <= piece.z0 and piece.z1 <= high + TOUCHING
            bores = tuple(Straight(bore.moved(*at)) for at in fixings.at) if inside else ()
            around = piece.profile.at(0.0)
            held = tuple(b for b in bores if isinstance(piece.profile, Straight) and clearance(b.outline, around) >= 0)
            yield replace(piece, holes=piece.holes + held)


def _split(slices: Iterable[Slice], z: float) -> Iterator[Slice]:
    """Yield slices, the straight one that crosses the level z in two pieces."""
    for piece in slices:
        if isinstance(piece.profile, Straight) and piece.z0 + TOUCHING < z < piece.z1 - TOUCHING:
            yield replace(piece, z1=z)
            yield replace(piece, z0=z)
        else:
            yield piece


@lru_cache(maxsize=DISTINCT)
def plug_body(name: str, plug: Plug) -> Body:
    """Return the body of a plug: nose behind its shoulder, body in front."""
    nose = tuple(section.behind(0.0) for section in plug.nose)
    return Body(name, (*nose, *(section.ahead(0.0) for section in plug.body)), "plug")


@lru_cache(maxsize=DISTINCT)
def bush_nut_body(bush: Bush) -> Body:
    """Return the nut of a threaded bush and the washer under it, standing on z = 0."""
    bore = (round_(bush.thread),)
    nut = prism(hexagon(bush.nut_across), bush.washer, bush.washer + bush.nut_height, bore)
    if bush.washer == 0:
        return Body(BUSH_NUT, (nut,), "brass")
    ring = prism(round_(max(bush.washer_across, bush.nut_across)), 0.0, bush.washer, bore)
    return Body(f"{BUSH_NUT} with washer", (ring, nut), "brass")
