"""The laboratory next door: cubes cut from a block of one lot a day, weighed and measured.

Read :func:`cubes` first.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.demo.clock import DAY, DAYS, HOUR, day_start, next_open
from beadwright.demo.inspection import of_lots
from beadwright.demo.noise import Noise
from beadwright.demo.presses import Made
from beadwright.demo.sheets import Specimen

__all__ = ["cubes"]

_CUBES = 3
_SIDE_MM = (100.0, 100.0, 50.0)
_REST = 2 * DAY  # conditioned before it is weighed
_WITHIN = 0.004  # of the density, from place to place in a block
_FIRST, _LAST = 8 * HOUR, 11 * HOUR


def cubes(made: Sequence[Made], apart: frozenset[str], noise: Noise) -> list[Specimen]:
    """Cut cubes of one lot of form blocks each day; ``apart`` are lots that nobody sent."""
    rows: list[Specimen] = []
    lots = of_lots(made)
    for working in range(DAYS):
        midnight = day_start(working)
        of_day = [
            name
            for name, lot in lots.items()
            if lot[0].carton is not None
            and midnight <= lot[0].row.at < midnight + DAY
            and name not in apart
        ]
        if of_day:
            at = midnight + _REST + noise.whole(_FIRST, _LAST)
            name = noise.pick(of_day)
            rows += _cut(name, lots[name], next_open(at), noise)
    return rows


def _cut(name: str, lot: Sequence[Made], at: int, noise: Noise) -> list[Specimen]:
    one = noise.pick(lot)
    rows = []
    for number in range(1, _CUBES + 1):
        length, width, height = (round(side + noise.normal(0.25), 1) for side in _SIDE_MM)
        density = one.density_kg_m3 * (1 + noise.normal(_WITHIN))
        grams = density * length * width * height / 1e6
        rows.append(
            Specimen(
                at=at + 3 * number,
                by="HE",
                lot=name,
                specimen=f"{name}-C{number}",
                length=length,
                width=width,
                height=height,
                mass=round(grams + noise.normal(0.01), 2),
                instrument="BAL-L1",
            )
        )
    return rows
