"""``dryfit explain``, as a person calls it."""

from __future__ import annotations

from click.testing import CliRunner

from dryfit.cli.explain import explain


def test_a_key_is_told_with_an_example() -> None:
    told = CliRunner().invoke(explain, ["depth"]).output
    assert told.splitlines() == [
        "panel.depth  Free depth behind the panel; of a wall plate, if not said, that of its shallowest usual box.",
        " " * 15 + "depth: 150 mm",
    ]


def test_an_unknown_key_names_the_nearest() -> None:
    found = CliRunner().invoke(explain, ["pich"]).exception
    assert "did you mean pitch?" in str(found)
