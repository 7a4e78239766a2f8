"""Pairs of bodies that come near: which are asked of, which contacts are meant, and what is measured."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.clearance.clashes import clashes, disagreements, film
from dryfit.generators.clearance.gaps import contacts, near_pairs, pairs, relative
from dryfit.models.findings import Verdict
from dryfit.models.geometry.bodies import Body, Placement, prism
from dryfit.models.geometry.outlines import box, round_
from tests.plain import PANEL, asked, at

CUBE = Body("cube", (prism(box(2, 2), 0, 2),))


def _stands(name: str, x: float, y: float = 0.0, z: float = 0.0) -> Instance:
    return Instance(CUBE, Placement(x, y, z), "part", name, name)


def _names(assembly: Assembly, margin: float) -> set[tuple[str, str]]:
    return {(p.a.name, p.b.name) for p in contacts(assembly, margin)}


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-6, 6), st.floats(-6, 6), st.floats(-6, 6)), min_size=2, max_size=8),
    st.floats(0, 2),
)  # fmt: skip
def test_sweeping_finds_just_the_pairs_whose_boxes_come_near(
    spots: list[tuple[float, float, float]], margin: float
) -> None:
    bodies = [_stands(f"{n:02}", *spot) for n, spot in enumerate(spots)]
    expected = set()
    for i, one in enumerate(bodies):
        for other in bodies[i + 1 :]:
            apart = [abs(p - q) - 2 for p, q in zip(spots[i], spots[int(other.name)], strict=True)]
            if all(abs(a - m) < 1e-6 for a, m in zip(apart, (margin, margin, 0.0), strict=True)):
                return  # on the very edge: rounding decides
            if apart[0] < margin - 1e-9 and apart[1] < margin - 1e-9 and apart[2] < -1e-9:
                expected.add((one.name, other.name))
    found = {(a.name, b.name) for a, b in near_pairs(bodies, margin)}
    assert expected <= found
    assert all(
        abs(p - q) - 2 <= m + 1e-6
        for a, b in found
        for p, q, m in zip(spots[int(a)], spots[int(b)], (margin, margin, 0.0), strict=True)
    )


@pytest.mark.parametrize(("way", "far"), [((3, 0, 0), 1.0), ((0, 3, 0), 1.0), ((-3, 0, 0), 1.0), ((0, -3, 0), 1.0)])
def test_two_cubes_have_the_gap_between_their_sides(way: tuple[float, float, float], far: float) -> None:
    assembly = Assembly("", (_stands("A", 0), _stands("B", *way)))
    (pair,) = contacts(assembly, 2.0)
    assert pair.contact.gap == pytest.approx(far)
    assert (pair.contact.z0, pair.contact.z1) == (0, 2)
    assert contacts(assembly, 1.0) == ()


def test_levels_of_a_contact_are_those_of_the_assembly() -> None:
    assembly = Assembly("", (_stands("A", 0, z=10), _stands("B", 3, z=11)))
    (pair,) = contacts(assembly, 2.0)
    assert (pair.contact.z0, pair.contact.z1) == (11, 12)


def test_like_pairs_have_like_placements_wherever_they_stand() -> None:
    spot, other = Placement(1, 2, 3, 30), Placement(4, 6, 8, 75, flip=True)
    at_a, at_b = relative(_placed(spot), _placed(other))
    assert at_a == Placement()
    assert (at_b.z, at_b.turn, at_b.flip) == (5, 45, True)
    turned = Placement(1 + 10, 2 - 7, 3, 30), Placement(4 + 10, 6 - 7, 8, 75, flip=True)
    assert relative(*(_placed(p) for p in turned)) == (at_a, at_b)
    quarter = relative(_placed(Placement(turn=90)), _placed(Placement(0, 5)))[1]
    assert (quarter.x, quarter.y, quarter.turn) == (5, 0, 270)


def _placed(spot: Placement) -> Instance:
    return Instance(CUBE, spot, "part", "", "")


def test_a_flipped_body_stays_flipped() -> None:
    assert relative(_placed(Placement(flip=True)), _placed(Placement(3)))[0] == Placement(flip=True)


# --- what is meant ---------------------------------------------------------------------------------------------------


def test_a_screw_in_the_holes_of_its_own_flange_is_meant(tmp_path: Path) -> None:
    assembly = asked(tmp_path, at(0)).assembly
    assert _names(assembly, -1e-6) == set()
    beside = {(p.a.name, p.b.name): p.contact.gap for p in contacts(assembly, 5.0)}
    assert beside["A: plain", "A: screw 1"] == pytest.approx(15 - 10 - 1.5)  # the barrel behind the flange
    assert beside["A: nut 1", "A: screw 1"] == 0  # drawn at one diameter


def test_a_screw_that_meets_the_body_beyond_its_flange_is_told(tmp_path: Path) -> None:
    rear = [{"outline": {"round": 20}, "from": 0, "to": 6}, {"outline": {"box": [40, 10]}, "from": 6, "to": 20}]
    made = asked(tmp_path, at(0), rear=rear, cutout={"box": [22, 22]})  # the screws end 10 mm behind the front face
    told = [f for f in made.findings if f.check == "body-room" and f.verdict is Verdict.FAILS]
    assert len(told) == 1
    assert set(told[0].bodies) in ({"A: plain", "A: screw 1"}, {"A: plain", "A: screw 2"})
    assert told[0].measured == pytest.approx(-min(15 - (-20) + 1.5, 5 + 1.5, 20 - 15 + 1.5))


def test_screws_of_two_places_are_measured_and_those_of_one_are_not_near(tmp_path: Path) -> None:
    assembly = asked(tmp_path, f"{at(-19)}\n{at(19, label='B')}", flange={"outline": {"box": [34, 40]}, "thick": 2})
    between = [p for p in contacts(assembly.assembly, 5.0) if {p.a.name, p.b.name} == {"A: screw 2", "B: screw 1"}]
    assert between[0].contact.gap == pytest.approx(8 - 5.6)


def test_bodies_of_one_place_are_left_to_the_checks_that_ask_of_them(tmp_path: Path) -> None:
    plug = {"body": [{"outline": {"round": 39}, "from": 0, "to": 40}]}
    made = asked(tmp_path, at(0, hardware="{screw: M3, head: pan, length: 12, nut: hexagon, washers: [plain]}"),
                 plug=plug, seat=1)  # fmt: skip
    roles = {frozenset((p.a.role, p.b.role)) for p in pairs(made.assembly, 5.0)}
    for pair in (("nut", "part"), ("washer", "part"), ("plug", "part"), ("plug", "screw"), ("plug", "nut")):
        assert frozenset(pair) not in roles


def test_a_lip_is_measured_against_what_stands_behind_the_panel(tmp_path: Path) -> None:
    lipped = PANEL.replace("}", ", lip: 20, bend_radius: 2}")
    assembly = asked(tmp_path, at(0, 34), lipped).assembly  # the barrel ends 44 mm up, the bend begins at 45
    (pair,) = (p for p in contacts(assembly, 1.5) if p.b.role == "panel")
    assert pair.a.name == "A: plain"
    assert pair.contact.gap == pytest.approx(1.0)
    assert not [p for p in contacts(assembly, 0.9) if p.b.role == "panel"]


# --- the other engine ------------------------------------------------------------------------------------------------


def test_meshes_see_the_volume_that_two_cubes_share() -> None:
    assembly = Assembly("", (_stands("A", 0), _stands("B", 1.5, 1.0, 0.5)))
    (clash,) = clashes(assembly)
    assert clash.volume == pytest.approx(0.5 * 1.0 * 1.5)
    assert clashes(Assembly("", (_stands("A", 0), _stands("B", 2.0)))) == ()


def test_a_film_over_the_smaller_body_counts_as_touching() -> None:
    large = Body("large", (prism(box(10, 4), 0, 1),))
    assert film(CUBE, large) == film(large, CUBE) == pytest.approx(1e-5 * 4)


def test_the_engines_agree_on_a_plain_panel(tmp_path: Path) -> None:
    assert disagreements(asked(tmp_path, f"{at(-25)}\n{at(14, label='B')}").assembly) == ()


def test_a_disagreement_is_told_with_both_bodies(monkeypatch: pytest.MonkeyPatch) -> None:
    assembly = Assembly("", (_stands("A", 0), _stands("B", 1.5)))
    monkeypatch.setattr("dryfit.generators.clearance.clashes.clashes", lambda _: ())
    (found,) = disagreements(assembly)
    assert (found.verdict, found.place, found.bodies) == (Verdict.FAILS, "A", ("A", "B"))
    assert found.measured == pytest.approx(-0.5)
    monkeypatch.undo()
    monkeypatch.setattr("dryfit.generators.clearance.clashes.contacts", lambda *_: ())
    (found,) = disagreements(assembly)
    assert (found.verdict, found.place, found.bodies) == (Verdict.FAILS, "A", ("A", "B"))
    assert "2.000 mm3" in found.says


def test_a_clash_of_less_than_the_facets_is_no_disagreement(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("dryfit.generators.clearance.clashes.clashes", lambda _: ())
    round_ones = [Instance(Body("r", (prism(round_(4), 0, 2),)), Placement(x), "part", n, n) for n, x in
                  (("A", 0.0), ("B", 3.999))]  # fmt: skip
    assert disagreements(Assembly("", tuple(round_ones))) == ()
