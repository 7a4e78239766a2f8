"""Hole patterns of pre-punched blank panels: a record of ``data/patterns.yaml``, or of a part file of a user's own."""

from __future__ import annotations

from dryfit.models.reading.fields import Length, PositiveLength, Record


class Pattern(Record):
    """A pre-punched pattern: main hole, and two fixing holes ``across`` and ``up`` apart on a diagonal."""

    hole: PositiveLength
    fixings: PositiveLength
    across: Length
    up: Length
    mirror: bool = False
