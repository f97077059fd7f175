"""Another process at the door: a tablet that waits for the start, posts, and tells what it got.

Run as a program: ``tablet.py NAME draw|receive lock|nolock``. It prints ``ready``, waits for a line
on its input, then posts; each answer is one line of JSON. Both modes of the lock dawdle between
reading and writing, so that they differ in the lock alone.
"""

from __future__ import annotations

import json
import sys
import time
from typing import Any

import django

__all__ = ["BAGS", "main"]

BAGS = 12
"""Bags a tablet receives: each second one alone, the others three at a time."""

_DAWDLE_S = 0.25


def _dawdle() -> None:
    from beadwright.ledger.record import Append  # noqa: PLC0415 - after Django is set up

    take = Append.take

    def slow(self: Append, drafts: Any) -> Any:
        time.sleep(_DAWDLE_S)  # the head has been read, nothing has been written
        return take(self, drafts)

    Append.take = slow  # type: ignore[method-assign]


def _unlock() -> None:
    """Take the lock out: on SQLite the immediate transaction, on PostgreSQL the row of the head."""
    from django.db import connections  # noqa: PLC0415

    from beadwright.ledger import heads  # noqa: PLC0415

    options = connections.databases["default"]["OPTIONS"]
    if "transaction_mode" in options:
        options["transaction_mode"] = "DEFERRED"
    heads.lock = lambda plant: heads.look(plant) or heads.nobody(plant)


def _tell(**what: object) -> None:
    sys.stdout.write(json.dumps(what) + "\n")
    sys.stdout.flush()


def _wait_for_start() -> None:
    from beadwright.ledger import lots  # noqa: PLC0415

    lots.plants()  # connected, before the start is given
    _tell(ready=True)
    sys.stdin.readline()


def main(name: str, what: str, lock: str) -> None:
    """Post as told, and tell each answer."""
    django.setup()
    if lock == "nolock":
        _unlock()
    from django.db import DatabaseError  # noqa: PLC0415

    from beadwright.errors import Refusal  # noqa: PLC0415
    from beadwright.ledger.draft import Draft, Line, Material, NewLot, StepDraft  # noqa: PLC0415
    from beadwright.plant.access import Role, Who  # noqa: PLC0415
    from beadwright.plant.door import Door  # noqa: PLC0415
    from beadwright.plant.opening import RULES  # noqa: PLC0415
    from tests.plant.yard import DAY, T0  # noqa: PLC0415

    door, who = Door("P1", RULES, lambda: T0 + 60 * DAY), Who(f"tablet-{name}", Role.OPERATOR)
    all_kg = 40_000_000
    lines = (Line("B-1", -1, all_kg), Line("S1", 1, all_kg))
    draw = StepDraft(f"draw/{name}", "expand", None, lines, planned=True)

    def receipt(number: int) -> Draft:
        new = NewLot(f"BAG-{name}-{number}", Material.BEAD, "bag", grades=("F1",))
        bag = (Line(new.code, 1, all_kg),)
        return StepDraft(f"{name}/{number}", "receipt", T0 + number, bag, new_lots=(new,))

    batches: list[list[Draft]] = [[draw]]
    if what == "receive":
        firsts = [(100 * n, 1 if n % 2 else 3) for n in range(1, BAGS + 1)]
        batches = [[receipt(first + i) for i in range(count)] for first, count in firsts]
    else:
        _dawdle()
    _wait_for_start()
    for batch in batches:
        try:
            for one in door.post_many(batch, who):
                _tell(key=one.key, seq=one.seq, hash=one.hash)
        except Refusal as refusal:
            _tell(refused=refusal.codes, said=str(refusal))
        except DatabaseError as error:
            _tell(broke=type(error).__name__)


if __name__ == "__main__":
    main(*sys.argv[1:])
