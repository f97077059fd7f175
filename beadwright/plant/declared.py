"""What thermal results bear: a value to declare, and the largest label.

Read :func:`borne`. It rests on reports that count; nothing is declared by it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import BeadwrightError
from beadwright.plant.reports import Report
from beadwright.quality.characteristics import kind_of
from beadwright.statistics.tolerance import Side, declared_value, judge_label
from beadwright.units import from_si, parse_number, to_si

__all__ = ["Borne", "borne"]

_CONDUCTIVITIES = ("thermal_conductivity", "thermal_conductivity_10c")
_RESISTANCES = ("thermal_resistance", "thermal_resistance_40f")
_STEP = 0.001
"""To which a conductivity is declared, in W/(m·K): EN 13163 [from memory]."""

_LEAST = 2
_HUNDREDTHS = 100  # to which a label is rounded, downwards
_ASKED = 10
"""Results that EN 13172 asks for before a value is declared [from memory]."""


@dataclass(frozen=True, slots=True)
class Borne:
    """What the results of one product bear."""

    product: str
    characteristic: str
    count: int
    words: str


def borne(reports: Iterable[Report]) -> Iterator[Borne]:
    """Say of each product with two results or more what they bear, by characteristic."""
    found: dict[tuple[str, str], list[tuple[float, str]]] = {}
    for one in reports:
        if one.withdrawn or one.characteristic not in (*_CONDUCTIVITIES, *_RESISTANCES):
            continue
        read = _read(one)
        if read is not None:
            for product in one.products:
                found.setdefault((product, one.characteristic), []).append(read)
    for (product, characteristic), some in sorted(found.items()):
        if len(some) >= _LEAST:
            conductivity = characteristic in _CONDUCTIVITIES
            words = _declared(some) if conductivity else _labelled(some, characteristic)
            yield Borne(product, characteristic, len(some), words)


def _read(one: Report) -> tuple[float, str] | None:
    kind = kind_of(one.characteristic)
    number, _, unit = one.result.partition(" ")
    try:
        si = to_si(parse_number(number, decimal="."), unit, kind) if kind else None
    except BeadwrightError:  # a result in words
        return None
    return None if si is None else (float(si), unit)


def _declared(some: list[tuple[float, str]]) -> str:
    """Give the value that nine in ten are no worse than, with 90 % confidence, rounded up."""
    told = declared_value([si for si, _ in some], Side.UPPER, _STEP)
    few = "" if told.enough else f"; the method asks for {_ASKED} results"
    return (
        f"a declared conductivity of {told.value:.3f} W/(m·K) (90/90: {told.exact:.5f}; mean"
        f" {told.mean:.5f}, s {told.spread:.5f}, k {told.factor:.2f}){few}"
    )


def _labelled(some: list[tuple[float, str]], characteristic: str) -> str:
    """Give the largest label: no specimen more than 10 % below it, nor nearly all that is made."""
    values = [si for si, _ in some]
    told = judge_label(values, min(values))
    kind, unit = kind_of(characteristic), some[0][1]
    if kind is None:
        return ""
    mean = math.fsum(values) / len(values)
    rule, most = (
        math.floor(_HUNDREDTHS * float(from_si(Decimal(repr(one)), unit, kind))) / _HUNDREDTHS
        for one in (told.largest, min(told.largest, mean))
    )
    return (
        f"a label of {most:.2f} {unit} at most, of the thickness tested: by the rule that no"
        f" specimen is more than 10 % below its label (16 CFR 460.8), held for 99 % of what is made"
        f" with 95 % confidence, {rule:.2f}; and no more than the mean of the results"
    )
