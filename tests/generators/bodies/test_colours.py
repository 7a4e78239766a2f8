"""Colours: by material, else by role, each told apart by eye."""

from __future__ import annotations

import itertools

import pytest

from dryfit.generators.bodies.assembly import Instance, Role
from dryfit.generators.bodies.colours import Colour, colour, material_colour
from dryfit.models.geometry.bodies import Body, Placement, prism
from dryfit.models.geometry.outlines import box

MATERIALS: dict[str, tuple[int, int, int]] = {
    "aluminium": (78, 79, 80), "steel": (56, 58, 60), "stainless": (70, 71, 72), "nickel": (72, 70, 66),
    "plated zinc": (36, 37, 40), "zinc": (80, 82, 86), "brass": (80, 66, 36), "plastic": (17, 18, 20),
    "plug": (36, 52, 62),
}  # fmt: skip
ROLES: dict[Role, tuple[int, int, int]] = {
    "panel": (78, 79, 80), "part": (36, 37, 40), "screw": (86, 86, 84), "nut": (84, 78, 62), "washer": (74, 76, 72),
    "plug": (24, 38, 48),
}  # fmt: skip
"""Hundredths of full red, green and blue: greys for metals, warm for brass, dark for plastics, cool for plugs."""


def _hundredths(of: Colour) -> tuple[int, ...]:
    return tuple(round(part * 100) for part in of)


def _instance(material: str, role: Role) -> Instance:
    return Instance(Body("x", (prism(box(1, 1), 0, 1),), material), Placement(), role, "A", "x")


@pytest.mark.parametrize("material", MATERIALS)
@pytest.mark.parametrize("role", ROLES)
def test_a_body_has_the_colour_of_its_material_whatever_it_is(material: str, role: Role) -> None:
    assert _hundredths(colour(_instance(material, role))) == MATERIALS[material]
    assert _hundredths(material_colour(material)) == MATERIALS[material]


@pytest.mark.parametrize("material", ["", "unheard of"])
@pytest.mark.parametrize("role", ROLES)
def test_a_body_of_no_known_material_has_the_colour_of_its_role(material: str, role: Role) -> None:
    assert _hundredths(colour(_instance(material, role))) == ROLES[role]
    assert _hundredths(material_colour(material)) == ROLES["panel"]


def test_roles_are_told_apart_and_none_is_as_red_as_what_clashes() -> None:
    seen = [*ROLES.values(), *MATERIALS.values()]
    assert all(sum(abs(a - b) for a, b in zip(one, other, strict=True)) >= 9
               for one, other in itertools.combinations(ROLES.values(), 2))  # fmt: skip
    assert all(red - max(green, blue) < 20 for red, green, blue in seen)
