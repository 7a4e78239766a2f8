"""A small part of what ``tests/fuzz.py`` tries: files with small disasters are taken or refused, never break us."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dryfit.models.reading.errors import DryfitError
from dryfit.models.resolve import parse_job
from tests.fuzz import ODD, SEED, broken, kinds, mutated

PLAIN = st.none() | st.booleans() | st.integers(-1000, 1000) | st.floats() | st.text(max_size=8) | st.sampled_from(ODD)
KEYS = st.sampled_from(
    ["title", "panel", "places", "hardware", "part", "at", "label", "count", "pitch", "rack_units", "thickness", "size",
     "cutout", "screw", "length", "lip", "corner", "legend", "turn", "mount", "notes", "parts", "prices", "threads"]
)  # fmt: skip
DATA = st.recursive(PLAIN, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=6))


@pytest.mark.parametrize("word", kinds())
def test_files_with_small_disasters_are_taken_or_refused(word: str, tmp_path: Path) -> None:
    kind = kinds()[word]
    assert [told for number in range(200) for told in broken(kind, tmp_path, f"{SEED}/{word}/{number}")] == []


def test_a_disaster_is_the_same_for_the_same_seed() -> None:
    text = kinds()["layout"].examples[0]
    assert mutated(text, "1") == mutated(text, "1") != mutated(text, "2")


@settings(max_examples=200, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(DATA)
def test_no_data_of_any_shape_breaks_the_reader(data: object) -> None:
    import yaml

    text = yaml.safe_dump({"title": "T", "panel": data, "places": [{"part": "xlr3-socket", "at": [0, 0]}]})
    for layout in (text, yaml.safe_dump(data, allow_unicode=True)):
        with suppress(DryfitError):
            parse_job(Path("x.yaml"), layout)
