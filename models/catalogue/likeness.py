"""Records that are like another: what is taken over, what follows from what differs, and what is said of it.

``like: NAME`` takes everything over from another record but for what is written: mappings are merged key by key, an
outline, a source and every list is replaced whole, and a key left empty is taken away. Then, of a part or plug:

- what follows from a dimension that differs (``{of: bush.thread, plus: 0.3 mm}``) follows it still, unless it is
  written, too: of a gland with another thread the hole is another;
- its solid is its own, if it has one: what differs does not show on that of the other;
- what is written rests on no source of the other record, unless one is named for it: its range is not that of another.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from dryfit.models.catalogue.dimensions import Dimension, dimensions
from dryfit.models.catalogue.parts import Part, Plug
from dryfit.models.catalogue.sources import OF, SOURCE, SOURCES
from dryfit.models.reading.fields import SHAPE_KINDS
from dryfit.models.reading.units import format_mm

LIKE = "like"
SOLID = "solid"  # never taken over: what differs is not on the other one's solid
WHOLE = SHAPE_KINDS | {SOURCE, OF}
"""A mapping with one of these keys is an outline or a source: another one takes its place whole."""
SAME = 0.001  # mm; polygons are written to a thousandth, and nothing on a panel is made finer
SIDES = {"width": 0, "height": 1}

Raw = dict[str, Any]
Path = tuple[str | int, ...]


def merged(base: Raw, own: Raw) -> Raw:
    """Return a record that is like another but for what is its own; see the head of this module."""
    whole = dict(base)
    for key, value in own.items():
        before = whole.get(key)
        if value is None:
            whole.pop(key, None)
        elif isinstance(value, dict) and isinstance(before, dict) and WHOLE.isdisjoint(value):
            whole[key] = merged(before, value)
        else:
            whole[key] = value
    return whole


# --- what follows ----------------------------------------------------------------------------------------------------


def followers(record: Part | Plug, own: Raw) -> Iterator[tuple[str, str, float]]:
    """Yield the dimensions that no longer are what they follow from, and are not written: each with what it follows
    from, and what it should be.
    """
    values = {found.path: found for found in dimensions(record)}
    for found in values.values():
        of, value = _reckoned(record, found, values)
        if abs(value - found.value) > SAME and not is_written(own, found.path):
            yield found.path, of, value


def _reckoned(record: Part | Plug, found: Dimension, values: Mapping[str, Dimension]) -> tuple[str, float]:
    """Return what a dimension follows from, and what it should be: as it is where it follows from none."""
    if found.source is None or found.source.of is None:
        return "", found.value
    of = f"{found.source.of}{found.path.removeprefix(key_of(record.sources, found.path))}"
    return of, values[of].value + found.source.plus if of in values else found.value


def key_of(sources: Mapping[str, object], path: str) -> str:
    """Return the longest key among sources that covers a path, or nothing."""
    return max((key for key in sources if covers(key, path)), key=len, default="")


def covers(key: str, path: str) -> bool:
    """Whether what is said under a key is said of a path."""
    return path == key or path.startswith(f"{key}.")


def is_written(own: Raw, path: str) -> bool:
    """Whether a record itself writes a dimension, or names its source."""
    if any(covers(key, path) for key in own.get(SOURCES) or ()):
        return True
    here: Any = own
    for name in _names(path):
        if not isinstance(here, dict) or isinstance(name, int) or not WHOLE.isdisjoint(here):
            return True
        if name not in here:
            return False
        here = here[name]
    return True


def _names(path: str) -> Path:
    return tuple(int(name) if name.isdigit() else name for name in path.split("."))


def set_to(raw: Raw, path: str, value: float) -> Raw:
    """Return a record with one dimension changed.

    Raises:
        ValueError: if it is of a shape that one number does not change.
    """
    *way, last = _names(path)
    if last == "depth" and len(way) == 2 and isinstance(way[1], int):
        last = "to"
    return dict(_changed(raw, tuple(way), last, format_mm(value, 4)))


def _changed(here: Any, way: Path, last: str | int, value: str) -> Any:
    """Return data with what stands at the end of a way changed, all else as it was."""
    if way and isinstance(here, list) and isinstance(way[0], int):
        return [_changed(item, way[1:], last, value) if n == way[0] else item for n, item in enumerate(here)]
    if way and isinstance(here, dict) and isinstance(way[0], int):
        return _changed(here, way[1:], last, value)  # a list of one, written without brackets
    if way and isinstance(here, dict):
        return {**here, way[0]: _changed(here[way[0]], way[1:], last, value)}
    if last in SIDES and isinstance(here, dict) and last not in here:
        return _side_changed(here, SIDES[str(last)], value)
    if isinstance(here, dict):
        return {**here, last: value}
    raise ValueError("a list is written whole")


def _side_changed(here: Raw, side: int, value: str) -> Raw:
    """Return an outline, or a section with one, that is as wide or as high as asked."""
    if "outline" in here:
        return {**here, "outline": _side_changed(here["outline"], side, value)}
    if "turn" in here:
        raise ValueError("it is turned")
    if "round" in here:
        return {**here, "round": value}
    if "box" in here:
        box = [*here["box"]]
        box[side] = value
        return {**here, "box": box}
    if "hexagon" in here:
        return {**here, "hexagon": value}
    raise ValueError("it is neither round nor a box")


# --- what is said of what is written ---------------------------------------------------------------------------------


def restated(record: Part | Plug, base: Part | Plug, own: Raw, says: str) -> Raw:
    """Return the sources of the dimensions that a record writes otherwise than the one it is like, by their paths.

    It is the source that the record itself names, or else what it says. Room that is asked for stays room, whatever its
    size, and what is written as it follows from another dimension still does so.
    """
    before = {found.path: found.value for found in dimensions(base)}
    values = {found.path: found for found in dimensions(record)}
    named = own.get(SOURCES) or {}
    return {
        path: named.get(key_of(named, path)) or says
        for path, found in values.items()
        if is_written(own, path)
        and abs(before.get(path, 0.0) - found.value) > SAME
        and key_of(record.sources, path) not in named
        and not _holds_still(record, found, values)
    }


def _holds_still(record: Part | Plug, found: Dimension, values: Mapping[str, Dimension]) -> bool:
    """Whether what is said of a dimension holds for any value, or follows from another and is right."""
    of, value = _reckoned(record, found, values)
    return found.source is None or found.confidence == "allowance" or (of != "" and abs(value - found.value) <= SAME)
