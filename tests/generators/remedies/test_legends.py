"""Shorter legends: what is proposed, by hand."""

from __future__ import annotations

from pathlib import Path

from dryfit.generators.remedies.legends import pattern_of, shortened
from dryfit.models.edits import Edit
from tests.generators.remedies.proposals import proposed, short
from tests.plain import asked, at


def test_words_are_cut_shorter_then_left_out() -> None:
    assert list(shortened("MONITOR RETURN")) == ["MONITO RETURN", "MONI RETU", "MON RET", "MON"]
    assert list(shortened("GUEST 1")) == ["GUES 1", "GUE 1", "1"]
    assert list(shortened("MIC LINE {n}")) == ["MIC LIN {n}", "MIC {n}", "{n}"]
    assert list(shortened("IN")) == []
    assert list(shortened("AUX IN")) == ["AUX"]


def test_signs_that_cannot_be_drawn_are_left_out_first() -> None:
    assert next(shortened("IN\u2603 A", "\u2603")) == "IN A"
    assert list(shortened("\u2603", "\u2603")) == []
    assert next(shortened("  AB   CD ", "")) == "AB CD"


def test_a_row_that_counts_has_its_number_in_common() -> None:
    assert pattern_of(("IN 1", "IN 2", "IN 3")) == ("IN {n}", 1)
    assert pattern_of(("IN 7", "IN 8")) == ("IN {n}", 7)
    assert pattern_of(("2 IN 7", "2 IN 8")) == ("2 IN {n}", 7)
    assert pattern_of(("IN 1", "IN 3")) == ("IN 1", 0)
    assert pattern_of(("IN 1",)) == ("IN 1", 0)
    assert pattern_of(("IN", "IN")) == ("IN", 0)


def test_a_row_of_legends_is_shortened_as_one_and_told_as_this_one_reads(tmp_path: Path) -> None:
    of = asked(tmp_path, at(-50, count="3", pitch="50", label="'A {n}'", first="5", legend="'MONITOR {n}'"))
    found = proposed("shorter legend", of, short(1, of.job.places[1].name))
    assert found[0].edits == (Edit(0, ("legend",), "MONITO {n}"),)
    assert found[0].says == 'Shorten its legend to "MONITO 6", or to another text that is no wider.'
