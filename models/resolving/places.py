"""The places of a layout: each part that is named, where it stands, with its plug, its cut-out and its hardware."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count

from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.patterns import Pattern
from dryfit.models.catalogue.words import suggested, texts
from dryfit.models.drawer import Drawer
from dryfit.models.geometry.outlines import box, clearance
from dryfit.models.geometry.points import Point
from dryfit.models.geometry.rectangles import Rectangle
from dryfit.models.job import Mounting, Place
from dryfit.models.layout import Layout
from dryfit.models.panel import Panel
from dryfit.models.reading.errors import quote
from dryfit.models.reading.units import format_mm
from dryfit.models.reading.yamlfile import KeyPath
from dryfit.models.resolving.crowds import MOST_DIFFERENT, MOST_LAPPED, different, heaped
from dryfit.models.resolving.cutouts import cutout_of, punched, suited_cutout
from dryfit.models.resolving.faults import Faults
from dryfit.models.resolving.hardware import hardware_of
from dryfit.models.resolving.labels import first_numbers, judge_colour, label, legend, lettering
from dryfit.models.resolving.rows import Room, RowError, rows
from dryfit.models.wishes.places import PlaceWish


@dataclass(frozen=True)
class Ground:
    """What the entries of a layout's places are worked out with."""

    layout: Layout  # its rows written out
    catalogue: Catalogue
    panel: Panel
    origin: Point  # where on the panel the layout measures from
    pattern: Pattern | None  # what is punched; None: what suits the parts
    drawer: Drawer | None
    faults: Faults


def rows_written_out(
    layout: Layout, catalogue: Catalogue, panel: Panel, origin: Point, faults: Faults
) -> tuple[PlaceWish, ...]:
    """Return the entries of the places, those in rows with the centres that are worked out."""
    places = list(layout.places)
    room = Room(Rectangle.at(panel.datum - origin, (panel.width, panel.height)))
    try:
        for row in rows(layout.places):
            columns = row.columns(lambda entry: _flange(entry, catalogue))
            for number, spots in row.spots(room, columns) if columns else ():
                places[number] = places[number].standing(spots)
    except RowError as error:
        faults.note(("places", error.entry, "row"), error.what, error.expected)
    return tuple(places)


def places_of(ground: Ground) -> tuple[Place, ...]:
    """Return every place of the panel; note what two of them share, and crowds."""
    entries = enumerate(zip(ground.layout.places, first_numbers(ground.layout.places), strict=True))
    places = tuple(place for number, (entry, first) in entries for place in _places(number, entry, first, ground))
    _judge_alike(places, ground.faults)
    _judge_crowds(places, ground.faults)
    return places


def _flange(entry: PlaceWish, catalogue: Catalogue) -> Rectangle | None:
    """Return what the flange of an entry's part covers about its axis; None where the part is not known."""
    part = catalogue.parts.get(entry.part)
    return None if part is None else part.flange.outline.turned(entry.turn + entry.part_turn).box


def _places(number: int, entry: PlaceWish, first: int, ground: Ground) -> Iterator[Place]:
    """Yield the places of an entry; none where its part is not known, or its cut-out cannot be."""
    key: KeyPath = ("places", number)
    mounting = _mounting(key, entry, ground)
    if mounting is None:
        return
    line = ground.faults.line(key)
    judge_colour(key, entry, ground.faults)
    for at, n in zip(entry.spots, count(first)):
        name = label(entry, n) or f"place {number + 1}"
        written, letters = legend(entry, name, n), lettering(entry, n)
        place = Place(name, *(ground.origin + at), entry.turn, mounting, written, number, line, letters)
        _judge_spot(place, ground)
        yield place


def _mounting(key: KeyPath, entry: PlaceWish, ground: Ground) -> Mounting | None:
    part = _part(key, entry, ground)
    if part is None:
        return None
    plug_name, plug = _plug(key, entry, part, ground)
    mount = entry.mount or (part.mount[0] if len(part.mount) == 1 else "front")
    base = punched(suited_cutout(part, mount, ground.panel.coating), ground.panel, ground.pattern)
    cutout = cutout_of(key, entry.cutout, base, ground.panel, ground.faults)
    wish = hardware_of(key, entry.hardware, ground.layout.hardware, part, drawer=ground.drawer, faults=ground.faults)
    if cutout is None:
        return None
    return Mounting(entry.part, part, mount, cutout, entry.part_turn, plug_name, plug, wish)


def _part(key: KeyPath, entry: PlaceWish, ground: Ground) -> Part | None:
    part = ground.catalogue.parts.get(entry.part)
    if part is None:
        what, near = f"unknown part {quote(entry.part)}", suggested(entry.part, texts(ground.catalogue.parts))
        lists = "" if near else ": `dryfit parts` lists them"
        ground.faults.note((*key, "part"), what, f"the name of a part{lists}", near)
    return part


def _plug(key: KeyPath, entry: PlaceWish, part: Part, ground: Ground) -> tuple[str | None, Plug | None]:
    if entry.plug == "none" or (entry.plug == "default" and not part.plugs):
        return None, None
    name = part.plugs[0] if entry.plug == "default" else entry.plug
    if name not in part.plugs:
        ground.faults.unknown((*key, "plug"), f"plug of {entry.part}", name, ("default", "none", *part.plugs))
        return None, None
    return name, ground.catalogue.plugs[name]


def _judge_spot(place: Place, ground: Ground) -> None:
    """Note a place that is not on the panel, or whose cut-out leaves nothing of it."""
    panel, main = ground.panel, place.cutout.main.turned(place.turn).moved(place.x, place.y)
    across, up = main.size
    if across >= panel.width or up >= panel.height:
        what = f"the cut-out, {format_mm(across)} by {format_mm(up)}, is as large as the panel or larger"
        ground.faults.note(("places", place.entry, "cutout"), what, "a smaller hole")
    if clearance(main, box(panel.width, panel.height)) < -max(main.size):
        what = f"{place.name} lies outside the panel"
        ground.faults.note(("places", place.entry, "at"), what, "a place on the panel")


def _judge_alike(places: tuple[Place, ...], faults: Faults) -> None:
    """Note labels and spots that two places share."""
    names: set[str] = set()
    spots: dict[tuple[float, float], Place] = {}
    for place in places:
        if place.name in names:
            what = f"the label {quote(place.name)} is used twice"
            faults.note(("places", place.entry, "label"), what, "a label of its own for each place")
        spot = (round(place.x, 3), round(place.y, 3))
        if spot in spots:
            what = f"{place.name} is at the same spot as {spots[spot].name}"
            faults.note(("places", place.entry, "at"), what, "a spot of its own")
        names.add(place.name)
        spots[spot] = place


def _judge_crowds(places: tuple[Place, ...], faults: Faults) -> None:
    """Note what would take minutes to look at: flanges over a heap of others, and too many different places."""
    for place, lapped in heaped(places):
        what = f"{place.name} lies over {lapped} other places"
        expected = f"at most {MOST_LAPPED}: places further apart, or the unit that is meant"
        faults.note(("places", place.entry, "pitch"), what, expected)
    much = different(places)
    if much > MOST_DIFFERENT:
        what = f"{much} kinds of places, each counted twice, and places in different company"
        faults.note(("places",), what, f"at most {MOST_DIFFERENT}: more that are alike, or two panels")
