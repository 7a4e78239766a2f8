"""The looks of parts and plugs drawn out: their envelopes carved, their pieces put in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from dryfit.generators.looks.carving import Gouge, carved
from dryfit.generators.looks.shapes import Layer, Ring, Spot, Turning, area_of, layers, ribbed, threaded, turning
from dryfit.models.catalogue.looks import Cut, Figure, Levels, Look, Piece, Stand, around, envelope, levels_of
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.geometry.bodies import Slice
from dryfit.models.geometry.outlines import Outline

PLAIN = Look()


def drawn_out(one: Part | Plug, look: Look, slices: Iterable[Slice], finish: str) -> Iterator[Layer | Turning]:
    """Yield what is drawn of a part or plug whose body, with its fixing holes, has these slices."""
    levels, about = levels_of(one), envelope(one)
    gouges = [_gouge(cut, levels, about) for cut in look.cut.values()]
    for s in slices:
        yield from carved((s,), gouges, look.finish or finish, _thread(one, s))
    for piece in look.put.values():
        yield from _put(piece, levels, about)


def _thread(one: Part | Plug, s: Slice) -> float:
    """Return the diameter of the bush's thread if a slice lies on the side of its nut; else 0."""
    if isinstance(one, Plug) or one.bush is None:
        return 0.0
    beyond = s.z0 >= one.flange.thick if one.bush.nut_side == "front" else s.z1 <= 0.0
    return one.bush.thread if beyond else 0.0


def _gouge(cut: Cut, levels: Levels, about: Sequence[Slice]) -> Gouge:
    low, high = cut.range(levels)
    whole = cut.outline is None and cut.inset is None and cut.share is None
    return Gouge(None if whole else area_of(_outlines(cut, around(about, low, high))), low, high)


def _outlines(figure: Figure, about: Outline) -> Iterator[Outline]:
    """Yield the outlines of a figure, at every spot."""
    once = figure.drawn(about)
    return (once.turned(stand.turn).moved(*stand.at) for stand in figure.stands)


def _put(piece: Piece, levels: Levels, about: Sequence[Slice]) -> Iterator[Layer | Turning]:
    low, high = piece.range(levels)
    spots = tuple(_spot(stand) for stand in piece.stands)
    if piece.turned:
        corners = ((diameter / 2, levels.at(piece.on, depth)) for diameter, depth in piece.turned)
        yield turning(piece.finish, corners, spots)
        return
    outline = around(about, low, high)
    once = piece.drawn(outline)
    if piece.thread is not None:
        bore = max((hole.drawn(once).size.width for hole in piece.holes), default=0.0)
        yield threaded(piece.finish, (once.size.width, bore), piece.thread, (low, high), spots)
        return
    edge: Outline | Ring = ribbed(once.size.width, piece.ribs) if piece.ribs is not None else once
    area = area_of([edge])
    for hole in piece.holes:
        area = area - area_of(_outlines(hole, once))
    for layer in layers(piece.finish, area, low, high):
        yield Layer(layer.finish, low, high, layer.rings, spots)


def _spot(stand: Stand) -> Spot:
    return Spot(stand.at.x, stand.at.y, stand.turn)
