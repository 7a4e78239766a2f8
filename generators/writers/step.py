"""STEP files (ISO 10303-21, AP242): the assembly with names, colours and shared shapes, and the bare panel.

The kernel's writer stamps the time and numbers things by a counter of the process; both are made plain afterwards, so
that the same input gives the same bytes.

Both files have one origin with the drawing and the cutting file: the panel's datum, on the front face of the bare
metal; x to the right, y up, z out of the front towards the viewer.
"""

from __future__ import annotations

import errno
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from dryfit.generators.bodies.assembly import Assembly, Instance
from dryfit.generators.bodies.colours import Colour, colour, material_colour
from dryfit.generators.bodies.meshes import matrix
from dryfit.generators.bodies.parts import BUSH_NUT
from dryfit.generators.bodies.real import NO_REALS, Reals, RealSolid, real_of, real_shape
from dryfit.generators.bodies.solids import flat_faces, need_kernel, panel_solid, solid
from dryfit.generators.lettering.legends import clear_legends
from dryfit.generators.lettering.typeface import Loop
from dryfit.generators.writers.borrowed import borrowed
from dryfit.generators.writers.part21 import canonical
from dryfit.generators.writers.register import Order, file_kind
from dryfit.generators.writers.whole import whole_file
from dryfit.models.geometry.bodies import Body
from dryfit.models.geometry.contours import dimension
from dryfit.models.panel import Hole, Panel
from dryfit.models.tables.metals import metals

if TYPE_CHECKING:
    from OCP.TDF import TDF_Label
    from OCP.TDocStd import TDocStd_Document
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS_Shape
    from OCP.XCAFDoc import XCAFDoc_ColorTool, XCAFDoc_ShapeTool

SETTINGS = {"write.step.unit": "MM", "write.step.schema": "AP242DIS", "write.step.assembly": "Auto"}
"""Of the kernel's writer; 'Auto' shares the shape of like bodies."""

PROBE = 1_000_000  # bytes: more than a full disk takes at the end of a file
LETTERS = "legends, to be engraved on the front face"  # as their shape is called
THREAD = ", thread drawn as a plain cylinder of its major diameter"
NO_TIME = "1970-01-01T00:00:00"  # the time a file was made is no part of what it says


@file_kind("step", "panel.step", "The bare panel as it is to be cut, for a fabricator.")
def _panel(order: Order, path: Path) -> None:
    job = order.report.job
    letters = [loop for legend in clear_legends(job) for loop in legend.loops] if order.step_legends else []
    write_panel_step(job.panel, job.holes(), path, order.title, order.titles.date, letters=letters)


@file_kind("step", "assembly.step", "Everything put together, for a CAD program.")
def _assembly(order: Order, path: Path) -> None:
    assembly = replace(order.report.assembly, title=order.title)
    write_assembly_step(assembly, order.report.job.panel, path, order.titles.date, reals=order.report.reals)


def write_assembly_step(
    assembly: Assembly, panel: Panel, path: Path, date: str = "", *, reals: Reals = NO_REALS
) -> None:
    """Write the assembly place by place: one solid per distinct body, an instance for every use of it.

    Parts that have a true solid among ``reals`` are that.
    """
    document, shapes, colours = _document()
    datum = _shifted(panel, panel.coating)
    labels: dict[Body | RealSolid, TDF_Label] = {}
    root = shapes.NewShape()
    _name(root, assembly.title)
    groups: dict[str, TDF_Label] = {"": root}
    for instance in assembly.instances:
        real = real_of(reals, instance)
        body = instance.body if real is None else real
        if body not in labels:
            label = shapes.AddShape(solid(instance.body) if real is None else real_shape(real), False)
            _name(label, product_name(instance))
            _paint(colours, label, colour(instance))
            labels[body] = label
        if instance.place not in groups:
            groups[instance.place] = shapes.NewShape()
            _name(groups[instance.place], instance.place)
        spot = _location(instance)
        component = shapes.AddComponent(groups[instance.place], labels[body], spot if instance.place else datum * spot)
        _name(component, instance.name)
    for name, group in groups.items():
        if name:
            _name(shapes.AddComponent(root, group, datum), name)
    shapes.UpdateAssemblies()
    _write(document, path, date)


def product_name(instance: Instance) -> str:
    """Return the name of a body's product: what it is, of what grade, and how its thread is drawn."""
    body = instance.body
    named = body.material and body.material not in body.name and instance.role != "part"
    thread = THREAD if instance.role in {"screw", "nut"} and "rivet" not in body.name.casefold() else ""
    return f"{body.name}{f', {_grade(instance)}' if named else ''}{thread}"


def _grade(instance: Instance) -> str:
    """Return what a body is made of, with the property class of a screw or nut that is bought by it."""
    material = instance.body.material
    by_class = instance.role in {"screw", "nut"} and material in metals() and BUSH_NUT not in instance.body.name
    known = metals()[material].property_class if by_class else None
    return f"{material} {known}" if known else material


