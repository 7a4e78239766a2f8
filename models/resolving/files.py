"""The files that a layout names: part files, prices, a drawer, a typeface; the digest of all that is read."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import TypeVar

from dryfit.models.catalogue.part_files import Catalogue
from dryfit.models.catalogue.shelf import shelf_files
from dryfit.models.catalogue.solids import SolidFile
from dryfit.models.drawer import Drawer, all_prices, read_drawer
from dryfit.models.job import Job, Place
from dryfit.models.layout import LayoutFile
from dryfit.models.prices import Price, read_prices
from dryfit.models.reading.errors import InputError, quote
from dryfit.models.reading.yamlfile import KeyPath
from dryfit.models.resolving.faults import Faults
from dryfit.models.wishes.hardware import Hardware

Read = TypeVar("Read")

FONT_FILES = (b"\0\1\0\0", b"true", b"OTTO")  # how TrueType and OpenType files begin (OpenType specification)


def files_beside(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the other files that a job is read from: part files, prices, drawer and font of a layout, and the shelf's.

    Raises:
        InputError: if a part file lies outside the layout's folder.
    """
    return (*_own_files(layout_file), *shelf_files())


def digest(layout_file: LayoutFile, job: Job) -> str:
    """Return the SHA-256 of all that a job was read from, one file after the other; of the shelf what is in use."""
    whole = sha256(layout_file.text.encode())
    kept = dict.fromkeys(path for one in job.kept for path in one.files)
    for path in (*_own_files(layout_file), *kept, *(one.path for one in job.solids.values())):
        whole.update(path.read_bytes())
    return whole.hexdigest()


def part_files(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the part files a layout names.

    Raises:
        InputError: if one lies outside the layout's folder.
    """
    faults = Faults(layout_file)
    names = enumerate(layout_file.layout.parts)
    found = [_noted(("parts", number), "part file", name, faults) for number, name in names]
    faults.stop()
    return tuple(path for path in found if path is not None)


def drawer_at_hand(wish: Hardware, faults: Faults) -> Drawer | None:
    """Return the drawer that was given for a layout, or the one that it names, if any."""
    if faults.file.drawer is None:
        return _named_file(("hardware", "drawer"), "drawer", wish.drawer, read_drawer, faults)
    return _read(faults.file.drawer, read_drawer, faults)


def prices_known(wish: Hardware, drawer: Drawer | None, faults: Faults) -> tuple[Price, ...]:
    """Return the prices of the file that a layout names and those of its drawer; note where currencies differ."""
    listed = _named_file(("hardware", "prices"), "price file", wish.prices, read_prices, faults) or ()
    known = all_prices(listed, drawer)
    if len({price.currency for price in known}) > 1:
        what = f"the prices are in {listed[0].currency}, those of the drawer in {known[-1].currency}"
        faults.note(("hardware", "prices"), what, "one currency")
    return known


def legend_font(name: str, faults: Faults) -> str:
    """Return the path of the typeface for legends; empty where none is named."""
    path = _noted(("legend_font",), "font file", name, faults) if name else None
    if path is None:
        return ""
    if not path.is_file() or path.read_bytes()[:4] not in FONT_FILES:
        faults.note(("legend_font",), f"{quote(name)} is no font file", "a TrueType or OpenType file, .ttf or .otf")
    return str(path)


def solids_of(places: Iterable[Place], catalogue: Catalogue, faults: Faults) -> dict[str, SolidFile]:
    """Return the solids of the parts in use, by kind; note those that are not there or are none."""
    kinds = dict.fromkeys(place.kind for place in places)
    found = {kind: catalogue.solids[kind] for kind in kinds if kind in catalogue.solids}
    faults.found.extend(fault for one in found.values() if (fault := one.fault) is not None)
    return found


def _own_files(layout_file: LayoutFile) -> tuple[Path, ...]:
    """Return the part files that a layout names, then its prices, its drawer and its font."""
    hardware = layout_file.layout.hardware
    drawer = layout_file.drawer or _named(layout_file, hardware.drawer)
    files = (_named(layout_file, hardware.prices), drawer, _font(layout_file))
    return (*part_files(layout_file), *(path for path in files if path is not None))


def _font(layout_file: LayoutFile) -> Path | None:
    """Return the font file of a layout, if it names one that is there."""
    path = _named(layout_file, layout_file.layout.legend_font)
    return path if path is not None and path.is_file() else None


def _named(layout_file: LayoutFile, name: str) -> Path | None:
    """Return the path of a file that a layout may name; None if it names none, or one outside the layout's folder."""
    return _beside(layout_file, name) if name else None


def _beside(layout_file: LayoutFile, name: str) -> Path | None:
    """Return the path of a file that a layout names, or None if it lies outside the layout's folder."""
    folder = Path(os.path.realpath(layout_file.path)).parent
    path = folder / name
    if "\\" in name or "\0" in name or PurePosixPath(name).is_absolute():
        return None
    return path if Path(os.path.realpath(path)).is_relative_to(folder) else None


def _noted(key: KeyPath, what: str, name: str, faults: Faults) -> Path | None:
    """Return the path of a file that a layout names; note one that lies outside the layout's folder."""
    path = _beside(faults.file, name)
    if path is None:
        says = f"the {what} {quote(name)} lies outside the layout's folder"
        faults.note(key, says, "a file in or below that folder")
    return path


def _named_file(key: KeyPath, what: str, name: str, read: Callable[[Path], Read], faults: Faults) -> Read | None:
    """Return what is in a file that the layout names beside itself; None where there is none, or it is wrong."""
    path = _noted(key, what, name, faults) if name else None
    return None if path is None else _read(path, read, faults)


def _read(path: Path, read: Callable[[Path], Read], faults: Faults) -> Read | None:
    try:
        return read(path)
    except InputError as error:
        faults.found.extend(error.faults)
        return None
