"""The files that ``dryfit build`` makes: one row a file, its maker one function in one writer module.

A new file format is one new module under ``writers`` and one row here. Makers import their writers themselves, so that
asking for one file loads nothing for the others.
"""

from __future__ import annotations

import html
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.generators.lists.cautions import cautions
from dryfit.generators.report import Report
from dryfit.generators.writers.whole import write_whole
from dryfit.models.findings import Finding, Verdict
from dryfit.models.geometry.boxes import Box
from dryfit.models.printer import Printer, generic_printer
from dryfit.models.reading.errors import DryfitError, UnknownName, display_path

if TYPE_CHECKING:
    from dryfit.generators.testplate.plate import Plate


@dataclass(frozen=True)
class Order:
    """What the files are made from: the report, the paper of the shop drawing, the printer of the test plate."""

    report: Report
    paper: str = "A3"
    printer: Printer | None = None  # None: a generic one

    @property
    def small_paper(self) -> str:
        """Paper for pages that come from a desk printer: A4, or Letter where the drawing is on inch paper."""
        return "Letter" if self.paper in {"Letter", "Tabloid"} else "A4"

    @cached_property
    def test_plate(self) -> Plate:
        """The test plate, made once for all its files."""
        from dryfit.generators.testplate.plate import plate_for

        return plate_for(self.report.job, self.report.assembly, self.printer or generic_printer())


Maker = Callable[[Order, Path], None]
CLOSE_UP = 20.0  # mm shown about what fails


@dataclass(frozen=True)
class FileKind:
    """One file: the word that ``--only`` takes, its name, what it is for, and what makes it.

    A name that ends with a slash is that of a folder: its maker fills it.
    """

    word: str
    name: str
    purpose: str
    make: Maker


def _report(order: Order, path: Path) -> None:
    from dryfit.generators.writers.report_json import report_json

    write_whole(path, report_json(order.report).encode())


def _panel_step(order: Order, path: Path) -> None:
    from dryfit.generators.writers.step import write_panel_step

    job = order.report.job
    write_panel_step(job.panel, job.holes(), path, job.title)


def _assembly_step(order: Order, path: Path) -> None:
    from dryfit.generators.writers.step import write_assembly_step

    write_assembly_step(order.report.assembly, path)


def _plate_stl(order: Order, path: Path) -> None:
    from dryfit.generators.writers.stl import write_body_stl

    write_body_stl(next(order.report.assembly.of("panel")).body, path)


def _assembly_stl(order: Order, path: Path) -> None:
    from dryfit.generators.writers.stl import write_assembly_stl

    write_assembly_stl(order.report.assembly, path)


def _test_plate(order: Order, path: Path) -> None:
    from dryfit.generators.writers.threemf import write_3mf

    write_3mf(order.test_plate.pieces, f"{order.report.job.title}: test plate", path)


def _test_plate_pieces(order: Order, path: Path) -> None:
    from dryfit.generators.writers.stl import write_pieces_stl

    write_pieces_stl(order.test_plate.pieces, path)


def _test_plate_summary(order: Order, path: Path) -> None:
    from dryfit.generators.testplate.plate import summary_json

    write_whole(path, summary_json(order.test_plate).encode())


def _glb(order: Order, path: Path) -> None:
    from dryfit.generators.writers.glb import write_glb

    write_glb(order.report.assembly, path)


def _dxf(order: Order, path: Path) -> None:
    from dryfit.generators.writers.dxf import write_dxf

    write_dxf(order.report.job, path)


def _shop_drawing(order: Order, path: Path) -> None:
    from dryfit.generators.drawing.sheets import shop_drawing
    from dryfit.generators.writers.pdf import write_pdf

    write_pdf(shop_drawing(order.report.job, order.paper, order.report.assembly), path)


def _front_sheet(order: Order, path: Path) -> None:
    from dryfit.generators.drawing.sheets import shop_drawing
    from dryfit.generators.writers.svg import write_svg

    write_svg(shop_drawing(order.report.job, order.paper, order.report.assembly).sheets[0], path)


def _template(order: Order, path: Path) -> None:
    from dryfit.generators.drawing.template import drill_template
    from dryfit.generators.writers.pdf import write_pdf

    write_pdf(drill_template(order.report.job, order.small_paper), path)


def _holes(order: Order, path: Path) -> None:
    from dryfit.generators.writers.holes_csv import write_holes_csv

    write_holes_csv(order.report.job, path)


def _parts_list(order: Order, path: Path) -> None:
    from dryfit.generators.writers.parts_csv import write_parts_csv

    write_parts_csv(order.report, path)


def _assembly_sheet(order: Order, path: Path) -> None:
    from dryfit.generators.drawing.assembly_sheet import assembly_sheet
    from dryfit.generators.writers.pdf import write_pdf

    write_pdf(assembly_sheet(order.report, order.small_paper), path)


def _front(order: Order, path: Path) -> None:
    from dryfit.generators.writers.png import FRONT, render

    render(order.report.assembly, [(path, FRONT)])


def _three_quarter(order: Order, path: Path) -> None:
    from dryfit.generators.writers.png import THREE_QUARTER, render

    render(order.report.assembly, [(path, THREE_QUARTER)])


def _rear(order: Order, path: Path) -> None:
    from dryfit.generators.writers.png import REAR, render

    render(order.report.assembly, [(path, REAR)])


def _close_up(order: Order, path: Path) -> None:
    from dryfit.generators.writers.png import View, render

    report = order.report
    finding = first_failure(report)
    assert finding is not None  # asked for only where something fails
    names = finding.bodies or [i.name for i in report.assembly.of("part") if i.place == finding.place]
    towards = (0.35, 0.45, -0.8) if finding.view == "rear" else (-0.45, 0.5, 0.75)
    view = View(towards, _about(report, finding.place), (1200, 900), plugs=finding.check in {"plug-seats", "plug-room"})
    render(order.report.assembly, [(path, view)], names)


