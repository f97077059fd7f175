"""What was told last at a pre-expander, each with its entry, newest first.

Read :func:`lines`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from beadwright.ledger.runs import AtMachine
from beadwright.plant.dead_band import Taken
from beadwright.plant.expanding import Expanding
from beadwright.quality.characteristics import SET_AT_EXPANDER
from beadwright.quality.readings import ReadingView
from beadwright.units import System
from beadwright.web.stations.pre_expander.words import figure, unit_of

__all__ = ["Line", "lines"]

_SHOWN = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One entry."""

    seq: int
    at_ms: int
    says: str
    by: str
    is_cup: bool
    """A reading: it is taken back and given anew, which fewer may do than correct a step."""


def lines(found: Expanding, units: System, name: Callable[[str], str]) -> tuple[Line, ...]:
    """Give the newest cups and steps of a machine together."""
    some = [_cup(one, units) for one in found.cups]
    some += [
        Line(one.seq, one.step.at_ms, _says(one.step), one.step.by, is_cup=False)
        for one in found.told
    ]
    some += [_set(one) for one in found.adjusted]
    newest = sorted(some, key=lambda one: (-one.at_ms, -one.seq))[:_SHOWN]
    return tuple(replace(one, by=name(one.by) or one.by) for one in newest)


def _cup(one: Taken, units: System) -> Line:
    value = f"{figure(one.density_kg_m3, units)} {unit_of(units)}"
    says = f"{one.where} cup {one.keyed} in {one.volume}: {value}"
    return Line(one.seq, one.at_ms, says, one.by, is_cup=True)


def _set(one: ReadingView) -> Line:
    what = next(name for name, of in SET_AT_EXPANDER.items() if of == one.characteristic)
    why = f": {one.facts['why']}" if one.facts.get("why") else ""
    return Line(one.seq, one.at_ms, f"{what} set to {one.keyed}{why}", one.by, is_cup=True)


def _says(step: AtMachine) -> str:
    facts = step.facts
    kind = step.step.partition("/")[0]
    silo, bag = facts.get("silo", ""), facts.get("bag", "")
    if facts.get("cause"):
        return f"stood: {facts['cause']}"
    return {
        "expansion_open": f"run {step.run} opened into {silo}",
        "bag_opened": f"bag {bag} opened",
        "bag_off": f"bag {bag} taken off",
        "silo_filled": f"{silo} filled",
        "expansion_runs": f"run {step.run}: bag {bag} into {silo}",
        "expansion_close": f"run {step.run} closed",
    }.get(kind, f"{step.kind.replace('_', ' ')} of run {step.run}")
