"""What is worked out once for a value that never changes: its hash, and properties that follow from it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar

Class = TypeVar("Class", bound=type)
Value = TypeVar("Value")


class kept(Generic[Value]):
    """A property that is worked out once for each instance: as functools has it, without a lock, which costs most."""

    def __init__(self, work: Callable[[Any], Value]):
        self._work, self.__doc__ = work, work.__doc__

    def __get__(self, instance: Any, owner: type) -> Value:
        """Return the value; it is kept in the instance, where it is found before this is asked again."""
        if instance is None:
            return self  # type: ignore[return-value]  # asked of the class, for its docstring
        found = instance.__dict__[self._work.__name__] = self._work(instance)
        return found


_KEPT = "_hash"


def hashed_once(cls: Class) -> Class:
    """Have a frozen class remember the hash of each instance; a copy in another process makes its own.

    Classes that are hashed often key caches: they are looked up again and again, and hold others many deep.
    """
    plain: Callable[..., int] = cls.__hash__

    def __hash__(self: Any) -> int:
        known = self.__dict__.get(_KEPT)
        if known is None:
            known = self.__dict__[_KEPT] = plain(self)
        return int(known)

    def __getstate__(self: Any) -> dict[str, Any]:
        return {name: value for name, value in self.__dict__.items() if name != _KEPT}

    setattr(cls, "__hash__", __hash__)  # noqa: B010  # by name: type checkers forbid the assignment
    setattr(cls, "__getstate__", __getstate__)  # noqa: B010
    return cls
