"""What was moulded in a span: each count of a press with its masses, blocks, minutes and cause.

Read :func:`moulded`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.ledger import settings
from beadwright.ledger.yields import Yield, yields
from beadwright.plant.shifts import Shifts

__all__ = ["Moulded", "moulded"]

_MOST = 100_000
_MINUTE_MS = 60_000
_UNSAID = "no cause said"


@dataclass(frozen=True, slots=True)
class Moulded:
    """One count of a press."""

    at_ms: int
    day: str
    """As the plant's calendar calls it."""
    product: str
    press: str
    shift: str
    lot: str
    grades: tuple[str, ...]
    """Of beads and ties."""
    good: int
    scrap: int
    cause: str
    """Of the scrap; empty where there is none."""
    mould: str
    cavity: str
    """That the scrap came out of, as it was keyed; empty where nobody said."""
    foam_kg: float
    ties_kg: float
    minutes: float | None
    """From its beginning to its end; None where it does not say."""


def moulded(plant_no: int, zone: ZoneInfo, since_ms: int, until_ms: int) -> tuple[Moulded, ...]:
    """Give every count of a span, oldest first."""
    shifts = Shifts(settings.load(plant_no), zone)
    some = [
        one
        for kind in ("mould", "produce")
        for one in yields(plant_no, kind, since_ms, _MOST)
        if since_ms <= one.at_ms < until_ms
    ]
    return tuple(_counted(sorted(some, key=lambda one: one.at_ms), zone, shifts))


def _counted(some: list[Yield], zone: ZoneInfo, shifts: Shifts) -> Iterator[Moulded]:
    for one in some:
        said = one.facts
        good, scrap = _whole(said.get("good", "")), _whole(said.get("scrap", ""))
        if not good and not scrap:
            continue
        began, ended = _whole(said.get("started", "")), _whole(said.get("ended", ""))
        yield Moulded(
            one.at_ms,
            f"{datetime.fromtimestamp(one.at_ms / 1000, zone):%Y-%m-%d}",
            one.product,
            one.place,
            shifts.of(said, one.at_ms),
            said.get("lot", ""),
            tuple(sorted(one.grades)),
            good,
            scrap,
            said.get("cause", "") or _UNSAID if scrap else "",
            said.get("mould", ""),
            said.get("cavity", "") if scrap else "",
            one.in_from.get("prefoam", 0) / 1e6,
            one.in_from.get("tie", 0) / 1e6,
            (ended - began) / _MINUTE_MS if began and ended > began else None,
        )


def _whole(text: str) -> int:
    return int(text) if text.isdecimal() else 0
