"""Entries that name a lot are found without reading the record: the same as by reading it."""

from dataclasses import replace

import pytest

from beadwright.ledger import entered, lots
from beadwright.ledger.checks import codes_of
from beadwright.quality import readings
from tests.ledger.player import play
from tests.ledger.projections import rows
from tests.plant.yard import Yard
from tests.strategies import seeded

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("seed", range(8))
def test_what_names_a_lot_is_what_the_whole_record_says_of_it(seed: int) -> None:
    """Steps in every version, those reversed too, readings, holds, lifts, releases."""
    player = play("P1", seeded(seed), 60)
    no = lots.plant_number(player.plant)
    everything = entered.by_number(
        player.plant, (seq for (seq,) in rows("SELECT seq FROM ledger_entry", []))
    )
    compared = 0

    for (code,) in rows("SELECT code FROM ledger_lot WHERE p=%s", [no]):
        expected = [one for _, one in sorted(everything.items()) if code in codes_of(one.draft)]
        found = entered.naming(player.plant, code, readings.entries_of(no, code))
        assert found == expected
        compared += len(found)
    assert compared


def test_a_lot_that_a_correction_took_out_is_named_by_both_versions() -> None:
    """No projection knows any more that the bag was ever drawn."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.bag("B-2")
    yard.expand("B-1", "S1", 100)
    key = next(key for key, step in yard.steps.items() if step.kind == "expand")
    old = yard.steps[key]
    for bag in ("B-2", "B-1", "B-2"):
        yard.correct(key, lines=(replace(old.lines[0], lot=bag), old.lines[1]))

    named = [(one.kind, one.seq) for one in entered.naming("P1", "B-1")]

    assert [kind for kind, _ in named] == ["step", "step", "correct"]
