"""The evidence plan of a plant: which test each characteristic of a product needs, how often.

Read :class:`PlanRow` first; :class:`Planbook` gives the rows in force for a product at a time.
What is due of them is :func:`beadwright.plant.dues.due`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal, cast
from zoneinfo import ZoneInfo

from beadwright.ledger.settings import Settings
from beadwright.plant.frequency import By, Every, every_of
from beadwright.plant.reports import ALL

__all__ = [
    "LOT",
    "PERIODIC",
    "TYPE",
    "WARN_DAYS",
    "Kind",
    "PlanRow",
    "Planbook",
    "day_at",
    "start_of",
]

Kind = Literal["lot_test", "periodic_test", "type_test"]

LOT: Kind = "lot_test"
PERIODIC: Kind = "periodic_test"
TYPE: Kind = "type_test"

_TOPIC = "plan"
WARN_DAYS = {TYPE: 14, PERIODIC: 2, LOT: 0}
"""Days before it is due that a test is told as due soon, where the plan does not say."""


@dataclass(frozen=True, slots=True)
class PlanRow:
    """What evidence one characteristic of a product needs."""

    name: str
    product: str
    """``*`` where it holds for every product that has no row of its own."""
    characteristic: str
    evidence: Kind
    every: Every | None
    """None of a type test; of a periodic test, where no plan says how often."""
    specimens: int = 0
    method: str = ""
    conditioning_h: int = 0
    warn_days: int = 0

    @property
    def often(self) -> str:
        """How often, as written; empty of a type test."""
        return self.every.text if self.every is not None else ""


class Planbook:
    """Rows of the plan by product and date; asked for many lots, it reads each only once."""

    def __init__(self, settings: Settings, only: frozenset[str] | None = None) -> None:
        """Take every dated setting of the plant; ``only``: rows of these characteristics alone."""
        self._settings, self._only = settings, only
        self.names = settings.names(_TOPIC)
        self._changes = sorted(
            {since for name in self.names for since, _ in settings.versions(_TOPIC, name)}
        )
        self._rows: dict[tuple[str, int], tuple[PlanRow, ...]] = {}

    def __bool__(self) -> bool:
        """Whether the plant ever set up a plan."""
        return bool(self.names)

    def in_force(self, at_ms: int) -> bool:
        """Whether the plant had a plan at a time, for any product."""
        return bool(self._changes) and self._changes[0] <= at_ms

    def version(self, at_ms: int) -> int:
        """Number of the plan's state at a time: two times with one number have the same plan."""
        return bisect_right(self._changes, at_ms)

    def rows(self, product: str, at_ms: int) -> tuple[PlanRow, ...]:
        """Rows in force for a product at a time, its own before those of every product."""
        key = (product, self.version(at_ms))
        if key not in self._rows:
            found: dict[tuple[str, str], PlanRow] = {}
            for name, body in self._settings.all(_TOPIC, at_ms):
                if body.get("product") not in {product, ALL} or not self._wanted(body):
                    continue
                row = _row(name, body)
                before = found.get((row.characteristic, row.evidence))
                if before is None or before.product == ALL:
                    found[row.characteristic, row.evidence] = row
            self._rows[key] = tuple(found[one] for one in sorted(found))
        return self._rows[key]

    def all_characteristics(self) -> frozenset[str]:
        """Characteristics that any row was ever about."""
        return frozenset().union(*map(self.characteristics, WARN_DAYS))

    def characteristics(self, evidence: Kind) -> frozenset[str]:
        """Characteristics that any row of a kind of evidence was ever about."""
        return frozenset(
            str(body["characteristic"])
            for name in self.names
            for _, body in self._settings.versions(_TOPIC, name)
            if body["evidence"] == evidence and self._wanted(body)
        )

    def _wanted(self, body: Mapping[str, object]) -> bool:
        return self._only is None or body["characteristic"] in self._only

    def made_every(self, evidence: Kind) -> frozenset[By]:
        """How often any row of a kind of evidence was ever made."""
        return frozenset(
            every_of(str(body["every"])).by
            for name in self.names
            for _, body in self._settings.versions(_TOPIC, name)
            if body["evidence"] == evidence and body.get("every")
        )


def _row(name: str, body: Mapping[str, object]) -> PlanRow:
    evidence = cast("Kind", str(body["evidence"]))
    often = str(body.get("every", ""))
    return PlanRow(
        name,
        str(body["product"]),
        str(body["characteristic"]),
        evidence,
        every_of(often) if often else None,
        _whole(body, "specimens", 0),
        str(body.get("method", "")),
        _whole(body, "conditioning_h", 0),
        _whole(body, "warn_days", WARN_DAYS[evidence]),
    )


def _whole(body: Mapping[str, object], key: str, instead: int) -> int:
    return int(str(body[key])) if key in body else instead


def day_at(at_ms: int, zone: ZoneInfo) -> date:
    """Give the day of the plant's calendar."""
    return datetime.fromtimestamp(at_ms / 1000, zone).date()


def start_of(day: date, zone: ZoneInfo) -> int:
    """Give the instant at which a day of the plant's calendar begins."""
    return round(datetime(day.year, day.month, day.day, tzinfo=zone).timestamp() * 1000)
