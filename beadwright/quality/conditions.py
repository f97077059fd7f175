"""The conditions of a reading: what they are called, in which units, and what they were in SI.

Read :data:`CONDITIONS`, then :func:`stated`. A condition is a fact of a reading, kept as keyed.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from beadwright.errors import UnitError
from beadwright.units import Kind, parse_number, to_si

__all__ = [
    "APART",
    "CONDITIONED_H",
    "CONDITIONS",
    "CURVE",
    "CUT_AT",
    "DEPARTED",
    "HOURS",
    "LACKS",
    "SAMPLE",
    "WORKED_FROM",
    "fact_of",
    "stated",
]

CONDITIONED_H = "conditioned_h"
"""Hours that a specimen was conditioned, a bare number."""
CUT_AT = "cut_at"
"""Where in the block a specimen lay, in words."""
SAMPLE = "sample"
"""Code of the sample that a specimen was cut from."""
CURVE = "curve"
"""Hash of the kept curve that a result was read from."""
LACKS = "uncertainty_lacks"
"""Parts that the uncertainty of a reading does not hold, in words: it is known in part."""
WORKED_FROM = "worked_from"
"""Figures that a result was worked out from, in words."""
DEPARTED = "departed"
"""What a reduction found to be otherwise than its method asks, in words; see :data:`APART`."""
APART = " | "
"""Parts what a reduction found, in one text."""

CONDITIONS: Mapping[str, Kind] = MappingProxyType({
    "conditioned": "duration",
    "temperature": "temperature",
    "humidity": "fraction",
    "thickness": "length",
    "mean_temperature": "temperature",
    "temperature_difference": "temperature_difference",
    "exposed": "duration",
    "exposed_at": "temperature",
    "exposed_humidity": "fraction",
    "age": "duration",
})  # fmt: skip
"""Conditions by name, as :mod:`beadwright.lab.methods` asks for them, with their kind of unit."""

HOURS: Mapping[str, str] = {"conditioned": CONDITIONED_H, "age": "age_h"}
"""Conditions whose fact is a bare number of hours."""
_HOUR = 3600.0


def fact_of(condition: str) -> str:
    """Give the fact that a condition is kept as."""
    return HOURS.get(condition, condition)


def stated(facts: Mapping[str, str]) -> dict[str, float]:
    """Give every condition that a reading states, in SI; one that cannot be read is not stated."""
    found: dict[str, float] = {}
    for name, kind in CONDITIONS.items():
        text = facts.get(fact_of(name), "")
        number, _, unit = text.partition(" ")
        try:
            if name in HOURS and number:
                found[name] = float(parse_number(number, decimal=".")) * _HOUR
            elif number:
                found[name] = float(to_si(parse_number(number, decimal="."), unit, kind))
        except UnitError:
            continue
    return found
