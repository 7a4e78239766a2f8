"""Parts by the words people have for them: every word leads somewhere, every part is found."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.words import everyday, find, split, suggested, texts
from dryfit.models.reading.errors import InputError
from tests.helpers import job, place

PARTS = texts(load_catalogue().parts)


def test_every_everyday_word_leads_to_a_part_and_no_part_goes_without_one() -> None:
    led = {" ".join(words): find(" ".join(words), PARTS).whole for words in everyday()}
    assert [word for word, names in led.items() if not names] == []
    assert set(PARTS) == {name for names in led.values() for name in names}


def test_every_way_of_an_everyday_word_leads_to_a_part() -> None:
    ways = {way for found in everyday().values() for way in found}
    assert [way for way in ways if not find(" ".join(way), PARTS).whole] == []


@pytest.mark.parametrize(
    ("asked", "first"),
    [
        ("rj45", "8p8c-d"),
        ("ethernet", "8p8c-d"),
        ("speakers", "loudspeaker-4"),
        ("headphone", "jack-6-d"),
        ("USB C", "usb-c-d"),
        ("d-sub 25", "dsub-25"),
        ("xlr 5", "xlr5-socket"),
        ("female XLR", "xlr3-socket"),
        ("16 mm button", "button-16"),
        ("cable M20", "gland-m20"),
        ("1/4 inch jack", "jack-6-d"),
        ("wall ethernet", "keystone-8p8c"),
    ],
)
def test_words_lead_to_parts(asked: str, first: str) -> None:
    assert find(asked, PARTS).whole[0] == first


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        ("camera", {"bnc-d", "hdmi-d", "usb-d", "8p8c-d"}),
        ("mic", {"xlr3-socket", "combination-jack-forming"}),
        ("power", {"iec-c14-inlet", "mains-quarter-turn-inlet"}),
        ("network", {"8p8c-lead", "fibre-duplex-d"}),
        ("video", {"hdmi-d", "bnc-bush"}),
        ("antenna", {"bnc-d", "sma-bush", "f-bush"}),
    ],
)
def test_a_word_for_many_things_leads_to_all_of_them(asked: str, names: set[str]) -> None:
    assert names <= set(find(asked, PARTS).whole)


def test_words_that_lead_nowhere_are_told_beside_what_the_others_lead_to() -> None:
    found = find("ethernet furlong", PARTS)
    assert found.names == find("ethernet", PARTS).names
    assert (found.missed, found.whole) == (("furlong",), ())
    assert find("furlong", PARTS).names == ()


def test_a_title_of_ones_own_is_found_by_everyday_words_too() -> None:
    assert find("rj45", {"mine": "mine Sealed 8P8C socket", "other": "other Sealed lamp"}).whole == ("mine",)


def test_a_slip_of_the_pen_is_told_before_words_that_lead_only_partly() -> None:
    assert suggested("xlr3-soket", PARTS) == "xlr3-socket"
    assert suggested("ethernet connector", PARTS) == "8p8c-d, 8p8c-lead or keystone-8p8c"
    assert suggested("furlong", PARTS) == ""


def test_the_word_of_a_layout_is_answered_with_the_parts_it_may_mean(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        job(tmp_path, place("ethernet") + "\n" + place("power", label="B", at="[40, 0]"))
    lines = str(caught.value).splitlines()
    assert lines[0].endswith("expected the name of a part (did you mean 8p8c-d, 8p8c-lead or keystone-8p8c?)")
    assert lines[1].endswith("iec-c14-inlet or more: `dryfit parts --find power`?)")


def test_a_text_without_end_is_looked_at_no_further_than_people_write() -> None:
    assert len(split("ethernet " * 10_000)) < 30
