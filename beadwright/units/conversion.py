"""Conversion between a unit as written and SI, exact where the definition is.

Read first: :func:`factor`.
May import: errors; pint inside :func:`_registry` only, because it takes a third of a second and
most starts of the command line convert nothing.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal, localcontext
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from beadwright.errors import UnitError
from beadwright.units.written import Kind, pint_name

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["converter", "factor", "from_mg", "from_si", "to_mg", "to_si"]

# Degrees from absolute zero to the scale's own zero, exact by definition.
_ZERO_AT = {"degC": Decimal("273.15"), "degF": Decimal("459.67")}
_INTERVAL = {"degC": "delta_degC", "degF": "delta_degF"}

_ROOMY = Context(prec=60, rounding=ROUND_HALF_EVEN)  # nothing we multiply needs rounding here
_RESULT = Context(prec=34, rounding=ROUND_HALF_EVEN)  # IEEE 754 decimal128
_BACK = Context(prec=28, rounding=ROUND_HALF_EVEN)  # shorter, so that there and back is clean
_MG_PER_KG = Decimal(1_000_000)


class _Unit(NamedTuple):
    factor: Decimal
    zero_at: Decimal


def factor(unit: str, kind: Kind) -> Decimal:
    """Return what one of this unit is in SI: kilograms in a pound, metres in an inch.

    The number that a value in ``unit`` is multiplied by to give the SI value of its kind
    (kg, pieces, m, m², m³, kg/m³, s, K, Pa, N, a plain ratio, m²·K/W, W/(m·K), kg/(Pa·s·m²)).

    Parameters
    ----------
    unit : str
        The unit as written, such as ``lb`` or ``kg/m³``.
    kind : Kind
        What is measured; the same text may be two units (``K``) or none of this kind.

    Returns
    -------
    factor : Decimal
        Exact where the definition is a finite decimal (lb, in, L), else to 40 digits.

    Raises
    ------
    UnitError
        If the text is empty, is no unit of this kind, or has several meanings; and for °C and
        °F as ``temperature``, whose zero is not absolute zero: use ``to_si``.

    References
    ----------
    .. [1] A. Thompson, B. N. Taylor, "Guide for the Use of the International System of Units",
       NIST Special Publication 811, 2008 edition, appendix B. [from memory]

    Examples
    --------
    >>> factor("lb", "mass")
    Decimal('0.45359237')
    """
    resolved = _resolve(unit, kind)
    if resolved.zero_at:
        raise UnitError(
            code="unit_offset",
            what=f'"{unit}" does not convert by a factor alone: its zero is not absolute zero.',
            text=unit,
            remedy="Convert with to_si, or ask for a temperature_difference.",
        )
    return resolved.factor


def converter(unit: str, kind: Kind) -> Callable[[Decimal], Decimal]:
    """Return a function that turns numbers in one unit into SI, for a whole column.

    The unit is resolved once; each call is one or two Decimal operations.

    Parameters
    ----------
    unit : str
        The unit as written.
    kind : Kind
        What is measured.

    Returns
    -------
    convert : callable
        Decimal in ``unit`` to Decimal in SI, rounded half to even at 34 digits.

    Raises
    ------
    UnitError
        If the text is no unit of this kind; the function raises it for a temperature below
        absolute zero.

    Examples
    --------
    >>> to_metres = converter("in", "length")
    >>> to_metres(Decimal("2.625"))
    Decimal('0.0666750')
    """
    per_unit, zero_at = _resolve(unit, kind)
    multiply, add, settle = _ROOMY.multiply, _ROOMY.add, _RESULT.plus
    if kind != "temperature":
        return lambda number: settle(multiply(number, per_unit))

    def to_kelvin(number: Decimal) -> Decimal:
        kelvin = settle(multiply(add(number, zero_at), per_unit))
        if kelvin < 0:
            raise UnitError(
                code="below_absolute_zero",
                what=f"{number} {unit} lies below absolute zero.",
                text=f"{number} {unit}",
                remedy="Correct the value or its unit.",
            )
        return kelvin

    return to_kelvin


def to_si(number: Decimal, unit: str, kind: Kind) -> Decimal:
    """Return a number in SI; a temperature with its offset.

    Parameters
    ----------
    number : Decimal
        The value in ``unit``.
    unit : str
        The unit as written.
    kind : Kind
        What is measured.

    Returns
    -------
    value : Decimal
        The value in the SI unit of its kind, rounded half to even at 34 digits.

    Raises
    ------
    UnitError
        If the text is no unit of this kind, or a temperature lies below absolute zero.

    Examples
    --------
    >>> to_si(Decimal("75"), "°F", "temperature").quantize(Decimal("0.01"))
    Decimal('297.04')
    """
    return converter(unit, kind)(number)


def from_si(value: Decimal, unit: str, kind: Kind) -> Decimal:
    """Return an SI value in another unit; the way back of ``to_si``.

    Parameters
    ----------
    value : Decimal
        The value in the SI unit of its kind.
    unit : str
        The unit wanted.
    kind : Kind
        What is measured.

    Returns
    -------
    number : Decimal
        The value in ``unit``, rounded half to even at 28 digits.

    Raises
    ------
    UnitError
        If the text is no unit of this kind.

    Examples
    --------
    >>> from_si(Decimal("0.45359237"), "lb", "mass")
    Decimal('1')
    """
    per_unit, zero_at = _resolve(unit, kind)
    return _BACK.plus(_ROOMY.subtract(_ROOMY.divide(value, per_unit), zero_at))


def to_mg(number: Decimal, unit: str) -> int:
    """Return a mass as a whole number of milligrams, the unit the record keeps.

    Parameters
    ----------
    number : Decimal
        The mass in ``unit``.
    unit : str
        A unit of mass as written.

    Returns
    -------
    mg : int
        Rounded once, half to even, from the exact product. [mg]

    Raises
    ------
    UnitError
        If the text is no unit of mass.

    Examples
    --------
    >>> to_mg(Decimal("1"), "lb")
    453592
    """
    kilograms = _ROOMY.multiply(number, _resolve(unit, "mass").factor)
    return int(_ROOMY.multiply(kilograms, _MG_PER_KG).to_integral_value(ROUND_HALF_EVEN))


def from_mg(mg: int, unit: str) -> Decimal:
    """Return a mass kept in milligrams in another unit.

    Parameters
    ----------
    mg : int
        The mass. [mg]
    unit : str
        The unit of mass wanted.

    Returns
    -------
    number : Decimal
        The mass in ``unit`` to 28 digits, so that ``to_mg`` of it gives ``mg`` again.

    Raises
    ------
    UnitError
        If the text is no unit of mass.

    Examples
    --------
    >>> from_mg(37_200_000, "kg")
    Decimal('37.2')
    """
    return from_si(_ROOMY.divide(Decimal(mg), _MG_PER_KG), unit, "mass")


@lru_cache(maxsize=1024)
def _resolve(unit: str, kind: Kind) -> _Unit:
    name = pint_name(unit, kind)
    return _Unit(_pint_factor(_INTERVAL.get(name, name)), _ZERO_AT.get(name, Decimal(0)))


@lru_cache(maxsize=256)
def _pint_factor(name: str) -> Decimal:
    if name == "1":
        return Decimal(1)
    with localcontext(_ROOMY):
        value = Decimal(_registry().Quantity(Decimal(1), name).to_base_units().magnitude)
    # 40 digits: what finite products lose in pint's 60-digit quotients is rounded away.
    settled = Context(prec=40).normalize(value)
    whole = settled == settled.to_integral_value()
    return _ROOMY.quantize(settled, Decimal(1)) if whole else settled


@lru_cache(maxsize=1)
def _registry() -> Any:  # pint's own types know no registry of Decimals
    import pint  # noqa: PLC0415 - see "May import" at the top

    return pint.UnitRegistry(non_int_type=Decimal)
