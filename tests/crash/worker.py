"""A process that posts until it is killed, and says what it was answered.

Run as a program: ``worker.py post|many|torn ROUND``, ``worker.py import FOLDER``. Each answer is
one line of JSON, written straight through: what stands there had been acknowledged.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path
from types import SimpleNamespace

import django

django.setup()

from beadwright.interop.importing import import_files  # noqa: E402 - Django must stand first
from beadwright.ledger import record  # noqa: E402
from beadwright.ledger.draft import (  # noqa: E402
    Draft,
    Line,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    StepDraft,
)
from beadwright.plant.access import Role, Who  # noqa: E402
from beadwright.plant.door import Door  # noqa: E402
from beadwright.plant.opening import RULES  # noqa: E402
from tests.plant.yard import DAY, T0  # noqa: E402

__all__ = ["BATCH", "batches", "main"]

BATCH = 5
"""Drafts of one batch of ``many``: all of them stand in the record, or none."""

_KG = 1_000_000


def tell(**what: object) -> None:
    """One line, straight to the file: a kill takes nothing of it back."""
    os.write(1, (json.dumps(what) + "\n").encode())


def _receipt(key: str, code: str, at_ms: int) -> StepDraft:
    new = NewLot(code, Material.BEAD, "bag", grades=("F1",))
    return StepDraft(key, "receipt", at_ms, (Line(code, 1, 40 * _KG),), new_lots=(new,))


def batches(what: str, turn: str) -> Iterator[list[Draft]]:
    """Batches without end: a bag; or a bag, what is read of it, moved, split and read again."""
    number = 0
    while True:
        number += 1
        at, key, code = T0 + number * 60_000, f"{what}/{turn}/{number}", f"{turn}-{number}"
        receipt = _receipt(f"{key}/0", code, at)
        if what == "post":
            yield [receipt]
            continue
        part = NewLot(f"{code}-S", Material.BEAD, "bag", grades=("F1",))
        split = (Line(code, -1, 10 * _KG), Line(part.code, 1, 10 * _KG))
        expand = (Line(part.code, -1, 10 * _KG), Line("S1", 1, 10 * _KG))
        cup = Reading("cup_weight", "212", "g", lot="S1",
                      facts={"place": "hot", "cup_volume": "10 L"})  # fmt: skip
        yield [
            receipt,
            ReadingsDraft(f"{key}/1", at + 1, (cup,)),
            StepDraft(f"{key}/2", "split", at + 2, split, new_lots=(part,)),
            StepDraft(f"{key}/3", "expand", at + 3, expand),
            ReadingsDraft(f"{key}/4", at + 4, (cup, cup)),
        ]


def main(what: str, told: str) -> None:
    """Post until killed, or import to the end."""
    tell(ready=True)
    if what == "import":
        report = import_files([Path(told)], progress=lambda done, _: tell(done=done))
        tell(posted=report.posted, repeated=report.repeated)
        return
    if what == "torn":  # the control: `many` with the transaction taken out
        vars(record)["transaction"] = SimpleNamespace(atomic=nullcontext)
    door, who = Door("P1", RULES, lambda: T0 + 60 * DAY), Who("install", Role.ENGINEER)
    for batch in batches(what, told):
        posted = (door.post(batch[0], who),) if what == "post" else door.post_many(batch, who)
        tell(keys=[one.key for one in posted], seqs=[one.seq for one in posted])


if __name__ == "__main__":
    main(*sys.argv[1:])
