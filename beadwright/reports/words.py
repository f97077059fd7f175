"""What every paper says in the same words: cautions, names of figures.

A certificate's content carries these texts, so that a later wording leaves issued papers as they
are.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.plant.bounds import OWN, LimitInForce
from beadwright.plant.expanded import expanded_in
from beadwright.plant.verdicts import LimitResult

__all__ = [
    "BOUNDS",
    "CAUTIONS",
    "INVENTED",
    "KINDS",
    "NAMES_APART",
    "STATISTICS",
    "asked_of",
    "by_whom",
    "expanded",
    "in_words",
    "iso",
    "local",
    "per_cent",
    "status_of",
]

CAUTIONS = (
    (
        "Maker's record, not third-party certification. Shows what was tested and when; type tests"
        " are referenced, not repeated."
    ),
    "Local code and licensed practice govern.",
)
INVENTED = (
    "DEMONSTRATION: an invented plant, invented people and invented figures. No such product was"
    " made or tested."
)
NAMES_APART = "People are named by the ids of the record; the plant keeps their names apart."

BOUNDS: Mapping[str, str] = {"min": "at least", "max": "at most", "within": "within"}
STATISTICS: Mapping[str, str] = {"each": "each piece", "mean": "mean"}
KINDS: Mapping[str, str] = {"lot_test": "lot test", "periodic_test": "periodic test",
                            "type_test": "type test"}  # fmt: skip

_LEAST_SHARE = 0.0005
"""Below it a share would read 0.0 %."""


def asked_of(limit: LimitInForce) -> str:
    """Say what a limit asks: bound, value, unit, statistic."""
    bound = f"{BOUNDS[limit.bound]} {limit.value} {limit.unit}"
    return f"{bound}, {STATISTICS[limit.statistic]}"


def status_of(limit: LimitInForce) -> str:
    """Say whether a limit's figure was verified against the paid text, and by whom."""
    if limit.verified is None:
        how = f"; {limit.set_how}" if limit.set_how else ""
        return f"{OWN}, as its setting says{how}"
    if not limit.verified:
        return f"unverified: {limit.how_read}"
    if not limit.verified_by:
        return f"verified: {limit.how_read}"
    return f"verified against the paid text by {limit.verified_by}, {limit.verified_on}"


def in_words(name: str) -> str:
    """Give a name of the record in words."""
    return name.replace("_", " ")


def by_whom(by: str, account: str) -> str:
    """Say who stands for an entry; where nobody is named, how it came.

    >>> by_whom("P-13", "import:41f44036"), by_whom("", "import:41f44036"), by_whom("", "install")
    ('P-13', 'import 41f44036, nobody named', 'install')
    """
    if by or not account.startswith("import:"):
        return by or account
    return f"import {account.partition(':')[2]}, nobody named"


def iso(at_ms: int, zone: ZoneInfo) -> str:
    """Give a time as ISO 8601 writes it, with the zone's offset."""
    return datetime.fromtimestamp(at_ms / 1000, zone).isoformat(timespec="seconds")


def local(at_ms: int, zone: ZoneInfo) -> str:
    """Give a time as the plant's clock showed it, to the minute."""
    return datetime.fromtimestamp(at_ms / 1000, zone).strftime("%Y-%m-%d %H:%M")


def per_cent(share: float) -> str:
    """Give a share in per cent, to a tenth."""
    return "under 0.1 %" if 0 < share < _LEAST_SHARE else f"{100 * share:.1f} %"


def expanded(one: LimitResult) -> str:
    """Give the expanded uncertainty (k = 2) in the limit's unit, two figures; empty if unknown.

    Where a part of it is not known, what is known is the least that it may be.
    """
    limit = one.limit
    sure, number = expanded_in((one,), limit.unit)
    return f"{'at least ' if sure == 'least' else ''}{number} {limit.unit}" if number else ""
