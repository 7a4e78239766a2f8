"""Reports against their published schema, by a validator that knows nothing of dryfit (JSON Schema 2020-12)."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from dryfit.generators.writers.report_json import SCHEMA, report_json
from tests.cli.test_commands import run
from tests.helpers import demo, place, report


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    schema = json.loads(run("check", "--schema").stdout)
    Draft202012Validator.check_schema(schema)
    assert schema["properties"]["schema"]["const"] == SCHEMA
    return Draft202012Validator(schema)


@pytest.fixture(scope="module")
def trouble() -> Any:
    return json.loads(report_json(demo("trouble")))


def faults(validator: Draft202012Validator, data: object) -> list[str]:
    return [f"{list(error.path)}: {error.message}" for error in validator.iter_errors(data)]


def test_reports_keep_to_the_schema(validator: Draft202012Validator, trouble: Any, tmp_path: Path) -> None:
    assert faults(validator, trouble) == []
    small = report(tmp_path, place("xlr3-socket") + "\n" + place("bnc-bush", at="[60, 0]", label="B"))
    assert faults(validator, json.loads(report_json(small))) == []


def test_the_schema_names_every_key_and_demands_it(validator: Draft202012Validator, trouble: Any) -> None:
    for way in ((), ("places", 0), ("places", 0, "hardware"), ("findings", 0)):
        for key in _at(trouble, way):
            less, more = copy.deepcopy(trouble), copy.deepcopy(trouble)
            del _at(less, way)[key]
            _at(more, way)["another"] = 1
            assert faults(validator, less), f"{way} without {key}"
            assert faults(validator, more), f"{way} with another"


def _at(data: Any, way: tuple[str | int, ...]) -> Any:
    for key in way:
        data = data[key]
    return data
