"""A plan in plant.toml reaches the record as the manual writes it; slips are named."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from beadwright.interop.importing import import_files
from beadwright.ledger import lots, settings
from beadwright.plant.plan import Planbook
from tests.house.tree import ROOT
from tests.interop.plant import PLANT, Plant

MANUAL = "\n".join(
    re.findall(r"```toml\n(.*?)```", (ROOT / "docs" / "evidence.md").read_text("utf-8"), re.DOTALL)
)
"""Every setting that the page on evidence shows."""


@pytest.mark.django_db
def test_the_manual_s_plan_is_taken_as_it_stands(tmp_path: Path) -> None:
    """Row and instrument, with what they say."""
    plant = Plant(tmp_path).ground()
    plant.settings = f"{PLANT}\n{MANUAL}"
    report = import_files([plant.write()])
    assert report.faults == ()
    found = settings.load(lots.plant_number(report.plant))
    (row,) = Planbook(found).rows("FB6S", 2**50)

    assert set(tomllib.loads(MANUAL)) == {"plan", "instrument", "reading"}
    assert (row.name, row.evidence, row.often, row.specimens) == (
        "FB6S-STRENGTH", "periodic_test", "week", 5
    )  # fmt: skip
    assert (row.method, row.conditioning_h, row.warn_days) == ("ASTM D1621", 40, 3)
    assert found.at("instrument", "BAL-2", 2**50) == {
        "what": "balance, 15 kg", "every": "365 days", "place": "laboratory"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("written", "instead", "named"),
    [
        ('every = "week"', 'every = "weekly"', "plan.FB6S-STRENGTH.every"),
        ('"periodic_test"', '"sometimes"', "plan.FB6S-STRENGTH.evidence"),
        ('product = "FB6S"', 'product = "FB7"', "plan.FB6S-STRENGTH.product"),
        ("specimens = 5", 'specimens = "five"', "plan.FB6S-STRENGTH.specimens"),
        ("specimens = 5", "specimen = 5", "plan.FB6S-STRENGTH.specimen"),
        ('every = "365 days"', 'every = "20 pieces"', "instrument.BAL-2.every"),
        ('every = "365 days"', 'every = "3661 days"', "instrument.BAL-2.every"),
        ('instrument = "listed"', 'instrument = "any"', "reading.rule.instrument"),
        ("[reading.rule]", "[reading.FB6S]", "reading.FB6S"),
    ],
)
def test_a_slip_is_named_by_its_key(written: str, instead: str, named: str, tmp_path: Path) -> None:
    """Before anything is posted."""
    plant = Plant(tmp_path)
    assert written in MANUAL
    plant.settings = f"{PLANT}\n{MANUAL.replace(written, instead, 1)}"
    faults = plant.read().faults

    assert [named in fault.where for fault in faults] == [True]
