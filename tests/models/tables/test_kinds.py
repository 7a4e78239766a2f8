"""Kinds, designations and ways of keeping screws: every row is used, and names only what the other tables have."""

from __future__ import annotations

from typing import Any, get_args

import pytest

from dryfit.models.reading.errors import UnknownName
from dryfit.models.tables import designations, fasteners, heads, tolerances
from dryfit.models.tables.fasteners import Head, Screw
from dryfit.models.tables.panels import wall_plates
from dryfit.models.wishes import hardware, panels


def test_every_designation_is_of_something_sold() -> None:
    sold: set[tuple[str, str, str | None, str, str]]
    sold = {("screw", h.kind, h.drive_kind, h.standard, fasteners.thread(h.thread).system) for h in fasteners.heads()}
    sold |= {("nut", n.kind, None, n.standard, fasteners.thread(n.thread).system) for n in fasteners.nuts()}
    sold |= {("washer", w.kind, None, w.standard, fasteners.thread(w.thread).system) for w in fasteners.washers()}
    sold |= {("rivet", "dome", None, r.standard, r.system) for r in fasteners.rivets()}
    assert set(designations._patterns()) == sold


@pytest.mark.parametrize("head", fasteners.heads(), ids=lambda head: f"{head.thread} {head.standard}")
def test_a_head_knows_its_tool(head: Head) -> None:
    words = {"cross recess": "cross-recess driver No. ", "slot": "screwdriver for slotted", "hexagon socket": " key"}
    assert words[head.drive_kind] in head.tool
    assert head.drive_size is None or head.drive_size.split()[-1] in head.tool or head.drive_size in head.tool
    assert head.drive == " ".join(filter(None, (head.drive_kind, head.drive_size)))


def test_no_drive_is_without_a_head() -> None:
    assert set(heads._tools()) == {(head.drive_kind, head.drive_size) for head in fasteners.heads()}


def _names(hint: Any) -> set[str]:
    """Return the names of a literal that other spellings are read for."""
    literal, _ = get_args(hint)
    return {*get_args(literal)}


def test_what_a_layout_may_ask_for_is_what_the_tables_hold() -> None:
    assert _names(hardware.HeadKind) == {head.kind for head in fasteners.heads()}
    assert _names(hardware.Drive) == {head.drive_kind for head in fasteners.heads()}
    assert _names(hardware.NutKind) - {"none"} == {nut.kind for nut in fasteners.nuts()}
    assert _names(hardware.WasherKind) - {"tooth"} == {washer.kind for washer in fasteners.washers()}
    assert _names(hardware.RetentionName) == set(fasteners.retention_ways())
    screws = fasteners.rack_screws().values()
    assert _names(panels.RackScrewName) == {screw.name for screw in screws if screw.into == "rack"}
    assert {plate.screw for plate in wall_plates().values()} == {s.name for s in screws if s.into == "wall box"}


def test_every_kind_of_nut_and_washer_says_how_it_holds() -> None:
    assert set(fasteners.nut_kinds()) == {nut.kind for nut in fasteners.nuts()}
    assert set(fasteners.washer_kinds()) == {washer.kind for washer in fasteners.washers()}
    assert {kind.keeps for kind in fasteners.nut_kinds().values()} <= {None, *fasteners.retentions()}
    assert {name for name, kind in fasteners.washer_kinds().items() if kind.bites} == {
        "tooth internal", "tooth external",
    }  # fmt: skip


def test_a_way_of_keeping_screws_is_made_of_kinds_there_are() -> None:
    for ways in fasteners.retention_ways().values():
        for way in ways:
            assert way.keeps in fasteners.retentions()
            assert way.nut in fasteners.nut_kinds()
            assert set(way.washers) <= set(fasteners.washer_kinds())
    assert fasteners.retention_ways()["split washer"][2].washers == ("plain", "split")


def test_what_is_usual_is_sold() -> None:
    assert fasteners.usual("thread")[0] == "M3"
    assert all(fasteners.sold_lengths(name) for name in fasteners.usual("thread"))
    assert set(fasteners.usual("head")) == {head.kind for head in fasteners.heads()}


def test_every_thread_has_its_tolerance_of_length() -> None:
    assert {row.length_rule for row in fasteners.threads()} == set(tolerances._length_tolerances())


@pytest.mark.parametrize(
    ("thread", "nominal", "limits"),
    [
        ("M3", 10, (9.71, 10.29)),  # js15: 0.58 mm wide from 6 to 10 mm
        ("M6", 60, (59.05, 60.95)),  # js16: 1.9 mm wide from 50 to 80 mm
        ("No. 4-40", 9.525, (9.525 - 0.508, 9.525)),  # 0.02 in under, nothing over, to 1/2 in
        ("No. 4-40", 12.7, (12.192, 12.7)),
        ("No. 4-40", 38.1, (38.1 - 0.06 * 25.4, 38.1)),
        ("ST2.9", 19, (18.2, 19.8)),
        ("3.0 mm plastic", 10, (9.71, 10.29)),
    ],
)
def test_screws_may_be_so_much_shorter_or_longer(thread: str, nominal: float, limits: tuple[float, float]) -> None:
    assert fasteners.length_limits(thread, nominal) == pytest.approx(limits, abs=1e-9)


@pytest.mark.parametrize("name", ["5", "4", "10", " 6 ", "40", ""])
def test_a_bare_number_is_no_thread(name: str) -> None:
    with pytest.raises(UnknownName):
        fasteners.thread(name)


@pytest.mark.parametrize("name", ["No. 5", "no.5", "#5", "#5-40", "5-40", "NO 5-40", " No. 5 - 40"])
def test_a_thread_is_known_by_all_its_names(name: str) -> None:
    assert fasteners.thread(name).name == "No. 5-40"


def test_lengths_of_rivets_are_sold_lengths_too() -> None:
    assert fasteners.sold_lengths("rivet 3.2 mm") == (6, 8, 10, 12)
    rivet: Screw = fasteners.riveted("3.2 mm")[0]
    assert rivet.designation == "Blind rivet ISO 15977 - 3.2 x 6"
