"""A dry run of the assembly: every body is slid home along its path against all that is there already.

Order: the finished sheet; of each place the part from its own side, its screws from the head's side, washers and
nuts from the other, the nut of a bush; places in whichever order goes best; last the plugs, by push and by turn.
Slides along z are swept exactly (a prism sweeps a prism), so nothing is missed between steps; only a turn is stepped.

Each trial has three answers: FREE (goes with the band of air to spare), COLLIDES (still shares volume when shrunk by
the band and by all that its own play could give) and CLOSE (neither can be said). All lengths mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, permutations

from manifold3d import CrossSection, Manifold

from dryfit.models.job import Job
from dryfit.models.panel import Hole
from tests.oracle.joints import Joint
from tests.oracle.land import Land
from tests.oracle.makings import edges, lips, named, rectangle, sheet
from tests.oracle.solids import Solid, polygon, shared
from tests.oracle.things import BAND, Fixed, Obstacle, State, Thing, Trouble

LIFT = 0.003  # mm a screw is lifted when tried in its own holes: its seat is where it touches
RACK_UNIT = 44.45  # mm, EIA-310
DEEP, WIDE = 400.0, 200.0  # mm; larger than anything behind or beside a panel
LEAST_CUT = 0.05  # mm2 that a hole must lose before it is said to be open

Hardware = Mapping[str, Mapping[str, object] | None]


def dry_run(job: Job, hardware: Hardware) -> list[Trouble]:
    """Return every trouble that putting a panel together meets, with the hardware that a report names by place."""
    return DryRun(job, hardware).run()


class DryRun:
    """One panel, put together."""

    def __init__(self, job: Job, hardware: Hardware):
        self.job, self.panel, self.holes = job, job.panel, job.holes()
        self.thick = job.panel.thickness + 2 * job.panel.coating
        land = Land(job.panel, self.holes)
        self.joints = {p.name: Joint(p, job.panel, named(hardware.get(p.name)), land) for p in job.places}
        self.lips = Fixed("lip", lips(job.panel))
        self.sheets = {name: self._sheet_about(joint) for name, joint in self.joints.items()}
        self.land = land
        self.troubles: list[Trouble] = []

    def run(self) -> list[Trouble]:
        """Put the panel together and return all that does not go, or cannot be said to."""
        self._sheet_whole()
        for joint in self.joints.values():
            self.troubles.extend(joint.troubles)
            self._within(joint)
            self._surroundings(joint)
        self._between()
        for joint in self.joints.values():
            self._plugs_home(joint)
        return self.troubles

    def _say(self, trouble: Trouble) -> None:
        if trouble.state is not State.FREE:
            self.troubles.append(trouble)

    def _sheet_about(self, joint: Joint) -> Fixed:
        """Return the sheet as far as anything of a place can reach it, with the holes that lie there."""
        boxes = [t.home(t.widest).bounding_box() for t in (*joint.things, *joint.plugs)]
        low = [min(b[axis] for b in boxes) for axis in (0, 1)]
        high = [max(b[axis] for b in boxes) for axis in (3, 4)]
        return Fixed("panel", sheet(self.panel, self.holes, (*low, *high)))

    # --- one trial ---------------------------------------------------------------------------------------------

    def trial(self, thing: Thing, obstacle: Obstacle, swept: bool = True) -> tuple[State, float]:
        """Slide a thing home against an obstacle; return how it went, and the volume shared."""
        swept = swept and thing.side != 0
        widest = obstacle.body if isinstance(obstacle, Fixed) else obstacle.home(obstacle.widest)
        if widest.is_empty() or self._is_free(thing, widest, swept, _touches_by_design(thing, obstacle)):
            return State.FREE, 0.0
        least = widest if isinstance(obstacle, Fixed) else obstacle.home(obstacle.least)
        shrink = -(BAND + _play(thing, obstacle))
        ways = thing.ways.angles if thing.ways is not None else (thing.solid,)
        volumes = [shared(thing.made(s, shrink, BAND, swept), least) for s in ways]
        if min(volumes) > 0:
            return State.COLLIDES, min(volumes)
        if thing.ways is not None and not thing.ways.spins:
            free = (s for s, v in zip(ways, volumes, strict=True) if v == 0)
            if any(shared(thing.made(s, thing.air, swept=swept), least) == 0 for s in free):
                return State.FREE, 0.0
        return State.CLOSE, 0.0

    def _is_free(self, thing: Thing, body: Manifold, swept: bool, meant: bool) -> bool:
        if not meant:
            return shared(thing.made(thing.widest, thing.air, swept=swept), body) == 0
        probe = thing.solid.lifted(LIFT * thing.side)
        return shared(probe.swept(thing.side) if swept else probe.still(), body) == 0

    # --- one place ---------------------------------------------------------------------------------------------

    def _within(self, joint: Joint) -> None:
        name = joint.place.name
        there: list[Obstacle] = [self.sheets[name], self.lips]
        for thing in joint.things:
            for obstacle in there:
                if not _is_blind_side_of(thing, obstacle):
                    self._say(Trouble("way", *self._put(thing, obstacle, (name,))))
            there.append(thing)

    def _put(
        self, thing: Thing, obstacle: Obstacle, places: tuple[str, ...]
    ) -> tuple[State, tuple[str, ...], str, str, float]:
        state, volume = self.trial(thing, obstacle)
        return state, places, thing.name, obstacle.name, volume

    def _surroundings(self, joint: Joint) -> None:
        """Judge rails, the units above and below, and the wall behind: bodies at home, for the panel comes last."""
        for thing in (*joint.things, *joint.plugs):
            for wall, sure in self._walls():
                state, volume = self.trial(thing, wall, swept=False)
                state = state if sure else min(state, State.CLOSE)
                self._say(Trouble("way", state, (joint.place.name,), thing.name, wall.name, volume))

    def _walls(self) -> Iterator[tuple[Fixed, bool]]:
        """Yield what bounds the room of a panel, and whether a body there is sure to meet something."""
        panel, behind = self.panel, -self.thick - DEEP / 2
        for hand in (-1, 1):
            if panel.clear_width is not None:
                x = hand * (panel.clear_width + WIDE) / 2
                yield Fixed("rack rail", _block((WIDE, 2000.0, DEEP), (x, 0.0, behind))), True
            if panel.rack_units is not None:
                y = hand * (panel.rack_units * RACK_UNIT + WIDE) / 2
                yield Fixed("next unit", _block((1000.0, WIDE, DEEP), (0.0, y, -DEEP / 2))), True
                yield Fixed("next unit, in front", _block((1000.0, WIDE, DEEP), (0.0, y, DEEP / 2))), False
        if panel.depth is not None:
            z = -self.thick - panel.depth - WIDE / 2
            yield Fixed("wall behind", _block((2000.0, 2000.0, WIDE), (0.0, 0.0, z))), True

    # --- places together ---------------------------------------------------------------------------------------

    def _between(self) -> None:
        """Judge places against each other, in the order that goes best."""
        found = {pair: list(self._past(*pair)) for pair in permutations(self.joints, 2)}

        def faults(order: tuple[str, ...]) -> list[Trouble]:
            return [t for i, late in enumerate(order) for early in order[:i] for t in found[late, early]]

        def cost(order: tuple[str, ...]) -> tuple[int, int]:
            states = [int(t.state) for t in faults(order)]
            return max(states, default=0), sum(states)

        self.troubles.extend(faults(min(permutations(self.joints), key=cost)))

    def _past(self, late: str, early: str) -> Iterator[Trouble]:
        for thing in self.joints[late].things:
            for other in self.joints[early].things:
                trouble = Trouble("way", *self._put(thing, other, (late, early)))
                if trouble.state is not State.FREE:
                    yield trouble

    def _plugs_home(self, joint: Joint) -> None:
        own = joint.place.name
        for plug in joint.plugs:
            for obstacle in self._in_the_way(joint, plug):
                whose = obstacle.place if isinstance(obstacle, Thing) else own
                self._say(Trouble("way", *self._put(plug, obstacle, tuple(dict.fromkeys((own, whose))))))

    def _in_the_way(self, joint: Joint, plug: Thing) -> Iterator[Obstacle]:
        """Yield all a plug may meet; of its own part only the flange, for it goes over or into the rest."""
        yield from (self.sheets[joint.place.name], self.lips)
        for thing in joint.things:
            if thing.kind == "part" and plug.kind == "plug":
                flange = Solid(thing.solid.pieces[:1], thing.solid.cuts)
                yield Thing("part", "own flange", thing.place, flange, 0.0)
            elif thing.kind not in ("part", "blind side"):
                yield thing
        for other in self.joints.values():
            if other is not joint:
                yield from (*other.things, *other.plugs)

    # --- the sheet ---------------------------------------------------------------------------------------------

    def _sheet_whole(self) -> None:
        """Judge whether every hole is closed all round: by the edge, by the flange, by other holes, by the bends."""
        panel = self.panel
        plate = CrossSection([rectangle(panel.width, panel.height, panel.corner)])
        flats = [(h, CrossSection([polygon(h.outline)])) for h in self.holes]
        for hole, flat in flats:
            if hole.place:
                self._cut(hole, (hole.place,), "edge of the panel", (flat - plate).area())
            if hole.purpose == "main":
                self._flange(hole, flat, plate)
            if hole.place and panel.lip > 0:
                self._bend(hole, flat)
        for (a, fa), (b, fb) in combinations(flats, 2):
            places = tuple(dict.fromkeys(n for n in (a.place, b.place) if n))
            self._cut(a, places, f"{b.purpose} hole", (fa ^ fb).area())

    def _flange(self, hole: Hole, flat: CrossSection, plate: CrossSection) -> None:
        """Say where a flange does not cover its hole, or is not wholly on the sheet."""
        joint = self.joints[hole.place]
        whole = CrossSection([joint.pose.spot.put(polygon(joint.place.part.flange.outline))])
        for amount, what, against in (
            ((flat - whole).area(), "main hole", "edge of the flange"),
            ((whole - plate).area(), "flange", "edge of the panel"),
        ):
            state = State.CLOSE if amount > 0 else State.FREE
            self._say(Trouble("sheet", state, (hole.place,), what, against, amount))

    def _cut(self, hole: Hole, places: tuple[str, ...], against: str, area: float) -> None:
        state = State.COLLIDES if area > LEAST_CUT else State.CLOSE if area > 0 else State.FREE
        self._say(Trouble("sheet", state, places, f"{hole.purpose} hole", against, area))

    def _bend(self, hole: Hole, flat: CrossSection) -> None:
        for edge in edges(self.panel):
            x0, _, x1, y1 = flat.rotate(-edge.turn).bounds()
            past = y1 - (edge.reach - self.panel.bend_radius - self.panel.thickness)
            if past > 0 and x0 < edge.right and x1 > edge.left:
                state = State.COLLIDES if past > BAND else State.CLOSE
                self._say(Trouble("sheet", state, (hole.place,), f"{hole.purpose} hole", "bend", past))


def _block(size: tuple[float, float, float], at: tuple[float, float, float]) -> Manifold:
    return Manifold.cube(size, True).translate(at)


def _play(thing: Thing, obstacle: Obstacle) -> float:
    """Return all that the play of two bodies could give."""
    if isinstance(obstacle, Fixed):
        return thing.play.panel
    if obstacle.place != thing.place:
        return thing.play.panel + obstacle.play.panel
    return thing.play.part + (0.0 if obstacle.kind == "part" else obstacle.play.part)


def _touches_by_design(thing: Thing, obstacle: Obstacle) -> bool:
    """Whether a thing lies in its own holes and seats, which its pose answers for to the last micron."""
    if isinstance(obstacle, Fixed):
        return obstacle.name == "panel" and thing.kind in ("screw", "part")
    return thing.kind == "screw" and obstacle.place == thing.place and obstacle.kind in ("part", "washer")


def _is_blind_side_of(thing: Thing, obstacle: Obstacle) -> bool:
    """Whether a thing is what a rivet makes of its own end, in the hole that it fills."""
    if thing.kind != "blind side":
        return False
    return isinstance(obstacle, Fixed) or (obstacle.kind == "screw" and obstacle.name[-1] == thing.name[-1])
