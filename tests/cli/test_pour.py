"""A pour at the shell: rate and lift to discuss, or none and why; the caution beside them."""

from __future__ import annotations

import json
import re

from tests.cli.test_json import Asked

SAID = (
    "--height", "9 ft", "--rate", "5 ft/h", "--density", "150 lb/ft3", "--slump", "6 in",
    "--temperature", "60 °F", "--vibration", "3 ft", "--binder", "plain", "--retarder", "no",
    "--unbroken", "yes", "--placed", "top",
)  # fmt: skip


def test_a_rate_is_lowered_and_never_raised(asked: Asked) -> None:
    """By the weakest lot of the demonstration; with its caution."""
    told = asked("pour", "FB6S", *SAID, "--factor", "1.5", "--units", "us")
    assert told.status == 0
    text = " ".join(told.out.split())
    rate = re.search(r"Rate to discuss: at most ([\d.]+) ft/h, below the manual's 5.00 ft/h", text)
    assert rate is not None
    assert 0 < float(rate.group(1)) < 5
    assert "May only lower the installation manual's rate, never raise it." in text
    assert "engineer of record" in text
    strong = json.loads(asked("pour", "FB6S", *SAID, "--factor", "1", "--json").out)
    assert strong["lots"][0]["answer"]["rate_m_s"] == strong["asked"]["manual_m_s"]


def test_where_there_is_no_rate_it_says_none(asked: Asked) -> None:
    """In metric units too, with a lift rounded down; never a rate of nothing."""
    told = asked("pour", "FB6S", *SAID, "--factor", "2")
    text = " ".join(told.out.split())
    assert "Rate to discuss: none. The least pressure" in text
    assert re.search(r"Rate to discuss, at most none estimate", text)
    assert not re.search(r"[^\d.]0 m/h", text)


def test_why_shows_formula_inputs_and_source(asked: Asked) -> None:
    """Of every number, and what was taken at its worst."""
    told = asked("pour", "FB6S", "--height", "9 ft", "--rate", "4 ft/h", "--factor", "2", "--why")
    text = " ".join(told.out.split())
    assert "p = S / F * t² / (6 c L²)" in text
    assert "nobody said it: taken at its worst" in text
    assert "Nobody said, so taken at its worst: Density of fresh concrete" in text


def test_what_cannot_be_read_is_misuse(asked: Asked) -> None:
    """Every fault at once, by its word; a product that is none; a lot of another."""
    told = asked("pour", "FB6S", "--height", "9", "--rate", "fast", "--binder", "glue")
    assert told.status == 2
    text = " ".join(told.err.split())
    assert all(word in text for word in ("height:", "rate:", "binder:", "plain, blended, high"))
    assert asked("pour", "PKC").status == 2
    assert asked("pour", "FB6S", "L99-999").status == 2


def test_a_lot_without_a_test_has_none(asked: Asked) -> None:
    """Its density's estimate never stands in."""
    told = asked("pour", "FB6S", "L1-002", *SAID, "--factor", "2")
    assert told.status == 0
    assert "No figure: L1-002:" in told.out
