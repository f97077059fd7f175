"""The store itself refuses to change the record, on SQLite and on PostgreSQL."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, models, transaction

from beadwright.ledger import rebuild, triggers
from beadwright.ledger.chain import START, Chained, canonical, entry_hash
from beadwright.ledger.models import Entry
from tests.plant.yard import Yard

INSERT = (
    "INSERT INTO ledger_entry (plant, seq, kind, schema, body, prev, hash)"
    " VALUES (%s, %s, %s, %s, %s, %s, %s)"
)
ON_SQLITE = "a statement only SQLite has"
ON_POSTGRESQL = "a statement only PostgreSQL has"


def entry(seq: int, prev: str, plant: str = "P1") -> Chained:
    """An entry with a good hash."""
    bare = Chained(plant, seq, "step", 1, canonical({"n": seq}), prev, "")
    return bare._replace(hash=entry_hash(bare))


def attempt(sql: str, args: tuple[str | int, ...] = ()) -> None:
    """Run one statement in a transaction of its own."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql, args)


def refused(sql: str, args: tuple[str | int, ...] = ()) -> None:
    """The store refuses the statement, in our words, and the record is as it was."""
    before = list(rebuild.entries("P1"))
    with pytest.raises(DatabaseError, match=r"the record takes only|an entry of the record is"):
        attempt(sql, args)
    assert list(rebuild.entries("P1")) == before


def wanted() -> set[str]:
    """Triggers a store of this kind must have."""
    more = {"entry_no_truncate"} if connection.vendor == "postgresql" else set()
    return {"entry_next", "entry_no_update", "entry_no_delete"} | more


@pytest.mark.django_db
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE ledger_entry SET body = '{}' WHERE seq = 2",
        "UPDATE ledger_entry SET seq = seq + 100",
        "UPDATE ledger_entry SET hash = hash",
        "DELETE FROM ledger_entry WHERE seq = 2",
        "DELETE FROM ledger_entry WHERE seq = (SELECT max(seq) FROM ledger_entry)",
        "DELETE FROM ledger_entry",
    ],
)
def test_no_entry_is_changed_or_removed(sql: str) -> None:
    """UPDATE and DELETE are refused, of one entry, of the last, of all."""
    Yard.open()

    refused(sql)


@pytest.mark.django_db
@pytest.mark.parametrize("sql", ["TRUNCATE ledger_entry", "TRUNCATE ledger_entry CASCADE"])
def test_the_record_is_not_truncated(sql: str) -> None:
    """TRUNCATE fires no DELETE trigger, so it has one of its own."""
    if connection.vendor != "postgresql":
        pytest.skip(ON_POSTGRESQL)
    Yard.open()

    refused(sql)


@pytest.mark.django_db
@pytest.mark.parametrize("verb", ["INSERT OR REPLACE", "REPLACE"])
@pytest.mark.parametrize("seq", [1, 2])
def test_no_entry_is_replaced_under_its_number(verb: str, seq: int) -> None:
    """REPLACE removes the old row without a DELETE trigger; the insert itself is refused."""
    if connection.vendor != "sqlite":
        pytest.skip(ON_SQLITE)
    Yard.open()

    refused(INSERT.replace("INSERT", verb), entry(seq, START))


@pytest.mark.django_db
@pytest.mark.parametrize("rowid", ["1", "(SELECT max(rowid) FROM ledger_entry)"])
def test_no_entry_is_replaced_under_its_row(rowid: str) -> None:
    """Nor does the entry after the head push out an old one by taking its row number."""
    if connection.vendor != "sqlite":
        pytest.skip(ON_SQLITE)
    Yard.open()
    seq, own = rebuild.head("P1")
    sql = INSERT.replace("INSERT", "INSERT OR REPLACE").replace("(plant,", "(rowid, plant,")

    refused(sql.replace("(%s,", f"({rowid}, %s,"), entry(seq + 1, own))


