"""What is asked: a part, from one side, on a hole that is there; and the layout of one place that asks it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.parts import Side
from dryfit.models.catalogue.patterns import TO_SUIT, Pattern, diagonal
from dryfit.models.geometry.outlines import Outline
from dryfit.models.geometry.points import ORIGIN, Point
from dryfit.models.layout import Layout, LayoutFile
from dryfit.models.reading.units import format_mm
from dryfit.models.reading.yamlfile import LineMap
from dryfit.models.wishes.hardware import Hardware
from dryfit.models.wishes.panels import PanelWish
from dryfit.models.wishes.places import CutoutWish, PlaceWish

PLATE = 1000.0  # mm a side: no edge of it is within reach of a part in its middle
PLACE = "A"  # the one place on it


NO_CUTOUT, ANY_HARDWARE = CutoutWish(), Hardware()


@dataclass(frozen=True)
class Opening:
    """A hole that is there, or a pattern of holes, as a layout writes it; ``name`` is what tables call it."""

    name: str
    pattern: Pattern | None = None
    cutout: CutoutWish = NO_CUTOUT

    @property
    def fixings(self) -> tuple[Point, ...]:
        """The fixing holes that are known to be there; empty where nobody said."""
        if self.cutout.at is not None:
            return self.cutout.at
        spaced: Pattern | CutoutWish = self.pattern or self.cutout
        return diagonal(spaced.across or 0.0, spaced.up or 0.0, spaced.mirror) if spaced.across is not None else ()

    @property
    def fixing_diameter(self) -> float | None:
        """Their diameter, mm, written as the sheet has its sizes; None where nobody said."""
        return self.pattern.fixings if self.pattern is not None else self.cutout.fixings

    @property
    def is_undrilled(self) -> bool:
        """Whether there are no fixing holes yet, so that those a part asks for are to be drilled."""
        return self.fixing_diameter is None

    @property
    def says(self) -> str:
        """The hole in words."""
        fixed = "" if self.is_undrilled else f", fixing holes {format_mm(self.fixing_diameter or 0.0)}{self._where}"
        return f"{self._main}{fixed or ', no fixing holes yet'}"

    @property
    def _main(self) -> str:
        if self.pattern is not None or self.cutout.hole is not None:
            of = self.pattern.hole if self.pattern is not None else self.cutout.hole
            return f"hole {format_mm(of or 0.0, 3)}"
        outline: Outline | None = self.cutout.outline
        return (
            "the hole each part asks for" if outline is None else " x ".join(format_mm(side) for side in outline.size)
        )

    @property
    def _where(self) -> str:
        spots = self.fixings
        if len(spots) == 2:
            across, up = (abs(one - other) for one, other in zip(*spots, strict=True))
            return f", {format_mm(across)} across and {format_mm(up)} up"
        return f" at {len(spots)} spots" if spots else " where each part asks for them"


def pattern_openings(patterns: Mapping[str, Pattern]) -> tuple[Opening, ...]:
    """Return punched patterns as holes that are there."""
    return tuple(Opening(name, pattern) for name, pattern in patterns.items())


@dataclass(frozen=True)
class Sheet:
    """What the holes are in, and the hardware at hand; ``panel`` has no holes of its own to tell."""

    panel: PanelWish
    hardware: Hardware = ANY_HARDWARE
    environment: str = "indoor"
    drawer: Path | None = None  # a file of what is at hand

    @classmethod
    def of(
        cls,
        thickness: float | str,
        hardware: Hardware,
        environment: str = "indoor",
        drawer: Path | None = None,
        **panel: object,
    ) -> Sheet:
        """Return a plate so large that nothing but the hole matters; ``panel`` holds keys of a layout's panel.

        Raises:
            pydantic.ValidationError: where these are none.
        """
        wish = PanelWish.model_validate({"size": [PLATE, PLATE], "thickness": thickness, **panel})
        return cls(wish, hardware, environment, drawer)

    @property
    def says(self) -> str:
        """The sheet in words."""
        panel = self.panel
        thick = panel.thickness if isinstance(panel.thickness, str) else format_mm(panel.thickness, 3)
        coat = f"coated {format_mm(panel.coating, 3)} on each surface" if panel.coating else "bare"
        sizes = f", sizes as {'finished' if panel.holes_finished else 'punched'}" if panel.coating else ""
        return f"{thick} {panel.material}, {coat}{sizes}, {self.environment}"


@dataclass(frozen=True)
class Question:
    """One part, from one side, on one hole. With ``deeply`` it is also asked what would have to be done for it."""

    part: str
    mount: Side
    opening: Opening
    sheet: Sheet
    deeply: bool = False

    def layout(self, hardware: Hardware | None = None) -> LayoutFile:
        """Return the layout that asks it: the part alone in the middle of the plate, nothing engraved."""
        panel = self.sheet.panel.changed(holes=self.opening.name if self.opening.pattern is not None else TO_SUIT)
        place = PlaceWish(
            part=self.part, label=PLACE, legend="none", at=ORIGIN, mount=self.mount, cutout=self.opening.cutout
        )
        layout = Layout.model_validate({
            "title": f"{self.part} on {self.opening.name}", "origin": "centre", "panel": panel,
            "hardware": hardware or self.sheet.hardware, "environment": self.sheet.environment, "places": [place],
        })  # fmt: skip
        return LayoutFile(Path(self.opening.name), layout, LineMap({}), drawer=self.sheet.drawer)


def questions(
    catalogue: Catalogue, openings: Iterable[Opening], sheet: Sheet, parts: Iterable[str] = (), deeply: bool = False
) -> Iterator[Question]:
    """Yield every part (all, or those named), from each side that it may be mounted from, on every hole in turn."""
    holes = tuple(openings)
    for name in tuple(parts) or catalogue.parts:
        for mount in catalogue.parts[name].mount:
            yield from (Question(name, mount, hole, sheet, deeply) for hole in holes)
