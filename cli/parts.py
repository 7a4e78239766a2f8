"""``dryfit parts``: the catalogue, the shelf, and a part file of one's own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import click

from dryfit.cli.targets import must_end, must_have_folder
from dryfit.models.catalogue.dimensions import Dimension, dimensions
from dryfit.models.catalogue.layers import Kind
from dryfit.models.catalogue.part_files import Catalogue, load_catalogue
from dryfit.models.catalogue.parts import Part, Plug, Section
from dryfit.models.catalogue.shelf import ENDS, SETTING, shelf_files, shelf_folders
from dryfit.models.catalogue.sources import CONFIDENCES
from dryfit.models.catalogue.trust import NOT_COUNTED, counted, unconfirmed_holes
from dryfit.models.catalogue.words import find, suggested, texts
from dryfit.models.geometry.contours import describe, number
from dryfit.models.geometry.outlines import Outline
from dryfit.models.reading.errors import DryfitError, UnknownName, display_path, number_of, quote
from dryfit.models.reading.units import format_length, format_mm

MEASURE = "Dimensions are generic: measure the part in hand, or read its maker's drawing, before cutting."
Records = Mapping[str, Part | Plug]


@click.command()
@click.argument("names", metavar="[FILE] [NAME]", nargs=-1)
@click.option("--find", "words", metavar="WORDS", help="List the parts and plugs that everyday words lead to.")
@click.option("--picture", type=click.Path(path_type=Path), metavar="PNG", help="Draw the part, its plug before it.")
@click.option(
    "--sheet",
    type=click.Path(path_type=Path),
    metavar="PDF|SVG",
    help="Draw where each dimension of the part is taken.",
)
@click.option("--sources", is_flag=True, help="Report how far the dimensions of the whole catalogue can be trusted.")
def parts(names: tuple[str, ...], words: str | None, picture: Path | None, sheet: Path | None, sources: bool) -> None:
    """List parts, plugs and hole patterns, or show the part or plug NAME with every dimension and its source.

    With a part FILE of your own, the list is that of the file, and its parts can be shown, too. What lies on the shelf
    (the folder that the list names, or that DRYFIT_SHELF says) is found by every layout.

    \b
    Example:
      dryfit parts
      dryfit parts --find ethernet
      dryfit parts xlr3-socket --picture socket.png --sheet socket.pdf
      dryfit parts my-parts.yaml my-socket
    """
    files = tuple(Path(name) for name in names[:1] if Path(name).suffix.lower() in ENDS)
    catalogue, asked = load_catalogue(files), names[len(files) :]
    if words is not None:
        _find(" ".join((words, *asked)), catalogue)
        return
    if len(asked) > 1:
        raise DryfitError(f"{quote(asked[1])}: expected one name; several words: --find {quote(' '.join(asked))}")
    if (picture or sheet) and not asked:
        raise DryfitError(f"--{'picture' if picture else 'sheet'}: expected the NAME of a part")
    if asked:
        _show(asked[0], _named(catalogue, asked[0]), catalogue)
        if picture is not None:
            _draw(asked[0], catalogue, picture)
        if sheet is not None:
            _draw_sheet(asked[0], catalogue, sheet)
    elif sources:
        _confidence(catalogue)
    elif files:
        _list(catalogue, display_path(files[0]))
    else:
        _list(catalogue)
        _tell_shelf()


def _named(catalogue: Catalogue, name: str) -> Part | Plug:
    if name in catalogue.plugs:
        return catalogue.plugs[name]
    if name not in catalogue.parts:
        raise UnknownName("part", name, catalogue.parts, suggested(name, texts(catalogue.parts)))
    return catalogue.parts[name]


# --- lists ---------------------------------------------------------------------------------------------------------


def _list(catalogue: Catalogue, file: str = "") -> None:
    """Print parts, plugs and patterns: all of them, or those of one file."""
    kinds: tuple[tuple[Kind, Mapping[str, object]], ...] = (
        ("parts", catalogue.parts), ("plugs", catalogue.plugs), ("patterns", catalogue.patterns),
    )  # fmt: skip
    for kind, records in kinds:
        _rows(kind, [name for name in records if file in ("", catalogue.files.get((kind, name)))], catalogue)
    what = f"{len(catalogue.parts)} parts. " if not file else ""
    click.echo(f"\n{what}{MEASURE}")


def _rows(kind: Kind, names: Sequence[str], catalogue: Catalogue) -> None:
    if not names:
        return
    click.echo(f"{'hole patterns' if kind == 'patterns' else kind}:")
    _table([(name, *_told(kind, name, catalogue)) for name in names], "  ")


def _told(kind: Kind, name: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Return what a list tells of a record, and the file that it is in where it is not dryfit's."""
    file = catalogue.files.get((kind, name))
    where = f" ({file})" if file is not None else ""
    if kind == "parts":
        part = catalogue.parts[name]
        return part.family, "/".join(part.mount), f"{part.title}{where}"
    if kind == "plugs":
        return (f"{catalogue.plugs[name].title}{where}",)
    holes = catalogue.patterns[name]
    apart = f"fixing holes {number(holes.fixings)} mm, {number(holes.across)} x {number(holes.up)} mm apart"
    return f"hole {number(holes.hole)} mm", f"{apart}{', mirrored' * holes.mirror}{where}"


