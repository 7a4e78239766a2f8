"""Metals in contact against the published anodic index and its guideline."""

from __future__ import annotations

import pytest

from dryfit.models.tables.metals import environments, metals
from dryfit.models.tables.panels import materials

# Anodic index in V below gold, as public handbooks reproduce it after the U.S. Army's practical galvanic series (1967):
# nickel 0.30; high brasses 0.45; 18 % chromium corrosion-resistant steels 0.50; plain carbon and low-alloy steels 0.85;
# wrought aluminium alloys but for the 2000 series 0.90; wrought zinc and zinc plate 1.25.
PUBLISHED = {
    "nickel": 0.30, "plated zinc": 0.30, "brass": 0.45, "stainless": 0.50, "steel": 0.85, "aluminium": 0.90,
    "zinc": 1.25,
}  # fmt: skip


@pytest.mark.parametrize(("name", "index"), PUBLISHED.items())
def test_anodic_index(name: str, index: float) -> None:
    assert metals()[name].anodic_index == index


@pytest.mark.parametrize("name", ["steel", "stainless", "brass", "aluminium"])
def test_panels_have_the_index_of_their_metal(name: str) -> None:
    assert materials()[name].anodic_index == PUBLISHED[name]


def test_no_metal_is_left_unchecked() -> None:
    assert set(metals()) == set(PUBLISHED)


# The guideline that goes with the index: 0.15 V outdoors and in salt, 0.25 V in stores without control of temperature
# and humidity, 0.50 V where both are controlled.
@pytest.mark.parametrize(("name", "apart"), [("salt air", 0.15), ("damp", 0.25), ("indoor", 0.50)])
def test_guideline(name: str, apart: float) -> None:
    assert environments()[name].apart == apart


# Proof stress: ISO 898-1 class 4.8: 310 MPa; 0.2 % proof stress of ISO 3506-1 A2-50: 210 MPa (both from memory).
@pytest.mark.parametrize(("name", "proof"), [("steel", 310), ("zinc", 310), ("stainless", 210)])
def test_proof_stress(name: str, proof: float) -> None:
    assert metals()[name].proof == proof
