"""The steps of putting a panel together, in order: what, how many, which way round, how tight, with which tool."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

from dryfit.generators.joints.keeping import kept_by
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.joints.tightening import rack_limit, tightening, which_turns
from dryfit.generators.lists.earth import bonds
from dryfit.generators.report import Report
from dryfit.models.catalogue.parts import Bush
from dryfit.models.job import HardwareWish, Job, Place
from dryfit.models.reading.units import format_mm
from dryfit.models.tables import fasteners


@dataclass(frozen=True)
class Step:
    """One step: what is done, at which places, its instructions line by line, and whether it mounts parts."""

    title: str
    places: tuple[str, ...]
    lines: tuple[str, ...]
    mounts: bool = False


def steps(report: Report) -> tuple[Step, ...]:
    """Return every step, from the bare panel to the rack."""
    return tuple(_steps(report))


def _steps(report: Report) -> Iterator[Step]:
    job = report.job
    yield Step("Prepare the panel", (), tuple(_prepare(job)))
    told: dict[str, int] = {}  # advice that was given, and in which step
    for number, group in enumerate(_groups(report), start=2):
        step = _mount(group, report.stacks.get(group[0].name))
        yield replace(step, lines=tuple(_once(line, number, told) for line in step.lines))
    if any(place.part.earth for place in job.places) and not job.panel.material.plastic:
        places = tuple(p.name for p in job.places if p.part.earth)
        lines = (*(bond.says for bond in bonds(report)), *_EARTH)
        yield Step("Bond the panel to protective earth", places, lines)
    if any(place.plug is not None for place in job.places):
        yield Step("Try every plug", (), _PLUGS)
    if job.panel.rack_holes:
        goes = "Screw the plate to its box" if job.panel.rooms else "Hang the panel in its rack"
        yield Step(goes, (), tuple(_hang(job)))


def _once(line: str, number: int, told: dict[str, int]) -> str:
    """Return a line of a step, or where it was told before: advice of more than a line is not told again and again."""
    if line not in _advice().values():
        return line
    first = told.setdefault(line, number)
    return line if first == number else f"What keeps them tight: as told in step {first}."


_EARTH = (
    "Scrape or unmask bare metal there: metal to metal.",
    "Have the bond tested before the panel is put to use. Local codes decide who may do this.",
)
_PLUGS = ("Push each plug home until its latch holds, work the release with a finger, and draw it out again.",)


def _prepare(job: Job) -> Iterator[str]:
    yield "Compare the panel with the shop drawing; deburr both faces of every hole."
    if job.panel.coating:
        yield "Try one part of each kind in its hole: coating on the walls must not have closed it."
    if job.panel.mask_earth and not job.panel.material.plastic:
        yield "Check that the earth point is bare metal."


def _groups(report: Report) -> Iterator[tuple[Place, ...]]:
    """Yield places that are put together in the same way, in the order of the layout."""
    groups: dict[object, list[Place]] = {}
    for place in report.job.places:
        stack, mounting = report.stacks.get(place.name), place.mounting
        bought = (stack.hardware, stack.rest) if stack is not None else None
        wish = place.wish
        key = (
            mounting.kind, mounting.mount, place.turn, mounting.part_turn, bought, wish.metal, wish.retention
        )  # fmt: skip
        groups.setdefault(key, []).append(place)
    yield from (tuple(members) for members in groups.values())


def _mount(group: tuple[Place, ...], stack: Stack | None) -> Step:
    place = group[0]
    lines = [_put_in(place)]
    if stack is not None:
        lines += _screwed(place, stack)
    elif place.part.bush is not None:
        lines += _bushed(place.part.bush)
    elif place.part.fixings is not None:
        lines.append("No hardware was found that holds it: see the report.")
    else:
        lines.append("It holds itself: follow its maker's instructions.")
    return Step(f"{place.part.title}, from the {place.mount}", tuple(p.name for p in group), tuple(lines), mounts=True)


def _put_in(place: Place) -> str:
    turn = round(place.whole_turn, 1) % 360
    way = f", turned {turn:g} degrees anticlockwise seen from the front" if turn else ", upright"
    return f"Put the part into its cut-out from the {place.mount}{way}."


def _screwed(place: Place, stack: Stack) -> Iterator[str]:
    assert place.part.fixings is not None  # a stack has fixings
    each = len(place.part.fixings.at)
    yield "For each: " + "; ".join(f"{each} x {name}" for _, name in stack.items) + "."
    if stack.screw.rivet is not None:
        yield "Set them with a riveter, the part pressed flat: the first one by half, then the other, then the first."
        yield from _kept(stack, place.wish)
        return
    yield which_turns(stack)
    tight = tightening(stack)
    yield f"Tighten to {tight.text}, by turns (limited by {tight.limit})."
    yield from _kept(stack, place.wish)


def _kept(stack: Stack, wish: HardwareWish) -> Iterator[str]:
    """Yield what there is to know of what keeps the screws in place, with where it is from."""
    way = kept_by(stack, wish)
    for name in (way, "strong thread locker") if way == "thread locker" else (way,):
        yield _advice()[name]


@cache
def _advice() -> dict[str, str]:
    """Return the advice on every way of keeping screws in place, with where it is from."""
    return {name: f"{row.advice} ({row.source})" for name, row in fasteners.retentions().items()}


def _bushed(bush: Bush) -> Iterator[str]:
    washer = "its washer and " if bush.washer else ""
    yield (
        f"Put {washer}its nut ({format_mm(bush.nut_across)} across flats, it comes with the part) on from the "
        f"{bush.nut_side}; hold the body, and turn the nut with a spanner until the part no longer turns: firm, "
        "not hard."
    )


def _hang(job: Job) -> Iterator[str]:
    screw = fasteners.rack_screws()[job.panel.rack_screw]
    yield f"{len(job.panel.rack_holes)} x {screw.words}."
    first = "Lay the cables in without a kink" if job.panel.rooms else "Carry the panel until the lower two are in"
    yield f"{first}. Hand-tight is enough; never over {rack_limit(screw):.1f} N m."
