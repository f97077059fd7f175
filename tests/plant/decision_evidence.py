"""Evidence for the decision table: what may be read of a lot, or reported of its product.

Each function gives one that enters it into a yard. The lot in question is ``L1``, made on
10 September; readings are taken with balance ``BAL-2``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from beadwright.ledger.draft import Decision, Reading, StepDraft
from tests.plant.asking import block
from tests.plant.planning import LATE, STRENGTH, hours, report
from tests.plant.yard import Yard, ms

__all__ = ["READ_LATE", "Evidence", "Table", "changed", "counted", "first_then", "own_good", "read"]
__all__ += ["reported", "strong", "weighed"]

_READ, READ_LATE = hours(12, 0), hours(45, 0)
_A_DAY = {"state": "24h", "age_h": "26"}
_CONDITIONED = {"conditioned_h": "48"}


@dataclass
class Table:
    """A yard with the keys of the steps that a cell restates."""

    yard: Yard
    keys: dict[str, str] = field(default_factory=dict)
    first: dict[str, StepDraft] = field(default_factory=dict)
    """Those steps as they were keyed first."""
    last: tuple[str, ...] = ()
    """What the bad evidence is found by."""
    instrument: str = "BAL-2"
    """What readings are taken with, where their evidence does not say."""

    def copy(self) -> Table:
        """Give one of the same store, so that what is done to it can be rolled back."""
        yard = replace(self.yard, steps=dict(self.yard.steps))
        return Table(yard, dict(self.keys), self.first)

    def post(self, kind: str, about: str, **body: Any) -> None:
        """Post a decision, however often the same was said before."""
        key = f"{kind}/{about}/{len(self.keys)}"
        self.keys[key] = key
        self.yard.post(Decision(key, ms(LATE), kind, about, body, by="P-13"))


Evidence = Callable[[Table], tuple[str, ...]]
"""Enters evidence; gives what it is found by: keys of readings, or numbers of reports."""


def read(
    name: str,
    *values: str,
    facts: Mapping[str, str] | None = None,
    lot: str = "L1",
    at: float = _READ,
    instrument: str | None = None,
) -> Evidence:
    """Values of one characteristic, each of a specimen of its own."""

    def enter(table: Table) -> tuple[str, ...]:
        by = table.instrument if instrument is None else instrument
        readings = [
            Reading(name, number, unit, lot=lot, specimen=f"D{i}", instrument=by,
                    facts=facts or _A_DAY)
            for i, (number, unit) in enumerate((value.split(" ", 1) for value in values), 1)
        ]  # fmt: skip
        return (table.yard.read(readings, at),)

    return enter


def weighed(*densities: float, at: float = _READ) -> Evidence:
    """Blocks a day old, of foam of these densities in kg/m³."""
    return read("block_mass_24h", *(f"{block(density):.4f} kg" for density in densities), at=at)


def counted(looked_at: int, bad: int, at: float = _READ) -> Evidence:
    """Pieces looked at, and those of them with bad ties."""

    def enter(table: Table) -> tuple[str, ...]:
        counts = {"checked": looked_at, "defective_ties": bad}
        readings = [
            Reading(name, f"{number}", "pcs", lot="L1", instrument=table.instrument)
            for name, number in counts.items()
        ]
        return (table.yard.read(readings, at),)

    return enter


def strong(*psi: float, lot: str = "L1", at: float = _READ) -> Evidence:
    """Compressive resistance of conditioned specimens, in psi."""
    values = [f"{value} psi" for value in psi]
    return read(STRENGTH, *values, facts=_CONDITIONED, lot=lot, at=at)


def own_good(lot: str) -> Evidence:
    """Strength as a periodic test asks for it, and well above its limit."""
    return strong(16, 17, 16.5, 17.2, 16.8, lot=lot)


def changed(*shares: float, at: float = _READ) -> Evidence:
    """Changes of a dimension of conditioned specimens, in %; shrinkage below zero."""
    values = [f"{value} %" for value in shares]
    return read("dimensional_stability", *values, facts=_CONDITIONED, at=at)


def reported(day: int, result: str, **more: Any) -> Evidence:
    """A laboratory's report on a sample of a day of September."""

    def enter(table: Table) -> tuple[str, ...]:
        number = f"R-{len(table.keys)}"
        table.keys[number] = number
        report(table.yard, number, day, result, **more)
        return (number,)

    return enter


def first_then(*evidence: Evidence) -> Evidence:
    """Enter several; give what the last is found by."""

    def enter(table: Table) -> tuple[str, ...]:
        return [one(table) for one in evidence][-1]

    return enter
