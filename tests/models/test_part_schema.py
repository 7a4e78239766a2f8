"""The schema of part files: it takes what dryfit takes, and offers every name."""

from __future__ import annotations

from pathlib import Path

import pytest
from jsonschema import Draft7Validator, ValidationError, validate

from dryfit.models.catalogue.part_files import load_catalogue
from dryfit.models.catalogue.templates import KINDS, part_file
from dryfit.models.part_schema import part_schema
from dryfit.models.reading.datafiles import DATA
from dryfit.models.reading.yamlfile import load

CATALOGUE = load_catalogue()
SCHEMA = part_schema(CATALOGUE)
OURS = [path for folder in ("parts", "details") for path in sorted((DATA / folder).iterdir())]


def test_every_file_of_the_catalogue_and_to_begin_with_is_taken() -> None:
    Draft7Validator.check_schema(SCHEMA)
    texts = [path.read_text(encoding="utf-8") for path in (*OURS, DATA / "patterns.yaml")]
    for text in (*texts, *(part_file(kind, Path("mine.yaml"))[0] for kind in KINDS)):
        validate(load("file", text)[0], SCHEMA)


@pytest.mark.parametrize(
    "wrong",
    [{"part": {}}, {"parts": {"x": {"flang": {}}}}, {"parts": {"x": {"bush": {"across": 3}}}}, {"plugs": {"x": 3}}],
)
def test_keys_that_are_none_are_marked(wrong: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        validate(wrong, SCHEMA)


def test_editors_are_offered_names_and_told_what_is_measured() -> None:
    records = SCHEMA["$defs"]
    assert records["Part"]["properties"]["like"]["anyOf"][0]["anyOf"][0]["enum"] == [*CATALOGUE.parts]
    assert records["Pattern"]["properties"]["like"]["anyOf"][0]["anyOf"][0]["enum"] == [*CATALOGUE.patterns]
    thick = records["Flange"]["properties"]["thick"]["anyOf"][0]["description"]
    assert thick.startswith("the flange, thickness: outside jaws")
