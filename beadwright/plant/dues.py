"""What is due: periodic and type tests by product, and which lots in stock wait for one.

Read :func:`standing`, the rule, and :func:`due`, which asks the record.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from beadwright.ledger import lots, onward, settings
from beadwright.plant import calibrations, timelines
from beadwright.plant.limits import Rulebook, rulebook
from beadwright.plant.plan import LOT, PERIODIC, Planbook, PlanRow, day_at
from beadwright.plant.proofs import Proof
from beadwright.plant.tested import asked_by_limits, limits_of
from beadwright.plant.timelines import ProductSamples, Samples
from beadwright.plant.upstream import zone_of

__all__ = ["Due", "DueState", "Taken", "due", "standing"]

DueState = Literal["failed", "never", "overdue", "due_soon", "in_time"]

_WORST: tuple[DueState, ...] = ("failed", "overdue", "never", "due_soon", "in_time")
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Taken:
    """One sample as :func:`standing` reads it."""

    sampled: date
    passed: bool
    until: date | None
    """Last day of making that it covers; None: without an end."""
    source: str = ""
    result: str = ""


@dataclass(frozen=True, slots=True)
class Due:
    """How one test of one product stands on a day."""

    product: str
    plan: str
    """Row of the plan, or the limit that asks."""
    characteristic: str
    evidence: str
    every: str
    specimens: int
    method: str
    state: DueState
    last: Taken | None
    """The sample that the state rests on."""
    next_due: date | None
    """Day of the next sample at the latest; None where none is due."""
    in_days: int | None
    """Days until then; below zero, days overdue."""
    waiting: tuple[str, ...]
    """Lots in stock that no passed test covers."""


@dataclass(frozen=True, slots=True)
class _Known:
    """What was read of a plant for all its tests."""

    plan: Planbook
    rules: Rulebook
    samples: Samples


def standing(
    samples: Iterable[Taken], day: date, warn_days: int
) -> tuple[DueState, Taken | None, date | None]:
    """Say how a test stands on a day, by which sample, and when the next is due.

    The newest sample decides: one that failed has to be followed by one that passes, at once. Of
    those that passed since, the one that covers longest. A sample is due on the day after the last
    that is covered, and overdue from the day after that.
    """
    taken = sorted((one for one in samples if one.sampled <= day), key=lambda one: one.sampled)
    if not taken:
        return "never", None, None
    failed = [one for one in taken if not one.passed]
    since = [
        one for one in taken if one.passed and (not failed or one.sampled > failed[-1].sampled)
    ]
    if not since:
        return "failed", failed[-1], day
    longest = max(since, key=lambda one: (one.until or date.max, one.sampled))
    if longest.until is None:
        return "in_time", longest, None
    due_on = longest.until + _DAY
    if day > due_on:
        return "overdue", longest, due_on
    return ("due_soon" if (due_on - day).days <= warn_days else "in_time"), longest, due_on


def due(plant_no: int, at_ms: int) -> tuple[Due, ...]:
    """Every periodic and type test that the plan or a limit asks for, the worst first.

    Of lot tests ``assess`` tells: they are due with every lot.
    """
    in_force = settings.load(plant_no)
    plan, zone = Planbook(in_force), zone_of(in_force)
    if not plan.in_force(at_ms):
        return ()
    rules = rulebook(plant_no, in_force)
    samples = timelines.load(plant_no, plan, calibrations.load(plant_no, in_force), zone)
    known = _Known(plan, rules, samples)
    waiting = _waiting(plant_no, known)
    day = day_at(at_ms, zone)
    found = [
        _due(product, row, taken, day, waiting.get((product, row.characteristic, row.evidence), ()))
        for product, _ in in_force.all("product", at_ms)
        for row, taken in _taken_of(product, at_ms, known)
    ]
    far = date.max
    found.sort(
        key=lambda one: (_WORST.index(one.state), one.next_due or far, one.product, one.plan)
    )
    return tuple(found)


def _asked(product: str, at_ms: int, known: _Known) -> Iterator[tuple[PlanRow, ProductSamples]]:
    """Periodic and type tests that are asked of a product at a time, with its samples."""
    if not known.plan.in_force(at_ms):
        return
    limits = known.rules.limits(product, at_ms)
    rows = known.plan.rows(product, at_ms)
    asking = [*rows, *asked_by_limits(product, rows, limits)]
    for row in asking:
        if row.evidence != LOT:
            yield row, known.samples.of(product, row, limits_of(row, asking, limits))


def _taken_of(product: str, at_ms: int, known: _Known) -> Iterator[tuple[PlanRow, list[Taken]]]:
    for row, found in _asked(product, at_ms, known):
        yield row, [_taken(proof, row, known.samples) for proof in found.proofs.values()]


def _taken(proof: Proof, row: PlanRow, samples: Samples) -> Taken:
    until = samples.ends(proof, row)
    return Taken(proof.sampled, bool(proof.passed), until, proof.source, proof.result)


def _due(
    product: str, row: PlanRow, known: Sequence[Taken], day: date, waiting: tuple[str, ...]
) -> Due:
    state, last, next_due = standing(known, day, row.warn_days)
    return Due(
        product, row.name, row.characteristic, row.evidence, row.often, row.specimens, row.method,
        state, last, next_due, None if next_due is None else (next_due - day).days, waiting,
    )  # fmt: skip


def _waiting(plant_no: int, known: _Known) -> Mapping[tuple[str, str, str], tuple[str, ...]]:
    """Find the lots in stock that no passed test covers, by product and test."""
    views = lots.get_many(plant_no, onward.in_plant(plant_no))
    makings = lots.makings(plant_no, views)
    uncovered: dict[str, list[PlanRow]] = {}
    for code, steps in makings.items():
        made = steps[-1].at_ms
        for row, found in _asked(views[code].product, made, known):
            untimed = row.evidence == PERIODIC and row.every is None
            if untimed or found.timeline.at(made).state != "covers":
                uncovered.setdefault(code, []).append(row)
    waiting: dict[tuple[str, str, str], tuple[str, ...]] = {}
    for code in sorted(uncovered, key=lambda one: views[one].no):
        for row in uncovered[code]:
            key = (views[code].product, row.characteristic, str(row.evidence))
            waiting[key] = (*waiting.get(key, ()), code)
    return waiting
