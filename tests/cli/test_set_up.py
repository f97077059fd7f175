"""The set-up sheet at the shell: each number with its trust, and what is missing."""

from __future__ import annotations

import json

from tests.cli.test_json import Asked


def test_a_sheet_says_how_far_each_number_may_be_trusted(asked: Asked) -> None:
    """Section by section, in the units that were asked for."""
    told = asked("set-up", "FB6S", "--units", "us")
    assert told.status == 0
    line = next(one for one in told.out.splitlines() if "Moulded density aimed at" in one)
    assert "lb/ft³" in line
    assert line.rstrip().endswith("exact")
    assert any("estimate" in one for one in told.out.splitlines() if "Enough air" in one)
    assert "Never enter without a confined-space permit" in told.out


def test_why_shows_formula_inputs_and_source(asked: Asked) -> None:
    """Of every number."""
    told = asked("set-up", "FB6S", "--why")
    assert "ρ = m / V" in told.out
    assert "narrower with" in told.out


def test_what_is_missing_is_named(asked: Asked) -> None:
    """Of packaging, of whose tool nobody set anything."""
    told = asked("set-up", "PKC")
    assert "not known without" in told.out


def test_a_product_that_is_none_is_misuse(asked: Asked) -> None:
    """With those that there are."""
    told = asked("set-up", "FB99")
    assert told.status == 2
    assert "FB6S" in told.err


def test_another_bead_gives_another_sheet(asked: Asked) -> None:
    """Its pentane is its own."""

    def pentane(*words: str) -> float:
        lines = json.loads(asked("set-up", "FB6S", "--json", *words).out)["lines"]
        return float(next(one["value"] for one in lines if one["key"] == "pentane_wet"))

    assert pentane() == 0.058
    assert pentane("--grade", "F2") == 0.061
