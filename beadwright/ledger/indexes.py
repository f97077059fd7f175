"""Indexes over the few rows that most questions are about, laid on both stores after a migration.

What is in the plant is a few hundred lots of a hundred thousand, and few steps are ever restated.
SQLite drops a table's indexes of this kind when a migration rebuilds it, so they are laid again
each time. A store without them answers the same, and slower. A question finds one only by saying
its condition word for word: see the constants.
"""

from __future__ import annotations

from typing import Any

from django.db import connection

from beadwright.ledger.account import OUTSIDE

__all__ = ["HELD", "HERE", "IS_CONTENT", "OF_RUN", "RESTATED", "lay"]

HERE = f"(mg > 0 OR pieces > 0) AND place NOT LIKE '{OUTSIDE}%%'"
"""Of a lot: something of it is in the plant."""

IS_CONTENT = "what = 'content'"
"""Of a lot: it is what a place holds."""

HELD = "causes LIKE '%%hold:%%'"
"""Of a lot: a person's hold reaches it."""

RESTATED = "seq <> no"
"""Of a step: a correction or a reversal has restated it."""

OF_RUN = "run <> ''"
"""Of a step: it is one of a run."""

_INDEXES = (
    ("lot_here", "ledger_lot", "p, kind", HERE),
    ("lot_content", "ledger_lot", "p, code", IS_CONTENT),
    ("lot_held", "ledger_lot", "p, no", HELD),
    ("step_restated", "ledger_step", "p, no", RESTATED),
    ("step_run", "ledger_step", "p, run, k, tie", OF_RUN),
)


def lay(**_: Any) -> None:
    """Make the indexes (a receiver of ``post_migrate``); nothing before the tables exist."""
    if not {"ledger_lot", "ledger_step"} <= set(connection.introspection.table_names()):
        return
    with connection.cursor() as cursor:
        for name, table, columns, condition in _INDEXES:
            where = condition.replace("%%", "%")
            # In quotation marks, as Django writes its own: the bench reads them back by these.
            on = f'"{table}" ({columns}) WHERE {where}'
            cursor.execute(f'CREATE INDEX IF NOT EXISTS "{name}" ON {on}')
