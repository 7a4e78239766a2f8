"""The user's interrupt, remembered: a native library that is just being loaded may swallow the exception."""

from __future__ import annotations

import signal
import sys
import threading
from types import FrameType

_SEEN = threading.Event()


def remember() -> None:
    """Note an interrupt from now on, besides raising ``KeyboardInterrupt`` as ever."""
    usual = signal.getsignal(signal.SIGINT) is signal.default_int_handler  # else it is ignored, or another's affair
    if usual and threading.current_thread() is threading.main_thread():  # no other may ask for signals
        signal.signal(signal.SIGINT, _interrupt)
        sys.unraisablehook = _unraisable


def _interrupt(number: int, frame: FrameType | None) -> None:
    _SEEN.set()
    raise KeyboardInterrupt


def _unraisable(told: sys.UnraisableHookArgs) -> None:
    """Say nothing of an interrupt that falls where Python cannot raise it: it is remembered."""
    if not isinstance(told.exc_value, KeyboardInterrupt):
        sys.__unraisablehook__(told)


def seen() -> bool:
    """Whether there was an interrupt."""
    return _SEEN.is_set()


def stop_if_seen() -> None:
    """Raise ``KeyboardInterrupt`` if there was one: call it before what must not follow on an interrupt."""
    if seen():
        raise KeyboardInterrupt
