"""Flexural strength, tested in the laboratory next door: bars of some lots of each form product.

Read :func:`bending_of`. Drawn apart from everything else, so that no other figure depends on it.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.demo.clock import DAY, END, HOUR, next_open
from beadwright.demo.description import LB
from beadwright.demo.inspection import of_lots
from beadwright.demo.noise import Noise
from beadwright.demo.presses import Made
from beadwright.demo.sheets import Strength
from beadwright.demo.strength import CONDITIONED_H

__all__ = ["BARS", "bending_of"]

BARS = 4
_EVERY = 3 * DAY
_FT3 = 0.3048**3
_PSI, _PER_PCF, _AT_PCF = 43.0, 28.0, 1.45
"""Foam of 1.45 lb/ft³ in the middle of what such foam is sold with; invented."""

_BETWEEN, _WITHIN = 1.2, 1.5  # psi, from lot to lot and from bar to bar


def bending_of(made: Sequence[Made], apart: frozenset[str], noise: Noise) -> list[Strength]:
    """Test bars of a lot of each product every third day; ``apart`` are lots that nobody sends."""
    products: dict[str, list[tuple[str, Sequence[Made]]]] = {}
    for name, stretches in of_lots(made).items():
        if stretches[0].carton is not None and name not in apart:
            products.setdefault(stretches[0].row.product, []).append((name, stretches))
    rows: list[Strength] = []
    for _, lots in sorted(products.items()):
        last: int | None = None
        for name, lot in sorted(lots, key=lambda one: one[1][-1].row.at):
            day = lot[-1].row.at // DAY * DAY
            if last is None or day - last >= _EVERY:
                last = day
                bars = _bars(name, lot, noise)
                rows += bars if bars[-1].at <= END else []
    return rows


def _bars(name: str, stretches: Sequence[Made], noise: Noise) -> list[Strength]:
    one = noise.pick(stretches)
    rested = noise.whole(CONDITIONED_H + 1, CONDITIONED_H + 8)
    at = next_open(stretches[-1].row.ended + rested * HOUR + noise.whole(0, 60))
    pcf = one.density_kg_m3 / LB * _FT3
    mean = _PSI + _PER_PCF * (pcf - _AT_PCF) + noise.normal(_BETWEEN)
    return [
        Strength(
            at=at + 6 * number,
            by="HE",
            lot=name,
            specimen=f"{name}-B{number}",
            conditioned=float(rested),
            bending=round(mean + noise.normal(_WITHIN), 1),
            method="ASTM C203",
            instrument="UTM-1",
        )
        for number in range(1, BARS + 1)
    ]
