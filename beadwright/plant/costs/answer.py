"""What a good block costs, part by part, for a span, told apart as :data:`BY` says.

Read :func:`costs`. Masses and counts are the record's; prices the plant's own, and where one is
not set its part is unknown. What scrap gives back as reclaim is not taken off.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, get_args

from beadwright.errors import Misuse
from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.bead_bags import most_of
from beadwright.plant.costs.moulded import Moulded, moulded
from beadwright.plant.lots_read import evidence_of
from beadwright.plant.opening import Plant
from beadwright.plant.physical import physical
from beadwright.plant.products import product_at
from beadwright.plant.spans import span_asked, span_of

__all__ = ["BY", "By", "Costs", "Part", "Row", "costs", "costs_asked"]

By = Literal["product", "press", "day", "grade", "shift", "bead bag"]
BY: tuple[By, ...] = get_args(By)
"""What costs can be told apart by."""

_STATES = ("dry", "24h")


@dataclass(frozen=True, slots=True)
class Part:
    """One part of what a good block costs."""

    name: str
    per_block: float | None
    """In the plant's money; None where a price lacks."""
    amount: float | None
    """What it is of, per good block: kg, or minutes."""
    unit: str


@dataclass(frozen=True, slots=True)
class Row:
    """Good blocks told apart by one thing, and what one of them costs."""

    name: str
    good: int
    scrap: int
    parts: tuple[Part, ...]
    scrap_by_cause: tuple[tuple[str, int, float | None], ...]
    """Cause, blocks, and money per good block; most blocks first."""
    per_cent: float | None
    """What one per cent of density is worth, per good block."""
    point: float | None
    """What one point of scrap is worth, per good block."""

    @property
    def share_scrap(self) -> float:
        """Scrapped blocks of all that were moulded."""
        return self.scrap / (self.good + self.scrap)

    @property
    def total(self) -> float | None:
        """The sum; None where a part is unknown."""
        each = [one.per_block for one in self.parts]
        return None if any(one is None for one in each) else sum(one or 0.0 for one in each)


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


def costs_asked(plant: Plant, since: str = "", until: str = "", by: str = "product") -> Costs:
    """Read what was asked, and answer it; without a span, the last seven days.

    Raises
    ------
    Misuse
        If a day is none, the span is turned round or longer than 400 days, or there is no such
        way to tell costs apart.
    """
    span = span_asked(plant, since, until)
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
    lacks: dict[str, None] = {}
    prices = _Prices(in_force, to_ms, lacks)
    rows = [
        _row(name, group, prices, heavier)
        for name, group in sorted(groups.items())
        if sum(one.good for one in group)
    ]
    return Costs(since, until, by, tuple(rows), tuple(lacks))


def _bags(plant_no: int, some: Iterable[Moulded]) -> dict[str, str]:
    """Give by lot the bead bag that most of its foam comes from."""
    return {code: most_of(plant_no, code) for code in {one.lot for one in some if one.lot}}


def _names(one: Moulded, by: By, in_force: Settings, bags: Mapping[str, str]) -> Sequence[str]:
    if by == "grade":
        beads = [name for name in one.grades if _of(in_force, name, one.at_ms) == "bead"]
        return [" and ".join(beads) or "no grade known"]
    told = {"product": one.product, "press": one.press, "day": one.day, "shift": one.shift,
            "bead bag": bags.get(one.lot, "")}  # fmt: skip
    return [told[by] or "not said"]


def _of(in_force: Settings, grade: str, at_ms: int) -> object:
    return (in_force.at("grade", grade, at_ms) or {}).get("of")


class _Prices:
    """Prices in force, and which of those asked for are not set."""

    def __init__(self, in_force: Settings, at_ms: int, lacks: dict[str, None]) -> None:
        self._in_force, self._at_ms, self._lacks = in_force, at_ms, lacks

    def kg_of(self, grades: Iterable[str], of: str) -> float | None:
        """Mean price of a kilogram of some grades of beads or ties."""
        named = [one for one in grades if _of(self._in_force, one, self._at_ms) == of]
        found = [self._number("grade", one, "price_per_kg") for one in named]
        known = [one for one in found if one is not None]
        return sum(known) / len(known) if known and len(known) == len(found) else None

    def hour_of(self, press: str) -> float | None:
        """What an hour of a press costs."""
        return self._number("place", press, "cost_per_h")

    def aim(self, product: str) -> float | None:
        """Foam of a block as it is set up, dry, in kg."""
        known = product_at(self._in_force, product, self._at_ms)
        return None if known is None else known.foam_mass_kg

    def _number(self, topic: str, name: str, key: str) -> float | None:
        found = physical(self._in_force, topic, name, key, self._at_ms)
        if found is None:
            self._lacks[f"[{topic}.{name}] {key}"] = None
        return found


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


