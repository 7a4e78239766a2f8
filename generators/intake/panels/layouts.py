"""The layout that begins with a bought panel: its size and its cut-outs as they are, a place for every pattern."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pydantic import TypeAdapter, ValidationError

from dryfit.generators.intake.panels.folding import folded_up
from dryfit.generators.intake.panels.kinds import Recognised, recognised
from dryfit.generators.intake.panels.places import EXACT, Found, Grouped, grouped
from dryfit.generators.intake.plates.figures import hull, tip
from dryfit.generators.intake.plates.plate import Opening, Plate, Sink
from dryfit.generators.intake.written import Written, keys, mm
from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.patterns import Pattern, diagonal
from dryfit.models.geometry.contours import flat_from_axis, shape_kind
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import Point
from dryfit.models.reading.errors import DryfitError, display_path, number_of, printable
from dryfit.models.reading.units import format_mm
from dryfit.models.tables.panels import gauge_thickness
from dryfit.models.wishes.panels import LARGEST_PANEL, Thickness

FINEST = 0.0005  # mm: what is less is written as nothing
MOST_PROPOSED = 8  # parts named beside a place
USUAL_SINK = 90.0  # degrees, where the file shows no angle
BLANK = "blank"  # what the names of parts that only close a hole have in them
MATERIAL = "aluminium"  # what most panels are of
DEFAULT = "blank-d"  # where a pattern is known, but no part that has it


@dataclass(frozen=True)
class Started:
    """A layout that begins with a plate, and what was made of it."""

    text: str
    grouped: Grouped
    recognised: Recognised
    said: tuple[str, ...]

    @property
    def summary(self) -> str:
        """What was found, in one line."""
        places, kind = self.grouped.places, self.recognised
        patterns_of = {_signature(place) for place in places}
        width, height = kind.kind.size
        return (
            f"{kind.kind.name} {format_mm(width)} x {format_mm(height)}: {number_of(len(places), 'place')} of "
            f"{number_of(len(patterns_of), 'pattern')}, {number_of(len(kind.mounting), 'mounting hole')}, "
            f"{number_of(len(self.grouped.unexplained), 'hole')} that no pattern explains"
        )


def _signature(place: Found) -> str:
    """Return the cut-out of a place as it is written: the same for places of one pattern."""
    return ", ".join(_cutout(place))


def started(
    plate: Plate, title: str, source: str, thickness: str | None, catalogue: Catalogue, *, bend: float | None = None
) -> Started:
    """Return the layout of a plate; ``thickness`` is written as it is given, ``source`` names the file it is from.

    A blank with bend lines is folded up, with ``bend`` as the inside radius of its bends (mm).

    Raises:
        DryfitError: if neither the plate nor the caller says how thick it is, or it is larger than panels are.
    """
    if max(plate.box.size) > LARGEST_PANEL:
        size = f"{format_mm(plate.box.width)} by {format_mm(plate.box.height)}"
        most = f"at most {format_mm(LARGEST_PANEL)} either way, or another --unit"
        raise DryfitError(f"{display_path(source)}: draws a plate of {size}, expected {most}")
    written_as, thick = _thickness(plate, source, thickness)
    plate = folded_up(plate, thick, bend)
    kind = recognised(plate)
    groups = grouped(kind.rest(plate), catalogue)
    said = (*plate.said, *kind.said, *_said_places(groups))
    lines = [*_head(source, said), "", f"title: {_quoted(title)}", ""]
    pattern = _common(groups, catalogue)
    lines += [*_panel(plate, kind, written_as, pattern), ""]
    lines += ["origin: corner             # from the lower left corner, seen from the front", ""]
    lines += [*_places(kind.origin, groups, catalogue, pattern), *_unexplained(kind.origin, groups)]
    return Started("\n".join(lines) + "\n", groups, kind, said)


def _thickness(plate: Plate, source: str, given: str | None) -> tuple[str, float]:
    """Return the thickness as it is written, as given or the plate's own, and in mm."""
    if given is None and plate.thickness is None:
        raise DryfitError(f'{display_path(source)}: says no thickness, expected --thickness, such as "2 mm"')
    if given is None:
        return f"{mm(plate.thickness or 0.0)} mm", plate.thickness or 0.0
    try:
        found = TypeAdapter(Thickness).validate_python(given)
    except ValidationError as error:
        raise DryfitError(f"--thickness: {error.errors()[0]['msg'].removeprefix('Value error, ')}") from None
    return given, found if isinstance(found, float) else gauge_thickness(MATERIAL, found.removesuffix(" ga"))


