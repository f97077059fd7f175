"""The plant's own tests of foam with the density of what was tested.

Read :func:`own_tests`. A test without a density of its own takes the mean of its lot's blocks.
"""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.ledger import lots
from beadwright.ledger.settings import Settings
from beadwright.plant.lots_read import evidence_of
from beadwright.plant.pieces import Value
from beadwright.plant.weighings import Evidence
from beadwright.quality import readings

__all__ = ["OwnTests", "own_tests"]

_STATES = ("specimen", "dry", "24h")
"""States whose density may speak for a specimen, driest first; never that of a block still wet."""

_MOST = 120
"""Newest lots with such tests that are read."""


@dataclass(frozen=True, slots=True)
class OwnTests:
    """Tests of one characteristic: a density and a value each, in SI."""

    characteristic: str
    density_kg_m3: tuple[float, ...] = ()
    value: tuple[float, ...] = ()
    lots: int = 0

    @property
    def source(self) -> str:
        """Where they come from, in words."""
        return f"{len(self.value)} tests of {self.lots} lots of the plant's own"


def own_tests(
    plant_no: int, in_force: Settings, products: Sequence[str], characteristic: str, at_ms: int
) -> OwnTests:
    """Give the plant's tests of some products until a time."""
    tested = readings.of_characteristics(plant_no, [characteristic])
    views = lots.get_many(plant_no, tested)
    mine = [
        code
        for code, taken in tested.items()
        if code in views and views[code].product in products and taken[0].at_ms <= at_ms
    ][-_MOST:]
    densities: list[float] = []
    values: list[float] = []
    number = 0
    for here in evidence_of(plant_no, mine, in_force, at_ms).values():
        density = _density(here)
        found = here.values.get(characteristic, ())
        if density is not None and found:
            number += 1
            densities += [density] * len(found)
            values += [one.si for one in found]
    return OwnTests(characteristic, tuple(densities), tuple(values), number)


def _density(here: Evidence) -> float | None:
    by_state: dict[str, list[Value]] = {}
    for value in here.values.get("density", ()):
        by_state.setdefault(value.state, []).append(value)
    for state in _STATES:
        if by_state.get(state):
            return statistics.fmean(one.si for one in by_state[state])
    return None
