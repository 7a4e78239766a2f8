"""A dry run of the assembly: every body is slid home along its path against all that is there already.

Order: the finished sheet; of each place the part from its own side, its screws from the head's side, washers and
nuts from the other, the nut of a bush; places in whichever order goes best; last the plugs, by their push and their turn.
Slides along z are swept exactly (a prism sweeps a prism), so nothing is missed between steps; only a turn is stepped.

Each trial has three answers: FREE (goes with the band of air to spare), COLLIDES (still shares volume when shrunk by
the band and by all that its own play could give) and CLOSE (neither can be said). All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from itertools import combinations, permutations

import numpy as np
from manifold3d import CrossSection, Manifold

from dryfit.models.job import Hole, Job, Panel, Place, place_holes
from dryfit.models.tables import fasteners
from tests.oracle.makings import (
    BULB,
    Fasteners,
    bush_washer,
    flange_front,
    lips,
    named,
    nut_solid,
    panel_sink,
    part_solid,
    plug_solid,
    rectangle,
    rests,
    screw_solid,
    sheet,
    sink,
    washer_solid,
)
from tests.oracle.poses import Pose, best_pose
from tests.oracle.solids import FAR, SKIN, Cone, Prism, Solid, hexagon, polygon, ring, shared

BAND = 0.02  # mm: nearer than this nothing is said
NUT_AIR = 0.1  # mm of air that a nut is to have beside it before it counts as free
LIFT = 0.003  # mm a screw is lifted when tried in its own holes: its seat is where it touches
NUT_STEP = 2  # degrees between the ways a nut is tried
TURN_STEP = 5.0  # degrees between the steps of a plug's turn
NO_LAND, SMALL_LAND = 0.05, 0.25  # of the plain washer's ring: less is none, less is small
RACK_UNIT = 44.45  # mm, EIA-310


class State(IntEnum):
    """How a trial went."""

    FREE = 0
    CLOSE = 1
    COLLIDES = 2


@dataclass(frozen=True)
class Trouble:
    """One thing that does not go, or that cannot be said to go."""

    kind: str  # way, land, held, sheet, pattern, hardware
    state: State
    places: tuple[str, ...]
    what: str
    against: str
    amount: float  # mm3 for bodies, mm or a share else

    def __str__(self) -> str:
        where = " & ".join(self.places)
        return f"{self.state.name} {self.kind} [{where}] {self.what} / {self.against}: {self.amount:.4g}"


@dataclass(eq=False)
class Thing:
    """One body that is slid home: from which side, with how much air it counts as free, how far it may wander."""

    name: str
    place: str
    solid: Solid
    side: float
    air: float = BAND
    off_panel: float = 0.0
    off_part: float = 0.0
    kind: str = ""
    ways: tuple[Solid, ...] = ()  # other ways to turn it, all as good
    turner: Solid | None = None  # what it sweeps when it spins
    spins: bool = False  # it must spin to come home
    core: Solid | None = None  # what it takes at the least, however it is turned
    _made: dict[tuple[object, ...], Manifold] = field(default_factory=dict)

    def home(self, least: bool = False) -> Manifold:
        """Return the body at home; of a nut all that it may take, or the least."""
        solid = (self.core if least else self.turner) or self.solid
        return self._get(solid, "still", 0.0, 0.0)

    def way(self, solid: Solid, grow: float, skin: float, swept: bool) -> Manifold:
        """Return the body on its way, or only at home."""
        return self._get(solid, "swept" if swept else "still", grow, skin)

    def _get(self, solid: Solid, how: str, grow: float, skin: float) -> Manifold:
        key = (id(solid), how, round(grow, 3), skin)
        if key not in self._made:
            made = solid.still(grow, skin) if how == "still" else solid.swept(self.side, grow, skin)
            self._made[key] = made
        return self._made[key]


@dataclass(eq=False)
class Fixed:
    """A body that does not move: the sheet, lips, rails."""

    name: str
    body: Manifold


Obstacle = Thing | Fixed


def _body(obstacle: Obstacle, least: bool = False) -> Manifold:
    return obstacle.body if isinstance(obstacle, Fixed) else obstacle.home(least)


class DryRun:
    """One panel, put together."""

    def __init__(self, job: Job, hardware: Mapping[str, Mapping[str, object] | None], texts: Mapping[str, str]):
        self.job, self.panel = job, job.panel
        self.thick = job.panel.thickness + 2 * job.panel.coating
        self.held = {p.name: named(hardware.get(p.name), texts.get(p.name, "")) for p in job.places}
        self.poses: dict[str, Pose | None] = {}
        self.troubles: list[Trouble] = []
        self.things: dict[str, list[Thing]] = {}
        self.plugs: dict[str, list[Thing]] = {}

    def _sheet_about(self, name: str, holes: tuple[Hole, ...]) -> Fixed:
        """Return the sheet as far as anything of a place can reach it, with the holes that lie there."""
        things = (*self.things[name], *self.plugs[name])
        box = [
            f(v) for f, v in zip((min, min, max, max), zip(*(_flat_box(t) for t in things), strict=True), strict=True)
        ]
        return Fixed("panel", sheet(self.panel, holes, box))

    # --- making ------------------------------------------------------------------------------------------------

    def run(self) -> list[Trouble]:
        """Put the panel together and return all that does not go, or cannot be said to."""
        holes = self.job.holes()
        self.sheets: dict[str, Fixed] = {}
        self.lips = Fixed("lip", lips(self.panel))
        for place in self.job.places:
            self.poses[place.name] = best_pose(place, self.panel, self.held[place.name])
            self.things[place.name] = list(self._things(place))
            self.plugs[place.name] = list(self._plug(place))
            self.sheets[place.name] = self._sheet_about(place.name, holes)
        self._sheet_whole(holes)
        for place in self.job.places:
            self._within(place)
            self._surroundings(place)
        self._between()
        self._plugs_home()
        return self.troubles

    def _say(self, kind: str, state: State, places: tuple[str, ...], what: str, against: str, amount: float) -> None:
        if state is not State.FREE:
            self.troubles.append(Trouble(kind, state, places, what, against, amount))

    def _things(self, place: Place) -> Iterator[Thing]:
        pose = self.poses[place.name]
        held = self.held[place.name]
        name = place.name
        if pose is None:
            self._say("pattern", State.COLLIDES, (name,), "part", "number of fixing holes", 0.0)
            pose = best_pose(place, self.panel, None)
            assert pose is not None
            held = None
        else:
            self._judge_pose(place, pose)
        front = flange_front(place, self.thick)
        side = 1.0 if place.mount == "front" else -1.0
        yield Thing(
            "part", name, part_solid(place.part, pose.spot, front, place.mount), side,
            off_panel=pose.wander, kind="part",
        )  # fmt: skip
        if place.part.fixings is not None:
            if held is None:
                if self.poses[name] is not None:
                    self._say("hardware", State.COLLIDES, (name,), "screws", "none named", 0.0)
            else:
                yield from self._screwed(place, pose, held)
        if place.part.bush is not None:
            yield from self._bush(place, pose)

    def _judge_pose(self, place: Place, pose: Pose) -> None:
        if pose.margin >= -1e-9:
            if pose.turned:
                self._say("pattern", State.CLOSE, (place.name,), "part", "must be turned a little", pose.margin)
            return
        state = State.COLLIDES if pose.margin < -BAND else State.CLOSE
        if pose.barrel < -1e-9 and pose.barrel <= pose.margin + 1e-3:
            self._say("way", state, (place.name,), "part", "cut-out", pose.margin)
        elif pose.sizes < -1e-9:
            self._say("way", state, (place.name,), "screw", "its holes", pose.margin)
        else:
            self._say("pattern", state, (place.name,), "screw", "holes out of line", pose.margin)

    def _screwed(self, place: Place, pose: Pose, f: Fasteners) -> Iterator[Thing]:
        fixings = place.part.fixings
        assert fixings is not None
        name, part = place.name, place.part
        boss = fixings.boss
        rear = boss is not None and place.mount == "front"  # the screw of a tapped flange comes from behind
        side = -1.0 if rear else 1.0
        washers = sum(w.thickness for w in f.washers)
        under = washers if boss is not None else 0.0  # with a boss washers can only lie under the head
        if place.mount == "front" and boss is None:
            seat, surface, thick = sink(fixings.seat, fixings.hole), part.flange.thick, part.flange.thick
        else:
            seat = self._panel_seat(place, "rear" if rear else "front")
            surface, thick = (-self.thick if rear else 0.0), self.thick
        if under:
            seat = sink(None, f.washers[0].inner)
        sunk = rests(f.head, f.shank, seat, thick if not under else under)
        if sunk is None:
            self._say("land", State.COLLIDES, (name,), "head", "falls through", 0.0)
            return
        plane = surface + side * (under - sunk)
        back = -self.thick if place.mount == "front" else -self.thick - part.flange.thick
        for number, (x, y) in enumerate(pose.screws, start=1):
            off_panel, off_part = pose.off_panel[number - 1], pose.off_part[number - 1]
            if boss is not None:
                off_panel = max(off_panel, pose.wander)
            common = {"off_panel": off_panel, "off_part": off_part}
            z, screw = (
                back,
                Thing(f"screw {number}", name, screw_solid(f, x, y, plane, side), side, kind="screw", **common),
            )
            if boss is None:
                yield screw
            self._head_land(place, f, (x, y), side, surface, under)
            for i, washer in enumerate(f.washers, start=1):
                slack = max(0.0, washer.inner - f.shank) / 2
                loose = {"off_panel": off_panel + slack, "off_part": off_part + slack}
                if boss is not None:
                    low = surface + (sum(w.thickness for w in f.washers[: i - 1]) if side > 0 else -under)
                    yield Thing(
                        f"washer {number}.{i}", name, washer_solid(washer, x, y, low), side, kind="washer", **loose
                    )
                    continue
                z -= washer.thickness
                yield Thing(f"washer {number}.{i}", name, washer_solid(washer, x, y, z), -1.0, kind="washer", **loose)
            if boss is not None:
                yield screw
            if f.nut is not None:
                yield self._nut(f"nut {number}", name, f.nut.across_flats, f.nut.corners, f.thread.major, (x, y),
                                z - f.nut.height, z, -1.0, pose.spot.degrees, common)  # fmt: skip
            if f.blind:
                bulb = Prism(ring(x, y, BULB * f.shank / 2), back - f.blind, back)
                yield Thing(f"blind side {number}", name, Solid((bulb,)), 0.0, kind="bulb", **common)
            if boss is None:
                self._nut_land(place, f, (x, y))
        tip = plane - side * f.length
        if f.nut is not None:
            self._held(name, "nut", back - washers - f.nut.height_min - tip, f.nut.height)
        elif boss is not None:
            reach = tip - 0.0 if rear else -self.thick - tip
            self._held(name, "boss", reach - f.thread.major / 2, f.thread.major)

    def _held(self, name: str, what: str, past: float, height: float) -> None:
        """Judge how far a screw's end stands past what it must reach."""
        if past < -BAND:
            self._say("held", State.COLLIDES, (name,), "screw", f"does not reach through its {what}", past)

    def _panel_seat(self, place: Place, face: str):  # type: ignore[no-untyped-def]
        cut = place.cutout
        hole = place_holes(place)[1] if cut.fixings else None
        if hole is None:
            return sink(None, 0.0)
        if hole.countersink is not None and hole.sunk_from == face:
            return panel_sink(hole, self.panel.coating)
        return sink(None, cut.fixing_diameter - 2 * self.panel.coating)

    def _nut(
        self, what: str, name: str, across: float, corners: float, bore: float, at: tuple[float, float],
        low: float, high: float, side: float, degrees: float, common: Mapping[str, float], spins: bool = False,
    ) -> Thing:  # fmt: skip
        x, y = at
        ways = tuple(
            nut_solid(hexagon(across, degrees + turn), bore, x, y, low, high) for turn in range(0, 60, NUT_STEP)
        )
        circle = nut_solid(ring(0.0, 0.0, max(corners, across / math.cos(math.pi / 6)) / 2), bore, x, y, low, high)
        core = nut_solid(ring(0.0, 0.0, across / 2), bore, x, y, low, high)
        return Thing(
            what,
            name,
            ways[0],
            side,
            air=NUT_AIR + BAND,
            kind="nut",
            ways=ways,
            turner=circle,
            spins=spins,
            core=core,
            **common,
        )

    def _bush(self, place: Place, pose: Pose) -> Iterator[Thing]:
        bush = place.part.bush
        assert bush is not None
        front = bush.nut_side == "front"
        side = 1.0 if front else -1.0
        face = 0.0 if front else -self.thick
        at, name = (pose.spot.x, pose.spot.y), place.name
        common = {"off_panel": pose.wander, "off_part": 0.0}
        across = bush_washer(bush)
        if across:
            low = face if front else face - bush.washer
            yield Thing(
                "bush washer", name,
                nut_solid(ring(0.0, 0.0, across / 2), bush.thread, *at, low, low + bush.washer), side, kind="washer",
                **common,
            )  # fmt: skip
        start = face + side * bush.washer
        low = start if front else start - bush.nut_height
        nut = self._nut("bush nut", name, bush.nut_across, 0.0, bush.thread, at, low, low + bush.nut_height, side,
                        pose.spot.degrees, common, spins=True)  # fmt: skip
        yield nut
        left = bush.length - self.thick - bush.washer - bush.nut_height
        self._held(name, "bush nut", left + bush.nut_height / 2, bush.nut_height)
        bearing = ring(*at, across / 2) if across else hexagon(bush.nut_across, 0.0) + at
        self._land(place, "bush nut", bearing, bush.thread, 1.5 * bush.thread, "front" if front else "rear", at)

    # --- land --------------------------------------------------------------------------------------------------

    def _metal(self, face: str) -> CrossSection:
        """Return the metal of the sheet in one face."""
        c = self.panel.coating
        plate = CrossSection([rectangle(self.panel.width + 2 * c, self.panel.height + 2 * c,
                                        self.panel.corner + c if self.panel.corner else 0.0)])  # fmt: skip
        for hole in self.job.holes():
            if hole.purpose == "fixing":
                (at,) = hole.outline.corners
                cone = panel_sink(hole, c)
                plate -= CrossSection([ring(at.x, at.y, cone.top if hole.sunk_from == face else cone.hole)])
            else:
                from tests.oracle.makings import finished_hole

                plate -= CrossSection([finished_hole(hole, c)])
        return plate

    def _flange(self, place: Place, face: str) -> CrossSection:
        pose = self.poses[place.name] or best_pose(place, self.panel, None)
        assert pose is not None
        part, fixings = place.part, place.part.fixings
        flat = CrossSection([pose.spot.put(polygon(part.flange.outline))])
        if fixings is None or not face:
            return flat
        cone = sink(fixings.seat, fixings.hole)
        for at in fixings.at:
            flat -= CrossSection([ring(*pose.spot.point(*at), cone.top if face == "front" else cone.hole)])
        return flat

    def _head_land(
        self, place: Place, f: Fasteners, at: tuple[float, float], side: float, surface: float, under: float
    ) -> None:
        x, y = at
        if f.head.angle is not None and not under:
            return  # its seat was found when it was let down
        on_flange = place.mount == "front" and side > 0
        face = "front" if side > 0 else "rear"
        metal = self._flange(place, "front") if on_flange else self._metal(face)
        across = f.washers[0].outer if under else f.head.diameter
        self._judge_land(place.name, "head", metal, ring(x, y, across / 2), f.shank, self._reference(f))

    def _nut_land(self, place: Place, f: Fasteners, at: tuple[float, float]) -> None:
        x, y = at
        if f.washers:
            bearing = ring(x, y, f.washers[0].outer / 2)
        elif f.nut is not None:
            bearing = hexagon(f.nut.across_flats, 0.0) + at
        elif f.blind:
            bearing = ring(x, y, BULB * f.shank / 2)
        else:
            return
        metal = self._metal("rear") if place.mount == "front" else self._flange(place, "rear")
        what = "washer" if f.washers else "nut"
        self._judge_land(place.name, what, metal, bearing, f.shank, self._reference(f))
        if f.washers and f.nut is not None:
            ring_of = CrossSection([ring(x, y, f.washers[-1].outer / 2)]) - CrossSection(
                [ring(x, y, f.washers[-1].inner / 2)]
            )
            self._judge_land(place.name, "nut on washer", ring_of, hexagon(f.nut.across_flats, 0.0) + at, f.shank,
                             self._reference(f) / 2)  # fmt: skip

    def _reference(self, f: Fasteners) -> float:
        """Return the ring of the plain washer of the size, mm2; of a screw without one, that under its head."""
        plain = [w for w in fasteners.washers(f.thread.name) if w.kind == "plain"]
        if plain:
            return math.pi / 4 * (plain[0].outer ** 2 - plain[0].inner ** 2)
        return math.pi / 4 * (f.head.diameter**2 - f.shank**2)

    def _land(
        self,
        place: Place,
        what: str,
        bearing,
        thread: float,
        across: float,
        face: str,
        at: tuple[float, float],  # type: ignore[no-untyped-def]
    ) -> None:
        reference = math.pi / 4 * (across**2 - thread**2) / 2
        self._judge_land(place.name, what, self._metal(face), bearing, thread, reference)

    def _judge_land(self, name: str, what: str, metal: CrossSection, bearing, shank: float, reference: float) -> None:  # type: ignore[no-untyped-def]
        area = (CrossSection([bearing]) ^ metal).area()
        share = area / reference
        state = State.COLLIDES if share < NO_LAND else State.CLOSE if share < SMALL_LAND else State.FREE
        self._say("land", state, (name,), what, "metal under it", share)

    # --- plugs -------------------------------------------------------------------------------------------------

    def _plug(self, place: Place) -> Iterator[Thing]:
        plug, pose = place.plug, self.poses[place.name] or best_pose(place, self.panel, None)
        if plug is None or pose is None:
            return
        shoulder = flange_front(place, self.thick) + place.part.seat
        body, nose = plug_solid(plug, pose.spot, shoulder)
        yield Thing("plug", place.name, body, 1.0, off_panel=pose.wander, kind="plug")
        if nose is not None:
            yield Thing("nose", place.name, nose, 1.0, off_panel=pose.wander, kind="nose")
        if plug.motion == "quarter turn" and plug.turn:
            for step in np.arange(TURN_STEP, plug.turn + TURN_STEP, TURN_STEP):
                from dataclasses import replace

                spot = replace(pose.spot, degrees=pose.spot.degrees + min(float(step), plug.turn))
                turned, _ = plug_solid(plug, spot, shoulder)
                if any(isinstance(p, Prism) and not _is_ring(p) for p in turned.pieces):
                    yield Thing(f"plug turned {step:g}", place.name, turned, 0.0, off_panel=pose.wander, kind="plug")

    # --- trials ------------------------------------------------------------------------------------------------

    def trial(self, thing: Thing, obstacle: Obstacle, swept: bool = True) -> tuple[State, float]:
        """Slide a thing home against an obstacle; return how it went, and the volume shared."""
        swept = swept and thing.side != 0
        body = _body(obstacle)
        if body.is_empty():
            return State.FREE, 0.0
        if self._is_meant(thing, obstacle):
            probe = thing.solid.lifted(LIFT * thing.side)
            moved = probe.swept(thing.side) if swept else probe.still()
            if shared(moved, body) == 0:
                return State.FREE, 0.0
        elif shared(thing.way(thing.turner or thing.solid, thing.air, SKIN, swept), body) == 0:
            return State.FREE, 0.0
        core, play = _body(obstacle, least=True), self._play(thing, obstacle)
        volumes = [shared(thing.way(s, -(BAND + play), BAND, swept), core) for s in thing.ways or (thing.solid,)]
        if min(volumes) > 0:
            return State.COLLIDES, min(volumes)
        if thing.ways:
            thing.ways = tuple(s for s, v in zip(thing.ways, volumes, strict=True) if v == 0)
            if not thing.spins and any(shared(thing.way(s, thing.air, SKIN, swept), core) == 0 for s in thing.ways):
                return State.FREE, 0.0
        return State.CLOSE, 0.0

    def _play(self, thing: Thing, obstacle: Obstacle) -> float:
        if isinstance(obstacle, Fixed):
            return thing.off_panel
        if obstacle.place != thing.place:
            return thing.off_panel + obstacle.off_panel
        if obstacle.kind == "part":
            return thing.off_part
        return thing.off_part + obstacle.off_part

    def _is_meant(self, thing: Thing, obstacle: Obstacle) -> bool:
        """Whether a thing touches an obstacle by design: its own holes and seats, told by the pose to the last micron."""
        if thing.kind in ("screw", "part") and obstacle.name == "panel":
            return True
        own = isinstance(obstacle, Thing) and obstacle.place == thing.place
        return thing.kind == "screw" and own and isinstance(obstacle, Thing) and obstacle.kind in ("part", "washer")

    def _within(self, place: Place) -> None:
        there: list[Obstacle] = [self.sheets[place.name], self.lips]
        for thing in self.things[place.name]:
            for obstacle in there:
                if self._excused(thing, obstacle):
                    continue
                state, volume = self.trial(thing, obstacle)
                self._say("way", state, (place.name,), thing.name, obstacle.name, volume)
            there.append(thing)

    def _excused(self, thing: Thing, obstacle: Obstacle) -> bool:
        """Whether a contact is judged elsewhere: a screw's thread in what it is screwed into is bored away already."""
        if isinstance(obstacle, Fixed):
            return thing.kind == "bulb" and obstacle.name == "panel"
        axis = thing.name.rpartition(" ")[2].split(".")[0]
        same_axis = axis == obstacle.name.rpartition(" ")[2].split(".")[0] and thing.place == obstacle.place
        return thing.kind == "bulb" and same_axis and obstacle.kind == "screw"

    def _surroundings(self, place: Place) -> None:
        """Judge rails, the units above and below, and the wall behind: bodies at home, for the panel comes last."""
        panel, deep = self.panel, 400.0
        walls: list[tuple[Fixed, bool]] = []
        if panel.clear_width is not None:
            for hand in (-1, 1):
                x = hand * (panel.clear_width / 2 + 100)
                rail = Manifold.cube((200.0, 2000.0, deep), True).translate((x, 0.0, -self.thick - deep / 2))
                walls.append((Fixed("rack rail", rail), True))
        if panel.rack_units is not None:
            for hand in (-1, 1):
                y = hand * (panel.rack_units * RACK_UNIT / 2 + 100)
                beyond = Manifold.cube((1000.0, 200.0, deep), True).translate((0.0, y, -deep / 2))
                walls.append((Fixed("next unit", beyond), True))
                before = Manifold.cube((1000.0, 200.0, deep), True).translate((0.0, y, deep / 2))
                walls.append((Fixed("next unit, in front", before), False))
        if panel.depth is not None:
            wall = Manifold.cube((2000.0, 2000.0, 100.0), True).translate((0.0, 0.0, -self.thick - panel.depth - 50))
            walls.append((Fixed("wall behind", wall), True))
        for thing in (*self.things[place.name], *self.plugs[place.name]):
            for wall_, sure in walls:
                state, volume = self.trial(thing, wall_, swept=False)
                state = state if sure else min(state, State.CLOSE)
                self._say("way", state, (place.name,), thing.name, wall_.name, volume)

    def _between(self) -> None:
        """Judge places against each other, in the order that goes best."""
        names = [p.name for p in self.job.places]
        found: dict[tuple[str, str], list[Trouble]] = {}
        for a in names:
            for b in names:
                if a != b:
                    found[a, b] = list(self._past(a, b))

        def cost(order: tuple[str, ...]) -> tuple[int, float]:
            faults = [t for i, late in enumerate(order) for early in order[:i] for t in found[late, early]]
            return max((int(t.state) for t in faults), default=0), sum(float(t.state) for t in faults)

        best = min(permutations(names), key=cost)
        for i, late in enumerate(best):
            for early in best[:i]:
                self.troubles.extend(found[late, early])

    def _past(self, late: str, early: str) -> Iterator[Trouble]:
        for thing in self.things[late]:
            for other in self.things[early]:
                state, volume = self.trial(thing, other)
                if state is not State.FREE:
                    yield Trouble("way", state, (late, early), thing.name, other.name, volume)

    def _plugs_home(self) -> None:
        for place in self.job.places:
            for plug in self.plugs[place.name]:
                for obstacle, whose in self._in_the_way(place, plug):
                    state, volume = self.trial(plug, obstacle)
                    places = tuple(dict.fromkeys((place.name, whose or place.name)))
                    self._say("way", state, places, plug.name, obstacle.name, volume)

    def _in_the_way(self, place: Place, plug: Thing) -> Iterator[tuple[Obstacle, str]]:
        yield self.sheets[place.name], ""
        yield self.lips, ""
        for name, things in self.things.items():
            for thing in things:
                if name != place.name or thing.kind not in ("part", "bulb"):
                    yield thing, name
                elif thing.kind == "part" and plug.kind == "plug":
                    flange = Thing(
                        "own flange", name, Solid(thing.solid.pieces[:1], thing.solid.cuts), 0.0, kind="part"
                    )
                    yield flange, name
        for name, plugs in self.plugs.items():
            if name != place.name:
                for other in plugs:
                    yield other, name

    # --- the sheet ---------------------------------------------------------------------------------------------

    def _sheet_whole(self, holes: tuple[Hole, ...]) -> None:
        """Judge whether every hole is closed all round: by the edge, by other holes, by the bends."""
        panel = self.panel
        plate = CrossSection([rectangle(panel.width, panel.height, panel.corner)])
        flats = [CrossSection([polygon(h.outline)]) for h in holes]
        for hole, flat in zip(holes, flats, strict=True):
            if hole.place:
                outside = (flat - plate).area()
                self._sheet(hole, "edge of the panel", outside, flat)
        for (a, fa), (b, fb) in combinations(zip(holes, flats, strict=True), 2):
            both = (fa ^ fb).area()
            if both > 0:
                places = tuple(dict.fromkeys(n for n in (a.place, b.place) if n))
                state = State.COLLIDES if both > 0.1 else State.CLOSE
                self._say("sheet", state, places, f"{a.purpose} hole", f"{b.purpose} hole", both)
        for place in self.job.places:
            open_beside = (
                flats[next(i for i, h in enumerate(holes) if h.place == place.name)] - self._flange(place, "")
            ).area()
            self._say(
                "sheet",
                State.CLOSE if open_beside > 0 else State.FREE,
                (place.name,),
                "main hole",
                "edge of the flange",
                open_beside,
            )
        if panel.lip > 0:
            begins = panel.height / 2 - panel.bend_radius - panel.thickness
            half = panel.lip_length / 2
            for hole, flat in zip(holes, flats, strict=True):
                x0, y0, x1, y1 = flat.bounds()
                past = max(y1 - begins, -begins - y0)
                if hole.place and past > 0 and x0 < half and x1 > -half:
                    self._say("sheet", State.COLLIDES if past > BAND else State.CLOSE, (hole.place,),
                              f"{hole.purpose} hole", "bend", past)  # fmt: skip

    def _sheet(self, hole: Hole, what: str, area: float, flat: CrossSection) -> None:
        if area > 1e-6:
            state = State.COLLIDES if area > 0.05 else State.CLOSE
            self._say("sheet", state, (hole.place,), f"{hole.purpose} hole", what, area)


def _flat_box(thing: Thing) -> tuple[float, float, float, float]:
    x0, y0, _, x1, y1, _ = thing.home().bounding_box()
    return x0, y0, x1, y1


def _is_ring(prism: Prism) -> bool:
    centre = prism.section.mean(axis=0)
    radii = np.hypot(*(prism.section - centre).T)
    return float(radii.max() - radii.min()) < 0.01


def dry_run(
    job: Job, hardware: Mapping[str, Mapping[str, object] | None], texts: Mapping[str, str] | None = None
) -> list[Trouble]:
    """Return every trouble that putting a panel together meets, with the hardware that a report names by place."""
    return DryRun(job, hardware, texts or {}).run()
