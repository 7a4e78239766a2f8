"""What a child process that reads a stranger's file does to itself: it limits itself, and says what it cannot take."""

from __future__ import annotations

import sys
from typing import NoReturn

REFUSED = 4  # exit status of a child that says itself what is wrong with its file


def limit(memory: int, seconds: int, written: int) -> None:
    """Limit this process where the system can: addresses and what it writes (bytes), time (s); and leave no dump."""
    try:
        import resource
    except ImportError:  # not a POSIX system: the time limit that the parent keeps is all there is
        return
    wanted = {"AS": memory, "CPU": seconds, "FSIZE": written, "CORE": 0}
    for name, most in wanted.items():
        kind = getattr(resource, f"RLIMIT_{name}")
        hard = resource.getrlimit(kind)[1]
        least = most if hard == resource.RLIM_INFINITY else min(most, hard)
        try:
            resource.setrlimit(kind, (least, hard))
        except (ValueError, OSError):  # a system that knows the limit and does not keep it
            continue


def refuse(what: str) -> NoReturn:
    """End this process: what is wrong with its file is its last line on standard error."""
    print(what, file=sys.stderr)
    sys.exit(REFUSED)
