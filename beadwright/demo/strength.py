"""Strength, tested on the plant's own press: specimens of each product, several times a week.

Read :func:`strength_of` first. In one week nobody thinks of one product until its last result no
longer speaks for what is made.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from beadwright.demo.clock import DAY, DAYS, END, HOUR, day_start, next_open
from beadwright.demo.description import LB
from beadwright.demo.inspection import of_lots
from beadwright.demo.noise import Noise
from beadwright.demo.presses import Made
from beadwright.demo.sheets import Strength

__all__ = ["CONDITIONED_H", "FORGETFUL", "SPECIMENS", "WEEK", "Tested", "strength_of"]

SPECIMENS = 5
CONDITIONED_H = 40
WEEK = 7 * DAY
FORGETFUL = ("FB6S", "FB8S")
"""Products of which a test may be forgotten: they are made on most days."""

_EVERY = 2 * DAY
_FORGOTTEN = (
    5,
    6,
    7,
    8,
    10,
    11,
)  # working days that lapse; on the day after, somebody thinks of it
_FT3 = 0.3048**3
_WITHIN = 0.4  # psi, from specimen to specimen


@dataclass(frozen=True)
class Tested:
    """Rows of the sheet, the product and day that lapsed, and lots that no result speaks for."""

    rows: list[Strength]
    product: str
    day: int
    """Midnight before it."""
    lapsed: tuple[str, ...]
    waiting: frozenset[str]
    """Lots whose result is not there yet."""


@dataclass(frozen=True)
class _Lot:
    name: str
    made: Sequence[Made]

    @property
    def at(self) -> int:
        return self.made[-1].row.at

    @property
    def day(self) -> int:
        return self.at // DAY * DAY


def strength_of(made: Sequence[Made], apart: frozenset[str], noise: Noise) -> Tested:
    """Test specimens; ``apart`` are lots that nobody sends to the laboratory."""
    products: dict[str, list[_Lot]] = {}
    for name, stretches in of_lots(made).items():
        if stretches[0].carton is not None:
            products.setdefault(stretches[0].row.product, []).append(_Lot(name, stretches))
    for every in products.values():
        every.sort(key=lambda lot: lot.at)
    product, day = _forgotten(products, apart, noise)
    rows: list[Strength] = []
    lapsed: list[str] = []
    waiting: set[str] = set()
    for name, lots in sorted(products.items()):
        kept = (day,) if name == product else ()
        samples = _samples([lot for lot in lots if lot.name not in apart], kept)
        known = []
        for sample in samples:
            of = _specimens(sample, noise)
            if of[-1].at <= END:
                rows += of
                known.append(sample)
        for lot in lots:
            if not _speaks(known, lot):
                if kept and lot.day == day:
                    lapsed.append(lot.name)
                else:
                    waiting.add(lot.name)
    return Tested(rows, product, day, tuple(sorted(set(lapsed) - apart)), frozenset(waiting))


def _forgotten(
    products: Mapping[str, Sequence[_Lot]], apart: frozenset[str], noise: Noise
) -> tuple[str, int]:
    """Choose a product and a day on which its last result is just too old."""
    fitting = []
    for name in FORGETFUL:
        days = {lot.day for lot in products[name] if lot.name not in apart}
        for working in _FORGOTTEN:
            day = day_start(working)
            if {day - WEEK, day, day + DAY} <= days and working + 1 < DAYS:
                fitting.append((name, day))
    return noise.pick(fitting)


def _samples(lots: Iterable[_Lot], forgotten: Sequence[int]) -> list[_Lot]:
    """First lot of a day, every second day; none in the week before what was forgotten."""
    found: list[_Lot] = []
    for lot in lots:
        if found and lot.day == found[-1].day:
            continue
        if any(day - WEEK < lot.day <= day for day in forgotten):
            continue
        asked = any(lot.day in {day - WEEK, day + DAY} for day in forgotten)
        if asked or not found or lot.day - found[-1].day >= _EVERY:
            found.append(lot)
    return found


def _speaks(samples: Sequence[_Lot], lot: _Lot) -> bool:
    """Whether a sample was made within the week up to the lot; the first, in the week after."""
    if any(one.at <= lot.at and lot.day - one.day < WEEK for one in samples):
        return True
    return bool(samples) and 0 <= samples[0].day - lot.day <= WEEK and lot.at < samples[0].at


def _specimens(lot: _Lot, noise: Noise) -> list[Strength]:
    one = noise.pick(lot.made)
    rested = noise.whole(CONDITIONED_H + 1, CONDITIONED_H + 6)
    at = next_open(lot.made[-1].row.ended + rested * HOUR + noise.whole(0, 60))
    pcf = one.density_kg_m3 / LB * _FT3
    mean = 18.2 + 13 * (pcf - 1.45) + noise.normal(0.3)
    return [
        Strength(
            at=at + 4 * number,
            by="HE",
            lot=lot.name,
            specimen=f"{lot.name}-F{number}",
            conditioned=float(rested),
            strength=round(mean + noise.normal(_WITHIN), 1),
            method="ASTM D1621",
            instrument="UTM-1",
        )
        for number in range(1, SPECIMENS + 1)
    ]
