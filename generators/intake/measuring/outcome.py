"""The whole way from a solid to a part file that the project's own reader takes and whose slices hold the solid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dryfit.generators.bodies.parts import part_body
from dryfit.generators.intake.measuring.held import strays
from dryfit.generators.intake.measuring.measured import Measured, measured
from dryfit.generators.intake.measuring.part_text import part_name, part_text
from dryfit.generators.intake.measuring.standing import Standing, standing
from dryfit.generators.intake.measuring.turned import Axis, Turned, Way, turned, ups
from dryfit.generators.intake.reading.shapes import Shapes
from dryfit.generators.writers.whole import whole_file
from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.geometry.points import Point
from dryfit.models.reading.errors import DryfitError, display_path
from dryfit.models.reading.fields import LONGEST_TEXT
from dryfit.models.reading.stepfile import STEP_ENDS
from dryfit.models.reading.units import format_mm

FACET = 0.005  # mm that triangles may stray from what is curved: half of what measuring promises
HELD = 0.01  # mm: what measuring promises
SAME_SPOT = 0.6  # mm between fixing holes and those of a part of the catalogue: makers differ by some tenths
LEAST_PART, LARGEST_PART = 1.0, 1000.0  # mm across the whole of a part
MOST_LEFT_OUT = 0.05  # mm by which the faces of one file may miss each other: beyond it nothing measured on them holds


@dataclass(frozen=True)
class Wanted:
    """What is given of a part beside its solid; None: as its shape tells."""

    front: Axis | None = None
    up: Axis | None = None
    flange: int | None = None
    axis: Point | None = None


@dataclass(frozen=True)
class Outcome:
    """A part measured: how it stands in its file, all that is in that in the part's own frame, and what was found."""

    name: str
    file: str
    standing: Standing
    of: Turned
    found: Measured
    unit: str

    def text(self, kept: bool = False) -> str:
        """Return the part file; ``kept``: with the file that it was measured from as its solid."""
        way = self.standing.way
        told = (f"Its front looks along {way.front} of the file ({self.standing.why}); {way.up} is up.",)
        return part_text(self.name, self.file, self.found, self.unit, told, way=way if kept else None)


def outcome(file: str, name: str, shapes: Shapes, wanted: Wanted) -> Outcome:
    """Return a part measured from the solids of a file, which were read with meshes.

    Raises:
        Unclear: if its shape does not tell which way its front looks.
        DryfitError: if nothing so large or so small goes in a panel.
    """
    _of_some_size(file, shapes)
    stands = standing(shapes, wanted.front, wanted.up)
    upright = turned(shapes, stands.way)
    found = measured(upright, wanted.flange, wanted.axis)
    if wanted.up is None and (up := _known_up(stands.way, found)) != stands.way.up:
        why = f"{stands.why}; up as the fixing holes of such flanges stand"
        stands = Standing(Way(stands.way.front, up), why)
        upright = turned(shapes, stands.way)
        found = measured(upright, wanted.flange, wanted.axis)
    return Outcome(name, file, stands, upright.moved(*(-v for v in found.origin)), found, shapes.unit)


def _of_some_size(file: str, shapes: Shapes) -> None:
    """Refuse what is far too large or too small for a part: mostly its unit is wrong."""
    ends = [end for solid in shapes.solids for end in solid.box]
    across = max(max(end[axis] for end in ends) - min(end[axis] for end in ends) for axis in range(3))
    if not LEAST_PART < across < LARGEST_PART:
        size = f"measures {format_mm(across)} by its unit, {shapes.unit or 'which it does not say'}"
        raise DryfitError(f"{file}: {size}; expected a part between {LEAST_PART:g} mm and {LARGEST_PART:g} mm")


def _known_up(way: Way, found: Measured) -> Axis:
    """Return which way is up: as it is, unless fixing holes stand as those of a part of the catalogue another way."""
    if found.fixings is None:
        return way.up
    known = {part.fixings.at for part in load_catalogue().parts.values() if part.fixings is not None}
    for up in (way.up, *(axis for axis in ups(way.front) if axis != way.up)):
        turn = (Way(way.front, up).matrix @ way.matrix.T)[:2, :2]
        points = [Point(*map(float, turn @ at)) for at in found.fixings.at]
        if any(_same_spots(points, spots) for spots in known):
            return up
    return way.up


def _same_spots(points: Sequence[Point], others: Sequence[Point]) -> bool:
    near = (min(p.distance_to(other) for other in others) < SAME_SPOT for p in points)
    return len(points) == len(others) and all(near)


def named(file: Path, name: str | None) -> str:
    """Return the name of a part: as it is asked for, or as its file is called, told apart from the catalogue's."""
    wanted = part_name(name or file.stem)
    return f"{wanted}-measured" if wanted in load_catalogue().parts else wanted


def write_part(made: Outcome, path: Path) -> float:
    """Write the part file, once it was read back and its slices hold the solid; return how far that stands out, mm.

    Raises:
        DryfitError: if they do not, by more than the faces of sloppy files miss each other.
    """
    text = made.text(lies_beside(made.file, path))
    with whole_file(path) as temporary:
        temporary.write_text(text, encoding="utf-8")
        part = load_catalogue([temporary]).parts[made.name]
        off = strays(made.of.corners, part_body(made.name, part, part.mount[0]).slices)
        if off > MOST_LEFT_OUT:
            raise DryfitError(f"{display_path(path)}: the sections measured leave {off:.2f} mm of the solid out")
        if off > HELD:
            told = f"# Faces of the file miss each other: {off:.3f} mm of them stand out of what was measured.\n"
            temporary.write_text(told + text, encoding="utf-8")
    return off


def lies_beside(file: str, path: Path) -> bool:
    """Whether a solid lies in the folder of a part file, by a name that it can have there."""
    printed = len(file) <= LONGEST_TEXT and file.isprintable() and "\\" not in file
    return printed and file.lower().endswith(STEP_ENDS) and (path.parent / file).is_file()
