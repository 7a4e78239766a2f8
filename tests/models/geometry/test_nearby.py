"""What is near is found: nothing that a search of everything finds is missed, and nothing is told twice."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from dryfit.models.geometry.nearby import Nearby
from dryfit.models.geometry.rectangles import Rectangle

sides = st.floats(-200, 200)
boxes = st.builds(lambda x, y, w, h: Rectangle(x, y, x + w, y + h), sides, sides, st.floats(0, 90), st.floats(0, 90))


@given(st.lists(boxes, max_size=30), boxes, st.floats(3, 50))
def test_all_that_meet_are_found_once(things: list[Rectangle], asked: Rectangle, side: float) -> None:
    found = Nearby(((box, number) for number, box in enumerate(things)), side).about(asked)
    meeting = {
        n for n, b in enumerate(things)
        if b.left <= asked.right and b.right >= asked.left and b.bottom <= asked.top and b.top >= asked.bottom
    }  # fmt: skip
    assert meeting <= {*found}
    assert len(found) == len({*found})


def test_what_is_far_is_not_asked() -> None:
    far = Nearby([(Rectangle(0, 0, 5, 5), "here"), (Rectangle(500, 500, 505, 505), "far")])
    assert far.about(Rectangle(1, 1, 2, 2)) == ("here",)
