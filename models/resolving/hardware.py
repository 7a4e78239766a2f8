"""The hardware that a layout asks for: threads by name, for the whole panel and for one place."""

from __future__ import annotations

from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Part
from dryfit.models.drawer import Drawer
from dryfit.models.job import HardwareWish
from dryfit.models.layout import Layout
from dryfit.models.reading.errors import UnknownName, quote
from dryfit.models.reading.yamlfile import KeyPath
from dryfit.models.resolving.faults import Faults
from dryfit.models.resolving.unmet import TOOTH, unmet, unmet_by_all
from dryfit.models.tables import fasteners
from dryfit.models.wishes.hardware import Hardware, PlaceHardware


def judge_hardware(layout: Layout, catalogue: Catalogue, faults: Faults) -> None:
    """Note what is asked for on the whole panel that no table has."""
    wish = layout.hardware
    known = tuple(_thread(("hardware", "threads", number), name, faults) for number, name in enumerate(wish.threads))
    used = (catalogue.parts[e.part] for e in layout.places if e.part in catalogue.parts)
    bosses = (part.fixings.boss for part in used if part.fixings is not None and part.fixings.boss is not None)
    forming = tuple(boss.forming for boss in bosses if boss.forming is not None)
    if all(name is not None for name in known):
        for found in unmet_by_all(wish, tuple(name for name in known if name), forming):
            faults.note(("hardware", *found.path), found.what, found.expected)


def hardware_of(
    key: KeyPath, own: PlaceHardware, panel: Hardware, part: Part, *, drawer: Drawer | None, faults: Faults
) -> HardwareWish:
    """Return what is asked for at an entry, by itself or by the whole panel; note what no table has."""
    names = (own.screw,) if own.screw is not None else panel.threads
    known = tuple(name for name in (_thread((*key, "hardware", "screw"), n, faults) for n in names) if name)
    _judge(key, own, known, part, faults)
    washers = None if own.washers is None else tuple(TOOTH if w == "tooth" else w for w in own.washers)
    metal = own.metal or panel.metal
    at_hand = drawer.at_hand(metal or "") if drawer is not None else ()
    return HardwareWish(
        known, own.head, own.length, own.nut, washers,
        metal, own.retention or panel.retention, panel.heads,
        panel.drives, own.screw is not None, at_hand,
    )  # fmt: skip


def _judge(key: KeyPath, own: PlaceHardware, names: tuple[str, ...], part: Part, faults: Faults) -> None:
    """Note what is asked for at a place that no table has."""
    boss = part.fixings.boss if part.fixings is not None else None
    if boss is not None and own.screw is None:
        names = (fasteners.thread(boss.screw).name,)
    for found in unmet(own, names, boss.forming if boss is not None else None):
        faults.note((*key, "hardware", *found.path), found.what, found.expected)


def _thread(path: KeyPath, name: str, faults: Faults) -> str | None:
    try:
        if name.startswith(fasteners.RIVET):
            return fasteners.riveted(name.removeprefix(fasteners.RIVET).strip())[0].thread.name
        return fasteners.thread(name).name
    except UnknownName as error:
        expected = "a thread such as M3 or No. 4-40, or rivet 1/8 in"
        faults.note(path, f"unknown thread {quote(name)}", expected, error.nearest)
        return None
