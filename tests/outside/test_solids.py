"""Geometry against something outside: the kernel's own distances, and a Part 21 reader that is not the kernel's.

The kernel computes distances between exact surfaces by iteration; the outlines know them in closed form.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from dryfit.generators.solids import solid
from dryfit.generators.writers.step import write_assembly_step
from dryfit.models.bodies import Body, Placement, prism
from dryfit.models.outlines import Outline, box, d_shape, gap, hexagon, polygon, round_, slot
from tests.helpers import place, report

SHAPES: list[Outline] = [
    round_(23.8), box(26, 31, 3), hexagon(5.5), slot(10.3, 6.8), d_shape(9.7, 9.0),
    polygon(((-10.3, 6), (10.3, 6), (8.2, -6), (-8.2, -6)), 1.5),
]  # fmt: skip
KERNEL = 1e-6  # mm, its own confusion is 1e-7


@pytest.mark.parametrize("first", range(len(SHAPES)))
@pytest.mark.parametrize("second", range(len(SHAPES)))
def test_gaps_are_the_kernels_distances(first: int, second: int) -> None:
    a = SHAPES[first].turned(17 * first)
    b = SHAPES[second].turned(-31 * second).moved(33 * math.cos(first), 33 * math.sin(second + 1))
    bodies = [solid(Body(str(i), (prism(outline, 0, 2),))) for i, outline in enumerate((a, b))]
    exact = gap(a, b)
    if exact > 0:
        assert bodies[0].distance(bodies[1]) == pytest.approx(exact, abs=KERNEL)
    else:
        assert bodies[0].distance(bodies[1]) == pytest.approx(0, abs=KERNEL)


# Closed forms from the mensuration tables of handbooks (prism, cylinder, frustum of a cone), written out anew.
def test_volumes_are_the_handbooks() -> None:
    from dryfit.models.bodies import cone

    frustum = Body("f", (cone(6.3, 3.0, 0, 1.65),))
    r1, r2, h = 3.15, 1.5, 1.65
    assert solid(frustum).Volume() == pytest.approx(math.pi * h / 3 * (r1 * r1 + r1 * r2 + r2 * r2), rel=1e-9)
    nut = Body("n", (prism(hexagon(5.5), 0, 2.4, (round_(3),)),))
    assert solid(nut).Volume() == pytest.approx((0.8660254037844386 * 5.5**2 - math.pi * 2.25) * 2.4, rel=1e-9)


def _entities(text: str) -> dict[int, tuple[str, list[int]]]:
    """Read Part 21 text (ISO 10303-21) without the kernel: number -> (keyword, references)."""
    found = {}
    for number, line in re.findall(r"#(\d+)=((?:'(?:[^']|'')*'|[^;'])*);", text[text.index("DATA;") :]):
        bare = re.sub(r"'(?:[^']|'')*'", "", line)
        found[int(number)] = (bare.split("(")[0], [int(n) for n in re.findall(r"#(\d+)", bare)])
    return found


def test_step_is_sound_to_an_independent_reader(tmp_path: Path) -> None:
    made = report(tmp_path, place("xlr3-socket"))
    path = tmp_path / "a.step"
    write_assembly_step(made.assembly, path)
    entities = _entities(path.read_text("ascii"))
    assert all(reference in entities for _, references in entities.values() for reference in references)
    words = [word for word, _ in entities.values()]
    assert words.count("MANIFOLD_SOLID_BREP") == len(made.assembly.bodies())
    assert words.count("NEXT_ASSEMBLY_USAGE_OCCURRENCE") == len(made.assembly.instances)
    assert words.count("PRODUCT") == len(made.assembly.bodies()) + 1
    assert {"SI_UNIT", "COLOUR_RGB"} & set(words) or "COLOUR_RGB" in words
    assert sorted(entities) == list(range(1, len(entities) + 1))


def test_flipping_turns_half_about_y() -> None:
    body = Body("b", (prism(d_shape(9.7, 9.0).moved(4, 1), 0, 2),))
    placed = Body("p", Placement(1, 2, 3, 30, flip=True).apply(body))
    kernel = solid(body).rotate((0, 0, 0), (0, 1, 0), 180).rotate((0, 0, 0), (0, 0, 1), 30).translate((1, 2, 3))
    assert solid(placed).intersect(kernel).Volume() == pytest.approx(body.volume, rel=1e-6)
