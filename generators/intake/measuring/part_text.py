"""A measured part as a part file: every value with where it comes from, and as comments what a solid does not tell."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Iterator

from dryfit.generators.intake.measuring.fitted import Fitted
from dryfit.generators.intake.measuring.layers import Layer
from dryfit.generators.intake.measuring.measured import PLAY, Boss, Bush, Fixings, Measured
from dryfit.generators.intake.measuring.turned import Way
from dryfit.generators.intake.written import keys, mm
from dryfit.models.geometry.points import Point
from dryfit.models.reading.errors import printable
from dryfit.models.reading.fields import LONGEST_TEXT
from dryfit.models.tables.threads import clearances

FREE = ", laid around a free surface"
NUT_WIDER = 1.2  # times its thread: how wide nuts of bushes are about (from memory)
NUT_MORE = 1.0  # mm on top of that
NUT_HIGH = 0.2  # times its thread


def part_name(stem: str) -> str:
    """Return a name for a part from that of its file."""
    plain = re.sub(r"[^a-z0-9.]+", "-", stem.casefold()).strip("-.")
    return plain or "measured-part"


def part_text(
    name: str, file: str, found: Measured, unit: str = "", told: Iterable[str] = (), *, way: Way | None = None
) -> str:
    """Return the part file of a measured part; ``told`` are lines for its head.

    ``way`` says how it stands in its file, where that lies beside the part file and is kept as its solid.
    """
    source = f"measured from {_printed(file)}"
    lines = [
        f"# Measured from {printable(file)} by dryfit measure. Lengths follow the solid; what it does not tell stands",
        "# in comments. Compare a few with the part in hand before metal is cut: files are drawn to nominal sizes.",
        *(f"# {printable(line)}" for line in told),
        *_noted(found.notes),
        "parts:",
        f"  {name}:",
        *(f"    {line}" for line in _record(file, source, found, unit)),
        *(f"    {line}" for line in _solid(file, way, found)),
    ]
    return "\n".join(lines) + "\n"


def _noted(notes: Iterable[str]) -> Iterator[str]:
    told = list(notes)
    if told:
        yield "# Not recognised, or not as it is:"
        yield from (f"#   {printable(note)}" for note in told)


def _record(file: str, source: str, found: Measured, unit: str) -> Iterator[str]:
    stem = _printed(file.rpartition(".")[0] or file, 40)
    yield f"title: {_quoted(f'{stem}, as measured from its solid')}"
    yield "family: own"
    if "inch" in unit.casefold():
        yield "system: inch"
    yield f"flange: {{outline: {shape(found.flange.shape)}, thick: {_mm(found.thick)}}}"
    why = f"what has to pass it, and {PLAY:g} mm of play" if found.passes else "nothing of it passes the panel"
    yield f"cutout: {shape(found.cutout.shape)}  # a suggestion: {why}"
    if found.fixings is not None:
        yield from _fixings(found.fixings)
    if found.bush is not None:
        yield from _bush(found.bush)
    if found.fixings is None and found.bush is None:
        yield "# Nothing that holds it was recognised. Write fixings, or bush, or for spring tabs:"
        yield "# snap: {from: 1 mm, to: 3 mm}"
    yield from _sections("front", found.front)
    yield from _sections("rear", found.rear)
    yield f"mount: [{found.mount}]  # [front, rear] if it may be mounted from either side"
    yield from UNSEEN
    yield "sources:"
    yield from (f"  {line}" for line in _sources(source, found))


def _solid(file: str, way: Way | None, found: Measured) -> Iterator[str]:
    """Yield the solid itself: for files and pictures; the sections are what is judged."""
    if way is not None:
        at = ", ".join(f"{value + 0.0:.10g} mm" for value in found.origin)
        yield f"solid: {{file: {_quoted(file)}, front: {way.front}, up: {way.up}, at: [{at}]}}"


UNSEEN = (
    "# What a solid does not tell; take the # off what applies:",
    "# plugs: [xlr-plug-pins]  # what goes in: dryfit parts lists them",
    "# seat: 0.5 mm            # how far the plug's shoulder stays before the flange",
    "# latch: {on: part, at: [0 mm, 10 mm], height: 2.4 mm, finger: {box: [12 mm, 12 mm]}}",
    "# wiring: 30 mm           # room behind it for terminals and the bend of the cable",
    "# thickest: 3 mm          # thickest panel that its maker allows",
    "# metal: plastic          # its surface; taken as plated zinc where nothing is said",
    "# mains: true             # and earth: true, if it has an earth contact",
)


def _fixings(found: Fixings) -> Iterator[str]:
    yield "fixings:"
    yield f"  at: [{', '.join(_pair(p) for p in found.at)}]"
    yield f"  hole: {_mm(found.hole)}"
    yield f"  panel: {_mm(_panel_hole(found))}"
    if found.sink is not None:
        yield f"  seat: {{diameter: {_mm(found.sink[0])}, angle: {found.sink[1]:g}}}"
    if found.boss is not None:
        yield from _boss(found.boss)


def _panel_hole(found: Fixings) -> float:
    """Return the hole for the panel: that of the flange, or what the thread of its bosses wants."""
    if found.boss is None or not found.boss.thread:
        return found.hole
    return next((row.diameter for row in clearances(found.boss.thread) if row.fit == "normal"), found.hole)


def _boss(boss: Boss) -> Iterator[str]:
    told = f"blind holes of {_mm(boss.diameter)}, {_mm(boss.depth)} deep"
    if not boss.thread:
        yield f"  # {told}, which no thread of the tables is drawn as: boss: {{thread: M3, depth: {_mm(boss.depth)}}}"
        return
    others = f" or {', '.join(boss.others)}" if boss.others else ""
    yield f"  # {told}: drawn as {boss.thread}{others}, or for a thread-forming screw; say which it is"
    yield f"  boss: {{thread: {_quoted(boss.thread)}, depth: {_mm(boss.depth)}}}"


def _bush(bush: Bush) -> Iterator[str]:
    across = math.ceil(bush.across * NUT_WIDER + NUT_MORE)
    height = max(1.5, round(bush.across * NUT_HIGH, 1))
    yield "# A round neck, no fixing holes: taken as a bush with a nut. The nut is no part of the solid: measure it."
    thread = f"thread: {_mm(bush.across)}, length: {_mm(bush.length)}"
    yield f"bush: {{{thread}, nut_across: {across} mm, nut_height: {height:g} mm, nut_side: {bush.side}}}"


def _sections(name: str, found: tuple[Layer, ...]) -> Iterator[str]:
    if found:
        yield f"{name}:"
        yield from (f"  - {_section(layer)}" for layer in found)


def _section(layer: Layer) -> str:
    reach = f"from: {_mm(layer.low)}, to: {_mm(layer.high)}"
    if layer.cone is not None:
        return f"{{cone: [{_mm(layer.cone[0])}, {_mm(layer.cone[1])}], {reach}}}"
    return f"{{outline: {shape(layer.shape)}, {reach}}}{_stands_off(layer.shape)}"


def _stands_off(fitted: Fitted) -> str:
    return f"  # holds a rounder shape, up to {fitted.off:g} mm outside of it" if fitted.off else ""


# --- sources ---------------------------------------------------------------------------------------------------------


def _sources(source: str, found: Measured) -> Iterator[str]:
    yield f"flange: {_quoted(source)}"
    yield from _ranges("flange.outline", found.flange, source)
    yield f"cutout: {_cutout_source(source, found)}"
    if found.fixings is not None:
        yield f"fixings: {_quoted(source)}"
        yield f"fixings.panel: {_panel_source(found.fixings)}"
        if found.fixings.boss is not None:
            yield f"fixings.boss: {_quoted(f'from memory: the thread by the width of a bore, {source}')}"
    if found.bush is not None:
        yield f"bush: {_quoted(source)}"
        yield from (
            f'bush.{path}: "from memory: about that of bushes so wide"' for path in ("nut_across", "nut_height")
        )
    for name, sections in (("front", found.front), ("rear", found.rear)):
        if sections:
            yield f"{name}: {_quoted(source)}"
        for number, layer in enumerate(sections):
            yield from _ranges(f"{name}.{number}", layer, source)


def _panel_source(found: Fixings) -> str:
    if found.boss is not None and found.boss.thread:
        return _quoted("common practice: a clearance hole for the thread of the bosses")
    return "{of: fixings.hole}"


def _cutout_source(source: str, found: Measured) -> str:
    cut = found.cutout
    if cut.of:
        return f"{{of: {cut.of}, plus: {_mm(cut.plus)}}}"
    if not found.passes:
        return '"from memory: nothing of it passes the panel; write the hole that it covers"'
    return _quoted(f"common practice: {PLAY / 2:g} mm on every side of what passes it, {source}")


def _ranges(path: str, layer: Layer, source: str) -> Iterator[str]:
    """Yield how far sizes may be off where a shape was laid around a free surface."""
    if layer.off == 0 or layer.cone is not None:
        return
    width, height = layer.outline.size
    yield f"{path}.width: {_range(source, width, layer.off)}"
    if not layer.outline.is_circle and "hexagon" not in layer.shape.written:
        yield f"{path}.height: {_range(source, height, layer.off)}"


def _range(source: str, value: float, off: float) -> str:
    words = _quoted((source + FREE)[:LONGEST_TEXT])
    return f"{{source: {words}, least: {_mm(value - off)}, greatest: {_mm(value + off)}}}"


# --- words and numbers -----------------------------------------------------------------------------------------------


def shape(fitted: Fitted) -> str:
    """Return an outline as a part file writes it."""
    return "{" + ", ".join(keys(fitted.written, " mm")) + "}"


def _pair(point: Point) -> str:
    return f"[{_mm(point.x)}, {_mm(point.y)}]"


def _mm(value: float) -> str:
    return f"{mm(value)} mm"


def _printed(text: str, longest: int = 60) -> str:
    return printable(text)[:longest]


def _quoted(text: str) -> str:
    """Return text as YAML takes it between double quotes, as JSON has it."""
    return json.dumps(text, ensure_ascii=False)