def _tell_shelf() -> None:
    """Say where the shelf is, so that people find the folder for their own."""
    count = len(shelf_files())
    folders = ", ".join(map(display_path, shelf_folders())) or f"none, for {SETTING} is empty"
    click.echo(f"The shelf, for part files that every layout finds: {folders} ({number_of(count, 'file')}).")


def _find(words: str, catalogue: Catalogue) -> None:
    """Print what words lead to; parts and plugs are asked together, so that the better of them are told."""
    found = find(words, {**texts(catalogue.parts), **texts(catalogue.plugs)})
    if not found.names:
        raise DryfitError(f"no part is found by {quote(words)}, expected a word such as ethernet, speaker or power")
    _rows("parts", [name for name in found.names if name in catalogue.parts], catalogue)
    _rows("plugs", [name for name in found.names if name in catalogue.plugs], catalogue)
    if found.missed:
        click.echo(f"\nnothing here is found by: {', '.join(found.missed)}")


def _table(rows: Sequence[tuple[str, ...]], indent: str = "") -> None:
    """Print rows in columns, the last as long as it is."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]) - 1)]
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=False)]
        click.echo(indent + "  ".join([*cells, row[-1]]).rstrip())


# --- one record ----------------------------------------------------------------------------------------------------


def _show(name: str, record: Part | Plug, catalogue: Catalogue) -> None:
    click.echo(f"{name}: {record.title}")
    kind: Kind = "parts" if isinstance(record, Part) else "plugs"
    facts = [("file", catalogue.files.get((kind, name), "")), ("like", catalogue.likeness.get(name, ""))]
    facts += _facts(record, catalogue) if isinstance(record, Part) else _plug_facts(name, record, catalogue)
    for label, value in facts:
        if value:
            click.echo(f"  {label:10}  {value}")
    click.echo("\nfrom front to rear:")
    _table(_ahead_and_behind(record), "  ")
    click.echo()
    _table([("dimension", "value", "range", "confidence", "source"), *map(_row, dimensions(record))], "  ")
    click.echo(f"\n{MEASURE}")


def _facts(part: Part, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    yield "family", part.family
    yield "cut-out", _said(part.cutout)
    if part.cutout_rear is not None and part.cutout_rear != part.cutout:
        yield "from rear", _said(part.cutout_rear)
    yield "mount from", " or ".join(part.mount)
    yield "held by", _held_by(part)
    yield "latch", _latch(part)
    for plug in part.plugs:
        yield "plug", f"{plug}: {catalogue.plugs[plug].title}"
    yield "care", ", ".join(name for name in ("mains", "loudspeaker", "earth") if getattr(part, name))
    yield "metal", part.metal
    yield "look", part.look


def _held_by(part: Part) -> str:
    """Return what holds a part in its cut-out, in words."""
    if part.fixings is not None:
        boss = part.fixings.boss
        screws = f"{len(part.fixings.at)} screws" if len(part.fixings.at) > 1 else "a screw"
        own = f", into its own {boss.material} boss for {boss.screw}" if boss is not None else ""
        sink = ", countersunk" if part.fixings.seat is not None else ""
        return f"{screws} through {format_length(part.fixings.hole, part.system)}{sink}{own}"
    if part.bush is not None:
        thread = format_length(part.bush.thread, part.system)
        return f"its own thread, {thread}, with a nut from the {part.bush.nut_side}"
    if part.snap is not None:
        return f"spring tabs, on panels from {format_mm(part.snap.thinnest)} to {format_mm(part.snap.thickest)}"
    return ""


def _latch(part: Part) -> str:
    if part.latch is None:
        return ""
    latch = part.latch
    at = f"({number(latch.at.x)}, {number(latch.at.y)})"
    return f"{latch.motion} it on the {latch.on}, at {at}, {format_mm(latch.height)} in front of the flange"


def _plug_facts(name: str, plug: Plug, catalogue: Catalogue) -> Iterator[tuple[str, str]]:
    yield "goes into", ", ".join(part for part, one in catalogue.parts.items() if name in one.plugs)
    turn = f", then {plug.turn:g} degrees clockwise" if plug.turn else ""
    yield "motion", f"{format_mm(plug.travel)} straight in{turn}"


def _ahead_and_behind(record: Part | Plug) -> list[tuple[str, str, str]]:
    """Return the sections of a body from front to rear, by the keys that they have in the file."""
    if isinstance(record, Part):
        flange = ("flange", _said(record.flange.outline), f"{format_mm(record.flange.thick)} thick")
        return [*_run("front", record.front, "front"), flange, *_run("rear", record.rear, "rear")]
    return [*_run("body", record.body, "front"), *_run("nose", record.nose, "rear")]


def _run(key: str, sections: Sequence[Section], side: str) -> Iterator[tuple[str, str, str]]:
    numbered = sorted(enumerate(sections), key=lambda one: one[1].start, reverse=side == "front")
    where = "in front" if side == "front" else "behind"
    for place, section in numbered:
        yield f"{key} {place + 1}", _across(section), f"{number(section.start)} to {format_mm(section.stop)} {where}"


def _said(outline: Outline) -> str:
    """Return the size of a shape with its unit: ``⌀12.2 mm, flat 4.4 from axis``."""
    size, comma, more = describe(outline).partition(",")
    return f"{size} mm{comma}{more}"


def _across(section: Section) -> str:
    if section.cone is not None:
        return f"cone ⌀{number(section.cone[0])} to ⌀{number(section.cone[1])} mm"
    assert section.outline is not None  # one of the two, by validation
    return _said(section.outline)


def _row(of: Dimension) -> tuple[str, ...]:
    value = f"{of.value:g} deg" if of.is_angle else format_mm(of.value, 3)
    if of.source is None:
        return (of.path, value, "", "no source", "measure it first")
    return (of.path, value, _range(of.source.least, of.source.greatest), of.source.confidence, of.source.source)


def _range(least: float | None, greatest: float | None) -> str:
    if least is None:
        return f"to {format_mm(greatest)}" if greatest is not None else ""
    return f"{format_mm(least)} to {format_mm(greatest)}" if greatest is not None else f"from {format_mm(least)}"


def _draw(name: str, catalogue: Catalogue, path: Path) -> None:
    """Write a picture of a part with its first plug; of a plug, with the first part that it goes into."""
    from dryfit.generators.intake.solids.reals import reals
    from dryfit.generators.looks.alone import portrait
    from dryfit.generators.writers.offscreen import render
    from dryfit.generators.writers.whole import write_whole

    must_end(path, ".png")
    must_have_folder(path)
    part, plug = _pair(name, catalogue)
    true = reals(one for one in catalogue.solids.values() if one.name == part)
    write_whole(path, render([(name, portrait(part, catalogue, plug or None, true))])[name])
    click.echo(f"wrote {display_path(path)}")


def _draw_sheet(name: str, catalogue: Catalogue, path: Path) -> None:
    """Write the sheet of a part with its first plug."""
    from dryfit.generators.drawing.part_sheet import in_one, part_sheet
    from dryfit.generators.writers.pdf import write_pdf
    from dryfit.generators.writers.svg import write_svg

    must_end(path, ".pdf", ".svg")
    must_have_folder(path)
    part, plug = _pair(name, catalogue)
    drawing = part_sheet(part, catalogue.parts[part], plug, catalogue.plugs.get(plug))
    if path.suffix.lower() == ".pdf":
        write_pdf(drawing, path)
    else:
        write_svg(in_one(drawing), path)
    click.echo(f"wrote {display_path(path)}")


def _pair(name: str, catalogue: Catalogue) -> tuple[str, str]:
    """Return a part with its first plug (or none), or a plug with the first part that it goes into."""
    if name in catalogue.parts:
        return name, next(iter(catalogue.parts[name].plugs), "")
    taking = next((part for part, one in catalogue.parts.items() if name in one.plugs), None)
    if taking is None:
        raise DryfitError(f"no part takes the plug {quote(name)}, expected the name of a part to draw")
    return taking, name


# --- the whole catalogue -------------------------------------------------------------------------------------------


def _confidence(catalogue: Catalogue) -> None:
    """Print how many values rest on what, and which holes to cut no source confirms."""
    counts = counted(catalogue)
    graded = [grade for grade in (*CONFIDENCES, None) if grade not in NOT_COUNTED]
    total = sum(counts[grade] for grade in graded)
    _table(
        [
            (grade or "no source", str(counts[grade]), f"{counts[grade] / total:.0%}")
            for grade in graded
            if counts[grade]
        ]
    )
    click.echo(f"{total} values of {len(catalogue.parts)} parts and {len(catalogue.plugs)} plugs, each counted once.")
    click.echo(
        f"Not counted: {counts['allowance']} of room that is asked for, {counts['reckoned']} that follow from others.\n"
    )
    click.echo("Holes that no source confirms, to be measured first:")
    for name, holes in unconfirmed_holes(catalogue).items():
        click.echo(f"  {name}: {', '.join(_hole(*hole) for hole in holes)}")


def _hole(path: str, origin: str, grade: str | None) -> str:
    by = "" if origin == path else f"{origin}, "
    return f"{path} ({by}{grade or 'no source'})"
