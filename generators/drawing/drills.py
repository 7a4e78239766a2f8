"""Drills for the holes of a panel: pilot and final, in the sizes that are sold."""

from __future__ import annotations

from dataclasses import dataclass

from dryfit.generators.drawing.chart import HoleKind
from dryfit.generators.drawing.contours import number
