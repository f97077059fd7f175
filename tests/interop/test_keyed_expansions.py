"""An expansion run as it is opened and filled: its grade and product, and its batches."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import may
from beadwright.ledger import lots
from beadwright.plant.runs import run_named
from tests.interop.plant import Plant
from tests.interop.test_keyed_runs import CODE, MORE, OPERATOR, form, holds, opened, tell

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def yard(ground: Plant) -> Plant:
    """The ground, an expander, and a bag of each grade, in the store."""
    ground.settings += MORE
    ground.add("bead_receipts", "2,2026-09-01 08:30,B-2,88-B,,F1,400,KR")
    ground.add("bead_receipts", "3,2026-09-01 08:40,B-3,88-C,,PK1,400,KR")
    assert not import_files([ground.write()]).refused
    return ground


def test_batches_without_a_charge_fill_no_silo() -> None:
    """They would say all that the run holds, which nobody said."""
    opened()
    asked = tell("silo_filled", "4", run="E-9", silo="S2", batches="10")
    assert [one.code for one in asked.refused] == ["field_missing"]
    assert [*asked.keyed.faults] == ["charge"]
    assert holds("S2") == 0

    assert tell("silo_filled", "4", run="E-9", silo="S2", batches="10", mass="90").posted
    assert holds("S2") == 90


def test_what_a_run_would_fill_is_asked_before_it_is_opened() -> None:
    """Packaging beads into a silo of form beads: told as the run is opened."""
    run = {"run": "E-9", "expander": "EX1", "silo": "S1", "product": "FB6S"}
    fits = may(CODE, form("expansion_open", "1", **run, grade="F1"), OPERATOR)
    fault = may(CODE, form("expansion_open", "1", **run, grade="PK1"), OPERATOR)
    unknown = form("expansion_open", "1", **{**run, "product": "FB9"})

    assert fits.may, fits.faults
    assert [one.code for one in fault.faults] == ["wrong_grade_in_place"]
    assert run_named(lots.plant_number(CODE), "E-9") is None
    assert [one.code for one in unknown.faults["product"]] == ["unknown_product"]


def test_the_product_of_an_expansion_run_makes_no_mould_run_of_it() -> None:
    """It says what a cup should be; bags and silos are told of it as ever."""
    assert tell(
        "expansion_open", "1", run="E-9", expander="EX1", silo="S2", grade="F1", product="FB6S"
    ).posted
    run = run_named(lots.plant_number(CODE), "E-9")

    assert run is not None
    assert run.of_beads
    assert run.facts["product"] == "FB6S"
    assert tell("bag_opened", "2", run="E-9", bag="B-2").posted
