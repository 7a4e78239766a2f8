"""Values that are hashed once: those that key caches are looked up again and again, and hold others many deep."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

Class = TypeVar("Class", bound=type)

_KEPT = "_hash"


def hashed_once(cls: Class) -> Class:
    """Have a frozen class remember the hash of each instance; a copy in another process makes its own."""
    plain: Callable[..., int] = cls.__hash__

    def __hash__(self: Any) -> int:
        kept = self.__dict__.get(_KEPT)
        if kept is None:
            kept = self.__dict__[_KEPT] = plain(self)
        return int(kept)

    def __getstate__(self: Any) -> dict[str, Any]:
        return {name: value for name, value in self.__dict__.items() if name != _KEPT}

    setattr(cls, "__hash__", __hash__)  # noqa: B010  # by name: type checkers forbid the assignment
    setattr(cls, "__getstate__", __getstate__)  # noqa: B010
    return cls
