"""Limits as a list: those printed that we carry, who signed them, and the plant's own.

Read :func:`listed`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.ledger import entered, lots, settings
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.limits import rulebook
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.printed_limits import name_of
from beadwright.plant.reasons import BOUND_WORDS
from beadwright.plant.signing import Signature, signatures
from beadwright.plant.upstream import zone_of
from beadwright.standards import Gap, Limit, find, standards, superseded

__all__ = [
    "Listed",
    "ListedGap",
    "OwnLimit",
    "PrintedLimit",
    "SetBy",
    "limits_called",
    "listed",
]


@dataclass(frozen=True, slots=True)
class SetBy:
    """Where a product was given a limit: the entry of the setting, from when on, and by whom."""

    product: str
    entry: int
    since_ms: int
    by: str
    """Id of who is named for it; empty where nobody is."""
    account: str
    """Who keyed it, or the import that brought it."""


@dataclass(frozen=True, slots=True)
class PrintedLimit:
    """A printed limit, the products judged by it, and the signature that stands, if any."""

    row: Limit
    products: tuple[str, ...]
    superseded: str
    """What took the place of its edition, in words; empty where it is the newest seen."""
    signature: Signature | None
    set_by: tuple[SetBy, ...] = ()
    """Of each product what named the standard for it."""

    @property
    def name(self) -> str:
        """How a limit in force by it is called."""
        return name_of(self.row)


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """A limit in force that is not printed in a standard, or cannot be found there."""

    product: str
    limit: LimitInForce
    set_by: SetBy | None = None
    """None where nobody knows."""


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
    rules = rulebook(plant_no, in_force)
    products: dict[str, dict[str, int]] = {}
    own: list[tuple[str, LimitInForce]] = []
    for product in in_force.names("product"):
        for limit in rules.limits(product, at_ms):
            if limit.printed is None:
                own.append((product, limit))
            else:
                products.setdefault(limit.printed.id, {})[product] = limit.set_by
    by = _set_by(plant_no, ((p, one.set_by) for p, one in own), products.values())
    rows = find(designation=standard or None)
    if not standard and not everything:
        rows = tuple(row for row in rows if row.id in products)
    named = {row.standard for row in rows} | {standard}
    return Listed(
        tuple(_printed(row, products, signed, by) for row in rows),
        () if standard else tuple(OwnLimit(p, one, by.get((p, one.set_by))) for p, one in own),
        tuple(
            ListedGap(source.designation, gap)
            for source in standards()
            if source.designation in named
            for gap in source.gaps
        ),
    )


def limits_called(plant: Plant, asked: str) -> list[tuple[str, str, str]]:
    """Give name, words and why of the limits in force that a text names, or whose standard it does.

    A part of the id, of the row's id or of the edition will do.
    """
    found, upper = listed(plant.no, moment(plant)), asked.upper()
    told = [
        (one.limit.name, _own_said(one.limit), f"limit of {one.product}")
        for one in found.own
        if upper in one.limit.name.upper()
    ]
    told += [
        (one.name, _printed_said(one.row), f"printed, for {', '.join(one.products)}")
        for one in found.printed
        if any(upper in text.upper() for text in (one.name, one.row.id, one.row.cite))
    ]
    return told


def _own_said(limit: LimitInForce) -> str:
    return _said(limit.characteristic, limit.bound, f"{limit.value:.5g} {limit.unit}")


def _printed_said(row: Limit) -> str:
    return _said(row.characteristic, row.bound, str(row.normative))


def _said(characteristic: str, bound: str, value: str) -> str:
    return f"{characteristic.replace('_', ' ')} {BOUND_WORDS[bound]} {value}"


def _set_by(
    plant_no: int, own: Iterable[tuple[str, int]], printed: Iterable[Mapping[str, int]]
) -> dict[tuple[str, int], SetBy]:
    """Read who stated each setting, by product and entry."""
    asked = {*own, *(pair for some in printed for pair in some.items())}
    found = entered.by_number(lots.plant_code(plant_no), {seq for _, seq in asked if seq})
    return {
        (product, seq): SetBy(
            product, seq, found[seq].draft.happened_at or found[seq].recorded_at,
            found[seq].draft.by, found[seq].account,
        )
        for product, seq in asked if seq in found
    }  # fmt: skip


def _printed(
    row: Limit,
    products: Mapping[str, Mapping[str, int]],
    signed: Mapping[str, Signature],
    by: Mapping[tuple[str, int], SetBy],
) -> PrintedLimit:
    after, named = superseded(row.standard, row.edition), products.get(row.id, {})
    set_by = tuple(by[pair] for pair in named.items() if pair in by)
    return PrintedLimit(row, tuple(named), after, signed.get(row.id), set_by)
