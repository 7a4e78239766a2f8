"""The two engines: gaps known by hand, a thousand random pairs, and no disagreement on a whole panel."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dryfit.generators.bodies.assembly import Assembly, Instance, Role
from dryfit.generators.clearance.clashes import MESH_BOUND, clashes, disagreements, film, shared_volume
from dryfit.generators.clearance.gaps import contacts, relative
from dryfit.models.geometry.bodies import Body, Placement, closest, cone, prism
from dryfit.models.geometry.outlines import box, d_shape, hexagon, round_, slot


def _at(body: Body, role: Role, place: str, x: float = 0, z: float = 0) -> Instance:
    return Instance(body, Placement(x, 0, z), role, place, f"{place}: {body.name}")


PART = Body("part", (prism(box(26, 31, 3), 0, 2), prism(round_(23.8), -12, 0)))
NUT = Body("nut", (prism(hexagon(5.5), -2.4, 0, (round_(3),)),))


def test_only_what_is_near_and_not_meant_to_touch_is_told() -> None:
    placed = (_at(PART, "part", "A"), _at(PART, "part", "B", x=26.5), _at(PART, "part", "C", x=90))
    found = contacts(Assembly("t", placed), 2.0)
    assert [(p.a.place, p.b.place) for p in found] == [("A", "B")]
    assert abs(found[0].contact.gap - 0.5) < 1e-9


def test_what_other_checks_ask_of_one_place_is_left_to_them_and_nothing_else() -> None:
    plug, part = _at(NUT, "plug", "A"), _at(PART, "part", "A")
    assert contacts(Assembly("t", (plug, part)), 0.0) == ()
    assert len(contacts(Assembly("t", (plug, _at(PART, "part", "B"))), 0.0)) == 1
    assert len(contacts(Assembly("t", (_at(NUT, "nut", "A"), _at(NUT, "nut", "A", x=3))), 0.0)) == 1


def test_a_screw_passes_the_flange_of_its_own_part_and_nothing_else_of_it() -> None:
    screw = Body("screw", (prism(round_(3), -10, 2),))
    part = replace(PART, passed=(0.0, 2.0))
    assert contacts(Assembly("t", (_at(screw, "screw", "A", x=13.5), _at(part, "part", "A"))), -0.5) == ()
    ((found),) = contacts(Assembly("t", (_at(screw, "screw", "A", x=11), _at(part, "part", "A"))), 0.0)
    assert abs(found.contact.gap - (11 - 11.9 - 1.5)) < 1e-9
    assert len(contacts(Assembly("t", (_at(screw, "screw", "A", x=13.5), _at(part, "part", "B"))), -0.5)) == 1


def test_both_engines_see_a_nut_in_a_barrel() -> None:
    made = Assembly("t", (_at(PART, "part", "A"), _at(NUT, "nut", "B", x=13, z=-4)))
    assert contacts(made, 0.0)[0].contact.gap < 0
    assert clashes(made)[0].volume > 1
    assert disagreements(made) == ()


sizes = st.floats(1, 12)
shapes = st.one_of(
    st.builds(round_, sizes),
    st.builds(lambda w, h, c: box(w, h, c * min(w, h) / 2), sizes, sizes, st.floats(0, 1)),
    st.builds(hexagon, sizes),
    st.builds(lambda a, b: slot(a + b, a), sizes, sizes),
    st.builds(lambda d, s: d_shape(d, d * s), sizes, st.floats(0.6, 0.95)),
)


@st.composite
def bodies(draw: st.DrawFn) -> Body:
    lower = prism(draw(shapes), 0, draw(st.floats(0.5, 4)))
    if draw(st.booleans()):
        return Body("b", (lower,))
    return Body("b", (lower, cone(draw(sizes), draw(sizes), lower.z1, lower.z1 + draw(st.floats(0.5, 4)))))


places = st.builds(Placement, st.floats(-9, 9), st.floats(-9, 9), st.floats(-4, 4), st.floats(-180, 180), st.booleans())
STEEP = 30.0  # a gap beside a cone of this slope is more than its distance by at most this factor
THIN = 0.05  # mm of shared height below which an overlap has no volume to speak of


@settings(max_examples=1000, deadline=None)
@given(bodies(), bodies(), places, places)
def test_a_thousand_random_pairs_agree_within_the_mesh_bound(
    a: Body, b: Body, at_a: Placement, at_b: Placement
) -> None:
    one, other = Instance(a, at_a, "part", "A", "a"), Instance(b, at_b, "part", "B", "b")
    spots = relative(one, other)
    found = closest(spots[0].apply(a), spots[1].apply(b))
    volume = shared_volume(a, b, *spots)
    if found is None or found.gap > STEEP * MESH_BOUND:
        assert volume <= film(a, b)
        return
    assume(found.z1 - found.z0 > THIN)
    if found.gap < -STEEP * MESH_BOUND:
        assert volume > film(a, b)
