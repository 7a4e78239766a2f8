"""What a layout says in few words, written out before it is read: keys in other spellings, entries like the one above.

It is done on plain data, so that what stands there afterwards is judged as if it had been written; faults are told at
the line where it was.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from dryfit.models.catalogue.likeness import merged
from dryfit.models.reading.errors import Fault, InputError
from dryfit.models.reading.spellings import by_spelling, plainly
from dryfit.models.reading.yamlfile import KeyPath, LineMap

LIKE, ABOVE = "like", "above"
OF_ITS_OWN = ("first",)  # keys that are never taken over: numbering runs on
MOST_INSIDE = 1000  # values of one entry; a polygon of 64 corners with all that a place may have is a third of it
INSTEAD = {"row": {"at", "pitch"}, "at": {"row"}}  # what is not taken over where another says where it goes


def with_known_keys(data: dict[str, Any], lines: LineMap, known: frozenset[str]) -> tuple[dict[str, Any], LineMap]:
    """Return plain data whose keys are spelled as they are known, with the lines of these."""
    spelled = by_spelling("key", tuple(sorted(known)))

    def name_of(key: str) -> str:
        return key if key in known else spelled.get(plainly(key), key)

    if all(name_of(key) == key for path in lines.lines for key in path[-1:] if isinstance(key, str)):
        return data, lines
    paths: dict[KeyPath, KeyPath] = {}
    new = _renamed(data, name_of, (), (), paths)
    return new, replace(lines, lines={paths.get(path, path): line for path, line in lines.lines.items()})


def _renamed(
    data: Any, name_of: Callable[[str], str], old: KeyPath, new: KeyPath, paths: dict[KeyPath, KeyPath]
) -> Any:
    """Return plain data with other names for its keys, and note the path of everything before and after."""
    paths[old] = new
    if isinstance(data, list):
        return [_renamed(item, name_of, (*old, n), (*new, n), paths) for n, item in enumerate(data)]
    if not isinstance(data, dict):
        return data
    names = {key: key if name_of(key) in data else name_of(key) for key in data}
    return {names[key]: _renamed(value, name_of, (*old, key), (*new, names[key]), paths) for key, value in data.items()}


def with_likeness(file: str, data: dict[str, Any], lines: LineMap) -> tuple[dict[str, Any], LineMap]:
    """Return plain data whose places say themselves what they take over from the one above.

    Raises:
        InputError: where there is none above, or far more than a place has.
    """
    places = data.get("places")
    if not isinstance(places, list) or not any(_is_like(entry) for entry in places):
        return data, lines
    written: list[Any] = []
    inside = _inside_entries(lines)
    origins: dict[KeyPath, KeyPath] = {}
    for number, entry in enumerate(places):
        above = written[-1] if written else None
        if not _is_like(entry):
            written.append(entry)
            continue
        if not isinstance(above, dict) or len(inside[number - 1]) > MOST_INSIDE:
            what = "there is too much above to be like" if above else "there is no entry above to be like"
            raise InputError([Fault(file, lines.line(("places", number, LIKE)), what, "an entry above with a part")])
        written.append(merged(_taken_over(above, entry), entry))
        for rest, origin in inside[number - 1].items():
            if rest not in inside[number]:
                inside[number][rest] = origins["places", number, *rest] = origin
    known = {path: lines.line(origin) for path, origin in origins.items()}
    return {**data, "places": written}, LineMap({**lines.lines, **known}, origins)


def _is_like(entry: object) -> bool:
    return isinstance(entry, dict) and entry.get(LIKE) == ABOVE


def _inside_entries(lines: LineMap) -> defaultdict[int, dict[KeyPath, KeyPath]]:
    """Return the paths within each entry of the places, with where each stands in the file."""
    found: defaultdict[int, dict[KeyPath, KeyPath]] = defaultdict(dict)
    for path in lines.lines:
        match path:
            case ("places", int(number), *rest) if rest:
                found[number][tuple(rest)] = path
    return found


def _taken_over(above: Mapping[str, Any], entry: Mapping[str, Any]) -> dict[str, Any]:
    """Return what an entry takes over from the one above: all but what stands in the place of what it says itself."""
    gone = {*OF_ITS_OWN}.union(*(names for key, names in INSTEAD.items() if key in entry))
    return {name: value for name, value in above.items() if name not in gone}
