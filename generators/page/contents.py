"""What the page's program is given: bodies as slices, where they stand and how they come off, findings, places.

Bodies and outlines are written once each; the program draws them itself, so nothing is meshed here. All lengths mm.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from typing import Any, Generic, TypeVar

from dryfit.generators.bodies.assembly import Instance, Role
from dryfit.generators.bodies.colours import Colour, colour
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.joints.tightening import tightening, which_turns
from dryfit.generators.joints.words import describe
from dryfit.generators.lettering.legends import Legend, clear_legends
from dryfit.generators.lettering.typeface import outlines, text_width
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, worst_first
from dryfit.models.geometry.bodies import Body, Profile, Slice, Straight
from dryfit.models.geometry.outlines import Outline
from dryfit.models.job import Place

T = TypeVar("T", bound=Hashable)

DECIMALS = 4  # of a mm or a degree: far below any tolerance, and free of rounding noise
GLYPH_DECIMALS = 3  # of the height of a capital: some micrometres

RANKS: dict[Role, int] = {"panel": 0, "part": 1, "washer": 4, "screw": 3, "nut": 5, "plug": 6}
"""The order in which things are put together, and so pulled apart; a washer under a head goes on before the screw."""
UNDER_HEAD = 2


class _Once(Generic[T]):
    """Things written once each: gives every distinct one its number."""

    def __init__(self) -> None:
        self.numbers: dict[T, int] = {}

    def number(self, thing: T) -> int:
        return self.numbers.setdefault(thing, len(self.numbers))


def contents(report: Report) -> dict[str, Any]:
    """Return the data of the page, ready for JSON."""
    job = report.job
    outlines_: _Once[Outline] = _Once()
    bodies: _Once[Body] = _Once()
    places = {place.name: number for number, place in enumerate(job.places)}
    instances = [_instance(report, instance, bodies, places) for instance in report.assembly.instances]
    drawn = [_body(body, outlines_) for body in bodies.numbers]
    names = {instance.name: number for number, instance in enumerate(report.assembly.instances)}
    legends = clear_legends(job)
    return {
        "title": job.title,
        "panel": [job.panel.width, job.panel.height, job.panel.finished],
        "outlines": [[_round(*corner) for corner in outline.corners] for outline in outlines_.numbers],
        "bodies": drawn,
        "instances": instances,
        "places": [_place(report, place) for place in job.places],
        "findings": [_finding(finding, names, places) for finding in worst_first(report.findings)],
        "glyphs": _glyphs(legends),
        "legends": [_legend(legend, places) for legend in legends],
    }


def _round(*values: float) -> list[float]:
    return [_r(value) for value in values]


def _r(value: float) -> float:
    rounded = round(value, DECIMALS) + 0.0
    return int(rounded) if rounded == int(rounded) else rounded


# --- bodies ---------------------------------------------------------------------------------------------------------


def _body(body: Body, outlines_: _Once[Outline]) -> dict[str, Any]:
    return {"name": body.name, "slices": [_slice(s, outlines_) for s in body.slices]}


def _slice(s: Slice, outlines_: _Once[Outline]) -> list[Any]:
    holes = [_profile(hole, outlines_) for hole in s.holes]
    return [_r(s.z0), _r(s.z1), _profile(s.profile, outlines_), holes]


def _profile(profile: Profile, outlines_: _Once[Outline]) -> int | list[float]:
    """Return the number of an outline, or a cone as its two diameters and its axis."""
    if isinstance(profile, Straight):
        return outlines_.number(profile.outline)
    return _round(profile.low, profile.high, profile.x, profile.y)


def _instance(report: Report, one: Instance, bodies: _Once[Body], places: dict[str, int]) -> dict[str, Any]:
    spot = one.placement
    side, rank = _way(report, one)
    return {
        "name": one.name,
        "body": bodies.number(one.body),
        "at": _round(spot.x, spot.y, spot.z, spot.turn),
        "flip": spot.flip,
        "role": one.role,
        "place": places.get(one.place, -1),
        "colour": hex_colour(colour(one)),
        "side": side,
        "rank": rank,
        "travel": _r(_travel(report, one)),
    }


def hex_colour(rgb: Colour) -> str:
    """Return a colour as pages write it."""
    return "#" + "".join(f"{round(share * 255):02x}" for share in rgb)


def _way(report: Report, one: Instance) -> tuple[int, int]:
    """Return the side to which a body comes off (1: front, -1: rear) and its rank in the order of assembly."""
    if one.role == "panel":
        return 0, 0
    if one.role == "part":
        return _side(report.job.place(one.place).mount), RANKS["part"]
    if one.role == "plug":
        return 1, RANKS["plug"]
    stack = report.stacks.get(one.place)
    if stack is None:  # the nut of a bush
        return (-1 if one.placement.flip else 1), RANKS["nut"]
    head = _side(stack.joint.side)
    if one.role == "washer" and stack.under_head:
        return head, UNDER_HEAD
    return (head if one.role == "screw" else -head), RANKS[one.role]


def _side(side: str) -> int:
    return 1 if side == "front" else -1


def _travel(report: Report, one: Instance) -> float:
    """Return how far a plug is pushed from first touch to home; 0 for all else."""
    plug = report.job.place(one.place).plug if one.role == "plug" else None
    return plug.travel if plug is not None else 0.0


# --- places and findings --------------------------------------------------------------------------------------------


def _place(report: Report, place: Place) -> dict[str, Any]:
    stack = report.stacks.get(place.name)
    return {
        "name": place.name,
        "part": place.part.title,
        "mount": place.mount,
        "at": _round(place.x, place.y),
        "verdict": str(report.verdict_of(place.name)),
        "hardware": list(hardware_lines(stack)) if stack is not None else [],
        "plug": place.plug.title if place.plug is not None else "",
    }


def hardware_lines(stack: Stack) -> Iterator[str]:
    """Yield what holds a part, and how tight: one line each."""
    words = describe(stack)
    yield words[:1].upper() + words[1:] + "."
    if stack.screw.rivet is None:
        tight = tightening(stack)
        yield f"Tighten to {tight.text}; what limits it: {tight.limit}."
        yield which_turns(stack)


def _finding(finding: Finding, names: dict[str, int], places: dict[str, int]) -> dict[str, Any]:
    return {
        "check": finding.check,
        "place": places.get(finding.place, -1),
        "beside": [places[name] for name in finding.beside if name in places],
        "bodies": [names[name] for name in finding.bodies if name in names],
        "verdict": str(finding.verdict),
        "says": finding.says,
        "remedy": finding.advice,
        "measured": None if finding.measured is None else _r(finding.measured),
        "limit": None if finding.limit is None else _r(finding.limit),
        "view": finding.view,
    }


# --- legends --------------------------------------------------------------------------------------------------------


def _glyphs(legends: Iterable[Legend]) -> dict[str, Any]:
    """Return every letter in use: its advance and its loops as flat lists, in heights of a capital."""
    letters = sorted({letter for legend in legends for letter in legend.text})
    return {letter: [round(text_width(letter, 1.0), GLYPH_DECIMALS), _loops(letter)] for letter in letters}


def _loops(letter: str) -> list[list[float]]:
    return [[round(v, GLYPH_DECIMALS) + 0.0 for point in loop for v in point] for loop in outlines(letter, 1.0)]


def _legend(legend: Legend, places: dict[str, int]) -> list[Any]:
    return [places[legend.place], legend.text, *_round(legend.x, legend.y, legend.height)]
