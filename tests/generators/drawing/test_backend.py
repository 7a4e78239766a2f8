"""One walk feeds every format: each mark becomes its primitives, in order, inside its block and window."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from dryfit.generators.drawing.backend import MASK, Ink, draw
from dryfit.generators.drawing.marks import Block, Clip, Mark, Pen, Picture, Sheet, Stroke, Text, chain
from dryfit.models.geometry.contours import Circle, Curve
from dryfit.models.geometry.rectangles import Rectangle

DISC = Circle(10.0, 20.0, 3.0)
LINE = chain([(0.0, 0.0), (5.0, 0.0)], Pen.CENTRE)


@dataclass
class Recorder:
    """A backend that notes what it is told."""

    told: list[object] = field(default_factory=list)

    @contextmanager
    def block(self, name: str) -> Iterator[None]:
        self.told.append(("block", name))
        yield
        self.told.append("end of block")

    @contextmanager
    def clip(self, window: Rectangle) -> Iterator[None]:
        self.told.append(("clip", window))
        yield
        self.told.append("end of clip")

    def circle(self, shape: Circle, ink: Ink) -> None:
        self.told.append((shape, ink))

    def curve(self, shape: Curve, ink: Ink) -> None:
        self.told.append((shape, ink))

    def blank(self, box: Rectangle) -> None:
        self.told.append(("blank", box))

    def letters(self, text: Text) -> None:
        self.told.append(text)

    def picture(self, picture: Picture) -> None:
        self.told.append(picture)


def _told(*marks: Mark) -> list[object]:
    on = Recorder()
    draw(Sheet(100.0, 50.0, 0.5, (Block("view", marks, Rectangle(0, 0, 100, 50)),)), on)
    assert (on.told[0], on.told[-1]) == (("block", "view"), "end of block")
    return on.told[1:-1]


def test_pens_become_lines_of_the_sheets_group() -> None:
    """ISO 128-2, group 0.5: wide 0.5, narrow 0.25; a chain of 24, 3, 0.5 and 3 line widths."""
    assert _told(Stroke(DISC), LINE) == [
        (DISC, Ink(0.5, (), "")),
        (LINE.shape, Ink(0.25, (6.0, 0.75, 0.125, 0.75), "")),
    ]


def test_a_stroke_without_a_pen_is_only_filled() -> None:
    assert _told(Stroke(DISC, None, "black")) == [(DISC, Ink(0.0, (), "black"))]


def test_masked_text_has_white_paper_around_it_first() -> None:
    text = Text(10.0, 20.0, "A", masked=True)
    x0, y0, x1, y1 = text.box
    assert _told(text) == [("blank", (x0 - MASK, y0 - MASK, x1 + MASK, y1 + MASK)), text]
    assert _told(Text(10.0, 20.0, "A")) == [Text(10.0, 20.0, "A")]


def test_what_is_clipped_is_drawn_inside_its_window() -> None:
    window = Rectangle(1.0, 2.0, 3.0, 4.0)
    told = _told(Clip(window, (Clip(window, (Stroke(DISC),)), Text(0.0, 0.0, "B"))))
    ends = ["end of clip", Text(0.0, 0.0, "B"), "end of clip"]
    assert told == [("clip", window), ("clip", window), (DISC, Ink(0.5, (), "")), *ends]


def test_a_picture_is_drawn_as_it_is() -> None:
    picture = Picture(Rectangle(1.0, 2.0, 3.0, 4.0), b"png", "A panel.")
    assert _told(picture) == [picture]
