"""Pairs of bodies and what they keep apart, by hand: cubes of 2 mm, a plate with a lip."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dryfit.generators.bodies.assembly import Assembly, Instance, Role
from dryfit.generators.bodies.meshes import FACETS
from dryfit.generators.clearance.clashes import clashes, disagreements, film, shared_volume
from dryfit.generators.clearance.gaps import contact, contacts, near_pairs, pairs, relative
from dryfit.generators.clearance.passing import best_play, windows, within
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.bodies import Body, Contact, Placement, prism
from dryfit.models.geometry.outlines import Outline, box, clearance, polygon, round_
from tests.plain import about

CUBE = Body("cube", (prism(box(2, 2), 0, 2),))
ROLES: tuple[Role, ...] = ("part", "screw", "nut", "washer", "plug")
LEFT_TO_OTHERS = {("nut", "part"), ("part", "washer"), ("part", "plug"), ("plug", "screw"), ("nut", "plug")}


def _cube(
    name: str, x: float, y: float = 0.0, z: float = 0.0, role: Role = "part", place: str = "", body: Body = CUBE
) -> Instance:
    return Instance(body, Placement(x, y, z), role, place or name, name)


# --- which pairs -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("way", "margin", "near"),
    [
        ((1.9, 0, 0), 0, True), ((2, 0, 0), 0, False), ((0, 1.9, 0), 0, True), ((0, 2, 0), 0, False),
        ((0, -1.9, 0), 0, True), ((0, -2, 0), 0, False), ((0, 0, 1.9), 0, True), ((0, 0, 2), 0, False),
        ((0, 0, -1.9), 0, True), ((0, 0, -2), 0, False), ((0, 0, 2), 1, False), ((2.9, 0, 0), 1, True),
        ((3, 0, 0), 1, False), ((0, 2.9, 0), 1, True), ((0, 3, 0), 1, False), ((0, -2.9, 0), 1, True),
        ((0, -3, 0), 1, False), ((-2.9, 0, 0), 1, True), ((-3, 0, 0), 1, False), ((2.9, 2.9, 1.9), 1, True),
    ],
)  # fmt: skip
def test_boxes_are_near_where_they_overlap_grown_by_a_margin(
    way: tuple[float, float, float], margin: float, near: bool
) -> None:
    one, other = _cube("B", 0), _cube("A", *way)
    assert list(near_pairs((one, other), margin)) == ([(other, one)] if near else [])  # by name
    assert list(near_pairs((other, one), margin)) == ([(other, one)] if near else [])


def test_every_pair_of_a_heap_is_told_once() -> None:
    heap = [_cube(name, x, y) for name, x, y in (("D", 0, 0), ("A", 1, 1), ("C", 1.5, 0), ("B", 3.2, 0), ("E", 20, 0))]
    found = [(a.name, b.name) for a, b in near_pairs(heap, 0)]
    assert sorted(found) == [("A", "C"), ("A", "D"), ("B", "C"), ("C", "D")]
    twins = [_cube("A", 0), _cube("A", 1)]
    assert [(a.placement.x, b.placement.x) for a, b in near_pairs(twins, 0)] == [(0, 1)]


@pytest.mark.parametrize("one", ROLES)
@pytest.mark.parametrize("other", ROLES)
def test_within_a_place_some_pairs_are_left_to_checks_of_their_own(one: Role, other: Role) -> None:
    here = (_cube("A", 0, role=one, place="P"), _cube("B", 1, role=other, place="P"))
    apart = (_cube("A", 0, role=one, place="P"), _cube("B", 1, role=other, place="Q"))
    first, second = sorted((one, other))
    assert len(list(pairs(Assembly("", here), 0.0))) == (0 if (first, second) in LEFT_TO_OTHERS else 1)
    assert len(list(pairs(Assembly("", apart), 0.0))) == 1


FLANGED = Body("flanged", (prism(box(4, 4), -9, 0), prism(box(20, 4), 0, 2), prism(box(6, 4), 2, 9)), passed=(0.0, 2.0))


@pytest.mark.parametrize(
    ("role", "place", "slices"),
    [("screw", "P", (0, 2)), ("screw", "Q", (0, 1, 2)), ("nut", "Q", (0, 1, 2)), ("part", "P", (0, 1, 2))],
)
def test_of_its_own_part_a_screw_keeps_clear_of_what_is_beyond_the_flange(
    role: Role, place: str, slices: tuple[int, ...]
) -> None:
    for names in (("A", "B"), ("B", "A")):
        part = _cube(names[0], 0, place="P", body=FLANGED)
        screw = _cube(names[1], 8, role=role, place=place)
        (pair,) = pairs(Assembly("", (part, screw)), 0.0)
        kept = {pair.a.name: pair.body_a, pair.b.name: pair.body_b}
        assert kept[names[0]].slices == tuple(FLANGED.slices[n] for n in slices)
        assert kept[names[1]] == CUBE


def test_a_part_that_is_all_flange_is_no_matter_to_its_own_screws() -> None:
    flange = Body("flange", (prism(box(20, 4), 0, 2),), passed=(0.0, 2.0))
    screw = _cube("B", 8, role="screw", place="P")
    assert list(pairs(Assembly("", (_cube("A", 0, place="P", body=flange), screw)), 0.0)) == []
    unpassed = replace(flange, passed=None)
    assert len(list(pairs(Assembly("", (_cube("A", 0, place="P", body=unpassed), screw)), 0.0))) == 1


# --- how far ---------------------------------------------------------------------------------------------------------


def test_a_contact_is_told_at_the_levels_of_the_assembly() -> None:
    found = contacts(Assembly("", (_cube("A", 5, 1, 10), _cube("B", 8, 1, 11))), 2.0)
    assert [(p.a.name, p.b.name, p.contact) for p in found] == [("A", "B", Contact(about(1.0), 11, 12))]
    assert contacts(Assembly("", (_cube("A", 5, 1, 10), _cube("B", 8, 1, 11))), 1.0) == ()


def test_corners_may_be_further_apart_than_boxes() -> None:
    assert contacts(Assembly("", (_cube("A", 0), _cube("B", 2.9, 2.9))), 1.0) == ()  # 0.9 and 0.9: 1.27
    assert len(contacts(Assembly("", (_cube("A", 0), _cube("B", 2.9, 2.9))), 1.3)) == 1


def test_bodies_that_share_no_level_have_no_contact() -> None:
    stairs = Body("stairs", (prism(box(2, 2), 0, 1), prism(box(2, 2), 5, 6)))
    between = Body("between", (prism(box(2, 2), 2, 4),))
    assert contact(stairs, between, Placement(), Placement(1)) is None
    assert contacts(Assembly("", (_cube("A", 0, body=stairs), _cube("B", 1, body=between))), 3.0) == ()


@pytest.mark.parametrize(
    ("one", "other", "x", "y", "z", "turn"),
    [
        (Placement(1, 2, 3, 0), Placement(4, 6, 8, 0), 3, 4, 5, 0),
        (Placement(1, 2, 3, 90), Placement(4, 6, 8, 90), 4, -3, 5, 0),
        (Placement(1, 2, 3, 90), Placement(4, 6, 8, 30), 4, -3, 5, 300),
        (Placement(1, 2, 3, 180), Placement(4, 6, 8, 200, True), -3, -4, 5, 20),
        (Placement(0.1, 0.2, 0.3, 0.1), Placement(0.1, 0.2, 0.3, 0.1), 0, 0, 0, 0),
    ],
)
def test_the_second_of_a_pair_is_seen_from_the_first(
    one: Placement, other: Placement, x: float, y: float, z: float, turn: float
) -> None:
    at_a, at_b = relative(Instance(CUBE, one, "part", "", ""), Instance(CUBE, other, "part", "", ""))
    assert at_a == Placement()
    assert at_b == Placement(x, y, z, turn, other.flip)


def test_pairs_that_differ_by_rounding_only_are_one() -> None:
    def seen(dx: float, dy: float, dz: float, turn: float) -> tuple[Placement, Placement]:
        return relative(
            Instance(CUBE, Placement(1 / 3, 1 / 7, 1 / 9), "part", "", ""),
            Instance(CUBE, Placement(1 / 3 + 2 + dx, 1 / 7 + 3 + dy, 1 / 9 + 4 + dz, 45 + turn), "part", "", ""),
        )

    exact = seen(0, 0, 0, 0)
    for shift in ((3e-7, 0, 0, 0), (0, 3e-7, 0, 0), (0, 0, 3e-7, 0), (0, 0, 0, 3e-7)):
        assert seen(*shift) == exact
        assert seen(*(s * 10 for s in shift)) != exact  # three millionths of a mm or degree are told apart


def test_the_first_of_a_pair_stays_flipped() -> None:
    flipped = Instance(CUBE, Placement(flip=True), "screw", "", "")
    assert relative(flipped, _cube("B", 1))[0] == Placement(flip=True)


# --- lips of the panel -----------------------------------------------------------------------------------------------

SHEET = prism(box(100, 100), -3, 0, (round_(5),))
LIPS = tuple(prism(box(100, 3).moved(0, y), -20, -3) for y in (48.5, -48.5))
PANEL = Instance(Body("panel", (*LIPS, SHEET)), Placement(), "panel", "", "panel")


@pytest.mark.parametrize(
    ("y", "z", "margin", "gap"),
    [
        (44, -10, 3, 2.0),  # the lip begins at 47
        (-44, -10, 3, 2.0),
        (44, -10, 2, None),
        (46.5, -10, 0, -0.5),
        (46, -10, 0, None),
        (46.5, -5.1, 0, -0.5),
        (46.5, -3, 0, None),  # within the sheet: its own hole is asked of elsewhere
        (46.5, -22, 0, None),
        (46.5, -21.9, 0, -0.5),
    ],
)
def test_lips_are_measured_behind_the_sheet_only(y: float, z: float, margin: float, gap: float | None) -> None:
    found = contacts(Assembly("", (PANEL, _cube("A", 0, y, z))), margin)
    assert [(p.a.name, p.b.name, p.contact.gap) for p in found] == ([] if gap is None else [("A", "panel", about(gap))])


@pytest.mark.parametrize(("z", "pairs_told"), [(-3, 0), (-3.1, 1), (-22, 0), (-21.9, 1), (0, 0)])
def test_what_shares_no_level_with_a_lip_makes_no_pair_with_it(z: float, pairs_told: int) -> None:
    assert len(list(pairs(Assembly("", (PANEL, _cube("A", 0, 46.5, z))), 0.0))) == pairs_told


def test_only_the_lips_that_are_near_are_looked_at() -> None:
    (pair,) = pairs(Assembly("", (PANEL, _cube("A", 0, 46.5, -10))), 0.0)
    assert pair.body_b.slices == LIPS[:1]
    assert (pair.body_a, pair.at_a, pair.at_b) == (CUBE, Placement(), Placement(0, -46.5, 10))
    flat = replace(PANEL, body=Body("panel", (SHEET,)))
    assert list(pairs(Assembly("", (flat, _cube("A", 0, 46.5, -10))), 0.0)) == []
    everything = Assembly("", (PANEL, _cube("A", 0, 46.5, -10), _cube("B", 9, -46.5, -10)))
    assert [(p.a.name, p.b.name) for p in pairs(everything, 0.0)] == [("A", "panel"), ("B", "panel")]


# --- the other engine ------------------------------------------------------------------------------------------------


def test_what_two_meshes_share_is_told_where_it_is_more_than_a_film() -> None:
    (clash,) = clashes(Assembly("", (_cube("A", 0), _cube("B", 1.5, 1.0, 0.5))))
    assert (clash.a.name, clash.b.name, clash.volume) == ("A", "B", about(0.5 * 1.0 * 1.5))
    assert clashes(Assembly("", (_cube("A", 0), _cube("B", 1.999999)))) == ()  # 4e-6 mm3 of 4e-5
    assert len(clashes(Assembly("", (_cube("A", 0), _cube("B", 1.999))))) == 1
    assert shared_volume(CUBE, CUBE, Placement(), Placement(1, 0, 0, 90, True)) == about(0.0, 1e-9)
    assert shared_volume(CUBE, CUBE, Placement(), Placement(1, 0, 1.5)) == about(1.0)


@pytest.mark.parametrize("names", [("A", "B"), ("B", "A")])
def test_a_large_body_shares_little_with_a_small_one_all_the_same(names: tuple[str, str]) -> None:
    plate = Body("plate", (prism(box(100, 100), -3, 0),))  # a film over it would be 0.1 mm3
    (clash,) = clashes(Assembly("", (_cube(names[0], 0, 0, -0.0125), _cube(names[1], 0, body=plate))))
    assert clash.volume == about(2 * 2 * 0.0125, 1e-4)


def test_a_film_is_as_wide_as_the_smaller_body() -> None:
    long = Body("long", (prism(box(10, 0.5), 0, 1),))
    assert film(CUBE, long) == film(long, CUBE) == about(1e-5 * 4, 1e-12)
    assert film(CUBE, Body("large", (prism(box(9, 9), 0, 9),))) == about(1e-5 * 4, 1e-12)


def test_engines_that_disagree_are_told_of_with_both_bodies(monkeypatch: pytest.MonkeyPatch) -> None:
    assembly = Assembly("", (_cube("B", 1.5, place="Q"), _cube("A", 0, place="P")))
    assert disagreements(assembly) == ()
    monkeypatch.setattr("dryfit.generators.clearance.clashes.clashes", lambda _: ())
    says = "Exact gaps see A and B clash by 0.500 mm where their meshes do not."
    found = Finding.of_length("body-room", "P", Verdict.FAILS, says, measured=-0.5, limit=0.0, bodies=("A", "B"))
    assert disagreements(assembly) == (found,)
    monkeypatch.undo()
    monkeypatch.setattr("dryfit.generators.clearance.clashes.contacts", lambda *_: ())
    says = "Meshes of A and B share 2.000 mm3 where exact gaps see none."
    assert disagreements(assembly) == (Finding("body-room", "P", Verdict.FAILS, says, bodies=("A", "B")),)


@pytest.mark.parametrize(("beyond", "told"), [(0.0009, 0), (0.0011, 1)])
def test_two_meshes_may_close_what_their_facets_do_and_a_micrometre(
    beyond: float, told: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dryfit.generators.clearance.clashes.clashes", lambda _: ())
    lap = 2 * FACETS["check"] + beyond
    assert len(disagreements(Assembly("", (_cube("A", 0), _cube("B", 2 - lap))))) == told


def test_a_mesh_clash_within_the_bound_of_the_facets_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    apart = 2 + FACETS["check"]  # the exact engine is asked within the bound, so that it knows the pair
    assembly = Assembly("", (_cube("A", 0), _cube("B", apart)))
    seen = clashes(Assembly("", (_cube("A", 0), _cube("B", 1.0))))
    monkeypatch.setattr("dryfit.generators.clearance.clashes.clashes", lambda _: seen)
    assert disagreements(assembly) == ()


# --- play in a hole --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("section", "hole", "shift", "air"),
    [
        (box(10, 4).moved(1, 0.5), box(12, 6), (-1, -0.5), 1.0),
        (round_(10).moved(0, -2), round_(11), (0, 2), 0.5),
        (box(10, 4), box(12, 6).moved(3, 1), (3, 1), 1.0),
        (polygon(((-5, 0), (5, 0), (2, 6))), round_(14), None, None),  # two of its corners are even about the axis
        (polygon(((-5, 0), (5, 0), (2, -6))), round_(14), None, None),
    ],
)
def test_what_is_uneven_is_shifted_to_where_it_has_most_air(
    section: Outline, hole: Outline, shift: tuple[float, float] | None, air: float | None
) -> None:
    found = best_play((section,), hole)
    assert found.air == about(clearance(section.moved(*found.shift), hole), 1e-9)
    for x, y in ((0.2, 0), (-0.2, 0), (0, 0.2), (0, -0.2)):
        assert clearance(section.moved(found.shift[0] + x, found.shift[1] + y), hole) < found.air
    if shift is not None:
        assert found.shift == (about(shift[0], 1e-3), about(shift[1], 1e-3))
        assert found.air == about(air, 3e-4)


def test_what_is_even_is_not_shifted_whichever_of_several_is_not() -> None:
    even = best_play((box(10, 4), round_(5)), box(12, 6))
    assert (even.air, even.shift, even.across) == (about(0.5), (0, 0), about(1.0))
    assert best_play((box(10, 4), box(10, 4).moved(0.5, 0)), box(12, 6)).shift[0] == about(-0.25, 1e-3)
    assert best_play((box(10, 4), box(10, 4).moved(0.5, 0)), box(12, 6)).air == about(0.75, 3e-4)


def test_levels_that_only_touch_are_not_in_the_sheet() -> None:
    slices = (prism(round_(9), -6, -3), prism(round_(8), -3, 0), prism(round_(7), 0, 3))
    assert within(slices, -3, 0) == (round_(8),)
    assert within(slices, -3.1, 0) == (round_(9), round_(8))
    assert within(slices, -3, 0.1) == (round_(8), round_(7))
    assert list(windows(slices, 3, True)) == [
        (-3, 0), (about(-6 + 1e-5, 1e-9), about(-3 + 1e-5, 1e-9)), (about(-9 + 1e-5, 1e-9), about(-6 + 1e-5, 1e-9)),
    ]  # fmt: skip
    assert list(windows(slices, 3, False)) == [
        (-3, 0), (about(-1e-5, 1e-9), about(3 - 1e-5, 1e-9)), (about(3 - 1e-5, 1e-9), about(6 - 1e-5, 1e-9)),
    ]  # fmt: skip
