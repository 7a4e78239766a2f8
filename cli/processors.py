"""How many processes a command works in, where nobody says."""

from __future__ import annotations

import os


def usable() -> int:
    """Return the number of processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
