"""A paper states the decision rule; how probable it is that a lot conforms stands on none."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.decision_rule import DecisionRule
from beadwright.plant.opening import open_plant
from beadwright.reports.issued import issued
from beadwright.reports.rule_words import rule_said
from beadwright.reports.visit.content import content
from tests.plant.asking import block, the_lot
from tests.plant.yard import DAY, T0, Yard
from tests.reports.issuing import AUDITOR, Office

NOW = T0 + 60 * DAY


def office(*, guarded: bool) -> Office:
    """A plant with a lot far inside its limit, weighed with a scale of known uncertainty."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    if guarded:
        yard.set("decision", "rule", acceptance="guarded", k="1.64")
    yard.block_lot("L1")
    readings = [
        Reading("block_mass_24h", f"{block(density):.4f}", "kg", lot="L1", specimen=f"D{n}",
                uncertainty="0.01", facts={"state": "24h", "age_h": "26"})
        for n, density in enumerate((23.0, 23.1), 1)
    ]  # fmt: skip
    yard.read(readings, at=60)
    return Office(yard)


@pytest.mark.django_db
@pytest.mark.parametrize("guarded", [False, True])
def test_certificate_and_visit_file_state_the_rule(*, guarded: bool) -> None:
    """In the words of the standards, with the guard band where there is one."""
    asked = office(guarded=guarded)
    asked.released()
    (one,) = issued(asked.plant.no)
    visit = content(open_plant("P1"), date(2026, 9, 1), ("L1",), AUDITOR, (NOW, "a4"))

    said = str(one.content["rule"])
    name = "guarded acceptance" if guarded else "simple acceptance"
    assert said.startswith(f"Decision rule: {name} (JCGM 106:2012")
    assert ("guard band of 1.64 u" in said) is guarded
    assert ("does not enter the comparison" in said) is not guarded
    (part,) = [part for part in visit.parts if part.title.startswith("Lot L1")]
    assert dict(part.facts)["Decision rule"] == the_lot(asked.yard).decision_rule


@pytest.mark.django_db
def test_no_paper_tells_a_probability() -> None:
    """It guides the people of the plant; a receiver would take it for a certificate's word."""
    asked = office(guarded=True)
    asked.released()
    (one,) = issued(asked.plant.no)
    visit = content(open_plant("P1"), date(2026, 9, 1), ("L1",), AUDITOR, (NOW, "a4"))

    for text in (one.text, visit.text):
        assert json.loads(text)
        assert "probab" not in text.casefold()
        assert "consumer" not in text.casefold()


def test_a_paper_on_limits_of_two_rules_says_which_goes_by_which() -> None:
    """What is counted goes without a band whatever the rule."""
    rule = DecisionRule("guarded", Decimal(2), stated=True)
    limits = [
        LimitInForce("A", "density", rule=rule),
        LimitInForce("B", "width", rule=DecisionRule(stated=True)),
        LimitInForce("C", "share_defective", rule=rule),
    ]
    said = rule_said(limits)

    assert said.startswith("Decision rule: Of density: guarded acceptance")
    assert "Of width, share defective: simple acceptance" in said
