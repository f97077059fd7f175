"""A foam panel as a strip over its ties: bending stress, deflection, and the load on a tie.

Read first: :func:`bending_stress`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least
from beadwright.science.trust import Trust, stands

__all__ = [
    "NARROWED",
    "Strip",
    "bending_stress",
    "strip_deflection",
    "supported_pressure",
    "tie_load",
]

_CAUSE = (
    "a strip of sound foam at 23 °C under a short load: no creep, heat of hydration, vibration, "
    "cut edges, corner blocks, voids at fill ports, two-way action, or pull-out at the flange"
)
NARROWED = "a bench load on panels of the lot, held for the time that a lift stays fresh"
_BEAMS = "beam theory; span coefficients as in handbooks of form design"


@dataclass(frozen=True, slots=True)
class Strip:
    """A panel between two rows of ties. Arrays must fit each other.

    ``span_m`` from tie to tie, ``thickness_m`` of the panel; ``continuous`` for three spans or
    more over unbroken foam, not so at an end, a cut or a joint.
    """

    span_m: ArrayLike
    thickness_m: ArrayLike
    continuous: bool = True


@stands(
    Trust.ESTIMATE,
    formula="6 M / t², M = p L²/8 (one span) or p L²/10 (three or more)",
    source=_BEAMS,
    cause=_CAUSE,
    narrowed_by=NARROWED,
)
def bending_stress(pressure_pa: ArrayLike, strip: Strip) -> NDArray[np.float64]:
    r"""Bending stress in a foam panel that spans from tie to tie under concrete.

    .. math:: \sigma = \frac{6 M}{t^2}, \qquad M = \frac{p L^2}{8} \ \text{or} \ \frac{p L^2}{10}

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Lateral pressure, taken as even over the strip, >= 0. [Pa]
    strip : Strip
        Span, thickness, and whether it runs on.

    Returns
    -------
    stress_pa : ndarray, shape (...)
        Largest bending stress; pressure and strip broadcast. [Pa]

    Raises
    ------
    OutOfRange
        If a pressure is negative, a span or thickness not above 0, or any not finite.

    References
    ----------
    .. [1] Beam theory; the coefficient 1/10 for three or more spans, handbooks of form design.
       [from memory]

    Examples
    --------
    600 lb/ft² on 2 1/2 in. over spans of 6, 8 and 10 in., in lb/in²:

    >>> strip = Strip([0.1524, 0.2032, 0.2540], 0.0635)
    >>> (bending_stress(28728.16, strip) / 6894.757).round(1).tolist()
    [14.4, 25.6, 40.0]
    """
    (pressure,) = require_arrays(pressure_pa=pressure_pa)
    require_at_least(0, pressure_pa=pressure)
    return np.asarray(pressure * _stress_per_pressure(strip))


@stands(
    Trust.ESTIMATE,
    formula="p = S / F * t² / (6 c L²)",
    source=_BEAMS,
    cause=_CAUSE,
    narrowed_by=NARROWED,
)
def supported_pressure(
    strength_pa: ArrayLike, safety_factor: ArrayLike, strip: Strip
) -> NDArray[np.float64]:
    r"""Lateral pressure that a panel's flexural strength supports at a stated safety factor.

    .. math:: p = \frac{S}{F} \cdot \frac{8\, t^2}{6 L^2} \ \text{or} \
        \frac{S}{F} \cdot \frac{10\, t^2}{6 L^2}

    Parameters
    ----------
    strength_pa : array_like, shape (...)
        Flexural strength as measured on the lot, with its own allowance for spread, > 0. [Pa]
    safety_factor : array_like, shape (...)
        Stated by whoever asks, >= 1. [1]
    strip : Strip
        Span, thickness, and whether it runs on.

    Returns
    -------
    pressure_pa : ndarray, shape (...)
        The inputs broadcast. [Pa]

    Raises
    ------
    OutOfRange
        If a strength, span or thickness is not above 0, a factor below 1, or any not finite.

    References
    ----------
    .. [1] Beam theory; the coefficient 1/10 for three or more spans, handbooks of form design.
       [from memory]

    Examples
    --------
    >>> round(float(supported_pressure(241.3e3, 2.0, Strip(0.2032, 0.0635))))
    19637
    """
    strength, factor = require_arrays(strength_pa=strength_pa, safety_factor=safety_factor)
    require_at_least(0, strict=True, strength_pa=strength)
    require_at_least(1, safety_factor=factor)
    return np.asarray(strength / factor / _stress_per_pressure(strip))


@stands(
    Trust.ESTIMATE,
    formula="p L⁴/(145 E I) or 5 p L⁴/(384 E I), I = t³/12",
    source=_BEAMS,
    cause=_CAUSE,
    narrowed_by=NARROWED,
)
def strip_deflection(
    pressure_pa: ArrayLike, modulus_pa: ArrayLike, strip: Strip
) -> NDArray[np.float64]:
    r"""How far a panel bulges between its ties, by bending alone.

    .. math:: \delta = \frac{p L^4}{145\, E I} \ \text{or} \ \frac{5\, p L^4}{384\, E I},
        \qquad I = \frac{t^3}{12}

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Lateral pressure, >= 0. [Pa]
    modulus_pa : array_like, shape (...)
        Elastic modulus of the foam, > 0. [Pa]
    strip : Strip
        Span, thickness, and whether it runs on.

    Returns
    -------
    deflection_m : ndarray, shape (...)
        At mid-span; the inputs broadcast. [m]

    Raises
    ------
    OutOfRange
        If a pressure is negative, a modulus, span or thickness not above 0, or any not finite.

    Notes
    -----
    A low figure: foam also shears and creeps, and thick short strips shear most.

    References
    ----------
    .. [1] Beam theory; the coefficient 1/145 for three or more spans, handbooks of form design.
       [from memory]

    Examples
    --------
    >>> round(1000 * float(strip_deflection(28728.16, 6.7e6, Strip(0.2032, 0.0635))), 2)
    2.36
    """
    pressure, modulus = require_arrays(pressure_pa=pressure_pa, modulus_pa=modulus_pa)
    require_at_least(0, pressure_pa=pressure)
    require_at_least(0, strict=True, modulus_pa=modulus)
    span, thickness = _sizes(strip)
    share = 1 / 145 if strip.continuous else 5 / 384
    return np.asarray(share * pressure * span**4 / (modulus * thickness**3 / 12))


@stands(
    Trust.EXACT,
    formula="F = p A",
    source="statics",
)
def tie_load(pressure_pa: ArrayLike, area_m2: ArrayLike) -> NDArray[np.float64]:
    r"""Pull on a tie from the panel that it holds.

    .. math:: F = p A

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Lateral pressure over that panel, >= 0. [Pa]
    area_m2 : array_like, shape (...)
        Panel that hangs on the tie: half way to its neighbours on all sides, > 0. [m^2]

    Returns
    -------
    load_n : ndarray, shape (...)
        The inputs broadcast. [N]

    Raises
    ------
    OutOfRange
        If a pressure is negative, an area not above 0, or any not finite.

    References
    ----------
    .. [1] Statics. [common practice, no source]

    Examples
    --------
    600 lb/ft² on 8 in. by 8 in. is 267 lbf:

    >>> round(float(tie_load(28728.16, 0.2032**2)) / 4.4482216)
    267
    """
    pressure, area = require_arrays(pressure_pa=pressure_pa, area_m2=area_m2)
    require_at_least(0, pressure_pa=pressure)
    require_at_least(0, strict=True, area_m2=area)
    return np.asarray(pressure * area)


def _stress_per_pressure(strip: Strip) -> NDArray[np.float64]:
    span, thickness = _sizes(strip)
    return np.asarray((0.1 if strip.continuous else 0.125) * 6 * (span / thickness) ** 2)


def _sizes(strip: Strip) -> list[NDArray[np.float64]]:
    span, thickness = require_arrays(span_m=strip.span_m, thickness_m=strip.thickness_m)
    require_at_least(0, strict=True, span_m=span, thickness_m=thickness)
    return [span, thickness]
