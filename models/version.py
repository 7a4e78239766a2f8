"""Which dryfit this is."""

from __future__ import annotations

from functools import cache
from importlib import metadata


@cache
def version() -> str:
    """Return the version that is installed: every file that a program reads carries it."""
    return metadata.version("dryfit")
