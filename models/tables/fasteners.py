"""Screws, nuts, washers, rivets and drills under one name: what the modules beside this one hold.

All lengths mm. Sizes are at their largest (heads, nuts, washers) unless a name says ``_min``, because the largest is
what has to fit. Each row carries its standard, its source and how far that source can be trusted.
"""

from __future__ import annotations

from dryfit.models.tables.drills import Drill, drills, next_drill_at_least
from dryfit.models.tables.heads import Head, heads
from dryfit.models.tables.nuts import Driver, Nut, NutKind, drivers, nut_kinds, nuts
from dryfit.models.tables.retention import Retention, RetentionWay, retention_ways, retentions, usual
from dryfit.models.tables.rivets import Rivet, rivets
from dryfit.models.tables.screws import RIVET, RackScrew, Screw, length_name, rack_screws, riveted, sold_lengths
from dryfit.models.tables.threads import (
    Clearance,
    FormingScrew,
    Thread,
    clearances,
    forming_screws,
    lengths,
    thread,
    threads,
)
from dryfit.models.tables.tolerances import length_limits
from dryfit.models.tables.washers import Washer, WasherKind, washer_kinds, washers

__all__ = [
    "RIVET",
    "Clearance",
    "Drill",
    "Driver",
    "FormingScrew",
    "Head",
    "Nut",
    "NutKind",
    "RackScrew",
    "Retention",
    "RetentionWay",
    "Rivet",
    "Screw",
    "Thread",
    "Washer",
    "WasherKind",
    "clearances",
    "drills",
    "drivers",
    "forming_screws",
    "heads",
    "length_limits",
    "length_name",
    "lengths",
    "next_drill_at_least",
    "nut_kinds",
    "nuts",
    "rack_screws",
    "retention_ways",
    "retentions",
    "riveted",
    "rivets",
    "sold_lengths",
    "thread",
    "threads",
    "usual",
    "washer_kinds",
    "washers",
]