def write_panel_step(
    panel: Panel,
    holes: tuple[Hole, ...],
    path: Path,
    title: str,
    date: str = "",
    *,
    letters: Sequence[Loop] = (),
) -> None:
    """Write the bare panel alone, as a fabricator is to cut it: metal only, countersinks and bends real.

    What ``letters`` there are lie on its front as faces, a shape of their own.
    """
    document, shapes, colours = _document()
    label = shapes.AddShape(_from_datum(panel_solid(panel, holes), panel), False)
    if letters:
        _name(shapes.AddShape(_from_datum(flat_faces(letters), panel), False), LETTERS)
    _name(label, f"{title}: panel, {panel.material.name} {dimension(panel.thickness)} mm")
    _paint(colours, label, material_colour(panel.material.name))
    _write(document, path, date)


def _document() -> tuple[TDocStd_Document, XCAFDoc_ShapeTool, XCAFDoc_ColorTool]:
    need_kernel()
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    document = TDocStd_Document(TCollection_ExtendedString("dryfit"))
    main = document.Main()
    return document, XCAFDoc_DocumentTool.ShapeTool_s(main), XCAFDoc_DocumentTool.ColorTool_s(main)


def _name(label: TDF_Label, text: str) -> None:
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDataStd import TDataStd_Name

    TDataStd_Name.Set_s(label, TCollection_ExtendedString(_escaped(text)))


def _escaped(text: str) -> str:
    r"""Return text as Part 21 wants it: backslashes and what is not ASCII as ``\X2\....\X0\`` (ISO 10303-21, 6.4.3)."""

    def coded(match: re.Match[str]) -> str:
        return f"\\X2\\{match.group().encode('utf-16-be').hex().upper()}\\X0\\"

    return re.sub(r"([^\x20-\x7e]|\\)+", coded, text)


def _paint(colours: XCAFDoc_ColorTool, label: TDF_Label, rgb: Colour) -> None:
    from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
    from OCP.XCAFDoc import XCAFDoc_ColorSurf

    colours.SetColor(label, Quantity_Color(*rgb, Quantity_TOC_sRGB), XCAFDoc_ColorSurf)


def _from_datum(shape: TopoDS_Shape, panel: Panel) -> TopoDS_Shape:
    """Return a shape where it stands as seen from the datum; a location instead would make an assembly of the file."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform

    return BRepBuilderAPI_Transform(shape, _shifted(panel, 0.0).Transformation(), True).Shape()


def _shifted(panel: Panel, up: float) -> TopLoc_Location:
    """Return the location that brings the panel's datum to the origin, and what is ``up`` below it to its level."""
    from OCP.gp import gp_Trsf, gp_Vec
    from OCP.TopLoc import TopLoc_Location

    transform = gp_Trsf()
    transform.SetTranslation(gp_Vec(-panel.datum.x, -panel.datum.y, up))
    return TopLoc_Location(transform)


def _location(instance: Instance) -> TopLoc_Location:
    from OCP.gp import gp_Trsf
    from OCP.TopLoc import TopLoc_Location

    transform = gp_Trsf()
    transform.SetValues(*(float(v) for v in matrix(instance.placement)[:3].ravel()))
    return TopLoc_Location(transform)


def _write(document: TDocStd_Document, path: Path, date: str) -> None:
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.STEPCAFControl import STEPCAFControl_Writer
    from OCP.STEPControl import STEPControl_AsIs

    writer = STEPCAFControl_Writer()
    with whole_file(path) as temporary, _kernel_as_wanted():
        writer.Transfer(document, STEPControl_AsIs)
        if writer.Write(str(temporary)) != IFSelect_RetDone:
            raise _reason(temporary, path)
        temporary.write_text(_plain(temporary.read_text("ascii"), path.stem, date), "ascii")


def _reason(temporary: Path, path: Path) -> OSError:
    """Return why a file could not be written: as the system says it of more of the same, for the kernel does not."""
    try:
        with temporary.open("ab") as file:
            file.write(bytes(PROBE))
    except OSError as error:
        return OSError(error.errno, error.strerror, str(path))
    return OSError(errno.EIO, "the kernel could not write the STEP file", str(path))


@contextmanager
def _kernel_as_wanted() -> Iterator[None]:
    """Borrow the kernel's settings that a file depends on, and of its word on standard output."""
    from OCP.Interface import Interface_Static
    from OCP.Message import Message, Message_Gravity, Message_Printer

    printers = dict.fromkeys(Message.DefaultMessenger_s().Printers(), Message_Gravity.Message_Fail)
    with (
        borrowed(Message_Printer.GetTraceLevel, Message_Printer.SetTraceLevel, printers),
        borrowed(Interface_Static.CVal_s, Interface_Static.SetCVal_s, SETTINGS),
    ):
        yield


def _plain(text: str, name: str, date: str) -> str:
    """Return the file with a header of ours, of the date that the layout gives, everything numbered by what it says."""
    safe = re.sub(r"[^A-Za-z0-9 ._-]", "_", name)
    time = f"{date}T00:00:00" if date else NO_TIME
    header = f"FILE_DESCRIPTION(('connector panel'),'2;1');\nFILE_NAME('{safe}','{time}',(''),(''),'','dryfit','');\n"
    return canonical(text, header)
