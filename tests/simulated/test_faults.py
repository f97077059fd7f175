"""Faults of the simulated plant: told in the answer sheet, and shown by the tool or honestly not.

At length, with charts, in ``benchmarks/faulting.py``.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from beadwright.demo.simulated import Parameters, load, simulate, write_simulated
from beadwright.errors import Misuse
from beadwright.interop.importing import import_files
from beadwright.ledger import store
from beadwright.plant.findings import findings
from beadwright.plant.opening import open_plant
from tests.simulated.showing import Recalled, recalled

_DAY = 24 * 60


def _with(days: int, swept: int, **faults: float) -> Parameters:
    """A plant of some days, swept at the end of one, with faults from a day on."""
    given = load().changed("plant", days_a_month=days).changed("silos", sweep_days=[swept - 1])
    return given.changed("faults", **{kind: {"day": day} for kind, day in faults.items()})


def test_every_fault_is_told_with_its_time() -> None:
    """All at once from the fifth day on: each is told, none before; switched off, none at all."""
    kinds = dict.fromkeys(load().sections["faults"], 5.0) | {"unswept": 6.0, "reclaim_unseen": 7.0}
    plant = simulate(31, 1, _with(12, 6, **kinds))
    assert {one.kind for one in plant.faults} == set(kinds)
    assert min(one.at for one in plant.faults) >= 4 * _DAY
    assert plant.uncaught_kg > 1
    assert min(one.strength for one in plant.bead_lots) == 0.85

    usual = simulate(31, 1, _with(5, 4))
    assert usual.faults == ()
    assert {one.strength for one in usual.bead_lots} == {1.0}


def test_a_fault_is_changed_in_part_and_what_it_has_not_is_refused() -> None:
    """Only the day need be said."""
    changed = load().changed("faults", worn_mould={"day": 3})
    assert changed.sections["faults"]["worn_mould"]["place"] == "M-FB6S"
    with pytest.raises(Misuse, match="worn_mould"):
        load().changed("faults", worn_mould={"since": 3})


@pytest.mark.django_db
def test_what_the_record_shows_of_faults(tmp_path: Path) -> None:
    """Wrong beads and reclaim as nonconformities; a scale and ties as findings; none missed."""
    kinds = {"wrong_grade": 3, "reclaim_into_silo": 3, "missing_ties": 3, "drifting_scale": 4}
    plant = simulate(32, 1, _with(9, 2, **kinds))
    write_simulated(plant, tmp_path)
    assert not import_files([tmp_path]).refused
    codes = {str(code) for (code,) in store.select("SELECT code FROM ledger_finding", [])}
    assert codes >= {"wrong_grade", "reclaim_in_block"}
    found = findings(open_plant("TARNBROOK").no)
    assert {one.kind for one in found} == {"scale_drifts", "ties_short"}
    assert {one.about for one in found if one.kind == "scale_drifts"} == {"SC-E1"}
    (wrong,) = (one.what.split()[0] for one in plant.faults if one.kind == "wrong_grade")
    whole = recalled(tmp_path, [wrong])
    assert whole.affected > 10
    assert (whole.missed, whole.outside) == (0, 0)


@pytest.mark.django_db
def test_what_is_entered_late_is_in_the_scope_once_it_is_entered(tmp_path: Path) -> None:
    """The sheets as they were on the fifth evening; then all of them, over the same.

    Asked is also of a bag that came the day after: nothing holds it yet, so nothing is missed.
    """
    late = _with(8, 2).changed("people", late=0.3, late_h=30.0)
    plant = simulate(33, 1, late)
    until = 5 * _DAY
    waiting = [row for row, at in plant.entered.items() if row.written < until - 600 <= at]
    bags = sorted({str(getattr(row, "bag", "")) for row in waiting})
    known = {
        str(getattr(row, "lot", "")) for row in plant.rows["mould_runs"] if row.written < until
    }
    after = next(
        str(getattr(row, "bag", "")) for row in plant.rows["bead_receipts"] if row.written > until
    )
    missed = []
    for upto in (until, None):
        write_simulated(plant, tmp_path, upto)
        assert not import_files([tmp_path]).refused
        assert recalled(tmp_path, [after], known) == Recalled(0, 0, 0, 0)
        missed.append(recalled(tmp_path, bags, known).missed)
    assert missed[0] > 0
    assert missed[1] == 0


@pytest.mark.django_db
def test_a_run_that_nobody_entered_shows_as_more_drawn_than_the_books_hold(tmp_path: Path) -> None:
    """Its bag reaches nothing by the record: the recall cannot know, and the door says so much."""
    plant = simulate(34, 1, _with(6, 3).changed("people", forget=0.1))
    assert {one.kind for one in plant.faults} == {"forgotten_entry"}
    write_simulated(plant, tmp_path)
    assert not import_files([tmp_path]).refused
    codes = {str(code) for (code,) in store.select("SELECT code FROM ledger_finding", [])}
    assert "more_than_held" in codes
