"""What is worked out once: kept properties and remembered hashes, and what of them goes to another process."""

from __future__ import annotations

import pickle
from dataclasses import dataclass, replace

from dryfit.models.geometry.once import hashed_once, kept

ASKED: list[str] = []


@hashed_once
@dataclass(frozen=True)
class Named:
    """A value that notes how often it is worked on."""

    name: str

    @kept
    def shout(self) -> str:
        """The name, aloud."""
        ASKED.append(self.name)
        return self.name.upper()


def test_a_kept_property_is_worked_out_once_for_each_instance() -> None:
    ASKED.clear()
    one, other = Named("a"), Named("b")
    assert (one.shout, one.shout, other.shout, one.shout) == ("A", "A", "B", "A")
    assert ASKED == ["a", "b"]
    assert replace(one, name="c").shout == "C"


def test_a_kept_property_asked_of_its_class_is_itself_with_its_docstring() -> None:
    assert isinstance(Named.__dict__["shout"], kept)
    of_class: object = Named.shout
    assert of_class is Named.__dict__["shout"]
    assert of_class.__doc__ == "The name, aloud."


def test_a_hash_is_remembered_and_left_behind_when_a_value_is_sent_away() -> None:
    one = Named("a")
    assert hash(one) == hash(Named("a")) != hash(Named("b"))
    assert one.__dict__["_hash"] == hash(one)
    one.__dict__["_hash"] = 12345
    assert hash(one) == 12345
    assert one.shout == "A"
    there = pickle.loads(pickle.dumps(one))
    assert there == one
    assert "_hash" not in there.__dict__
    assert there.__dict__["shout"] == "A"
    assert hash(there) == hash(Named("a"))
