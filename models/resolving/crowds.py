"""How many places a panel may have that are each looked at by themselves: what would take minutes is refused.

A place is judged together with what stands beside it, and like places in like company once. So it is neither the
number of places that takes time, nor how close they are, but heaps of places and places that are all different.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence

from dryfit.models.job import Place

MOST_LAPPED = 8  # flanges that one flange may lie over: more are a slip of the pitch, and each is judged against each
MOST_DIFFERENT = 270  # kinds of places, and places that differ in company: some five seconds of looking at them
A_KIND = 2  # places: what a kind takes besides, whose screws are all to be tried
BESIDE = 14.0  # mm between two flanges: about what a place sees of its neighbours
SAME_SPOT = 3  # decimals of mm and degrees


def heaped(places: Sequence[Place]) -> Iterator[tuple[Place, int]]:
    """Yield the first place of every entry whose flange lies over too many others, and how many these are."""
    boxes = [place.flange.box for place in places]
    noted: set[int] = set()
    for place, mine in zip(places, boxes, strict=True):
        lapped = sum(mine.overlaps(other) for other in boxes) - 1
        if lapped > MOST_LAPPED and place.entry not in noted:
            noted.add(place.entry)
            yield place, lapped


def different(places: Sequence[Place]) -> int:
    """Return how much there is to look at: kinds of places, each counted twice, and places in different company."""
    kinds = {place.mounting: number for number, place in enumerate(places)}
    if len(places) + A_KIND * len(kinds) <= MOST_DIFFERENT:
        return len(places) + A_KIND * len(kinds)  # at the very most
    standing = [(place, place.flange.box, kinds[place.mounting]) for place in places]
    companies = {
        (
            kind,
            frozenset(
                _seen(place, other, of)
                for other, box, of in standing
                if other is not place and mine.overlaps(box, BESIDE)
            ),
        )
        for place, mine, kind in standing
    }
    return len(companies) + A_KIND * len(kinds)


def _seen(place: Place, other: Place, kind: int) -> Hashable:
    """Return another place as it is seen from a place: where it stands, how it is turned, and its kind."""
    x, y = (other.at - place.at).turned(-place.turn)
    return round(x, SAME_SPOT), round(y, SAME_SPOT), round((other.turn - place.turn) % 360.0, SAME_SPOT), kind
