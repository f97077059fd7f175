"""A line of the physics as a person reads it: figure and band in the units that were chosen.

Read :func:`told`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any, get_args

from beadwright.plant.worked import ORIGIN_WORDS, Line
from beadwright.units import Kind, System, from_si, show, shown_unit

__all__ = ["Told", "line_json", "rounded_down", "told", "told_all"]

_FIGURES = 4
"""Figures that count where no band says how many."""

_MOST_FIGURES = 3
"""Figures that count of a most, which is rounded down."""

_SLIP = 1e-9
"""What a conversion may lose, so that 4 ft/h stays 4 ft/h."""

_KINDS = frozenset(get_args(Kind))
_FOOT, _BTU, _POUND_MOLE = 0.3048, 1055.05585262, 453.59237
_PLAIN_US: Mapping[str, tuple[float, str]] = {
    "m": (1 / _FOOT, "ft"),
    "m^2/s": (1 / _FOOT**2, "ft^2/s"),
    "J/mol": (_POUND_MOLE / _BTU, "Btu/lbmol"),
}
"""Units that belong to no kind: what they are multiplied by, and the unit, in US customary units.

Foot and pound exact; the Btu of the International Table.
"""

_BARE = frozenset({"1", "money"})
"""Units that are not said: a plant's prices do not say in which money they are."""


@dataclass(frozen=True, slots=True)
class Told:
    """A line in words."""

    key: str
    title: str
    value: str
    """With its unit; ``unknown`` where something is missing, ``no answer`` where it was refused,
    ``none`` where the answer is that there is none."""
    band: str
    """Such as ``20.1 to 22.4 kg/m³``; empty where there is none."""
    trust: str
    """In the words of :class:`beadwright.science.trust.Trust`."""
    origin: str
    source: str
    formula: str
    inputs: tuple[str, ...]
    """Titles and values of what it is worked out from."""
    lacking: tuple[str, ...]
    refused: str
    causes: tuple[str, ...]
    narrowed_by: tuple[str, ...]
    unknown: bool
    trust_sort: str
    """``exact``, ``estimate`` or ``what_if``."""


def told(line: Line, inputs: Sequence[Line], units: System) -> Told:
    """Give a line in words; ``inputs`` are the lines that it names."""
    value = "no answer" if line.refused else "unknown"
    if line.origin == "none":
        value = "none"
    band = ""
    if line.value is not None and line.at_most:
        value = rounded_down(line.value, line.kind, units)
    elif line.value is not None:
        digits = _digits(line, units)
        value = _figure(line.value, line.kind, units, digits)
        if line.low is not None and line.high is not None and line.low < line.high:
            ends = [_figure(end, line.kind, units, digits) for end in (line.low, line.high)]
            band = f"{ends[0].partition(' ')[0]} to {ends[1]}"
    return Told(
        line.key, line.title, value, band, line.trust.value, ORIGIN_WORDS[line.origin],
        line.source, line.standing.formula,
        tuple(f"{one.title}: {told(one, (), units).value}" for one in inputs),
        line.lacking, line.refused, line.causes, line.narrowed_by,
        line.value is None, line.trust.name.lower(),
    )  # fmt: skip


def told_all(lines: Sequence[Line], units: System) -> tuple[Told, ...]:
    """Give the lines of a sheet in words."""
    by_key = {line.key: line for line in lines}
    return tuple(told(line, [by_key[key] for key in line.inputs], units) for line in lines)


def rounded_down(value: float, kind: Kind | str, units: System) -> str:
    """Give a most in words: rounded down in the unit that is shown, so that it is never passed."""
    number = _in_unit(value, kind, units)
    if not number or not math.isfinite(number):
        return _figure(value, kind, units, 0)
    digits = _MOST_FIGURES - 1 - math.floor(math.log10(abs(number)))
    kept = math.floor(number * 10.0**digits * (1 + _SLIP)) / 10.0**digits
    unit = shown_unit(kind, units) if kind in _KINDS else kind  # type: ignore[arg-type]
    return f"{kept:.{max(0, digits)}f} {unit}".removesuffix(" 1")


def line_json(line: Line) -> dict[str, Any]:
    """Give a line as a program reads it: SI, with its unit or kind."""
    body = asdict(line)
    standing = body.pop("standing")
    body.pop("at_most")
    unit = shown_unit(line.kind, "si") if line.kind in _KINDS else line.kind  # type: ignore[arg-type]
    return {
        **body,
        "trust": line.trust.value,
        "formula": standing["formula"],
        "shown_unit_si": unit,
        "inputs": list(line.inputs),
    }


def _figure(value: float, kind: Kind | str, units: System, digits: int) -> str:
    if math.isinf(value):
        return "no end"
    if kind in _KINDS:
        return show(value, kind, system=units, digits=digits)  # type: ignore[arg-type]
    if units == "us" and kind in _PLAIN_US:
        value, kind = _in_unit(value, kind, units), _PLAIN_US[kind][1]
    value = round(value, digits)
    plain = not value or 1e-3 <= abs(value) < 1e6  # noqa: PLR2004 - else nobody counts noughts
    text = f"{value:.{max(0, digits)}f}" if plain else f"{value:.3g}"
    return text if kind in _BARE else f"{text} {kind}"


def _digits(line: Line, units: System) -> int:
    """Digits after the point: one more than the band is wide, else four figures that count.

    Below zero, with a figure more, where the band is wide: 618000 of 376000 to 859000.
    """
    low, value, high = (
        _in_unit(one, line.kind, units) for one in (line.low, line.value, line.high)
    )
    if line.kind == "pieces" and low == high and value.is_integer():
        return 0
    width = high - low
    if not math.isfinite(width):
        width = 0.0
    if width > 0:
        digits = 1 - math.floor(math.log10(width))
        return digits if digits >= 0 else min(0, digits + 1)
    if not value or math.isinf(value):
        return 0
    return max(0, _FIGURES - 1 - math.floor(math.log10(abs(value))))


def _in_unit(value: float | None, kind: Kind | str, units: System) -> float:
    number = 0.0 if value is None else value
    if math.isinf(number):
        return number
    if kind not in _KINDS:
        return number * (_PLAIN_US[kind][0] if units == "us" and kind in _PLAIN_US else 1.0)
    return float(from_si(Decimal(repr(number)), shown_unit(kind, units), kind))  # type: ignore[arg-type]
