"""Test plate against something outside: coupon arithmetic by hand, spool lengths, 3MF read as the XML it is."""

from __future__ import annotations

import zipfile
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from dryfit.generators.testplate.beds import Laid
from dryfit.generators.testplate.filament import filament
from dryfit.generators.testplate.pieces import Piece, plate_piece
from dryfit.generators.writers.threemf import write_3mf
from dryfit.models.geometry.outlines import box, round_
from dryfit.models.printer import Compensation, Reading, generic_printer, learn

CORE = {"c": "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"}

# Least squares by the normal equations, with pencil and paper; the formulas for slope, its standard error and the
# residual variance are those of any statistics primer (simple linear regression, n - 2 degrees of freedom).


def test_a_line_without_scatter() -> None:
    """Losses 0.30, 0.24, 0.18, 0.12 at 4, 8, 12, 16 mm: 0.06 less every 4 mm, so measured = 1.015 x drawn - 0.36.

    A hole wanted at 10 mm is drawn at 10.36 / 1.015 = 10.2069 mm.
    """
    learned = learn([Reading(4, 3.70), Reading(8, 7.76), Reading(12, 11.82), Reading(16, 15.88)])
    assert learned.slope == pytest.approx(1.015)
    assert learned.start == pytest.approx(-0.36)
    assert 10 + learned.added(10) == pytest.approx(10.2069, abs=5e-5)


def test_a_slope_within_its_error_is_none() -> None:
    """Losses 0.22, 0.19, 0.21, 0.18 at 3, 8, 16, 24 mm.

    Mean x 12.75, mean loss 0.20; Sxx 254.75, Sxy -0.34, slope -0.001335; Syy 0.001, so the residual sum is
    0.001 - 0.34^2 / 254.75 = 0.000546, variance 0.000273, standard error of the slope 0.001035: t = 1.29, no slope.
    """
    readings = [Reading(3, 2.78), Reading(8, 7.81), Reading(16, 15.79), Reading(24, 23.82)]
    assert learn(readings).compensation() == (Compensation(hole=1, add=0.2),)


def test_a_slope_beyond_its_error_counts() -> None:
    """Losses 0.30, 0.26, 0.21, 0.14 at 3, 8, 16, 24 mm.

    Mean loss 0.2275; Sxy -1.9025, slope of the loss -0.0074681, at zero 0.2275 + 12.75 x 0.0074681 = 0.3227184.
    Drawn for 3 mm: 3.3227184 / 1.0074681 = 3.29809; for 24 mm: 24.3227184 / 1.0074681 = 24.14242.
    """
    readings = [Reading(3, 2.70), Reading(8, 7.74), Reading(16, 15.79), Reading(24, 23.86)]
    learned = learn(readings)
    assert learned.slope == pytest.approx(1.0074681, abs=5e-8)
    assert learned.start == pytest.approx(-0.3227184, abs=5e-8)
    assert learned.compensation() == (Compensation(hole=3, add=0.298), Compensation(hole=24, add=0.142))


def _block() -> Piece:
    return plate_piece("block", box(40, 25).moved(20, 12.5), (round_(10).moved(20, 12),), (), thickness=10, deep=0.4)


def test_a_kilogram_is_as_long_as_spools_say() -> None:
    """Sellers of PLA filament of 1.75 mm give 330 to 336 m for 1 kg (common practice)."""
    used = filament(_block(), generic_printer())
    assert 330 <= used.metres / used.grams * 1000 <= 336


def test_3mf_to_a_plain_xml_reader(tmp_path: Path) -> None:
    """Core specification 1.3, sections 3 and 4: vertices and triangles, counter-clockwise seen from outside."""
    path = tmp_path / "b.3mf"
    write_3mf([Laid(_block(), 0.0, 0.0)], "block", path)
    with zipfile.ZipFile(path) as package:
        root = ElementTree.fromstring(package.read("3D/3dmodel.model"))
    (mesh,) = root.iterfind(".//c:mesh", CORE)
    corners = np.array([[float(v.get(axis, "")) for axis in "xyz"] for v in mesh.iterfind(".//c:vertex", CORE)])
    faces = [[int(t.get(key, "")) for key in ("v1", "v2", "v3")] for t in mesh.iterfind(".//c:triangle", CORE)]
    assert np.ptp(corners, axis=0) == pytest.approx((40, 25, 10))
    assert (corners >= 0).all()
    a, b, c = corners[np.array(faces)].transpose(1, 0, 2)
    volume = float((a * np.cross(b, c)).sum() / 6)  # the divergence theorem; below zero if facets look inwards
    assert volume == pytest.approx(10 * (1000 - 3.14159265 * 25), abs=1.2)  # chords 0.005 mm high round the hole


def test_3mf_package_holds_what_the_core_specification_names(tmp_path: Path) -> None:
    """3MF core specification 1.3: part names, content types, relationship to the start part (section 2, appendix C)."""
    path = tmp_path / "b.3mf"
    write_3mf([Laid(_block(), 0.0, 0.0)], "block", path)
    with zipfile.ZipFile(path) as package:
        assert package.namelist() == ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]
        texts = [package.read(name).decode() for name in package.namelist()]
        assert {info.date_time for info in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert 'ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"' in texts[0]
    assert 'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"' in texts[1]
    assert 'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"' in texts[2]
    assert 'unit="millimeter"' in texts[2]