def _head(source: str, said: Sequence[str]) -> Iterator[str]:
    yield f"# Begun from {printable(source)}: its cut-outs as they are. Give each place its part, then `dryfit check`."
    yield from (f"# - {printable(told)}" for told in said)


def _said_places(groups: Grouped) -> Iterator[str]:
    if groups.unexplained:
        yield f"{len(groups.unexplained)} holes that no pattern explains are plain holes, at the end"
    curved = [opening for opening in groups.unexplained if opening.outline is None]
    if curved:
        yield f"{len(curved)} of them are of shapes that a layout cannot say: each is the convex shape about it"
    freely = [place for place in groups.places if place.turn % 90]
    if freely:
        yield f"{len(freely)} places are turned by other than right angles"
    if not groups.places:
        yield "no place was found: no hole is like those of the parts"


def _panel(plate: Plate, kind: Recognised, thickness: str, common: str) -> Iterator[str]:
    yield "panel:"
    yield from (f"  {key}" for key in kind.kind.keys)
    yield f"  thickness: {thickness}"
    yield f"  material: {MATERIAL}      # not in the file"
    yield "  coating: 0 mm            # not in the file; with one, say whether the holes are as measured on it:"
    yield "  # holes_finished: true"
    if kind.corner >= FINEST:
        yield f"  corner: {mm(kind.corner)}"
    if plate.folded.depth:
        yield f"  lip: {mm(plate.folded.depth)}"
        yield f"  lips: [{', '.join(plate.folded.edges)}]"
        yield f"  bend_radius: {mm(plate.folded.radius)}"
    if common:
        yield f"  holes: {common}"


def _common(groups: Grouped, catalogue: Catalogue) -> str:
    """Return the pre-punched pattern that most of the places have exactly; empty if none has one."""
    count = Counter(name for place in groups.places if (name := _pattern(place, catalogue)))
    return count.most_common(1)[0][0] if count else ""


def _pattern(place: Found, catalogue: Catalogue) -> str:
    """Return the pre-punched pattern that a place has exactly; empty where it has none."""
    return next((t.pattern for t in place.like if t.pattern and _has(place, catalogue.patterns[t.pattern])), "")


def _has(place: Found, row: Pattern) -> bool:
    outline = place.main.outline
    if place.mirrored or place.fixings[0].sink is not None or outline is None or not outline.is_circle:
        return False
    spots = diagonal(row.across, row.up, row.mirror)
    sizes = (outline.size.width - row.hole, place.fixings[0].box.width - row.fixings)
    off = [min(spot.distance_to(at) for at in spots) for spot in place.spots]
    return max(*map(abs, sizes), *off) <= EXACT / 4


def _places(origin: Point, groups: Grouped, catalogue: Catalogue, common: str) -> Iterator[str]:
    if not groups.places:
        yield "places: []"
        return
    yield "places:"
    proposed: tuple[str, ...] = ()
    for number, place in enumerate(groups.places, start=1):
        if place.parts != proposed:
            proposed = place.parts
            yield f"  # {_proposal(place)}"
        part = next((name for name in proposed if BLANK in name), (*proposed, DEFAULT)[0])
        side = () if "front" in catalogue.parts[part].mount else ("mount: rear",)
        entry = (f"part: {part}", f'label: "{number}"', *_where(origin, place), *side)
        cutout = (
            () if common and _pattern(place, catalogue) == common else (f"cutout: {{{', '.join(_cutout(place))}}}",)
        )
        yield f"  - {{{', '.join((*entry, *cutout))}}}"


def _proposal(place: Found) -> str:
    if not place.parts:
        return "no part of the catalogue has this pattern"
    more = f" and {len(place.parts) - MOST_PROPOSED} more" if len(place.parts) > MOST_PROPOSED else ""
    off = f", {format_mm(place.off)} off" if place.off > EXACT else ""
    return f"holes like those of{off}: {', '.join(place.parts[:MOST_PROPOSED])}{more}"


