"""A published limit as typed data: who printed it, how it was read, who has verified it.

Read first: :class:`Limit`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from beadwright.units import Kind

__all__ = [
    "Bound",
    "Column",
    "Edition",
    "Gap",
    "Limit",
    "NotMoulded",
    "Product",
    "Read",
    "Standard",
    "Statistic",
    "describe",
]

Bound = Literal["min", "max", "within"]  # within: the size of the deviation, either sign
Product = Literal["form block", "board", "tie", "geofoam"]
Statistic = Literal["each_specimen", "mean_of_specimens", "largest_of_specimens", "declared_90_90"]

_BOUND_WORDS = {"min": "at least", "max": "at most", "within": "within ±"}


@dataclass(frozen=True, slots=True)
class Read:
    """How a figure came here: found in a named source, or from memory with a grade."""

    how: Literal["found", "memory"]
    grade: Literal["", "hi", "med"] = ""
    source: str = ""
    what: str = ""

    def __str__(self) -> str:
        """Return the words that a paper prints."""
        if self.how == "found":
            return f"read in {self.what}"
        strength = {"hi": "sure", "med": "less sure"}[self.grade]
        return f"from memory ({strength})"


@dataclass(frozen=True, slots=True)
class Column:
    """One printed value of a limit: the figure, its unit, its exact SI value, how it was read."""

    value: Decimal
    unit: str
    si: Decimal
    read: Read

    def __str__(self) -> str:
        """Return the figure as printed, with its unit."""
        return f"{self.value} {self.unit}"


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition of a standard, with the day another took its place, where known."""

    id: str
    cite: str
    superseded_on: date | None = None
    note: str = ""
    superseded_by: str = ""
    """Cite of the next edition seen; empty of the newest."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One bound on one characteristic of one product type in one edition of one standard.

    The normative column decides; the informative one is the other printed column, which is
    often no conversion of it. ``or_share`` widens a tolerance to that share of the nominal.
    """

    standard: str
    edition: str
    cite: str
    clause: str
    product_type: str
    characteristic: str
    kind: Kind
    statistic: Statistic
    statistic_read: Read
    methods: tuple[str, ...]
    bound: Bound
    normative: Column
    informative: Column | None
    applies_to: tuple[Product, ...]
    specimens: int | None = None
    or_share: Decimal | None = None
    note: str = ""
    verified_by: str = ""
    verified_on: date | None = None
    id: str = ""
    """Such as ``ASTM C578/10/II/density``: what a signature names; one in all standards."""

    @property
    def is_verified(self) -> bool:
        """Whether a person has compared this row with the paid text and signed it."""
        return bool(self.verified_by)


@dataclass(frozen=True, slots=True)
class Gap:
    """What a standard limits and we do not carry, and why."""

    characteristic: str
    why: str


@dataclass(frozen=True, slots=True)
class NotMoulded:
    """Types of a standard that no moulder makes, kept to refuse a wrong code."""

    types: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class Standard:
    """One standard: its editions, its limits, and what is known to be missing."""

    designation: str
    title: str
    use: Literal["limits", "cross-check"]
    normative_system: Literal["si", "us"]
    normative_read: Read
    normative_note: str
    editions: tuple[Edition, ...]
    limits: tuple[Limit, ...]
    gaps: tuple[Gap, ...] = ()
    not_moulded: NotMoulded = NotMoulded()


def describe(limit: Limit) -> str:
    """Return a limit in one line: what, how much, by whom, where, and how far to trust it."""
    words = _BOUND_WORDS[limit.bound] + ("" if limit.bound == "within" else " ")
    what = f"{limit.characteristic.replace('_', ' ')} {words}{limit.normative}"
    how = f"{limit.statistic.replace('_', ' ')}, {' or '.join(limit.methods)}"
    trust = (
        f"verified by {limit.verified_by} on {limit.verified_on}"
        if limit.is_verified
        else f"unverified: {limit.normative.read}"
    )
    return f"{what} ({how}); {limit.cite}, {limit.clause}, {limit.product_type}; {trust}"
