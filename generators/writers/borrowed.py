"""Settings of libraries, which are of the whole process: changed while a file is written, and put back after it."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Mapping, MutableMapping
from contextlib import AbstractContextManager, contextmanager
from functools import partial
from typing import Any, TypeVar

K = TypeVar("K")
_ONE_AT_A_TIME = threading.RLock()  # else a second thread would take the first one's settings for those to put back


@contextmanager
def borrowed(get: Callable[[K], Any], put: Callable[[K, Any], object], settings: Mapping[K, Any]) -> Iterator[None]:
    """Change settings that a library reads by ``get`` and takes by ``put``; put back what was, whatever happens."""
    with _ONE_AT_A_TIME:
        kept = {name: get(name) for name in settings}
        try:
            for name, value in settings.items():
                put(name, value)
            yield
        finally:
            for name, value in kept.items():
                put(name, value)


def attributes(owner: object, **settings: object) -> AbstractContextManager[None]:
    """Return the loan of attributes of a library's object."""
    return borrowed(partial(getattr, owner), partial(setattr, owner), settings)


def entries(table: MutableMapping[K, Any], settings: Mapping[K, Any]) -> AbstractContextManager[None]:
    """Return the loan of entries of a table (None: there is none); one that was not there is taken out again."""

    def put(name: K, value: object) -> None:
        if value is None:
            table.pop(name, None)
        else:
            table[name] = value

    return borrowed(table.get, put, settings)
