"""What the release queue and the page of one lot's release show."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from beadwright.errors import Fault
from beadwright.plant.assessment import FOUND_WRONG, LotAssessment, Reason
from beadwright.plant.doubted import look_back_first
from beadwright.plant.limit_rows import LimitRow, rows
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.reasons_in_units import in_units
from beadwright.plant.release_queue import Queue, Ready, Waiting
from beadwright.plant.release_words import against, headline, signing, standing
from beadwright.plant.restatements import sentences
from beadwright.plant.words import in_runs
from beadwright.units import System

__all__ = ["Doubted", "LotRelease", "QueuePage", "ReadyRow", "WaitingRow", "lot_page", "queue_page"]

_TOLD_APART = {"readings_restated", FOUND_WRONG}
"""Reasons that the page tells where it says what the answer rests on, and before the button."""

_SORTS = {"may_ship": "good", "not_enough_evidence": "ask", "may_not_ship": "stop"}


@dataclass(frozen=True, slots=True)
class ReadyRow:
    """A lot that waits for signatures."""

    ready: Ready
    signed: str
    """Who has signed, by name."""
    to_do: str


@dataclass(frozen=True, slots=True)
class Doubted:
    """Lots with readings by the same instruments, which were found wrong since."""

    first: str
    """What to look back on before they are signed."""
    instruments: tuple[str, ...]
    rows: tuple[ReadyRow, ...]


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """Lots that wait for the same one thing."""

    waiting: Waiting
    runs: str
    """The lots, in runs."""
    first: str
    """The oldest, to go on to."""


@dataclass(frozen=True, slots=True)
class QueuePage:
    """The release queue."""

    ready: tuple[ReadyRow, ...]
    doubted: tuple[Doubted, ...]
    """Those with readings by an instrument that was found wrong since, by instrument."""
    doubted_lots: int
    asked: tuple[WaitingRow, ...]
    stopped: tuple[WaitingRow, ...]
    leaving: str
    """Lots that may leave, in runs."""
    asked_lots: int
    stopped_lots: int
    leaving_lots: int
    may_release: bool
    """Whether who looks may release."""
    rule: str
    """How many release a lot, and since when."""


@dataclass(frozen=True, slots=True)
class LotRelease:
    """One lot, as it stands to be released."""

    lot: LotAssessment
    words: str
    sort: str
    standing: tuple[str, ...]
    given: tuple[int, ...]
    """Entries of the releases given, over whatever evidence."""
    limits: tuple[LimitRow, ...]
    first: Reason
    others: tuple[Reason, ...]
    doubts: tuple[Reason, ...]
    """Readings by an instrument that was found wrong since: told before the button."""
    restated: tuple[str, ...]
    """Which readings a correction restated, took out or added; who did, and when."""
    may_release: bool
    """Whether who looks may sign it now."""
    has_signed: bool
    """Whether who looks has signed this evidence."""
    faults: tuple[Fault, ...] = ()
    """Why a release was refused."""
    done: str = ""
    whom: str = ""
    """Whom a release waits for, where who looks may give none, or has given theirs."""
    then: str = ""
    """The next lot that who has signed may sign."""


def queue_page(plant: Plant, told: Queue, units: System, *, may_release: bool) -> QueuePage:
    """Give what the queue shows, in units of choice."""
    named = Named.of(plant)
    return QueuePage(
        tuple(_to_sign(one, named) for one in told.ready),
        tuple(_doubted(told.doubted, named)),
        len(told.doubted),
        tuple(_row(one, units) for one in told.asked),
        tuple(_row(one, units) for one in told.stopped),
        in_runs(told.leaving),
        sum(len(one.lots) for one in told.asked),
        sum(len(one.lots) for one in told.stopped),
        len(told.leaving),
        may_release,
        told.rule,
    )


def _to_sign(one: Ready, named: Named) -> ReadyRow:
    return ReadyRow(
        one,
        ", ".join(map(named, one.signed)) or "nobody yet",
        signing(one.to_sign, one.to_sign + len(one.signed)),
    )


def _doubted(some: Iterable[Ready], named: Named) -> Iterator[Doubted]:
    """Put lots together by the instruments that were found wrong."""
    together: dict[tuple[str, ...], list[Ready]] = {}
    for one in some:
        key = tuple(sorted({reason.about for reason in one.doubts}))
        together.setdefault(key, []).append(one)
    for instruments, ready in together.items():
        rows = tuple(_to_sign(one, named) for one in ready)
        yield Doubted(look_back_first(ready[0].doubts), instruments, rows)


def lot_page(
    plant: Plant, lot: LotAssessment, by: str, units: System, *, may_release: bool
) -> LotRelease:
    """Give what the page of one lot's release shows to a person, in units of choice."""
    reasons = in_units(lot.reasons, lot.limits, units)
    named, first = Named.of(plant), reasons[0]
    if lot.answer == "may_ship":  # nothing stands in the way: what it rests on comes first
        first = next((one for one in reasons if one.code == "limits_met"), first)
    signed = any(one.by == by and one.evidence == lot.evidence for one in lot.given)
    return LotRelease(
        lot,
        headline(lot),
        "ask" if lot.answer == "may_ship" and against([lot]) else _SORTS[lot.answer],
        tuple(named.within(line) for line in standing(lot, plant.zone)),
        tuple(one.seq for one in lot.given),
        rows(lot.limits, units),
        first,
        tuple(one for one in reasons if one is not first and one.code not in _TOLD_APART),
        lot.doubts,
        tuple(named.within(f"{text} ({source})") for text, source in sentences(lot.restated)),
        may_release and not signed and lot.answer == "may_ship" and bool(lot.to_sign),
        signed,
    )


def _row(one: Waiting, units: System) -> WaitingRow:
    (reason,) = in_units((one.reason,), one.limits, units)
    return WaitingRow(replace(one, reason=reason), in_runs(one.lots), one.lots[0])
