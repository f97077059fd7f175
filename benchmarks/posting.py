"""How many steps are posted a second: one in a transaction, and a thousand."""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path

from beadwright.interop.recorded import Recorded
from beadwright.interop.sheets.intake import read
from beadwright.ledger.draft import StepDraft
from beadwright.ledger.rebuild import head
from beadwright.plant.access import Role, Who
from beadwright.plant.opening import door_of
from benchmarks import Result
from benchmarks._bare import Bare
from benchmarks._stores import PLANT, Store, apart, both, filled, later_folder

__all__ = ["run"]

_SINGLE = 2000
_MANY = 1000


def run() -> list[Result]:
    """Post the steps of the weeks after the year, on top of it, on each store."""
    return [result for store in both() for result in _on(store)]


def _on(store: Store) -> list[Result]:
    filled(store)
    (single, bare_single), (many, bare_many) = apart(store, _measure, later_folder())
    targets = (200, 5_000) if store.postgresql else (800, 20_000)
    return [
        Result(
            f"single posts, {store.name}",
            round(single),
            "steps/s",
            targets[0],
            round(bare_single),
            note="every rule, durable; floor: one entry's row a transaction",
        ),
        Result(
            f"post_many by {_MANY:,}, {store.name}",
            round(many),
            "movements/s",
            targets[1],
            round(bare_many),
            note="floor: the same rows of all tables, each a statement of its own",
        ),
    ]


def _measure(folder: Path) -> tuple[tuple[float, float], tuple[float, float]]:
    """Rates of single steps and of movements in bulk, each with its floor."""
    intake = read([folder], Recorded(PLANT))
    assert not intake.faults
    assert not intake.questions
    steps = [draft for draft in intake.drafts if isinstance(draft, StepDraft)]
    first, rest = steps[:_SINGLE], steps[_SINGLE:]
    before = head(PLANT)[0]
    return (
        (len(first) / _post_each(first), len(first) / _floor_of_each(before)),
        _bulk(rest),
    )


def _bulk(steps: Sequence[StepDraft]) -> tuple[float, float]:
    movements = sum(len(draft.lines) for draft in steps)
    before = head(PLANT)[0]
    door, who = door_of(PLANT), Who("install", Role.ENGINEER)
    begun = time.perf_counter()
    for start in range(0, len(steps), _MANY):
        door.post_many(steps[start : start + _MANY], who)
    seconds = time.perf_counter() - begun
    floor = _floor_of_many(before)
    return movements / seconds, movements / floor


def _post_each(steps: Sequence[StepDraft]) -> float:
    door, who = door_of(PLANT), Who("install", Role.ENGINEER)
    begun = time.perf_counter()
    for draft in steps:
        door.post(draft, who)
    return time.perf_counter() - begun


def _floor_of_each(before: int) -> float:
    bare = Bare(["ledger_entry"])
    seconds = bare.copy("ledger_entry", f"WHERE seq > {before}", batch=1)
    bare.drop()
    return seconds


_NEWER = {
    "ledger_entry": "seq",
    "ledger_posted": "seq",
    "ledger_lot": "seq",
    "ledger_step": "seq",
    "ledger_touch": "step",
    "ledger_loss": "step",
}


def _floor_of_many(before: int) -> float:
    bare = Bare(list(_NEWER))
    seconds = sum(
        bare.copy(table, f"WHERE {column} > {before} ORDER BY {column}", batch=2 * _MANY)
        for table, column in _NEWER.items()
    )
    bare.drop()
    return seconds
