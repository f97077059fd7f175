"""Stages of a recall at the shell: recorded in order, listed with their minutes."""

from __future__ import annotations

import re

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def test_stock_that_nobody_holds_is_not_said_to_be_held(shell: Shell) -> None:
    """Refused by its code, with the command that holds it; that done, taken."""
    Yard.open().block_lot("L1", good=40)
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    shell("recall", "B-1", "--record", "smell", "--by", "EI")
    shell("recall-stage", "R-01", "scope known", "--by", "EI")
    told = shell("recall-stage", "R-01", "stock held", "--by", "EI")
    assert told.status == 1
    assert "stock_not_held" in told.err
    assert "L1" in told.err
    assert shell("hold", "B-1", "--id", "H-1", "--reason", "R-01", "--by", "EI").status == 0
    assert shell("recall-stage", "R-01", "stock held", "--by", "EI").status == 0
    assert "all of it on hold" in " ".join(shell("recalls").out.split())


def test_stages_are_recorded_and_listed(shell: Shell) -> None:
    """Started, the next stage, none out of turn, none without a person; documented JSON."""
    Yard.open().block_lot("L1", good=40)
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    assert shell("recall", "B-1", "--record", "smell", "--rehearse").status == 2
    begun = shell("recall", "B-1", "--record", "smell", "--rehearse", "--by", "EI")
    assert "recall R-01, started, by P-13" in begun.out
    assert shell("recall-stage", "R-01", "stock held", "--by", "EI").status == 2
    assert shell("recall-stage", "R-01", "scope known", "--by", "EI").status == 0
    told = " ".join(shell("recalls").out.split())

    assert "R-01, a rehearsal: smell" in told
    assert re.search(r"scope known: after \d+ s", told)
    assert "Next: stock held." in told
    assert read(shell("recalls", "--json")) == documented()["recalls"]
    assert "in scope" in shell("recall", "--of", "R-01").out
    assert shell("recall", "L1", "--of", "R-01").status == 2
