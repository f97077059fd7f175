"""The head of each plant's chain: locked by every append, with the rules in force under it."""

from __future__ import annotations

from dataclasses import dataclass, field

from django.db import connection

from beadwright.errors import Fault, Refusal
from beadwright.ledger import holds, settings, store
from beadwright.ledger.chain import START
from beadwright.ledger.checks import CODE
from beadwright.ledger.fold import Concessions

__all__ = ["Head", "forget", "in_force", "lock", "look", "nobody", "write"]


@dataclass(slots=True)
class Head:
    """The last entry of a plant, and what the next append numbers on from."""

    no: int
    seq: int
    hash: str
    lots: int
    rules: int
    """Last entry that changed a setting or gave a concession."""


def nobody(plant: str) -> Head:
    """Give the head of a plant that is not in the store.

    Raises
    ------
    Refusal
        ``bad_code``, where its code is none.
    """
    if not CODE.fullmatch(plant):
        what = f"{plant!r} cannot be the code of a plant"
        raise Refusal([Fault("bad_code", what, plant, "", "Use 1 to 20 of A-Z, 0-9 and hyphen.")])
    return Head(0, 0, START, 0, 0)


@dataclass(slots=True)
class _Held:
    """Rules in force, kept between appends while no entry changes them."""

    rules: dict[tuple[str, str], tuple[object, settings.Settings, Concessions]] = field(
        default_factory=dict
    )


_held = _Held()


def look(plant: str, how: str = "") -> Head | None:
    """Give the head of a plant, or None where it is new."""
    sql = f"SELECT no, seq, hash, lots, rules FROM ledger_head WHERE plant=%s{how}"
    row = store.one(sql, [plant])
    return None if row is None else Head(*row)


def lock(plant: str) -> Head:
    """Lock the head of a plant (under SQLite the immediate transaction has); make a new plant's.

    Raises
    ------
    Refusal
        ``bad_code``, where a new plant's code is none.
    """
    head = look(plant, " FOR UPDATE" if connection.vendor == "postgresql" else "")
    if head is not None:
        return head
    new = nobody(plant)
    if connection.vendor == "postgresql":
        # A plant that is not there yet has no row to lock: whoever else makes one waits here.
        store.run("LOCK TABLE ledger_plant IN SHARE ROW EXCLUSIVE MODE")
        head = look(plant, " FOR UPDATE")
        if head is not None:
            return head
    last = store.one("SELECT coalesce(max(no), 0) FROM ledger_plant")
    new.no = (last[0] if last else 0) + 1
    store.insert("plant", "no, code", [(new.no, plant)])
    store.insert("head", "plant, no, seq, hash, lots, rules", [(plant, new.no, 0, START, 0, 0)])
    return new


def write(plant: str, head: Head) -> None:
    """Move the head on."""
    store.run(
        "UPDATE ledger_head SET seq=%s, hash=%s, lots=%s, rules=%s WHERE plant=%s",
        [head.seq, head.hash, head.lots, head.rules, plant],
    )


def in_force(plant: str, head: Head) -> tuple[settings.Settings, Concessions]:
    """Give the settings and concessions under a head, read again only when they have changed."""
    key = (str(connection.settings_dict["NAME"]), plant)
    # The hash, not the seq alone: what was rolled back may have had the same number.
    sql = "SELECT hash FROM ledger_entry WHERE plant=%s AND seq=%s"
    last = (head.no, head.rules, store.one(sql, [plant, head.rules]))
    held = _held.rules.get(key)
    if held is None or held[0] != last:
        held = (last, settings.load(head.no), holds.concessions(head.no))
        _held.rules[key] = held
    return held[1], held[2]


def forget() -> None:
    """Drop what is kept: after a rollback it may never have been."""
    _held.rules.clear()
