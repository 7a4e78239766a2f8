"""What the page's program is given: bodies as slices, what is seen of them, how they come off, findings, places.

Bodies, outlines and looks are written once each; the program draws them itself, so nothing is meshed here. Bodies are
what is measured and cut open; looks are what is shown. All lengths mm, those of looks in hundredths.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from typing import Any, Generic, NamedTuple, TypeVar

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.bodies.real import RealSolid, real_of
from dryfit.generators.joints.stacks import Stack
from dryfit.generators.joints.tightening import tightening, which_turns
from dryfit.generators.joints.words import describe
from dryfit.generators.lettering.legends import Legend, clear_legends
from dryfit.generators.lettering.typeface import outlines, text_width
from dryfit.generators.looks.apart import Way, travel, ways
from dryfit.generators.looks.gaps import Gap, gap_of
from dryfit.generators.looks.looks import drawn, ink, main_finish
from dryfit.generators.looks.shapes import HOME, Drawn, Layer, Ring, Turning
from dryfit.generators.report import Report
from dryfit.models.findings import Finding, worst_first
from dryfit.models.geometry.bodies import Body, Profile, Slice, Straight
from dryfit.models.geometry.outlines import Outline
from dryfit.models.job import Place
from dryfit.models.reading.errors import begun
from dryfit.models.tables.finishes import finish

T = TypeVar("T", bound=Hashable)

DECIMALS = 4  # of a mm or a degree: far below any tolerance, and free of rounding noise
GLYPH_DECIMALS = 3  # of the height of a capital: some micrometres

FINE = 100  # looks are written in hundredths of a mm: far below what a screen shows


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
    looks: _Once[Drawn | _Skin] = _Once()
    finishes: _Once[str] = _Once()
    places = {place.name: number for number, place in enumerate(job.places)}
    seen = [_seen(report, one) for one in report.assembly.instances]
    instances = [
        _instance(report, one, way)
        | {"body": bodies.number(one.body), "look": -1 if look is None else looks.number(look)}
        | {"place": places.get(one.place, -1)}
        for one, way, look in zip(report.assembly.instances, ways(report), seen, strict=True)
    ]
    names = {instance.name: number for number, instance in enumerate(report.assembly.instances)}
    legends = clear_legends(job)
    told: dict[str, Any] = {
        "title": job.title,
        "panel": [job.panel.width, job.panel.height, job.panel.finished],
        "ink": ink(job.panel, _colour(legends)),
        "bodies": [_body(body, outlines_) for body in bodies.numbers],
        "looks": [_look(look, finishes) for look in looks.numbers],
        "finishes": [[finish(name).colour, finish(name).metal] for name in finishes.numbers],
        "instances": instances,
        "places": [_place(report, place) for place in job.places],
        "findings": [
            _finding(finding, names, places) | {"gap": _gap(gap_of(report, finding), names) if finding.is_bad else None}
            for finding in worst_first(report.findings)
        ],
        "glyphs": _glyphs(legends),
        "legends": [_legend(legend, places) for legend in legends],
    }
    return told | {"outlines": [[_round(*corner) for corner in one.corners] for one in outlines_.numbers]}


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


def _instance(report: Report, one: Instance, way: Way) -> dict[str, Any]:
    spot, seen = one.placement, main_finish(report, one)
    return {
        "name": one.name,
        "at": _round(spot.x, spot.y, spot.z, spot.turn),
        "flip": spot.flip,
        "role": one.role,
        "colour": seen.colour,
        "metal": seen.metal,
        "side": way.side,
        "rank": way.rank,
        "apart": _r(way.apart),
        "travel": _r(travel(report, one)),
    }


# --- looks ----------------------------------------------------------------------------------------------------------


class _Skin(NamedTuple):
    """A true solid in the finish that the whole of it has."""

    real: RealSolid
    finish: str


def _seen(report: Report, one: Instance) -> Drawn | _Skin | None:
    """Return what is seen of an instance: its true solid, if it has one, else what is drawn of it."""
    real = real_of(report.reals, one)
    return drawn(report, one) if real is None else _Skin(real, main_finish(report, one).name)


def _look(look: Drawn | _Skin, finishes: _Once[str]) -> list[dict[str, Any]]:
    if not isinstance(look, _Skin):
        return [_piece(piece, finishes) for piece in look]
    points = (look.real.shown.corners * FINE).round().astype(int).ravel().tolist()
    faces = look.real.shown.triangles.ravel().tolist()
    return [{"finish": finishes.number(look.finish), "points": points, "faces": faces}]


def _piece(piece: Layer | Turning, finishes: _Once[str]) -> dict[str, Any]:
    told: dict[str, Any] = {"finish": finishes.number(piece.finish)}
    if isinstance(piece, Layer):
        told |= {"levels": _fine(((piece.z0, piece.z1),)), "rings": [_fine(ring) for ring in piece.rings]}
    else:
        told |= {"profile": _fine(piece.profile)}
    if piece.spots != HOME:
        told |= {"spots": [_round(*spot) for spot in piece.spots]}
    return told


def _fine(ring: Ring) -> list[int]:
    """Return points as a flat list in hundredths of a mm."""
    return [round(value * FINE) for point in ring for value in point]


def _gap(gap: Gap | None, names: dict[str, int]) -> dict[str, Any] | None:
    if gap is None:
        return None
    bodies = [names[one.name] for one in gap.bodies]
    return {"from": _round(*gap.start), "to": _round(*gap.stop), "across": gap.across, "bodies": bodies}


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
    yield f"{begun(words)}."
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


def _colour(legends: Iterable[Legend]) -> str:
    """Return the colour that all legends are asked in; nothing where they differ."""
    first, *others = {legend.colour for legend in legends} or {""}
    return "" if others else first


def _glyphs(legends: Sequence[Legend]) -> dict[str, Any]:
    """Return every letter in use: its advance and its loops as flat lists, in heights of a capital."""
    letters, font = sorted({letter for legend in legends for letter in legend.text}), legends[0].font if legends else ""
    return {letter: [round(text_width(letter, 1.0, font), GLYPH_DECIMALS), _loops(letter, font)] for letter in letters}


def _loops(letter: str, font: str) -> list[list[float]]:
    return [[round(v, GLYPH_DECIMALS) + 0.0 for point in loop for v in point] for loop in outlines(letter, 1.0, font)]


def _legend(legend: Legend, places: dict[str, int]) -> list[Any]:
    return [places[legend.place], legend.text, *_round(legend.x, legend.y, legend.height)]
