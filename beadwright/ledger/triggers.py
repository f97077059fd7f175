"""Triggers that keep the record as it is: written on both stores after every migration.

SQLite drops a table's triggers when a migration rebuilds it, so they are laid again each time, and
a store without them is refused at start.
"""

from __future__ import annotations

from typing import Any

from django.db import connection

from beadwright.ledger import store

__all__ = ["NAMES", "lay", "missing"]

NAMES = ("entry_next", "entry_no_update", "entry_no_delete")
_TRUNCATE = "entry_no_truncate"

# The last condition: INSERT OR REPLACE that names the row of an old entry would push it out, and
# SQLite fires no DELETE trigger then.
_SQLITE = """
DROP TRIGGER IF EXISTS entry_next;
CREATE TRIGGER entry_next BEFORE INSERT ON ledger_entry BEGIN
  SELECT RAISE(ABORT, 'the record takes only the entry after its head')
  WHERE NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM ledger_entry WHERE plant = NEW.plant)
     OR NEW.prev IS NOT coalesce(
       (SELECT hash FROM ledger_entry WHERE plant = NEW.plant ORDER BY seq DESC LIMIT 1),
       '0000000000000000000000000000000000000000000000000000000000000000')
     OR EXISTS (SELECT 1 FROM ledger_entry WHERE rowid = NEW.rowid);
END;
DROP TRIGGER IF EXISTS entry_no_update;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON ledger_entry BEGIN
  SELECT RAISE(ABORT, 'an entry of the record is never changed');
END;
DROP TRIGGER IF EXISTS entry_no_delete;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON ledger_entry BEGIN
  SELECT RAISE(ABORT, 'an entry of the record is never removed');
END;
"""

_POSTGRESQL = """
CREATE OR REPLACE FUNCTION entry_next_check() RETURNS trigger AS $$
DECLARE last record;
BEGIN
  SELECT seq, hash INTO last FROM ledger_entry WHERE plant = NEW.plant ORDER BY seq DESC LIMIT 1;
  IF NEW.seq IS DISTINCT FROM coalesce(last.seq, 0) + 1
     OR NEW.prev IS DISTINCT FROM coalesce(last.hash, repeat('0', 64)) THEN
    RAISE EXCEPTION 'the record takes only the entry after its head'
      USING ERRCODE = 'integrity_constraint_violation';
  END IF;
  RETURN NEW;
END $$ LANGUAGE plpgsql;
CREATE OR REPLACE FUNCTION entry_kept() RETURNS trigger AS $$
BEGIN
  RAISE EXCEPTION 'an entry of the record is never changed or removed'
    USING ERRCODE = 'integrity_constraint_violation';
END $$ LANGUAGE plpgsql;
DROP TRIGGER IF EXISTS entry_next ON ledger_entry;
CREATE TRIGGER entry_next BEFORE INSERT ON ledger_entry
  FOR EACH ROW EXECUTE FUNCTION entry_next_check();
DROP TRIGGER IF EXISTS entry_no_update ON ledger_entry;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON ledger_entry
  FOR EACH ROW EXECUTE FUNCTION entry_kept();
DROP TRIGGER IF EXISTS entry_no_delete ON ledger_entry;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON ledger_entry
  FOR EACH ROW EXECUTE FUNCTION entry_kept();
DROP TRIGGER IF EXISTS entry_no_truncate ON ledger_entry;
CREATE TRIGGER entry_no_truncate BEFORE TRUNCATE ON ledger_entry
  FOR EACH STATEMENT EXECUTE FUNCTION entry_kept();
"""


def lay(**_: Any) -> None:
    """Write the triggers (a receiver of ``post_migrate``); does nothing before the table exists."""
    if "ledger_entry" not in connection.introspection.table_names():
        return
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(_POSTGRESQL)
        else:
            for statement in _SQLITE.split("\nEND;\n"):
                for part in _split(statement):
                    cursor.execute(part)


def _split(text: str) -> list[str]:
    """One DROP and one CREATE: SQLite's cursor takes a statement at a time."""
    if not text.strip():
        return []
    drop, create = text.strip().split(";\n", 1)
    return [drop, f"{create}\nEND"]


def missing() -> tuple[str, ...]:
    """Names of the triggers that a store should have and has not, or has in other words."""
    if connection.vendor == "postgresql":
        wanted = {name: _body(_does(name)) for name in (*NAMES, _TRUNCATE)}
        sql = (
            "SELECT t.tgname, f.prosrc FROM pg_trigger t JOIN pg_proc f ON f.oid = t.tgfoid"
            " WHERE t.tgrelid = 'ledger_entry'::regclass AND t.tgenabled IN ('O', 'A')"
        )
    else:
        creates = [_split(one)[1] for one in _SQLITE.split("\nEND;\n") if one.strip()]
        wanted = {one.split()[2]: _plain(one) for one in creates}
        sql = (
            "SELECT name, sql FROM sqlite_master"
            " WHERE type = 'trigger' AND tbl_name = 'ledger_entry'"
        )
    have = {row[0]: _plain(row[1]) for row in store.select(sql)}
    return tuple(name for name, text in wanted.items() if have.get(name) != text)


def _does(trigger: str) -> str:
    return "entry_next_check" if trigger == "entry_next" else "entry_kept"


def _body(function: str) -> str:
    text = _POSTGRESQL.partition(f"FUNCTION {function}()")[2]
    return _plain(text.split("$$")[1])


def _plain(text: str) -> str:
    return " ".join(text.split())
