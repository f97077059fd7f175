"""The page that says how far lots can be believed to conform, and at what risk they are judged."""

from __future__ import annotations

import html
import re

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.access import Role
from beadwright.plant.conformity import chance_said, conformity
from tests.plant.asking import block
from tests.plant.test_conformity import DENSITIES
from tests.plant.yard import Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


def words(answer: object) -> str:
    """What a page says, in one line."""
    text = html.unescape(getattr(answer, "content", b"").decode())
    return " ".join(re.sub(r"<[^>]*>", " ", text).split())


@pytest.fixture
def blocks(yard: Yard) -> Yard:
    """Twelve blocks of one lot, read with a known uncertainty, under a guard band."""
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.set("decision", "rule", acceptance="guarded", k="2")
    yard.block_lot("L7")
    yard.read([
        Reading("block_mass_24h", f"{block(one):.6f}", "kg", lot="L7", specimen=f"D{n}",
                uncertainty="0.013", facts={"state": "24h", "age_h": "26"})
        for n, one in enumerate(DENSITIES)
    ], at=60)  # fmt: skip
    return yard


def test_the_risks_of_the_plants_rule_are_shown(blocks: Yard, as_: SignIn) -> None:
    """The same figures that the question gives, with the lot and its chance; for an auditor too."""
    (one,) = conformity(blocks.no, "FB6", "density", ms(70)).limits
    assert one.spread is not None
    shown = words(as_(Role.AUDITOR).get("/products/FB6/conformity/"))

    risks = one.spread.risks
    assert f"Consumer's risk: beyond it, and accepted {chance_said(risks.consumer)}" in shown
    assert f"Producer's risk: within it, and rejected {chance_said(risks.producer)}" in shown
    assert "Spread of 12 pieces" in shown
    assert f"L7 {one.lots[0].result.value}" in shown
    assert "A guide inside the plant, on no paper." in shown


def test_what_cannot_be_told_says_why(blocks: Yard, as_: SignIn) -> None:
    """A limit without readings; a characteristic without limits, and a product that is none."""
    blocks.limit("LEN", "length", "min", "1.19 m")
    browser = as_(Role.ENGINEER)
    shown = words(browser.get("/products/FB6/conformity/", {"of": "length"}))

    assert "No risk is told: 0 figures; 10 are needed to tell a spread." in shown
    assert browser.get("/products/FB6/conformity/", {"of": "width"}).status_code == 404
    assert browser.get("/products/NONE/conformity/").status_code == 404


def test_an_uncertainty_is_asked_by_hand(blocks: Yard, as_: SignIn) -> None:
    """What if; one that is none stands at its field, and the page shows what is known."""
    browser = as_(Role.ENGINEER)
    (one,) = conformity(blocks.no, "FB6", "density", ms(70), "0.5 kg/m3").limits
    chance = one.lots[0].chance
    assert chance is not None

    shown = words(browser.get("/products/FB6/conformity/", {"u": "0.5 kg/m3"}))
    wrong = words(browser.get("/products/FB6/conformity/", {"u": "1 m"}))

    assert "as if each piece had been read with a standard uncertainty of 0.5 kg/m3" in shown
    assert f"not met {chance_said(chance)}" in shown
    assert "'1 m' is no standard uncertainty of density" in wrong
    assert "What if:" not in wrong
