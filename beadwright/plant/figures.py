"""Masses and shares as a person reads them.

Read :func:`mass`. The ledger counts in milligrams; nobody reads those.
"""

from __future__ import annotations

from decimal import Decimal

from beadwright.units import System, show

__all__ = ["mass", "mass_figure", "percent", "whole_mass"]

_MG_PER_KG = 1_000_000
_LEAST_KG = Decimal("0.0005")


def mass(mg: float, system: System, digits: int = 1) -> str:
    """Give a mass with its unit; what would be rounded to nothing gets the digits it needs."""
    kg = Decimal(repr(mg)) / _MG_PER_KG
    if kg and abs(kg) < Decimal(1).scaleb(-digits) / 2:
        if abs(mg) < _MG_PER_KG / 1000:
            return f"{float(mg):.3g} mg"
        return show(kg, "mass", system=system, digits=3)
    return show(kg, "mass", system=system, digits=digits)


def mass_figure(mg: float, system: System) -> str:
    """Give a mass as a figure in the unit of its column; below a thousandth it says so."""
    kg = Decimal(repr(mg)) / _MG_PER_KG
    if 0 < kg < _LEAST_KG:
        return "<0.001"
    digits = 1 if abs(kg) >= 10 else 2 if abs(kg) >= 1 else 3  # noqa: PLR2004 - figures that count
    return show(kg, "mass", system=system, digits=digits).partition(" ")[0]


def whole_mass(mg: float, system: System) -> str:
    """Give a mass in whole units with the unit; of what rounds to nothing, that it is less.

    >>> whole_mass(187_900_000, "si"), whole_mass(200_000, "si"), whole_mass(0, "us")
    ('188 kg', '<1 kg', '0 lb')
    """
    text = show(Decimal(repr(mg)) / _MG_PER_KG, "mass", system=system, digits=0)
    return f"<1 {text[2:]}" if mg > 0 and text.startswith("0 ") else text


def percent(share: float) -> str:
    """Give a share in per cent, with as many digits as a reader can use."""
    value = 100 * share
    if abs(value) >= 10 or not value:  # noqa: PLR2004 - two digits are before the point
        return f"{value:.1f}"
    return "<0.01" if 0 < value < 0.01 else f"{value:.2f}"  # noqa: PLR2004 - per cent