def _where(origin: Point, place: Found) -> Iterator[str]:
    at = place.at - origin
    yield f"at: [{mm(at.x)}, {mm(at.y)}]"
    if place.turn:
        yield f"turn: {place.turn:g}"


def _cutout(place: Found) -> Iterator[str]:
    outline = place.main.outline
    assert outline is not None  # places have none else
    about = outline.moved(*-place.at).turned(-place.turn)
    if about.is_circle and about.centre.length <= FINEST:
        yield f"hole: {mm(about.size.width)}"
    else:
        yield f"outline: {{{', '.join(keys(_written(about)))}}}"
    if place.fixings:
        yield f"fixings: {mm(place.fixings[0].box.width)}"
        yield from _spots(place.spots)
        sink = place.fixings[0].sink
        if sink is not None:
            yield f"countersink: {{{', '.join(_sink(sink))}}}"


def _spots(spots: Sequence[Point]) -> Iterator[str]:
    """Yield the keys that place fixing holes: of two on a diagonal how far they are apart, else where each is."""
    upper = max(spots, key=lambda at: at.y)
    if len(spots) == 2 and (spots[0] + spots[1]).length < FINEST and upper.x and upper.y > FINEST:
        yield f"across: {mm(2 * abs(upper.x))}"
        yield f"up: {mm(2 * upper.y)}"
        yield from ("mirror: true",) if upper.x > 0 else ()
    else:
        yield f"at: [{', '.join(f'[{mm(x)}, {mm(y)}]' for x, y in spots)}]"


def _sink(sink: Sink) -> Iterator[str]:
    yield f"diameter: {mm(sink.diameter)}"
    yield f"angle: {round(USUAL_SINK if sink.angle is None else sink.angle, 2):g}"
    if sink.side != "front":
        yield f"from: {sink.side}"


def _written(outline: Outline) -> Written:
    """Return an outline by the keys that it has in a layout."""
    kind, radius = shape_kind(outline), max(c.radius for c in outline.corners)
    centre, across = outline.centre, 2 * radius
    if kind == "round":
        return _at({"round": across}, centre)
    if kind == "slot":
        a, b = (c.centre for c in outline.corners)
        return _at({"slot": [a.distance_to(b) + across, across], **_turned((a - b).direction, 180.0)}, centre)
    if kind == "d":
        (arc,) = (c for c in outline.corners if c.is_round)
        return _at({"d": [across, radius + flat_from_axis(outline)], **_turned(arc.middle - 90.0, 360.0)}, arc.centre)
    if kind == "box":
        return _at({"box": [*outline.size], **_rounded(radius)}, centre)
    return {"polygon": [[*tip(corner)] for corner in outline.corners], **_rounded(radius)}


def _at(shape: Written, centre: Point) -> Written:
    return {**shape, "at": [*centre]} if centre.length > FINEST else shape


def _rounded(radius: float) -> Written:
    return {"corner": radius} if radius > FINEST else {}


def _turned(degrees: float, period: float) -> Written:
    turn = round((degrees + period / 2) % period - period / 2, 3) + 0.0
    return {"turn": turn} if turn else {}


def _unexplained(origin: Point, groups: Grouped) -> Iterator[str]:
    """Yield what no pattern explains as plain holes, those of one shape together."""
    kinds: dict[str, list[Opening]] = {}
    for opening in groups.unexplained:
        kinds.setdefault(_plain_hole(opening), []).append(opening)
    if kinds:
        yield ""
        yield "cut:                       # plain holes: those that no pattern explains"
    for shape, holes in kinds.items():
        spots = (opening.centre - origin for opening in holes)
        yield f"  - {{{shape}, at: [{', '.join(f'[{mm(x)}, {mm(y)}]' for x, y in spots)}]}}"


def _plain_hole(opening: Opening) -> str:
    """Return the keys that make a plain hole of an opening: where its shape cannot be said, of the hull about it."""
    about = (opening.outline or hull(opening.contour)).moved(*-opening.centre)
    if about.is_circle:
        return f"hole: {mm(about.size.width)}"
    return f"outline: {{{', '.join(keys(_written(about)))}}}"


def _quoted(text: str) -> str:
    plain = printable(text).replace("\\", " ").replace('"', "'")
    return f'"{plain}"'
