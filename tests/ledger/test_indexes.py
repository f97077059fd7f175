"""Questions about the few rows that matter read those rows, however long the record is."""

from collections.abc import Callable

import pytest
from django.core.management import call_command
from django.db import connection

from beadwright.ledger import entered, marked, places, restated, runs, said, stock
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

ASKED: dict[str, tuple[Callable[[int], object], str]] = {
    "stock": (stock.sums, "lot_here"),
    "bags": (stock.bags, "lot_here"),
    "blocks": (stock.block_lots, "lot_here"),
    "places": (places.contents, "lot_content"),
    "holds": (marked.marked, "lot_held"),
    "way back": (lambda no: restated.bearing_on(no, ["L1"]), "step_restated"),
    "marks of a run": (lambda no: runs.marks_of(no, "R1"), "step_run"),
    "steps of a run": (lambda no: said.run_steps("P1", no, "R1", "expand"), "step_run"),
    "naming": (lambda _: entered.naming("P1", "L1"), "step_restated"),
}


def laid() -> set[str]:
    """Names of the indexes of lots and steps."""
    with connection.cursor() as cursor:
        found = [
            connection.introspection.get_constraints(cursor, table)
            for table in ("ledger_lot", "ledger_step")
        ]
    return {name for one in found for name in one}


def test_they_come_back_after_a_migration() -> None:
    """A migration that makes a table anew drops them on SQLite: the next one lays them."""
    with connection.cursor() as cursor:
        cursor.execute("DROP INDEX lot_here")
    assert "lot_here" not in laid()

    call_command("migrate", verbosity=0, interactive=False)

    assert {"lot_here", "lot_content", "lot_held", "step_restated", "step_run"} <= laid()


@pytest.mark.parametrize("name", ASKED)
def test_a_question_finds_its_index(name: str) -> None:
    """It says the condition word for word; a PostgreSQL reads a table this small as it likes."""
    if connection.vendor != "sqlite":
        pytest.skip("PostgreSQL reads a table of a few rows whole, by any index or none")
    ask, index = ASKED[name]
    yard = Yard.open()
    yard.block_lot("L1")
    asked: list[tuple[str, object]] = []

    def note(execute: Callable[..., object], sql: str, params: object, *rest: object) -> object:
        asked.append((sql, params))
        return execute(sql, params, *rest)

    with connection.execute_wrapper(note):
        ask(yard.no)
    plans = []
    with connection.cursor() as cursor:
        for sql, params in asked:
            cursor.execute(f"EXPLAIN QUERY PLAN {sql}", params)  # type: ignore[arg-type]
            plans += [row[3] for row in cursor.fetchall()]

    assert any(index in plan for plan in plans), plans
