"""What a good block costs, part by part, for a span, told apart as :data:`BY` says.

Read :func:`costs`. Masses and counts are the record's; prices the plant's own, and where one is
not set its part is unknown. What scrap gives back as reclaim is not taken off.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args

from beadwright.errors import Misuse
from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.bead_bags import most_of
from beadwright.plant.costs.mix import products_of, with_mix
from beadwright.plant.costs.moulded import Moulded, moulded
from beadwright.plant.costs.prices import Price, Prices
from beadwright.plant.costs.rows import Part, Row, row
from beadwright.plant.lots_read import evidence_of
from beadwright.plant.mass_off import uncertainty_of
from beadwright.plant.opening import Plant
from beadwright.plant.products import product_at
from beadwright.plant.spans import span_asked, span_of

__all__ = [
    "ALL",
    "BY",
    "DAYS",
    "UNSAID",
    "By",
    "Costs",
    "Day",
    "Part",
    "Row",
    "costs",
    "costs_asked",
]

By = Literal["product", "press", "day", "grade", "shift", "bead bag"]
BY: tuple[By, ...] = get_args(By)
"""What costs can be told apart by."""

DAYS = 7
"""Days that are shown where none are asked: a plant counts thousands of blocks in them."""

ALL = "all blocks"
"""What stands for every group, where days are told apart."""

_MIXED = frozenset({"day", "shift"})
"""What makes the same products in other shares, so that their mix is told apart."""

UNSAID = "not said"
"""What blocks are told under of which nobody said it."""

_STATES = ("dry", "24h")


@dataclass(frozen=True, slots=True)
class Day:
    """What a good block of one group cost on one day."""

    day: date
    good: int
    per_block: float | None
    """In the plant's money; None where a price lacks."""
    whole: bool
    """Whether overweight is in it: it is where a lot of that day was weighed."""


@dataclass(frozen=True, slots=True)
class Costs:
    """What good blocks of a span cost."""

    since: date
    until: date
    """Last day, included."""
    by: By
    rows: tuple[Row, ...]
    lacks: tuple[str, ...]
    """Prices that are not set, as a person would set them."""
    prices: tuple[Price, ...]
    """Those that were used."""
    pentane: tuple[tuple[str, float | None], ...]
    """What the raw beads of each grade hold, per wet bead; None where it is not set."""
    off: float
    """Relative standard uncertainty of masses; 0 where nobody said."""
    days: Mapping[str, tuple[Day, ...]]
    """By row, what a good block cost day by day; told apart by day, all of them as one."""


def costs_asked(plant: Plant, since: str = "", until: str = "", by: str = "product") -> Costs:
    """Read what was asked, and answer it; without a span, the last seven days.

    Raises
    ------
    Misuse
        If a day is none, the span is turned round or longer than 400 days, or there is no such
        way to tell costs apart.
    """
    span = span_asked(plant, since, until, days=DAYS)
    if by not in BY:
        message = f"costs are not told apart by {by!r}; by {', '.join(BY)}"
        raise Misuse(message)
    return costs(plant, span.since, span.until, by)


def costs(plant: Plant, since: date, until: date, by: By) -> Costs:
    """Work out what good blocks of a span of days cost."""
    span = span_of(plant, since, until)
    to_ms = span.to_ms
    some = moulded(plant.no, plant.zone, span.from_ms, to_ms)
    in_force = settings.load(plant.no)
    heavier = _overweight(plant.no, in_force, some, to_ms)
    groups: dict[str, list[Moulded]] = {}
    bags = _bags(plant.no, some) if by == "bead bag" else {}
    for one in some:
        for name in _names(one, by, in_force, bags):
            groups.setdefault(name, []).append(one)
    prices, off = Prices(in_force, to_ms), uncertainty_of(plant.no)
    rows = tuple(
        row(name, group, prices, heavier, off)
        for name, group in sorted(groups.items())
        if _good(group)
    )
    if by in _MIXED:
        products = products_of(some)
        whole = (row(name, of, prices, heavier) for name, of in products.items() if _good(of))
        rows = with_mix(rows, groups, whole)
    lines = {ALL: some} if by == "day" else {one.name: groups[one.name] for one in rows}
    days = {name: tuple(_days(group, prices, heavier)) for name, group in lines.items()}
    pentane = tuple(sorted(prices.pentane.items()))
    return Costs(since, until, by, rows, prices.lacks, prices.used, pentane, off, days)


def _good(some: Iterable[Moulded]) -> int:
    return sum(one.good for one in some)


def _days(group: Iterable[Moulded], prices: Prices, heavier: Mapping[str, float]) -> Iterator[Day]:
    by_day: dict[str, list[Moulded]] = {}
    for one in group:
        by_day.setdefault(one.day, []).append(one)
    for day, some in sorted(by_day.items()):
        if good := _good(some):
            found = row(day, some, prices, heavier)
            yield Day(date.fromisoformat(day), good, found.known, found.total is not None)


def _bags(plant_no: int, some: Iterable[Moulded]) -> dict[str, str]:
    """Give by lot the bead bag that most of its foam comes from."""
    return {code: most_of(plant_no, code) for code in {one.lot for one in some if one.lot}}


def _names(one: Moulded, by: By, in_force: Settings, bags: Mapping[str, str]) -> Sequence[str]:
    if by == "grade":
        beads = [name for name in one.grades if _of(in_force, name, one.at_ms) == "bead"]
        return [" and ".join(beads) or "no grade known"]
    told = {"product": one.product, "press": one.press, "day": one.day, "shift": one.shift,
            "bead bag": bags.get(one.lot, "")}  # fmt: skip
    return [told[by] or UNSAID]


def _of(in_force: Settings, grade: str, at_ms: int) -> object:
    return (in_force.at("grade", grade, at_ms) or {}).get("of")


def _overweight(
    plant_no: int, in_force: Settings, some: Sequence[Moulded], at_ms: int
) -> Mapping[str, float]:
    """Give by lot how much heavier its foam is than set up, in kg a block, where it was weighed."""
    codes = list(dict.fromkeys(one.lot for one in some if one.lot))
    products = {one.lot: one.product for one in some}
    found: dict[str, float] = {}
    for code, here in evidence_of(plant_no, codes, in_force, at_ms).items():
        known = product_at(in_force, products[code], at_ms)
        for state in _STATES:
            masses = [one.si for one in here.values.get("foam_mass", ()) if one.state == state]
            if masses and known is not None and known.foam_mass_kg:
                found[code] = sum(masses) / len(masses) - known.foam_mass_kg
                break
    return found