def _sum(values: Iterable[float | None]) -> float | None:
    total = 0.0
    for one in values:
        if one is None:
            return None
        total += one
    return total


def _row(name: str, group: Sequence[Moulded], prices: _Prices, heavier: Mapping[str, float]) -> Row:
    good, scrap = sum(one.good for one in group), sum(one.scrap for one in group)
    share = [one.good / (one.good + one.scrap) for one in group]
    foam = [one.foam_kg * part for one, part in zip(group, share, strict=True)]
    ties = [one.ties_kg * part for one, part in zip(group, share, strict=True)]
    over = [heavier.get(one.lot, 0.0) * one.good for one in group]
    aimed = [
        one.good * aim if (aim := prices.aim(one.product)) else mass - more
        for one, mass, more in zip(group, foam, over, strict=True)
    ]
    beads, tied = (
        _priced(group, masses, prices, of) for masses, of in ((aimed, "bead"), (ties, "tie"))
    )
    scrapped, lost_kg = _scrapped(group, foam, ties, prices)
    press = _pressed(group, prices)
    weighed = any(one.lot in heavier for one in group)
    parts = (
        Part("beads, as set up", beads, sum(aimed) / good, "kg"),
        Part("overweight", _priced(group, over, prices, "bead") if weighed else None,
             sum(over) / good if weighed else None, "kg"),
        Part("ties", tied, sum(ties) / good, "kg"),
        Part("scrap", scrapped, lost_kg / good, "kg"),
        press,
    )  # fmt: skip
    whole = _sum((beads, tied, press.per_block))
    return Row(
        name, good, scrap, parts, _causes(group, scrap, scrapped),
        None if beads is None else beads / 100,
        None if whole is None else whole / 100 / (1 - scrap / (good + scrap)),
    )  # fmt: skip


def _priced(
    group: Sequence[Moulded], masses: Iterable[float], prices: _Prices, of: str
) -> float | None:
    """Money of masses of beads or ties, a good block."""
    total = _sum(
        None if (price := prices.kg_of(one.grades, of)) is None else mass * price
        for one, mass in zip(group, masses, strict=True)
        if mass
    )
    return None if total is None else total / sum(one.good for one in group)


def _scrapped(
    group: Sequence[Moulded], foam: Sequence[float], ties: Sequence[float], prices: _Prices
) -> tuple[float | None, float]:
    """Money of what was scrapped, a good block, and its mass."""
    lost_foam = [one.foam_kg - mass for one, mass in zip(group, foam, strict=True)]
    lost_ties = [one.ties_kg - mass for one, mass in zip(group, ties, strict=True)]
    money = _sum((
        _priced(group, lost_foam, prices, "bead"), _priced(group, lost_ties, prices, "tie"),
    ))  # fmt: skip
    return money, sum(lost_foam) + sum(lost_ties)


def _pressed(group: Sequence[Moulded], prices: _Prices) -> Part:
    """Minutes of the press a good block, and their money."""
    good, minutes = sum(one.good for one in group), _sum(one.minutes for one in group)
    money = _sum(
        None if one.minutes is None or (cost := prices.hour_of(one.press)) is None
        else one.minutes / 60 * cost
        for one in group
    )  # fmt: skip
    return Part(
        "press", None if money is None else money / good,
        None if minutes is None else minutes / good, "min",
    )  # fmt: skip


def _causes(
    group: Sequence[Moulded], scrap: int, money: float | None
) -> tuple[tuple[str, int, float | None], ...]:
    found: dict[str, int] = {}
    for one in group:
        if one.scrap:
            found[one.cause] = found.get(one.cause, 0) + one.scrap
    each = sorted(found.items(), key=lambda pair: (-pair[1], pair[0]))
    return tuple(
        (cause, count, None if money is None else money * count / scrap) for cause, count in each
    )
