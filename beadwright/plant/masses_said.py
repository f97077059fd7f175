"""Masses in sentences that are kept: written in one form, shown in the units of who reads them.

Read :func:`mass_said` and :func:`masses_in`, and :func:`figures_in` for what is worked out and not
kept. What the judge says of a step is kept beside it and
compared when the record is read again, so it is written in kg; only a page says it otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from beadwright.errors import Fault
from beadwright.units import Kind, System, from_si, show, shown_unit, to_si

__all__ = ["faults_in", "figures_in", "mass_said", "masses_in", "round_masses_in", "sizes_in"]

_SAID = re.compile(r"(?<![\w.,-])(?:([0-9]+\.[0-9]{2}) kg|([0-9]+(?:\.[0-9]+)?) kg/m3)(?![\w/])")
_ROUND = re.compile(r"(?<![\w.,-])([0-9]+(?:\.[0-9]+)?) kg(?![\w/])")
_FIGURE = re.compile(r"(?<![\w.,-])([+-]?[0-9]+(?:\.[0-9]+)?) (kg/m³|kg/m3|kPa|kg)(?![\w/·])")
_FIGURES: dict[str, Kind] = {
    "kg/m³": "density", "kg/m3": "density", "kPa": "pressure", "kg": "mass"
}  # fmt: skip
_SIZE = re.compile(
    r"(?<![\w.,-])([0-9]+(?:\.[0-9]+)?)(?: to ([0-9]+(?:\.[0-9]+)?))? (cm²|mm)(?![\w/])"
)
_SIZES = {"cm²": (Decimal("6.4516"), "in²"), "mm": (Decimal("25.4"), "in")}
"""What a size is divided by, exactly, and the unit it then has."""
_WORKED_OUT = frozenset({"bad_curve"})
"""Faults that say a figure that was worked out in SI."""
_CODES = frozenset({"more_than_held", "imbalance", "count_differs", "run_holds"})
"""Faults that say a mass of the books; others quote what was keyed, as it was keyed."""


def mass_said(mg: float) -> str:
    """Write a mass into a sentence.

    >>> mass_said(3_104_000)
    '3.10 kg'
    """
    return f"{mg / 1e6:.2f} kg"


def masses_in(sentence: str, units: System) -> str:
    """Give a sentence with the masses that were written into it in units of choice.

    >>> masses_in("S1 held 3.10 kg by the books; this step drew 5.00 kg", "us")
    'S1 held 6.83 lb by the books; this step drew 11.02 lb'
    >>> masses_in("they screen at 23.54 kg/m3", "us")
    'they screen at 1.470 lb/ft³'
    """
    if units == "si":
        return sentence

    def other(one: re.Match[str]) -> str:
        kind: Kind = "density" if one[2] else "mass"
        return show(Decimal(one[2] or one[1]), kind, system=units, digits=3 if one[2] else 2)

    return _SAID.sub(other, sentence)


def round_masses_in(sentence: str, units: System) -> str:
    """Give a sentence of our own, no word of it keyed, with its masses as round as they stand.

    >>> round_masses_in("5 % of the 416 kg that came in; 1.5 kg may lie in it", "us")
    '5 % of the 917 lb that came in; 3.3 lb may lie in it'
    """
    if units == "si":
        return sentence

    def other(one: re.Match[str]) -> str:
        digits = len(one[1].partition(".")[2])
        return show(Decimal(one[1]), "mass", system=units, digits=digits)

    return _ROUND.sub(other, sentence)


def figures_in(sentence: str, units: System, *, masses: bool = False, alike: bool = False) -> str:
    """Give a sentence with densities and stresses that were worked out in SI in units of choice.

    Each has a figure more than it had: what missed a limit by its last one does so still.
    ``masses`` says that no mass of it is quoted as it was keyed; ``alike``, that figures of one
    unit are compared: each has as many places as the finest, so that none is rounded past another.

    >>> figures_in("density 2243 kg/m³, where 22.45 kg/m³ is usual", "us")
    'density 140.03 lb/ft³, where 1.4015 lb/ft³ is usual'
    >>> figures_in("21.99962 kg/m3, not met (min 22.0 kg/m3)", "us", alike=True)
    '1.3733914 lb/ft³, not met (min 1.3734151 lb/ft³)'
    """
    if units == "si":
        return sentence
    finest: dict[str, int] = {}
    for one in _FIGURE.finditer(sentence):
        value, unit = _in_unit(one, units)
        finest[unit] = max(finest.get(unit, 0), _places(value, Decimal(one[1])))

    def other(one: re.Match[str]) -> str:
        if one[2] == "kg" and not masses:
            return one[0]
        value, unit = _in_unit(one, units)
        places = finest[unit] if alike else _places(value, Decimal(one[1]))
        return f"{round(value, places):f} {unit}"

    return _FIGURE.sub(other, sentence)


def _in_unit(one: re.Match[str], units: System) -> tuple[Decimal, str]:
    kind = _FIGURES[one[2]]
    unit = shown_unit(kind, units)
    return from_si(to_si(Decimal(one[1]), one[2], kind), unit, kind), unit


def _places(value: Decimal, of: Decimal) -> int:
    """Give the places after the point that show a figure more of a value than it had."""
    return max(0, len(of.as_tuple().digits) - value.adjusted()) if value else 0


def _a_figure_more(value: Decimal, of: Decimal) -> str:
    return f"{round(value, _places(value, of)):f}"


def sizes_in(sentence: str, units: System) -> str:
    """Give a sentence with sizes and areas that were worked out in SI in units of choice.

    >>> sizes_in("25.2 cm²", "us"), sizes_in("25.8 to 232.0 cm²", "us")
    ('3.906 in²', '3.999 to 35.960 in²')
    >>> sizes_in("50.8 mm", "us"), sizes_in("50.8 mm", "si")
    ('2.000 in', '50.8 mm')
    """
    if units == "si":
        return sentence

    def other(one: re.Match[str]) -> str:
        divisor, unit = _SIZES[one[3]]
        ends = [Decimal(end) for end in (one[1], one[2]) if end]
        told = " to ".join(_a_figure_more(end / divisor, end) for end in ends)
        return f"{told} {unit}"

    return _SIZE.sub(other, sentence)


def faults_in(faults: Iterable[Fault], units: System) -> tuple[Fault, ...]:
    """Give faults with the masses of the books, and what was worked out, in units of choice."""
    return tuple(replace(one, what=_said(one, units)) for one in faults)


def _said(one: Fault, units: System) -> str:
    if one.code in _WORKED_OUT:
        return figures_in(one.what, units)
    return masses_in(one.what, units) if one.code in _CODES else one.what
