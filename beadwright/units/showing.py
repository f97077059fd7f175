"""SI values as a person reads them, in SI or US customary units."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from typing import Literal

from beadwright.errors import OutOfRange
from beadwright.units.conversion import from_si
from beadwright.units.written import Kind

__all__ = ["System", "show", "shown_unit"]

System = Literal["si", "us"]

_SHOWN: dict[Kind, tuple[str, str]] = {
    "mass": ("kg", "lb"),
    "pieces": ("pcs", "pcs"),
    "length": ("mm", "in"),
    "area": ("m²", "ft²"),
    "volume": ("m³", "ft³"),
    "volume_flow": ("m³/h", "ft³/min"),
    "density": ("kg/m³", "lb/ft³"),
    "duration": ("h", "h"),
    "temperature": ("°C", "°F"),
    "temperature_difference": ("K", "°F"),
    "pressure": ("kPa", "psi"),
    "form_pressure": ("kPa", "lb/ft²"),
    "force": ("N", "lbf"),
    "speed": ("m/h", "ft/h"),
    "fraction": ("%", "%"),
    "thermal_resistance": ("m²·K/W", "°F·ft²·h/Btu"),
    "thermal_conductivity": ("W/(m·K)", "Btu·in/(h·ft²·°F)"),
    "vapour_permeance": ("ng/(Pa·s·m²)", "perm"),
}

_ROOMY = Context(prec=60, rounding=ROUND_HALF_EVEN)


def show(value_si: Decimal | float, kind: Kind, *, system: System, digits: int) -> str:
    """Return an SI value as a person reads it, with its unit.

    Parameters
    ----------
    value_si : Decimal or float
        The value in the SI unit of its kind.
    kind : Kind
        What is measured.
    system : {"si", "us"}
        Which units to show.
    digits : int
        Digits after the decimal point; rounded half to even.

    Returns
    -------
    text : str
        Number, blank, unit.

    Raises
    ------
    OutOfRange
        If the value is not finite.

    Examples
    --------
    >>> show(21.625, "density", system="us", digits=2)
    '1.35 lb/ft³'
    """
    exact = value_si if isinstance(value_si, Decimal) else Decimal(repr(float(value_si)))
    if not exact.is_finite():
        raise OutOfRange(argument="value_si", value=value_si, valid="a finite number")
    unit = shown_unit(kind, system)
    number = from_si(exact, unit, kind).quantize(Decimal(1).scaleb(-digits), context=_ROOMY)
    return f"{number + 0:f} {unit}"  # adding 0 turns -0.00 into 0.00


def shown_unit(kind: Kind, system: System) -> str:
    """Return the unit in which a kind is shown, such as ``lb/ft³``."""
    return _SHOWN[kind][0 if system == "si" else 1]
