"""What stands in the title block of a drawing: in the layout, or in a file of the shop's that is kept once."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

from pydantic import AfterValidator

from dryfit.models.measures import Units
from dryfit.models.reading.errors import said
from dryfit.models.reading.fields import Record, Text
from dryfit.models.reading.records import read_record

DATE = re.compile(r"(\d{4}-\d{2}-\d{2})?")  # ISO 8601, as ISO 7200 asks


def _date(text: str) -> str:
    if DATE.fullmatch(text) is None:
        raise ValueError(f"{said(text)} is no date; write year, month and day: 2024-05-31")
    return text


class Titles(Record):
    """The fields of a title block that nothing else tells; what is empty stays blank on paper."""

    owner: Text = ""  # legal owner
    department: Text = ""  # responsible department
    reference: Text = ""  # technical reference
    number: Text = ""  # identification number
    creator: Text = ""
    approval: Text = ""  # approval person
    date: Annotated[Text, AfterValidator(_date)] = ""  # date of issue
    status: Text = ""  # document status
    grade: Text = ""  # temper or grade of the sheet
    legends: Text = ""  # how legends are made
    units: Units = ""  # of the drawings; empty: inches where the panel's size is given in them

    def over(self, other: Titles) -> Titles:
        """Return these fields, with those of another where they are empty."""
        return other.model_copy(update={name: value for name, value in self.model_dump().items() if value})


BLANK = Titles()


def read_titles(path: Path) -> Titles:
    """Return the fields that a shop keeps in a YAML file.

    Raises:
        InputError: with every fault of the file.
    """
    return read_record(path, Titles)[0]
