"""The panel from the front, flat and in true shape, as SVG: what is seen of each place, legends, marks of verdicts.

Inside, y points up as on the panel; one unit is one mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from dryfit.generators.bodies.assembly import Instance
from dryfit.generators.lettering.legends import Legend, clear_legends
from dryfit.generators.lettering.typeface import outlines, text_width
from dryfit.generators.looks.looks import drawn, ink, panel_finish
from dryfit.generators.looks.shapes import Drawn
from dryfit.generators.page.contents import GLYPH_DECIMALS
from dryfit.generators.page.flat_looks import DIGITS, circle_path, flat_look
from dryfit.generators.page.markup import Element, element
from dryfit.generators.report import Report
from dryfit.models.findings import Verdict
from dryfit.models.geometry.bodies import Slice
from dryfit.models.geometry.contours import Circle, Contour, arc_centre, contour
from dryfit.models.geometry.points import Point
from dryfit.models.job import Place
from dryfit.models.reading.units import decimals

FRAME = 6.0  # mm about the panel, for the marks at its edges
MARK_SIZE = 0.32  # mm for one unit of the signs, which are 16 units across
MARK_ALONG = 0.8  # of the way from the middle of a flange to its upper right corner

_SHAPES: dict[Verdict, tuple[str, str]] = {
    Verdict.FITS: ("M-7 0A7 7 0 1 0 7 0A7 7 0 1 0 -7 0Z", "M-3.4 .2L-1 3L3.6 -2.8"),
    Verdict.TIGHT: ("M0 -8L8.6 7H-8.6Z", "M0 -3.4V2M0 4.2V5"),
    Verdict.FAILS: ("M-7 -7H7V7H-7Z", "M-3.4 -3.4L3.4 3.4M-3.4 3.4L3.4 -3.4"),
}
"""The sign of each verdict: its shape and what is drawn on it, y down; told apart without colour."""


def signs() -> Element:
    """Return the signs of the verdicts, to be used by their names."""
    return element(
        "svg",
        element("defs", *(_sign(verdict, *paths) for verdict, paths in _SHAPES.items())),
        class_="store",
        aria_hidden="true",
    )


def _sign(verdict: Verdict, shape: str, line: str) -> Element:
    return element("g", element("path", d=shape), element("path", d=line, class_="line"), id=f"sign-{verdict}")


def sign(verdict: Verdict) -> Element:
    """Return one sign, to stand in a line of text."""
    return element(
        "svg",
        element("use", href=f"#sign-{verdict}"),
        viewBox="-9 -9 18 18",
        class_=f"sign {verdict}",
        aria_hidden="true",
    )


def front_view(report: Report) -> Element:
    """Return the panel from the front."""
    job = report.job
    width, height = job.panel.width + 2 * FRAME, job.panel.height + 2 * FRAME
    legends, looks = clear_legends(job), _Looks(report)
    picture = [*_picture(report, legends, looks)]
    box = f"{_n(-width / 2)} {_n(-height / 2)} {_n(width)} {_n(height)}"
    return element(
        "svg",
        element("defs", *_glyphs(legends), *looks.groups()),
        element("g", *picture, transform="scale(1 -1)"),
        id="flat",
        viewBox=box,
        role="img",
        aria_label=f"The panel from the front, {job.panel.width:g} x {job.panel.height:g} mm, each place marked",
    )


class _Looks:
    """Looks in use, each drawn once and put wherever a body stands."""

    def __init__(self, report: Report):
        self._report = report
        self._names: dict[tuple[Drawn, bool], str] = {}

    def put(self, one: Instance) -> Element:
        """Return the look of a body where it stands."""
        seen, spot = drawn(self._report, one), one.placement
        assert seen is not None  # the panel alone has none
        name = self._names.setdefault((seen, spot.flip), f"look-{len(self._names)}")
        turn = f" rotate({_n(spot.turn)})" if spot.turn else ""
        return element("use", href=f"#{name}", transform=f"translate({_n(spot.x)} {_n(spot.y)}){turn}")

    def groups(self) -> Iterator[Element]:
        """Yield every look that was put somewhere."""
        return (flat_look(look, flip, name) for (look, flip), name in self._names.items())


def _picture(report: Report, legends: tuple[Legend, ...], looks: _Looks) -> Iterator[Element]:
    panel = report.assembly.panel
    by_place: dict[str, list[Instance]] = {place.name: [] for place in report.job.places}
    for instance in report.assembly.bodies_in_place:
        by_place[instance.place].append(instance)
    yield from (looks.put(i) for place in by_place.values() for i in place if i.role == "part" and not _stands_out(i))
    if panel is not None:
        yield _slice(panel.slices[-1], panel_finish(report.job.panel).colour)
    said: dict[str, list[Legend]] = {}
    for legend in legends:
        said.setdefault(legend.place, []).append(legend)
    for place in report.job.places:
        seen = [i for i in by_place[place.name] if i.role != "plug" and _stands_out(i)]
        yield _place(report, place, [looks.put(i) for i in seen], said.get(place.name, ()))


def _stands_out(instance: Instance) -> bool:
    """Whether the flange or head of something lies in front of the panel."""
    return instance.placement.z >= 0 if instance.role == "part" else instance.box.z1 > 0


def _place(report: Report, place: Place, seen: list[Element], lines: Iterable[Legend]) -> Element:
    verdict = report.verdict_of(place.name)
    about = place.flange.box
    corner = about.centre + (Point(about.right, about.top) - about.centre) * MARK_ALONG
    spot = f"translate({_n(corner.x)} {_n(corner.y)}) scale({MARK_SIZE} -{MARK_SIZE})"
    return element(
        "g",
        element("title", f"{place.name}: {place.part.title}, {verdict}"),
        *seen,
        _path(contour(place.flange), class_="about"),
        *(_lettering(line, ink(report.job.panel, line.colour)) for line in lines),
        element("use", href=f"#sign-{verdict}", class_=str(verdict), transform=spot),
        class_=f"place {verdict}",
        data_place=report.job.places.index(place),
    )


def _slice(s: Slice, fill: str) -> Element:
    paths = [_steps(contour(profile.at(1.0))) for profile in (s.profile, *s.holes)]  # their front ends
    return element("path", d="".join(paths), fill=fill, fill_rule="evenodd")


def _path(shape: Contour, **attributes: object) -> Element:
    return element("path", d=_steps(shape), **attributes)


def _steps(shape: Contour) -> str:
    """Return a closed contour as the steps of a path, y up."""
    if isinstance(shape, Circle):
        return circle_path(shape.x, shape.y, shape.radius)
    x, y, _ = shape.vertices[0]
    return f"M{_n(x)} {_n(y)}" + "".join(_step(*segment) for segment in shape.segments()) + "Z"


def _step(start: Point, end: Point, bulge: float) -> str:
    if bulge == 0:
        return f"L{_n(end.x)} {_n(end.y)}"
    radius = _n(arc_centre(start, end, bulge)[1])
    # y points up here, so anticlockwise is the positive sense: sweep flag 1
    return f"A{radius} {radius} 0 {int(abs(bulge) > 1)} {int(bulge > 0)} {_n(end.x)} {_n(end.y)}"


def _n(value: float, digits: int = DIGITS) -> str:
    return decimals(value, digits)


# --- legends --------------------------------------------------------------------------------------------------------


def _glyphs(legends: tuple[Legend, ...]) -> Iterator[Element]:
    """Yield every letter in use once, in heights of a capital."""
    font = legends[0].font if legends else ""
    for letter in sorted({letter for legend in legends for letter in legend.text}):
        steps = (
            "M" + "L".join(f"{_n(p.x, GLYPH_DECIMALS)} {_n(p.y, GLYPH_DECIMALS)}" for p in loop) + "Z"
            for loop in outlines(letter, 1.0, font)
        )
        yield element("path", id=_glyph_name(letter), d="".join(steps))


def _glyph_name(letter: str) -> str:
    return f"letter-{ord(letter):x}"


def _lettering(legend: Legend, fill: str) -> Element:
    letters, along = [], 0.0
    for letter in legend.text:
        letters.append(element("use", href=f"#{_glyph_name(letter)}", x=_n(along, GLYPH_DECIMALS)))
        along += text_width(letter, 1.0, legend.font)
    spot = f"translate({_n(legend.x)} {_n(legend.y)}) scale({_n(legend.height)})"
    return element("g", *letters, class_="legend", fill=fill, transform=spot)
