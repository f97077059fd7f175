"""Pieces that were moulded without all of their ties: too light by just that, and weighed so.

Read :func:`plant_short` first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.demo.description import LB
from beadwright.demo.faults import SHORT, Fault
from beadwright.demo.inspection import of_lots
from beadwright.demo.noise import Noise
from beadwright.demo.presses import Made
from beadwright.demo.sheets import Inspection, Row
from beadwright.demo.weeks import Weeks

__all__ = ["Short", "plant_short"]

_LOTS = (2, 3)
_MOST = 2  # ties that a piece may lack
_MANY = 5  # pieces weighed of a lot, of which two may be short


@dataclass(frozen=True)
class Short:
    """The fault, and the rows of the inspection sheet as they are because of it."""

    fault: Fault
    rows: list[Row]


def plant_short(weeks: Weeks, kinds: Mapping[str, str]) -> Short:
    """Choose lots in which nothing else went wrong, and pieces of them that lack ties."""
    noise = Noise(weeks.seed, "short ties")
    rows = [row for row in weeks.rows["inspections"] if isinstance(row, Inspection)]
    looked = {row.lot for row in rows if row.checked is not None}
    lots = of_lots(weeks.made)
    fitting = sorted(lot for lot in looked - kinds.keys() if lots[lot][0].carton is not None)
    changed: dict[int, Inspection] = {}
    lacking: dict[str, dict[str, int]] = {}
    for lot in noise.some(fitting, noise.whole(*_LOTS)):
        weighed = [row for row in rows if row.lot == lot and row.length is not None]
        many = 1 + int(len(weighed) >= _MANY and noise.chance(0.5))
        for row in noise.some(weighed, many):
            short = noise.whole(1, _MOST)
            changed[id(row)] = _lighter(row, short * _tie_kg(lots[lot]))
            lacking.setdefault(lot, {})[row.specimen] = short
    found = [changed.get(id(row), row) for row in rows]
    return Short(_fault(list(changed.values()), lacking), [*found])


def _tie_kg(lot: Sequence[Made]) -> float:
    carton = lot[0].carton
    return carton.true_kg if carton is not None else 0.0


def _lighter(row: Inspection, kg: float) -> Inspection:
    return replace(row, mass=round((row.mass or 0.0) - kg / LB, 2))


def _fault(rows: Sequence[Inspection], lacking: Mapping[str, Mapping[str, int]]) -> Fault:
    return Fault(
        SHORT,
        f"In {len(lacking)} lots some pieces were moulded without all of their ties.",
        min(row.at for row in rows),
        "",
        "inspections",
        tuple(sorted(rows, key=lambda row: row.at)),
        tuple(sorted(lacking)),
        ties_missing={lot: dict(sorted(of.items())) for lot, of in sorted(lacking.items())},
    )
