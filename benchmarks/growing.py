"""How long questions take as the ledger grows to ten million movements; memory, and posting then.

What a question costs must follow from its answer, not from the ledger: a trace forward of a mixed
bag and of a carton of ties end in some 10,000 lots at 0.1, 1 and 10 million movements alike. The
stores are made by :mod:`benchmarks._grown`, which says how, and why it is fair. A question and its
floor take turns, so that other work on the machine falls on both.
"""

from __future__ import annotations

import resource
import time
from collections.abc import Callable, Iterator, Sized
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from statistics import median

from beadwright.interop.recorded import Recorded
from beadwright.interop.sheets.intake import read
from beadwright.ledger.draft import StepDraft
from beadwright.ledger.lots import plant_number
from beadwright.ledger.trace import Direction, reached, trace
from beadwright.plant.access import Role, Who
from beadwright.plant.opening import Plant, door_of, open_plant
from beadwright.plant.recall.scope import scope
from beadwright.plant.recall.told import scope_json
from benchmarks import Result
from benchmarks._grown import FEW, copied, copies, grow, grown, later_folder
from benchmarks._stores import PLANT, WIDE_LOTS, Store, apart, both
from benchmarks.tracing import codes

__all__ = ["run"]

_SIZES = (FEW, 1_000_000, 10_000_000)
_REPEATS = 9
_RECALLS = 3
_BAG, _CARTON, _BUNDLE, _PLAIN_BAG = "WIDE-1", "TC-W", "BU-300-2-1", "B-300"
_MANY = 1000
_MB = 1000
"""ru_maxrss counts kilobytes."""


@dataclass(frozen=True)
class _Asked:
    """What one store of one size said."""

    ms: dict[str, tuple[float, float]]
    """Of each trace, its time and that of its floor."""
    lots: dict[str, int]
    recall: float
    peak_mb: float


def run() -> list[Result]:
    """Ask both stores at each size, and post into the largest."""
    return [result for like in both() for result in _on(like)]


def _on(like: Store) -> Iterator[Result]:
    store = grown(like)
    found: list[_Asked] = []
    for size in _SIZES:
        if size > FEW:
            grow(store, size)
        found.append(apart(store, _ask))
        yield from _results(found[-1], f"{_short(size)}, {store.name}")
    yield from _grew(found[0], found[-1], store.name)
    rate = apart(store, _post, later_folder())
    target = None if store.postgresql else 15_000
    yield Result(
        f"post_many by {_MANY:,} at {_short(size)}, {store.name}", round(rate), "movements/s",
        target, note="every rule applied",
    )  # fmt: skip


def _results(asked: _Asked, where: str) -> Iterator[Result]:
    for name, (ms, floor) in asked.ms.items():
        target = _TARGETS[name]
        note = f"{asked.lots[name]:,} lots; floor: their codes by one recursive query"
        yield Result(
            f"{name} at {where}", round(ms, 1), "ms", target, round(floor, 1) or None, "lower",
            note if floor else f"{asked.lots[name]:,} lots",
        )  # fmt: skip
        if floor and target == _TARGETS[_OF_BAG]:
            yield Result(
                f"the same by the bare query at {where}", round(ms / floor, 2), "times", 3,
                better="lower",
            )  # fmt: skip
    note = "the whole report of a recall of the bag, as a program reads it"
    yield Result(f"recall at {where}", round(asked.recall, 3), "s", 1, better="lower", note=note)
    yield Result(
        f"peak memory of these questions at {where}", round(asked.peak_mb), "MB", 300,
        better="lower",
    )  # fmt: skip


def _grew(first: _Asked, last: _Asked, name: str) -> Iterator[Result]:
    """Say by how much each question takes longer in a ledger a hundred times as large."""
    for what, (ms, _) in last.ms.items():
        times = ms / first.ms[what][0]
        yield Result(
            f"{what}, at {_short(_SIZES[-1])} by {_short(FEW)}, {name}", round(times, 2), "times",
            2, better="lower",
        )  # fmt: skip


def _short(size: int) -> str:
    return f"{size / 1e6:g} million"


_OF_BAG = "trace forward of a mixed bag"
_TARGETS: dict[str, float | None] = {
    _OF_BAG: 60,
    "trace forward of a tie carton": 60,
    "trace forward of a mixed bag, each lot's step named": None,
    "trace forward of a bag of few lots": None,
    "trace back of a bundle": 5,
}
"""A trace forward gives masses, shares and bounds, as a recall takes it. What is shown lot by lot
names the step that joins each too, and lists them in the order of the steps."""


def _ask() -> _Asked:
    no = plant_number(PLANT)
    middle = copies() // 2
    few, bundle = copied(_PLAIN_BAG, middle), copied(_BUNDLE, middle)
    asked: tuple[tuple[Callable[[], Sized], str | None], ...] = (
        (lambda: reached(no, _BAG).code, _BAG),
        (lambda: reached(no, _CARTON).code, _CARTON),
        (lambda: trace(no, _BAG, "forward").lots, _BAG),
        (lambda: reached(no, few).code, None),
        (lambda: trace(no, bundle, "back").lots, None),
    )
    ms, lots = {}, {}
    for name, (ask, floored) in zip(_TARGETS, asked, strict=True):
        lots[name] = len(ask())
        bare = partial(codes, no, floored, forward=True) if floored else None
        ms[name] = _in_turn(ask, bare)
    assert lots[_OF_BAG] >= 3 * WIDE_LOTS
    plant = open_plant(PLANT)
    recall, _ = _in_turn(partial(_report, plant), None, _RECALLS)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / _MB
    _same_in_a_copy(no)
    return _Asked(ms, lots, recall / 1000, peak)


def _report(plant: Plant) -> object:
    return scope_json(plant, scope(plant.no, [_BAG]))


def _in_turn(
    ours: Callable[[], object], bare: Callable[[], object] | None, repeats: int = _REPEATS
) -> tuple[float, float]:
    """Milliseconds of a question and of its floor, which take turns."""
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(repeats):
        for ask, into in zip((ours, bare), times, strict=True):
            if ask is not None:
                begun = time.perf_counter()
                ask()
                into.append(time.perf_counter() - begun)
    return 1000 * median(times[0]), 1000 * median(times[1] or [0.0])


def _same_in_a_copy(no: int) -> None:
    """Hold that a copy is as the door would have written it: its trace is that of what it copies.

    The silo's share is of all that ever came into it, and so is not compared.
    """
    last = copies()
    asked: tuple[tuple[str, Direction], ...] = ((_BUNDLE, "back"), (_PLAIN_BAG, "forward"))
    for code, way in asked:
        masses = [
            {one.lot.code.removesuffix(f"-C{last}"): one.mg for one in trace(no, of, way).lots}
            for of in (code, copied(code, last))
        ]
        assert masses[0] == masses[1]


def _post(folder: Path) -> float:
    """Movements a second, posted in bulk after all that is there."""
    intake = read([folder], Recorded(PLANT))
    assert not intake.faults
    assert not intake.questions
    steps = [draft for draft in intake.drafts if isinstance(draft, StepDraft)]
    door, who = door_of(PLANT), Who("install", Role.ENGINEER)
    begun = time.perf_counter()
    for start in range(0, len(steps), _MANY):
        door.post_many(steps[start : start + _MANY], who)
    return sum(len(draft.lines) for draft in steps) / (time.perf_counter() - begun)
