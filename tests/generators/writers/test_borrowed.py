"""Libraries are left as they were found, and what their users set for the whole machine changes no file."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.writers.borrowed import attributes, entries
from dryfit.generators.writers.dxf import dxf_bytes
from dryfit.generators.writers.pdf import pdf_bytes
from dryfit.generators.writers.step import write_panel_step
from tests.generators.drawing.jobs import one


class Library:
    """Something with a setting."""

    level = 1


def test_a_loan_is_given_back_whatever_happens() -> None:
    seen = []

    def fail() -> None:
        with attributes(Library, level=2):
            seen.append(Library.level)
            raise OSError("disk full")

    with pytest.raises(OSError, match="disk full"):
        fail()
    assert (seen, Library.level) == ([2], 1)


def test_an_entry_that_was_not_there_is_taken_out_again() -> None:
    table = {"a": 1}
    with entries(table, {"a": 2, "b": 3}):
        assert table == {"a": 2, "b": 3}
    assert table == {"a": 1}


def test_loans_of_two_threads_do_not_mix() -> None:
    inside, seen = threading.Event(), []

    def second() -> None:
        inside.wait()
        with attributes(Library, level=3):
            seen.append(Library.level)

    thread = threading.Thread(target=second)
    thread.start()
    with attributes(Library, level=2):
        inside.set()
        thread.join(0.05)
        assert Library.level == 2
    thread.join()
    assert (seen, Library.level) == ([3], 1)


def test_the_library_of_cut_files_is_left_as_it_was() -> None:
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    dxf_bytes(one())
    assert options.write_fixed_meta_data_for_testing is before


def test_the_library_of_drawings_is_left_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics

    plain = pdf_bytes(shop_drawing(one()))
    monkeypatch.setattr(rl_config, "useA85", 0)
    before = (dict(pdfmetrics._fonts), dict(pdfmetrics._dynFaceNames))
    assert pdf_bytes(shop_drawing(one())) == plain
    assert rl_config.useA85 == 0
    assert (pdfmetrics._fonts, pdfmetrics._dynFaceNames) == before


def test_another_owner_of_the_typeface_keeps_it() -> None:
    from reportlab.pdfbase import pdfmetrics

    theirs = object()
    with entries(pdfmetrics._fonts, {"DejaVuSans": theirs}):
        pdf_bytes(shop_drawing(one()))
        assert pdfmetrics._fonts["DejaVuSans"] is theirs


def test_the_kernel_is_left_as_it_was_and_says_nothing(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    from OCP.Interface import Interface_Static
    from OCP.Message import Message
    from OCP.STEPCAFControl import STEPCAFControl_Writer

    made = one()
    write_panel_step(made.panel, made.holes(), tmp_path / "p.step", "t")
    plain = (tmp_path / "p.step").read_bytes()
    STEPCAFControl_Writer()
    theirs = {"write.step.unit": "INCH", "write.step.schema": "AP203", "write.step.assembly": "Off"}
    wanted = {name: Interface_Static.CVal_s(name) for name in theirs}
    levels = [printer.GetTraceLevel() for printer in Message.DefaultMessenger_s().Printers()]
    try:
        for name, value in theirs.items():
            Interface_Static.SetCVal_s(name, value)
        write_panel_step(made.panel, made.holes(), tmp_path / "p.step", "t")
        assert {name: Interface_Static.CVal_s(name) for name in theirs} == theirs
    finally:
        for name, value in wanted.items():
            Interface_Static.SetCVal_s(name, value)
    assert (tmp_path / "p.step").read_bytes() == plain
    assert [printer.GetTraceLevel() for printer in Message.DefaultMessenger_s().Printers()] == levels
    assert capfd.readouterr().out == ""


_PDF = """
import sys
from dryfit.generators.drawing.fabrication import shop_drawing
from dryfit.generators.writers.pdf import pdf_bytes
from tests.generators.drawing.jobs import one
sys.stdout.buffer.write(pdf_bytes(shop_drawing(one())))
"""


def test_the_time_that_builders_of_packages_set_changes_no_drawing() -> None:
    where = os.pathsep.join(path or os.getcwd() for path in sys.path)
    environment = {**os.environ, "PYTHONPATH": where, "SOURCE_DATE_EPOCH": "1234567890", "TZ": "Asia/Tokyo"}
    done = subprocess.run([sys.executable, "-c", _PDF], env=environment, capture_output=True, check=True)
    assert done.stdout == pdf_bytes(shop_drawing(one()))
