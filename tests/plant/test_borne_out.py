"""Tables that somebody wrote to behind the door's back are noticed before a lot leaves by them."""

from datetime import date

import pytest
from django.db import connection

from beadwright.errors import RecordBroken, Refusal
from beadwright.ledger import lots
from beadwright.plant.borne_out import not_borne_out
from beadwright.plant.opening import open_plant, projections_differing, rebuild_plant
from beadwright.reports.visit.content import content as visit_content
from tests.plant.asking import good_yard, the_lot
from tests.plant.planning import plant as planned_plant
from tests.plant.planning import strengths
from tests.plant.yard import DAY, T0, Yard
from tests.reports.issuing import AUDITOR, Office

pytestmark = pytest.mark.django_db

NO = {code: f"(SELECT no FROM ledger_lot WHERE code='{code}')" for code in ("L1", "S1", "B-1")}
MADE = f"(SELECT step FROM ledger_touch WHERE lot={NO['L1']} AND sign=1)"
INVENTED = (
    f"INSERT INTO ledger_finding (p, step, code, lot, cause, detail) SELECT 1, {MADE},"
    f" 'too_fresh', {NO['S1']}, 'too_fresh:S1', 'invented'"
)


def run(sql: str) -> None:
    """Write to the store as a stranger to the record would."""
    with connection.cursor() as cursor:
        cursor.execute(sql)
        assert cursor.rowcount > 0, sql


@pytest.fixture
def yard() -> Yard:
    """A lot that may ship, made of beads that a conceded nonconformity and a lifted hold met."""
    yard = good_yard("L1")
    yard.set("release", "rule", persons=1)
    yard.hold("H-1", "B-1", at=40)
    yard.lift("H-1", "B-1", "L1", at=41)
    yard.bundle("U-1", "L1", 10, at=60)
    yard.block_lot("L2", at=100)
    return yard


@pytest.mark.parametrize(
    ("sql", "tables"),
    [
        ("UPDATE quality_reading SET si=si*1.01 WHERE lot='L1' AND line=0", ("reading",)),
        ("DELETE FROM quality_reading WHERE lot='L1' AND line=0", ("reading",)),
        ("UPDATE quality_reading SET voided_by=1 WHERE lot='L1'", ("reading",)),
        ("DELETE FROM ledger_setting WHERE topic='release'", ("setting",)),
        ("UPDATE ledger_setting SET since=since+1 WHERE topic='limit'", ("setting",)),
        ("DELETE FROM ledger_decision WHERE kind='hold'", ("decision",)),
        ("UPDATE ledger_lot SET causes='' WHERE code='L1'", ("lot",)),
        ("UPDATE ledger_lot SET product='FB7' WHERE code='L1'", ("lot",)),
        ("UPDATE ledger_lot SET code='L9' WHERE code='L1'", ("lot",)),
        (f"UPDATE ledger_touch SET grades='' WHERE lot={NO['B-1']}", ("touch",)),
        (f"DELETE FROM ledger_touch WHERE lot={NO['B-1']} AND sign=0", ("touch",)),
        (f"UPDATE ledger_touch SET moved_mg=moved_mg+1 WHERE lot={NO['S1']}", ("touch",)),
        (f"DELETE FROM ledger_touch WHERE step={MADE} AND sign<0", ("touch",)),
        (f"UPDATE ledger_step SET at_ms=at_ms+1 WHERE no={MADE}", ("step",)),
        (f"UPDATE ledger_step SET reversed=true WHERE no={MADE}", ("step",)),
        (
            INVENTED,
            ("finding",),
        ),
    ],
)  # fmt: skip
def test_what_differs_is_named(yard: Yard, sql: str, tables: tuple[str, ...]) -> None:
    """Table by table; a rebuild mends it."""
    assert not_borne_out(yard.no, "L1") == ()
    run(sql)

    assert set(not_borne_out(yard.no, "L1")) >= set(tables)
    assert set(projections_differing("P1")) >= set(tables)
    rebuild_plant("P1")
    assert not_borne_out(yard.no, "L1") == ()


def test_a_deleted_finding_is_missed_where_it_was() -> None:
    """Of the very step that made the lot, and of one before it."""
    yard = Yard.open()
    yard.bag("B-PK", grade="PK1")
    yard.carton("T-1")
    yard.expand("B-PK", "S1")
    yard.mould("L1", good=40, at=20)
    assert not_borne_out(yard.no, "L1") == ()
    run("DELETE FROM ledger_finding")

    assert not_borne_out(yard.no, "L1") == ("finding",)


def test_a_step_that_no_table_knows_of_any_more_is_missed(yard: Yard) -> None:
    """The record still names the lots it touched: one that made it, one far behind it."""
    for code in ("L1", "B-1"):
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT step FROM ledger_touch WHERE lot={NO[code]} AND sign=1")
            ((step,),) = cursor.fetchall()
        run(f"DELETE FROM ledger_touch WHERE step={step}")
        run(f"DELETE FROM ledger_step WHERE no={step}")
        assert "touch" in not_borne_out(yard.no, "L1")
        rebuild_plant("P1")
        assert not_borne_out(yard.no, "L1") == ()


def test_another_lot_s_tables_are_not_this_one_s(yard: Yard) -> None:
    """What L1 was made of was there before L2: it is looked at when that one is released."""
    run("UPDATE ledger_lot SET pieces=pieces+1 WHERE code='L2'")

    assert not_borne_out(yard.no, "L1") == ()
    assert not_borne_out(yard.no, "L2") == ("lot",)


def test_a_periodic_test_of_another_lot_counts() -> None:
    """What its readings say speaks for every lot of the product."""
    made = planned_plant()
    made.block_lot("L1", at=200)
    made.block_lot("L2", at=210)
    strengths(made, "L2", 17.0, 17.1, 17.2)
    assert not_borne_out(made.no, "L1") == ()
    run("DELETE FROM quality_reading WHERE lot='L2' AND line=0")

    assert not_borne_out(made.no, "L1") == ("reading",)


def test_corrections_reversals_and_sweeps_are_no_differences() -> None:
    """Both versions stand in the record; the newest is in the tables."""
    yard = good_yard("L1")
    yard.sweep("S1", at=90)
    yard.bag("B-2", at=91)
    yard.expand("B-2", "S1", at=92)
    key = yard.mould("L3", good=20, at=110).key
    yard.correct(key, at=120, happened_at=yard.steps[key].happened_at + 60_000)  # type: ignore[operator]
    yard.bundle("U-3", "L3", 5, at=121)

    for view in lots.of_kind(yard.no, "block", "mould run"):
        assert not_borne_out(yard.no, view.code) == ()


def test_no_certificate_and_no_visit_file_over_them() -> None:
    """A release that was given before does not make it true."""
    office = Office()
    office.release()
    run("UPDATE quality_reading SET si=si*1.0001 WHERE lot='L1'")

    with pytest.raises(Refusal) as refused:
        office.issue()
    assert refused.value.codes == ("tables_differ",)
    assert "in: reading" in str(refused.value)
    with pytest.raises(RecordBroken, match="reading"):
        visit_content(open_plant("P1"), date(2026, 9, 1), ("L1",), AUDITOR, (T0 + 60 * DAY, "a4"))
    assert the_lot(office.yard).lot == "L1"