def first_failure(report: Report) -> Finding | None:
    """Return the first finding that fails at a place, or None."""
    return next((f for f in report.findings if f.verdict is Verdict.FAILS and f.place), None)


def _about(report: Report, place: str) -> Box:
    spot = next(p for p in report.job.places if p.name == place)
    x, y, r = spot.x, spot.y, CLOSE_UP
    return Box(x - r, y - r, -r, x + r, y + r, r)


FILES = (
    FileKind("report", "report.json", "All findings, for programs.", _report),
    FileKind("drawing", "drawing.pdf", "The shop drawing, all sheets.", _shop_drawing),
    FileKind("drawing", "drawing.svg", "Its first sheet, for a page or a mail.", _front_sheet),
    FileKind("dxf", "panel.dxf", "The cut file, 1:1 in mm: one layer per operation.", _dxf),
    FileKind(
        "template", "drill-template.pdf", "Paper at true size to drill by; check its scale bars first.", _template
    ),
    FileKind("holes", "holes.csv", "Every hole with its position from two datums.", _holes),
    FileKind("parts", "parts-list.csv", "What to buy: parts, plugs, screws, nuts, washers, with spares.", _parts_list),
    FileKind("assembly", "assembly.pdf", "The assembly sheet: steps, torque, tools, cautions.", _assembly_sheet),
    FileKind("step", "panel.step", "The bare panel as it is to be cut, for a fabricator.", _panel_step),
    FileKind("step", "assembly.step", "Everything put together, for a CAD program.", _assembly_step),
    FileKind("stl", "plate.stl", "The finished panel in one piece, to print as a test plate.", _plate_stl),
    FileKind("stl", "assembly.stl", "Everything put together, as one mesh.", _assembly_stl),
    FileKind("test-plate", "test-plate.3mf", "The panel in plastic: tiles, keys and coupon to print.", _test_plate),
    FileKind("test-plate", "test-plate.json", "Its tiles, filament and notes.", _test_plate_summary),
    FileKind("test-plate", "test-plate/", "The same, one STL for each piece.", _test_plate_pieces),
    FileKind("glb", "assembly.glb", "Everything put together, for a 3D viewer.", _glb),
    FileKind("pictures", "front.png", "The panel from the front.", _front),
    FileKind("pictures", "three-quarter.png", "The panel with its plugs in.", _three_quarter),
    FileKind("pictures", "rear.png", "What is behind the panel.", _rear),
)
FAILURE = FileKind("pictures", "close-up.png", "A close look at the first thing that fails.", _close_up)


def words() -> tuple[str, ...]:
    """Return the words that name files, each once."""
    return tuple(dict.fromkeys(kind.word for kind in FILES))


def chosen(report: Report, only: Iterable[str]) -> tuple[FileKind, ...]:
    """Return the files to make: all, or those of the words given.

    Raises:
        UnknownName: for a word that names no file.
    """
    wanted = tuple(only)
    for word in wanted:
        if word not in words():
            raise UnknownName("kind of file", word, words())
    every = (*FILES, FAILURE) if first_failure(report) is not None else FILES
    return tuple(kind for kind in every if not wanted or kind.word in wanted)


def build(order: Order, folder: Path, kinds: Iterable[FileKind]) -> Iterator[tuple[FileKind, str]]:
    """Make the files in a folder, yielding each with an empty text, or with why it could not be made.

    A panel whose holes run into each other has no solid: what depends on it is told, and the rest is made.
    """
    folder.mkdir(parents=True, exist_ok=True)
    done: list[tuple[FileKind, str]] = []
    for kind in kinds:
        try:
            kind.make(order, folder / kind.name)
            done.append((kind, ""))
        except DryfitError as error:
            done.append((kind, str(error)))
        yield done[-1]
    write_whole(folder / "index.html", _index(order.report, done, folder).encode())


def _index(report: Report, done: Iterable[tuple[FileKind, str]], folder: Path) -> str:
    """Return a page that lists the files with their purposes."""
    title = html.escape(report.job.title)
    rows = "".join(
        f"<tr><td><a href='{kind.name}'>{kind.name}</a></td>"
        f"<td>{html.escape(kind.purpose)}{_links(folder, kind)}</td></tr>\n"
        if not why
        else f"<tr><td>{kind.name}</td><td>not made: {html.escape(why)}</td></tr>\n"
        for kind, why in done
    )
    picture = "<p><img src='front.png' alt='the panel from the front'></p>" if _made(done, "front.png") else ""
    told = "".join(f"<li>{html.escape(text)}</li>" for text in cautions(report.job))
    return (
        f"<!doctype html><html lang='en'><meta charset='utf-8'><title>{title}</title>\n"
        "<style>body{font:16px/1.5 sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem}img{max-width:100%}"
        "td{padding:.2rem 1rem .2rem 0;vertical-align:top}</style>\n"
        f"<h1>{title}</h1><p>Verdict: <b>{report.verdict}</b>. "
        f"Layout: {html.escape(display_path(report.job.source))}</p>"
        f"{picture}\n<table>{rows}</table><ul>{told}</ul></html>\n"
    )


def _links(folder: Path, kind: FileKind) -> str:
    """Return links to the files of a folder; nothing for a file."""
    if not kind.name.endswith("/"):
        return ""
    names = [html.escape(path.name) for path in sorted((folder / kind.name).iterdir())]
    return " " + ", ".join(f"<a href='{kind.name}{name}'>{name}</a>" for name in names)


def _made(done: Iterable[tuple[FileKind, str]], name: str) -> bool:
    return any(kind.name == name and not why for kind, why in done)
