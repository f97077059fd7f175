"""Nonconformities put together by cause, as one concession closes them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.ledger import decided, holds
from beadwright.ledger.holds import Nonconformity

__all__ = ["Caused", "by_cause"]


@dataclass(frozen=True, slots=True)
class Caused:
    """Nonconformities that share a cause, in order of happening."""

    cause: str
    code: str
    lot: str
    closed: bool
    reason: str
    """Reason of the concession that closed it."""
    steps: tuple[Nonconformity, ...]


def by_cause(plant_no: int, causes: Iterable[str] | None = None) -> list[Caused]:
    """Give every cause, or those named: the open ones first, then by when it first happened."""
    found: dict[str, list[Nonconformity]] = {}
    for one in holds.nonconformities(plant_no, causes):
        found.setdefault(one.cause, []).append(one)
    given = decided.concessions(plant_no)
    grouped = [
        Caused(
            cause,
            steps[0].code,
            steps[0].lot,
            all(one.closed for one in steps),
            given[cause].reason if cause in given else "",
            tuple(steps),
        )
        for cause, steps in found.items()
    ]
    return sorted(grouped, key=lambda one: (one.closed, one.steps[0].at_ms))
