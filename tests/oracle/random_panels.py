"""Random panels as layout files, each from its seed: all parts, both sides, lips, coatings, wrong sizes on purpose."""

from __future__ import annotations

import random
import tempfile
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import TypeVar

from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.tables import fasteners
from tests.generators.cases import OWN_PARTS

T = TypeVar("T")
OWN = "own.yaml"
MOST_PLACES = 4
D_FLANGE = 12.0  # a part whose first fixing hole lies this high has the common D pattern


LIPS = ("top", "left, right", "top, left", "right, bottom", "right, top, left, bottom")
RAIL = 225.0  # mm from the middle of a rack panel to its rails


def layout(seed: int) -> str:
    """Return the text of a random layout; the same seed gives the same panel."""
    return _Maker(random.Random(seed), seed).text()


def write(folder: Path, text: str) -> Path:
    """Write a layout into a folder, beside the parts that only tests have; return its path."""
    (folder / OWN).write_text(OWN_PARTS, encoding="utf-8")
    path = folder / "layout.yaml"
    path.write_text(text, encoding="utf-8")
    return path


@cache
def _catalogue() -> Catalogue:
    with tempfile.TemporaryDirectory() as folder:
        write(Path(folder), "")
        return load_catalogue((Path(folder) / OWN,))


class _Maker:
    def __init__(self, rng: random.Random, seed: int):
        self.rng, self.seed = rng, seed
        self.parts = _catalogue().parts
        self.names = sorted(self.parts)
        self.own = sorted(set(self.names) - set(load_catalogue().parts))
        self.harm = rng.choice([0.03, 0.15, 0.6])  # how much is wrong on purpose on this panel

    def text(self) -> str:
        """Return the whole layout."""
        self.coating = self.pick([0, 0, 0.03, 0.06, 0.08, 0.12])
        self.thick = self.pick([0.8, 1, 1.5, 2, 2.5, 3, 3.175, 4])
        self.lip = self.pick([0, 0, 0, 8, 12, 15, 20, 25])
        rack = self.rack = self.chance(0.2)
        self.size = (482.6, 88.11) if rack else (self.between(80, 240), self.between(65, 150))
        size = "rack_units: 2" if rack else f"size: [{self.size[0]}, {self.size[1]}]"
        lines = [f"title: Random {self.seed}", "origin: centre", f"parts: [{OWN}]", "panel:", f"  {size}",
                 f"  thickness: {self.thick}", f"  coating: {self.coating}"]  # fmt: skip
        self.radius = max(self.pick([0, 0.5, 1, 2, 3]), round(self.thick / 2, 2))
        if self.lip:
            lines += [f"  lip: {self.lip}", f"  bend_radius: {self.radius}"]
            if not rack and self.chance(0.4):
                lines.append(f"  lips: [{self.pick(LIPS)}]")
        self.corner = self.pick([3, 6, 10, 20, 30]) if not self.lip and self.wrong(0.4) else 0
        if self.corner:
            lines.append(f"  corner: {self.corner}")
        if self.chance(0.15):
            lines.append(f"  depth: {self.between(10, 80)}")
        self.pattern = self.pick(["to suit"] * 6 + sorted(load_catalogue(shelf=()).patterns))
        if self.pattern != "to suit":
            lines.append(f"  holes: {self.pattern}")
        wish = self.hardware()
        if wish:
            lines.append(f"hardware: {wish}")
        lines.append("places:")
        count = self.rng.randint(1, MOST_PLACES)
        spots: list[tuple[float, float, Part]] = []
        for number in range(count):
            lines += self.place(number, spots)
        if not spots:
            lines.append("  - {part: indicator, label: P0, at: [0, 0]}")
        return "\n".join(lines) + "\n"

    # --- dice --------------------------------------------------------------------------------------------------

    def pick(self, among: Sequence[T]) -> T:
        """Return any one of some."""
        return self.rng.choice(among)

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def wrong(self, share: float) -> bool:
        """Whether something is to be wrong here."""
        return self.chance(share * self.harm)

    def between(self, low: float, high: float) -> float:
        return round(self.rng.uniform(low, high), 2)

    # --- places ------------------------------------------------------------------------------------------------

    def place(self, number: int, spots: list[tuple[float, float, Part]]) -> list[str]:
        """Return the lines of one place, near the last one or near an edge as often as not."""
        name = self.pick(self.own if self.chance(0.12) else self.names)
        if self.pattern != "to suit" and self.chance(0.8):
            name = self.pick([n for n in self.names if _is_d(self.parts[n])])
        if spots and self.chance(0.3):
            name = next(n for n in self.names if self.parts[n] is spots[-1][2])
        part = self.parts[name]
        side = self.pick(part.mount) if not self.wrong(0.1) else self.pick(["front", "rear"])
        at = self.spot(part, spots)
        if at is None:
            return []
        spots.append((*at, part))
        turn = self.pick([0, 0, 180]) if not self.wrong(0.5) else self.pick([90, 270, 45, self.between(-180, 180)])
        lines = [f"  - part: {name}", f"    label: P{number}", f"    at: [{at[0]}, {at[1]}]", f"    mount: {side}"]
        if turn:
            lines.append(f"    turn: {turn}")
        if self.wrong(0.1):
            lines.append(f"    twist: {self.between(-6, 6)}")
        if part.plugs and self.chance(0.25):
            lines.append(f"    plug: {self.pick(['none', *part.plugs])}")
        cut = self.cutout(part, side)
        if cut:
            lines.append(f"    cutout: {cut}")
        if part.fixings is not None and self.wrong(0.5):
            lines.append(f"    hardware: {self.prescribed(part)}")
        return lines

    def spot(self, part: Part, spots: list[tuple[float, float, Part]]) -> tuple[float, float] | None:
        """Return where a part goes: clear as a rule, too near others or the edge on purpose; None: nowhere."""
        for _ in range(30):
            x, y = self._anywhere(part) if not spots or self.chance(0.3) else self._beside(part, spots[-1])
            if self.wrong(0.3) or self._is_clear(x, y, part, spots):
                return round(x, 2), round(y, 2)
        return None

    def _anywhere(self, part: Part) -> tuple[float, float]:
        (w, h), (pw, ph) = self.size, part.flange.outline.size
        bend = self.thick + self.radius if self.lip else 0
        if self.wrong(0.5):  # near an edge or a bend
            y = self.pick([-1, 1]) * (h / 2 - ph / 2 - self.pick([0, bend]) - self.between(-3, 8))
            return self.between(-w / 2 + pw / 2, w / 2 - pw / 2), y
        if self.wrong(0.5):  # near a side or a rail
            side = self.pick([w / 2, RAIL]) if self.rack else w / 2
            x = self.pick([-1, 1]) * (side - pw / 2 - self.between(-3, 8))
            return x, self.between(-h / 2 + ph / 2, h / 2 - ph / 2)
        if self.corner and self.wrong(1):  # near a round corner
            off = self.between(-2, 6)
            return self.pick([-1, 1]) * (w / 2 - pw / 2 - off), self.pick([-1, 1]) * (h / 2 - ph / 2 - off)
        return self.between(-w / 2, w / 2), self.between(-h / 2, h / 2)

    def _beside(self, part: Part, last: tuple[float, float, Part]) -> tuple[float, float]:
        x, y, other = last
        (ow, oh), (pw, ph) = other.flange.outline.size, part.flange.outline.size
        gap = self.between(-1.5, 1) if self.wrong(0.5) else self.between(0.3, 15)
        aside = self.pick([0, 0, self.between(-5, 5)])
        if self.chance(0.6):
            return x + self.pick([-1, 1]) * ((pw + ow) / 2 + gap), y + aside
        return x + aside, y + self.pick([-1, 1]) * ((ph + oh) / 2 + gap)

    def _is_clear(self, x: float, y: float, part: Part, spots: list[tuple[float, float, Part]]) -> bool:
        """Whether a flange, not turned, keeps clear of the other flanges and of the edges."""
        (w, h), (pw, ph) = self.size, part.flange.outline.size
        edge = 2 + (self.lip and self.thick + 4)
        inside = abs(x) + pw / 2 < w / 2 - 2 - 20 * self.rack and abs(y) + ph / 2 < h / 2 - edge
        sizes = ((ox, oy, *o.flange.outline.size) for ox, oy, o in spots)
        return inside and all(abs(x - ox) > (pw + ow) / 2 or abs(y - oy) > (ph + oh) / 2 for ox, oy, ow, oh in sizes)

    def cutout(self, part: Part, side: str) -> str:
        """Return a cut-out with sizes of its own, often wrong; or nothing."""
        keys: list[str] = []
        nominal = part.cutout_rear if side == "rear" and part.cutout_rear else part.cutout
        if nominal.is_circle and self.wrong(0.4):
            keys.append(f"hole: {round(nominal.size[0] + self.rng.choice([-0.4, -0.1, 0, 0.1, 0.3, 0.8, 2, 5]), 3)}")
        if part.fixings is not None:
            if self.wrong(0.4):
                hole = part.fixings.panel + self.rng.choice([-0.4, -0.1, 0.1, 0.3, 0.6, 1.5, 3])
                keys.append(f"fixings: {round(hole, 3)}")
            if self.wrong(0.3):
                off = [(x + self.between(-0.4, 0.4), y + self.between(-0.4, 0.4)) for x, y in part.fixings.at]
                keys.append(f"at: {[[round(x, 3), round(y, 3)] for x, y in off]}")
            elif self.wrong(0.06):
                keys.append("mirror: true")
            if self.chance(0.4 if side == "rear" else 0.1):
                face = "front" if self.chance(0.8) else "rear"
                size = f"diameter: {self.pick([6, 6.4, 7, 8])}, angle: {self.pick([82, 90])}"
                keys.append(f"countersink: {{{size}, from: {face}}}")
        return f"{{{', '.join(keys)}}}" if keys else ""

    # --- hardware ----------------------------------------------------------------------------------------------

    def hardware(self) -> str:
        """Return wishes for the whole panel, or nothing."""
        if self.chance(0.6):
            return ""
        keys = []
        if self.chance(0.6):
            keys.append(f"threads: [{self.pick(['M3', 'M2.5', 'M4', 'No. 4-40', 'No. 6-32', 'M3, No. 4-40'])}]")
        if self.chance(0.3):
            keys.append(f"heads: [{self.pick(['countersunk', 'pan', 'button', 'raised countersunk'])}]")
        if self.chance(0.4):
            kinds = ["tooth washer", "split washer", "self-locking nut", "tooth-washer nut", "thread locker"]
            keys.append(f"retention: {self.pick(kinds)}")
        return f"{{{', '.join(keys)}}}" if keys else ""

    def prescribed(self, part: Part) -> str:
        """Return fasteners for one place as somebody might write them down."""
        assert part.fixings is not None
        boss = part.fixings.boss
        if boss is not None and self.chance(0.8):
            screw = boss.thread or boss.forming or "M3"
        else:
            screw = self.pick(["M2.5", "M3", "M3", "M3", "M4", "No. 4-40", "No. 6-32", "rivet 3.2 mm"])
        if screw.startswith("rivet"):
            return f"{{screw: {screw}}}"
        keys = [f"screw: {screw}"]
        if self.chance(0.7):
            keys.append(f"length: {self.pick(fasteners.lengths(screw) or (10.0,))}")
        if self.chance(0.6):
            keys.append(f"head: {self.pick(sorted({h.kind for h in fasteners.heads(screw)}))}")
        if boss is None and self.chance(0.5):
            keys.append(f"nut: {self.pick(sorted({n.kind for n in fasteners.nuts(screw)}) or ['hexagon'])}")
        if self.chance(0.4):
            keys.append(f"washers: [{self.pick(['', 'plain', 'tooth', 'split', 'plain, tooth'])}]")
        return f"{{{', '.join(keys)}}}"


def _is_d(part: Part) -> bool:
    fixings = part.fixings
    return fixings is not None and len(fixings.at) == 2 and abs(abs(fixings.at[0][1]) - D_FLANGE) < 1
