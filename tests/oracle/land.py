"""The ring of metal under heads, washers and nuts: areas of polygons, and what share of a plain washer's they are."""

from __future__ import annotations

import math
from typing import Literal

from manifold3d import CrossSection

from dryfit.models.job import Place
from dryfit.models.panel import Hole, Panel
from dryfit.models.tables import fasteners
from dryfit.models.tables.fasteners import Washer
from tests.oracle.makings import Fasteners, finished_hole, panel_sink, rectangle, sink
from tests.oracle.solids import Polygon, Spot, polygon, ring
from tests.oracle.things import State

NONE, SMALL = 0.05, 0.25  # of the plain washer's ring: less than the one is none, less than the other is small
BUSH_RING = 1.25  # across the least ring a bush nut should bear on, in threads

Face = Literal["front", "rear"]


class Land:
    """The faces of the sheet and of flanges, and the judgement of what bears on them."""

    def __init__(self, panel: Panel, holes: tuple[Hole, ...]):
        self.panel, self.holes = panel, holes
        self._sheets = {face: self._sheet(face) for face in ("front", "rear")}

    def sheet(self, face: Face) -> CrossSection:
        """Return the metal of the finished sheet in one face."""
        return self._sheets[face]

    def _sheet(self, face: str) -> CrossSection:
        panel, c = self.panel, self.panel.coating
        corner = panel.corner + c if panel.corner else 0.0
        plate = CrossSection([rectangle(panel.width + 2 * c, panel.height + 2 * c, corner)])
        for hole in self.holes:
            if hole.purpose != "fixing":
                plate -= CrossSection([finished_hole(hole, c)])
                continue
            (at,), cone = hole.outline.corners, panel_sink(hole, c)
            plate -= CrossSection([ring(at.x, at.y, cone.top if hole.sunk_from == face else cone.hole)])
        return plate

    def flange(self, place: Place, spot: Spot, face: Face) -> CrossSection:
        """Return the metal of a flange in one face, less its fixing holes."""
        flat, fixings = CrossSection([spot.put(polygon(place.part.flange.outline))]), place.part.fixings
        if fixings is None:
            return flat
        cone = sink(fixings.seat, fixings.hole)
        for at in fixings.at:
            flat -= CrossSection([ring(*spot.point(*at), cone.top if face == "front" else cone.hole)])
        return flat

    def ring(self, at: tuple[float, float], washer: Washer) -> CrossSection:
        """Return the face of a washer."""
        return CrossSection([ring(*at, washer.outer / 2)]) - CrossSection([ring(*at, washer.inner / 2)])

    def judge(self, metal: CrossSection, bearing: Polygon, f: Fasteners) -> tuple[State, float]:
        """Judge what a screw of this kind bears on, by the ring of its plain washer (else of its head)."""
        plain = next((w for w in fasteners.washers(f.thread.name) if w.kind == "plain"), None)
        outer, inner = (plain.outer, plain.inner) if plain is not None else (f.head.diameter, f.shank)
        return _judge(metal, bearing, math.pi / 4 * (outer**2 - inner**2))

    def bush(self, metal: CrossSection, bearing: Polygon, thread: float) -> tuple[State, float]:
        """Judge what the nut of a bush bears on."""
        return _judge(metal, bearing, math.pi / 4 * ((BUSH_RING * thread) ** 2 - thread**2))


def _judge(metal: CrossSection, bearing: Polygon, whole: float) -> tuple[State, float]:
    share = (CrossSection([bearing]) ^ metal).area() / whole
    return (State.COLLIDES if share < NONE else State.CLOSE if share < SMALL else State.FREE), share
