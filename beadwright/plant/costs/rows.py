"""One row of costs: good blocks told apart by one thing, and what one of them costs.

Read :func:`row`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from beadwright.plant.costs.moulded import Moulded
from beadwright.plant.costs.prices import Known, Prices, plus

__all__ = ["OVERWEIGHT", "Part", "Row", "row"]

OVERWEIGHT = "overweight"

_K = 2
"""Standard uncertainties of a band, as certificates of calibration state them."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of what a good block costs."""

    name: str
    per_block: float | None
    """In the plant's money; None where a price lacks."""
    amount: float | None
    """What it is of, per good block: kg, or minutes."""
    unit: str
    why: str = ""
    """Why it is unknown; empty where it is known."""


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
    band: float | None
    """By how much the sum may be off either way, because masses are (k = 2); None where nobody
    said how far they are, or the sum is unknown."""
    mix: float | None = None
    """By how much its mix of products makes a block dearer than one of all blocks; None where that
    is not asked, or a price lacks."""

    @property
    def share_scrap(self) -> float:
        """Scrapped blocks of all that were moulded."""
        return self.scrap / (self.good + self.scrap)

    @property
    def total(self) -> float | None:
        """The sum; None where a part is unknown."""
        return plus(Known(one.per_block) for one in self.parts).value

    @property
    def known(self) -> float | None:
        """The sum, overweight left out where no lot was weighed; None where another part lacks."""
        some = (one for one in self.parts if one.name != OVERWEIGHT or one.per_block is not None)
        return plus(Known(one.per_block) for one in some).value

    @property
    def same_mix(self) -> float | None:
        """What it would have cost at the mix of all blocks; None where that is not known."""
        return None if self.mix is None or self.known is None else self.known - self.mix


def row(
    name: str,
    group: Sequence[Moulded],
    prices: Prices,
    heavier: Mapping[str, float],
    off: float = 0.0,
) -> Row:
    """Work out one row.

    ``heavier`` is by lot how much more foam than set up a block holds, in kg; ``off`` the relative
    standard uncertainty of masses.
    """
    good, scrap = sum(one.good for one in group), sum(one.scrap for one in group)
    share = [one.good / (one.good + one.scrap) for one in group]
    foam = [one.foam_kg * part for one, part in zip(group, share, strict=True)]
    ties = [one.ties_kg * part for one, part in zip(group, share, strict=True)]
    over = [heavier.get(one.lot, 0.0) * one.good for one in group]
    aimed = [
        one.good * aim if (aim := prices.aim(one.product)) else mass - more
        for one, mass, more in zip(group, foam, over, strict=True)
    ]
    beads, more = (_priced(group, masses, prices, "bead") for masses in (aimed, over))
    tied = _priced(group, ties, prices, "tie")
    lost = _scrapped(group, foam, ties, prices)
    weighed = any(one.lot in heavier for one in group)
    if not weighed:
        more = Known(None, "no lot of it was weighed a day old or dry")
    press = _pressed(group, prices)
    parts = (
        Part("beads, as set up", beads.value, sum(aimed) / good, "kg", beads.why),
        Part(OVERWEIGHT, more.value, sum(over) / good if weighed else None, "kg", more.why),
        Part("ties", tied.value, sum(ties) / good, "kg", tied.why),
        Part("lost in scrap", lost.money.value, lost.kg / good, "kg", lost.money.why),
        press,
    )
    whole = plus((beads, tied, Known(press.per_block))).value
    foams = plus((beads, more if weighed else Known(0.0), lost.foam)).value
    return Row(
        name, good, scrap, parts, _causes(group, scrap, lost.money.value),
        beads.times(1 / 100).value,
        None if whole is None else whole / 100 / (1 - scrap / (good + scrap)),
        None if foams is None or not off else _K * off * foams,
    )  # fmt: skip


def _priced(group: Sequence[Moulded], masses: Iterable[float], prices: Prices, of: str) -> Known:
    """Money of masses of beads or ties, a good block."""
    total = plus(
        prices.kg_of(one.grades, of).times(mass)
        for one, mass in zip(group, masses, strict=True)
        if mass
    )
    return total.times(1 / sum(one.good for one in group))


@dataclass(frozen=True, slots=True)
class _Lost:
    money: Known
    foam: Known
    """Of that, the foam."""
    kg: float


def _scrapped(
    group: Sequence[Moulded], foam: Sequence[float], ties: Sequence[float], prices: Prices
) -> _Lost:
    """Money of what was scrapped, a good block, and its mass."""
    lost_foam = [one.foam_kg - mass for one, mass in zip(group, foam, strict=True)]
    lost_ties = [one.ties_kg - mass for one, mass in zip(group, ties, strict=True)]
    of_foam = _priced(group, lost_foam, prices, "bead")
    of_ties = _priced(group, lost_ties, prices, "tie")
    return _Lost(plus((of_foam, of_ties)), of_foam, sum(lost_foam) + sum(lost_ties))


def _pressed(group: Sequence[Moulded], prices: Prices) -> Part:
    """Minutes of the press a good block, and their money."""
    good = sum(one.good for one in group)
    unsaid = Known(None, "a count does not say when it began and ended")
    minutes = plus(unsaid if one.minutes is None else Known(one.minutes) for one in group)
    money = plus(
        unsaid if one.minutes is None else prices.hour_of(one.press).times(one.minutes / 60)
        for one in group
    )
    amount = minutes.times(1 / good).value
    return Part("press", money.times(1 / good).value, amount, "min", money.why)


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
