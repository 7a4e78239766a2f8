"""All that is put together at one place, in the order in which it goes on: part, screws, washers, nuts, bush, plug."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from dryfit.models.job import Place
from dryfit.models.panel import Panel
from tests.oracle.land import Face, Land
from tests.oracle.makings import (
    BULB,
    Fasteners,
    Sink,
    bush_washer,
    flange_front,
    nut_solid,
    panel_sink,
    part_solid,
    plug_solid,
    rests,
    screw_solid,
    sink,
    washer_solid,
)
from tests.oracle.poses import Pose, best_pose
from tests.oracle.solids import Polygon, Prism, Solid, hexagon, ring
from tests.oracle.things import BAND, Kind, Play, State, Thing, Trouble, Ways

NUT_AIR = 0.1  # mm of air that a nut is to have beside it before it counts as free
NUT_STEP = 2  # degrees between the ways a nut is tried
CORNER = 90.0  # degrees at which a nut of turn 0 has a corner
TURN_STEP = 5.0  # degrees between the steps of a plug's turn
ROUND = 0.01  # mm: a section whose corners are this evenly far from its middle is a circle

Point = tuple[float, float]


@dataclass(frozen=True)
class Clamp:
    """One fixing of a place: what the head bears on and from which side, and where the other side begins."""

    seat: Sink
    surface: float  # z under the head
    thick: float  # of what the head bears on
    side: float  # +1: the head looks to the front
    back: float  # z of the far face, which washers and nut bear on
    in_boss: bool
    on_flange: bool


@dataclass(frozen=True)
class NutKind:
    """A nut: across flats and corners (0: as the flats give), bore, side it comes from, whether it must spin home."""

    across: float
    corners: float
    bore: float
    side: float
    spins: bool = False
    turn: float | None = None  # degrees in the frame of the place at which it is left; None: at any


class Joint:
    """One place: its pose, its things in order, its plug, and what is wrong with them before anything moves."""

    def __init__(self, place: Place, panel: Panel, held: Fasteners | None, land: Land):
        self.place, self.panel, self.land = place, panel, land
        self.thick = panel.thickness + 2 * panel.coating
        self.troubles: list[Trouble] = []
        pose = best_pose(place, panel, held)
        if pose is None:
            self._say("pattern", State.COLLIDES, "part", "number of fixing holes", 0.0)
            held, pose = None, best_pose(place, panel, None)
            assert pose is not None  # without screws nothing is counted
        elif held is None and place.part.fixings is not None:
            self._say("hardware", State.COLLIDES, "screws", "none named", 0.0)
        self.pose, self.held = pose, held
        self._judge_pose(pose)
        self.things = tuple(self._things())
        self.plugs = tuple(self._plug())

    def _say(self, kind: str, state: State, what: str, against: str, amount: float) -> None:
        if state is not State.FREE:
            self.troubles.append(Trouble(kind, state, (self.place.name,), what, against, amount))

    def _judge_pose(self, pose: Pose) -> None:
        if pose.margin >= -1e-9:
            if pose.turned:
                self._say("pattern", State.CLOSE, "part", "must be turned a little", pose.margin)
            return
        state = State.COLLIDES if pose.margin < -BAND else State.CLOSE
        if pose.barrel < -1e-9 and pose.barrel <= pose.margin + 1e-3:
            self._say("way", state, "part", "cut-out", pose.margin)
        elif pose.sizes < -1e-9:
            self._say("way", state, "screw", "its holes", pose.margin)
        else:
            self._say("pattern", state, "screw", "holes out of line", pose.margin)

    def _thing(self, kind: Kind, name: str, solid: Solid, side: float, play: Play) -> Thing:
        return Thing(kind, name, self.place.name, solid, side, play)

    def _things(self) -> Iterator[Thing]:
        place, pose = self.place, self.pose
        front, side = flange_front(place, self.thick), 1.0 if place.mount == "front" else -1.0
        body = part_solid(place.part, pose.spot, front, place.mount)
        yield self._thing("part", "part", body, side, Play(pose.wander))
        if self.held is not None and place.part.fixings is not None:
            yield from self._screws(self.held, self._clamp(self.held))
        if place.part.bush is not None:
            yield from self._bush()

    # --- screws ------------------------------------------------------------------------------------------------

    def _clamp(self, f: Fasteners) -> Clamp:
        """Return what the screws of this place clamp; a boss before the panel takes them from behind."""
        part, mount = self.place.part, self.place.mount
        assert part.fixings is not None  # the caller looked
        in_boss = part.fixings.boss is not None
        if mount == "front" and not in_boss:
            seat, thick = sink(part.fixings.seat, part.fixings.hole), part.flange.thick
            return Clamp(seat, thick, thick, 1.0, -self.thick, False, True)
        behind = mount == "front"
        seat = self._panel_seat("rear" if behind else "front")
        back = -self.thick - (0.0 if in_boss else part.flange.thick)
        return Clamp(seat, -self.thick if behind else 0.0, self.thick, -1.0 if behind else 1.0, back, in_boss, False)

    def _panel_seat(self, face: str) -> Sink:
        holes = tuple(self.place.holes())[1:]
        if holes and holes[0].countersink is not None and holes[0].sunk_from == face:
            return panel_sink(holes[0], self.panel.coating)
        return sink(None, self.place.cutout.fixing_diameter - 2 * self.panel.coating)

    def _screws(self, f: Fasteners, c: Clamp) -> Iterator[Thing]:
        washers = sum(w.thickness for w in f.washers)
        under = washers if c.in_boss else 0.0  # with a boss washers can only lie under the head
        seat = sink(None, f.washers[0].inner) if under else c.seat
        sunk = rests(f.head, f.shank, seat, under or c.thick)
        if sunk is None:
            self._say("land", State.COLLIDES, "head", "falls through", 0.0)
            return
        plane = c.surface + c.side * (under - sunk)
        for number, at in enumerate(self.pose.screws):
            play = Play(self.pose.off_panel[number], self.pose.off_part[number])
            if c.in_boss:
                play = Play(max(play.panel, self.pose.wander), play.part)
                yield from self._under_head(f, c, number + 1, at, play)
            screw = screw_solid(f, *at, plane, c.side)
            yield self._thing("screw", f"screw {number + 1}", screw, c.side, play)
            if not c.in_boss:
                yield from self._behind(f, c, number + 1, at, play)
            self._lands(f, c, at, under)
        self._reach(f, c, plane - c.side * f.length, washers)

    def _under_head(self, f: Fasteners, c: Clamp, number: int, at: Point, play: Play) -> Iterator[Thing]:
        z = c.surface
        for i, washer in enumerate(f.washers, start=1):
            low = z if c.side > 0 else z - washer.thickness
            body, loose = washer_solid(washer, *at, low), play.looser(max(0.0, washer.inner - f.shank) / 2)
            yield self._thing("washer", f"washer {number}.{i}", body, c.side, loose)
            z += c.side * washer.thickness

    def _behind(self, f: Fasteners, c: Clamp, number: int, at: Point, play: Play) -> Iterator[Thing]:
        z = c.back
        for i, washer in enumerate(f.washers, start=1):
            z -= washer.thickness
            loose = play.looser(max(0.0, washer.inner - f.shank) / 2)
            yield self._thing("washer", f"washer {number}.{i}", washer_solid(washer, *at, z), -1.0, loose)
        if f.nut is not None:
            nut = f.nut
            size = NutKind(nut.across_flats, nut.corners, f.thread.major, -1.0, turn=f.turns[number - 1])
            yield self._nut(f"nut {number}", size, at, (z - nut.height, z), play)
        if f.blind:
            bulb = Prism(ring(*at, BULB * f.shank / 2), c.back - f.blind, c.back)
            yield self._thing("blind side", f"blind side {number}", Solid((bulb,)), 0.0, play)

    def _nut(self, name: str, size: NutKind, at: Point, levels: Point, play: Play) -> Thing:
        def nut(section: Polygon) -> Solid:
            return nut_solid(section, size.bore, *at, levels)

        turns = range(0, 60, NUT_STEP) if size.turn is None else (size.turn,)
        angles = tuple(nut(hexagon(size.across, self.place.turn + turn + CORNER)) for turn in turns)
        circle = ring(0.0, 0.0, max(size.corners, size.across / math.cos(math.pi / 6)) / 2)
        ways = Ways(angles, nut(circle), nut(ring(0.0, 0.0, size.across / 2)), size.spins)
        return replace(self._thing("nut", name, angles[0], size.side, play), air=NUT_AIR + BAND, ways=ways)

    def _lands(self, f: Fasteners, c: Clamp, at: Point, under: float) -> None:
        """Judge the ring of metal under the head and under what is on the other side; cones found theirs already."""
        part = (self.place, self.pose.spot)
        if f.head.angle is None or under:
            face: Face = "front" if c.side > 0 else "rear"
            metal = self.land.flange(*part, "front") if c.on_flange else self.land.sheet(face)
            across = f.washers[0].outer if under else f.head.diameter
            self._land("head", *self.land.judge(metal, ring(*at, across / 2), f))
        if c.in_boss:
            return
        metal = self.land.sheet("rear") if self.place.mount == "front" else self.land.flange(*part, "rear")
        if f.washers:
            self._land("washer", *self.land.judge(metal, ring(*at, f.washers[0].outer / 2), f))
            metal = self.land.ring(at, f.washers[-1])
        if f.nut is not None:
            self._land("nut", *self.land.judge(metal, hexagon(f.nut.across_flats, 0.0) + at, f))
        elif f.blind:
            self._land("blind side", *self.land.judge(metal, ring(*at, BULB * f.shank / 2), f))

    def _land(self, what: str, state: State, share: float) -> None:
        self._say("land", state, what, "metal under it", share)

    def _reach(self, f: Fasteners, c: Clamp, tip: float, washers: float) -> None:
        """Judge whether the thread reaches: through the nut, or half a diameter into the boss."""
        past = 0.0
        if c.in_boss:
            begins = 0.0 if c.side < 0 else -self.thick
            past = c.side * (begins - tip) - f.thread.major / 2
        elif f.nut is not None:
            past = c.back - washers - f.nut.height_min - tip
        if past < -BAND:
            self._say("held", State.COLLIDES, "screw", "too short for its thread", past)

    # --- bush and plug -----------------------------------------------------------------------------------------

    def _bush(self) -> Iterator[Thing]:
        bush, at = self.place.part.bush, (self.pose.spot.x, self.pose.spot.y)
        assert bush is not None  # the caller looked
        side = 1.0 if bush.nut_side == "front" else -1.0
        face, across, play = (0.0 if side > 0 else -self.thick), bush_washer(bush), Play(self.pose.wander)
        if across:
            levels = _stacked(face, side, bush.washer)
            body = nut_solid(ring(0.0, 0.0, across / 2), bush.thread, *at, levels)
            yield self._thing("washer", "bush washer", body, side, play)
        levels = _stacked(face + side * bush.washer, side, bush.nut_height)
        yield self._nut("bush nut", NutKind(bush.nut_across, 0.0, bush.thread, side, True), at, levels, play)
        left = bush.length - self.thick - bush.washer - bush.nut_height / 2
        if left < -BAND:
            self._say("held", State.COLLIDES, "bush", "too short for its nut", left)
        bearing = ring(*at, across / 2) if across else hexagon(bush.nut_across, 0.0) + at
        self._land("bush nut", *self.land.bush(self.land.sheet(bush.nut_side), bearing, bush.thread))

    def _plug(self) -> Iterator[Thing]:
        plug, pose = self.place.plug, self.pose
        if plug is None:
            return
        shoulder, play = flange_front(self.place, self.thick) + self.place.part.seat, Play(pose.wander)
        body, nose = plug_solid(plug, pose.spot, shoulder)
        yield self._thing("plug", "plug", body, 1.0, play)
        if nose is not None:
            yield self._thing("nose", "nose", nose, 1.0, play)
        if plug.motion != "quarter turn" or all(not isinstance(p, Prism) or _is_round(p) for p in body.pieces):
            return
        for back in (*np.arange(TURN_STEP, plug.turn, TURN_STEP), plug.turn):
            turned, _ = plug_solid(plug, replace(pose.spot, degrees=pose.spot.degrees + float(back)), shoulder)
            first = float(back) == plug.turn  # it is pushed turned back by all of its turn
            yield self._thing("plug", f"plug {back:g} degrees from home", turned, 1.0 if first else 0.0, play)


def _stacked(face: float, side: float, thick: float) -> tuple[float, float]:
    """Return the levels of a layer that lies on a face looking to a side."""
    return (face, face + thick) if side > 0 else (face - thick, face)


def _is_round(prism: Prism) -> bool:
    radii = np.hypot(*(prism.section - prism.section.mean(axis=0)).T)
    return float(radii.max() - radii.min()) < ROUND
