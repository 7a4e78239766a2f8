"""Screws, nuts and washers by name: every designation and what people write, nothing that could mean two things."""

from __future__ import annotations

from typing import get_args

import pytest

from dryfit.models.reading.errors import UnknownName
from dryfit.models.tables.articles import METALS, articles, named, short, understood
from dryfit.models.wishes.hardware import Metal

M3_PAN, M3_FLAT = "Pan head screw ISO 7045 - M3 x 10 - H", "Countersunk flat head screw ISO 7046-1 - M3 x 10 - H"
LOCKING = "Prevailing torque type hexagon nut"


def test_every_designation_names_its_article_whatever_the_case() -> None:
    for name in articles():
        assert named(name).name == name
        assert named(f"{name.upper()},  stainless").name == f"{name}, stainless"


def test_every_short_name_names_an_article_of_that_short_name() -> None:
    for article in articles().values():
        assert short(named(short(article)).article) == short(article)


@pytest.mark.parametrize(
    ("written", "means"),
    [
        ("M3x10 pan", M3_PAN),
        ("m3 × 10 mm pan head screws", M3_PAN),
        ("ISO 7045 M3x10", M3_PAN),
        ("M3 x 10 csk", M3_FLAT),
        ("M3 x 10 flat head machine screw", M3_FLAT),
        ("M3 x 10 countersunk stainless", f"{M3_FLAT}, stainless"),
        ("M3 x 10 slotted csk", "Slotted countersunk flat head screw ISO 2009 - M3 x 10"),
        ("M3 x 8 hex socket button", "Hexagon socket button head screw ISO 7380-1 - M3 x 8"),
        ("#4-40 x 3/8 pan", "4-40 x 3/8 type I cross recessed pan head machine screw, ASME B18.6.3"),
        ('No. 6-32 x 1/2" oval', "6-32 x 1/2 type I cross recessed oval countersunk head machine screw, ASME B18.6.3"),
        ("6-32 x 1 1/4 in pan", "6-32 x 1 1/4 type I cross recessed pan head machine screw, ASME B18.6.3"),
        ("4-40 x 9.525 mm pan", "4-40 x 3/8 type I cross recessed pan head machine screw, ASME B18.6.3"),
        ("M3 nut", "Hexagon nut ISO 4032 - M3"),
        ("M3 jam nuts", "Hexagon thin nut ISO 4035 - M3"),
        ("M3 nylon insert lock nut", f"{LOCKING} ISO 7040 - M3"),
        ("DIN 985 M3", f"{LOCKING} DIN 985 - M3"),
        ("M3 tooth washer nut", "Hexagon nut with captive tooth washer M3"),
        ("M3 toothed washer", "Toothed lock washer DIN 6797 - J 3.2"),
        ("M3 external tooth washer", "Toothed lock washer DIN 6797 - A 3.2"),
        ("M3 spring washers", "Spring lock washer DIN 127 - B 3"),
        ("No. 4 flat washer", "No. 4 type B narrow plain washer, ASME B18.21.1"),
    ],
)
def test_people_write_it_so(written: str, means: str) -> None:
    assert named(written).name == means


@pytest.mark.parametrize(
    "written",
    [
        "M3 x 10", "M3 x 10 screw", "M3 x 7 pan", "M3 x 10 pan button", "M3 x 10 pan nut", "M3 washer",
        "M3 lock washer", "M3", "10 pan", "M3 x 10 pan red", "M3 plain nut", "M3 nut washer", "3 nut", "",
        "M3 x 10 pan DIN 985",
    ],
)  # fmt: skip
def test_what_is_no_name_or_could_mean_two_things_is_refused(written: str) -> None:
    assert understood(written) is None
    with pytest.raises(UnknownName):
        named(written)


def test_the_metals_are_those_of_a_layout() -> None:
    assert get_args(get_args(Metal)[0]) == METALS
