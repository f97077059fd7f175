"""A visit file as somebody asks for it: since which day, which lots, on which paper.

Read :func:`made`. A shell and a page ask it alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from beadwright.errors import Misuse
from beadwright.plant.access import Who
from beadwright.plant.lot_named import one_lot
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.reports.visit.content import Visit, content, render

__all__ = ["VisitAsked", "VisitFile", "made"]


@dataclass(frozen=True, slots=True)
class VisitAsked:
    """What is asked for, as it was written."""

    since: str
    lots: tuple[str, ...]
    """By code or label, each to be traced both ways."""
    paper: str = "a4"


@dataclass(frozen=True, slots=True)
class VisitFile:
    """A visit file, and what it says."""

    content: Visit
    pdf: bytes


def made(plant: Plant, asked: VisitAsked, who: Who) -> VisitFile:
    """Gather a visit file and set it.

    Raises
    ------
    Misuse
        If the day is none or to come, no lot is named, or one is not in the record.
    """
    try:
        since = date.fromisoformat(asked.since.strip())
    except ValueError as error:
        message = f"{asked.since!r} is no day: write it as 2026-09-01"
        raise Misuse(message) from error
    if not asked.lots:
        message = "name at least one lot to be traced both ways"
        raise Misuse(message)
    codes = tuple(dict.fromkeys(one_lot(plant, text).code for text in asked.lots))
    found = content(plant, since, codes, who, (moment(plant), asked.paper))
    return VisitFile(found, render(found.text))