@pytest.mark.django_db
@pytest.mark.parametrize("step", [-1, 0, 2, 100])
def test_only_the_entry_after_the_head_is_taken(step: int) -> None:
    """Any number but head + 1 is refused, even with the right link."""
    Yard.open()
    seq, own = rebuild.head("P1")

    refused(INSERT, entry(seq + step, own))


@pytest.mark.django_db
def test_only_an_entry_that_follows_is_taken() -> None:
    """The right number with another link is refused; with the right one it is taken."""
    Yard.open()
    seq, own = rebuild.head("P1")

    refused(INSERT, entry(seq + 1, START))
    refused(INSERT, entry(seq + 1, own.upper()))
    attempt(INSERT, entry(seq + 1, own))
    assert rebuild.head("P1")[0] == seq + 1


@pytest.mark.django_db
def test_a_new_plant_starts_at_one() -> None:
    """Each plant has a chain of its own, from entry 1 and the first link."""
    Yard.open()

    for seq, prev in ((0, START), (2, START), (1, "f" * 64)):
        with pytest.raises(DatabaseError, match="the record takes only"):
            attempt(INSERT, entry(seq, prev, "P2"))
    attempt(INSERT, entry(1, START, "P2"))
    assert rebuild.broken("P2") == []


def _remake() -> None:
    """Make the entry table anew, as a migration that changes a column does."""
    if connection.vendor == "sqlite":
        old = Entry._meta.get_field("kind")
        new: Any = models.CharField(max_length=40)
        new.set_attributes_from_name("kind")
        new.model = Entry
        with connection.schema_editor() as editor:
            editor.alter_field(Entry, old, new)
        return
    for sql in (
        "CREATE TABLE made (LIKE ledger_entry INCLUDING ALL)",
        "INSERT INTO made SELECT * FROM ledger_entry",
        "DROP TABLE ledger_entry",
        "ALTER TABLE made RENAME TO ledger_entry",
    ):
        attempt(sql)


@pytest.mark.usefixtures("fresh_store")
def test_triggers_come_back_after_a_migration_that_makes_the_table_anew() -> None:
    """A remade table has none (that is seen); after the migration every one is there and works."""
    Yard.open()
    before = list(rebuild.entries("P1"))

    _remake()
    assert set(triggers.missing()) == wanted()
    call_command("migrate", verbosity=0, interactive=False)

    assert triggers.missing() == ()
    assert list(rebuild.entries("P1")) == before
    refused("UPDATE ledger_entry SET body = '{}' WHERE seq = 2")
    refused("DELETE FROM ledger_entry WHERE seq = 2")
    refused(INSERT, entry(2, START))


@pytest.mark.django_db
@pytest.mark.parametrize(
    "name", ["entry_next", "entry_no_update", "entry_no_delete", "entry_no_truncate"]
)
def test_what_lacks_is_named(name: str) -> None:
    """Each trigger that is gone is named, alone."""
    assert triggers.missing() == ()
    if name not in wanted():
        pytest.skip(ON_POSTGRESQL)
    of = " ON ledger_entry" if connection.vendor == "postgresql" else ""

    attempt(f"DROP TRIGGER {name}{of}")
    assert triggers.missing() == (name,)

    triggers.lay()
    assert triggers.missing() == ()


@pytest.mark.django_db
@pytest.mark.parametrize("how", ["DISABLE", "ENABLE REPLICA"])
def test_a_trigger_that_does_not_fire_lacks(how: str) -> None:
    """A trigger that is there but switched off, or on for replication only, counts as missing."""
    if connection.vendor != "postgresql":
        pytest.skip(ON_POSTGRESQL)

    attempt(f"ALTER TABLE ledger_entry {how} TRIGGER entry_no_update")

    assert triggers.missing() == ("entry_no_update",)


@pytest.mark.django_db
def test_laying_twice_is_laying_once() -> None:
    """Start-up and doctor may lay them again."""
    triggers.lay()
    triggers.lay()

    assert triggers.missing() == ()
