"""Limits as a list: those printed that we carry, who signed them, and the plant's own.

Read :func:`listed`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.ledger import settings
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.limits import Rulebook
from beadwright.plant.signing import Signature, signatures
from beadwright.plant.upstream import zone_of
from beadwright.standards import Gap, Limit, find, standards, superseded

__all__ = ["Listed", "ListedGap", "OwnLimit", "PrintedLimit", "listed"]


@dataclass(frozen=True, slots=True)
class PrintedLimit:
    """A printed limit, the products judged by it, and the signature that stands, if any."""

    row: Limit
    products: tuple[str, ...]
    superseded: str
    """What took the place of its edition, in words; empty where it is the newest seen."""
    signature: Signature | None


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """A limit in force that is not printed in a standard, or cannot be found there."""

    product: str
    limit: LimitInForce


@dataclass(frozen=True, slots=True)
class ListedGap:
    """What a standard limits and we do not carry."""

    standard: str
    gap: Gap


@dataclass(frozen=True, slots=True)
class Listed:
    """Limits of a plant at a time."""

    printed: tuple[PrintedLimit, ...]
    own: tuple[OwnLimit, ...]
    gaps: tuple[ListedGap, ...]
    """Of the standards listed."""


def listed(plant_no: int, at_ms: int, *, standard: str = "", everything: bool = False) -> Listed:
    """List the limits in force at a time; all rows of one standard, or of all, where so asked."""
    in_force = settings.load(plant_no)
    signed = signatures(plant_no, zone_of(in_force))
    rules = Rulebook(in_force, signed)
    products: dict[str, list[str]] = {}
    own = []
    for product in in_force.names("product"):
        for limit in rules.limits(product, at_ms):
            if limit.printed is None:
                own.append(OwnLimit(product, limit))
            else:
                products.setdefault(limit.printed.id, []).append(product)
    rows = find(designation=standard or None)
    if not standard and not everything:
        rows = tuple(row for row in rows if row.id in products)
    named = {row.standard for row in rows} | {standard}
    return Listed(
        tuple(_printed(row, products, signed) for row in rows),
        () if standard else tuple(own),
        tuple(
            ListedGap(source.designation, gap)
            for source in standards()
            if source.designation in named
            for gap in source.gaps
        ),
    )


def _printed(
    row: Limit, products: Mapping[str, list[str]], signed: Mapping[str, Signature]
) -> PrintedLimit:
    after = superseded(row.standard, row.edition)
    return PrintedLimit(row, tuple(products.get(row.id, ())), after, signed.get(row.id))
