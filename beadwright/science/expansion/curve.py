"""Bulk density against steaming time: down towards a ceiling that itself decays, then up again.

Read first: :func:`steaming_density`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_between
from beadwright.science.constants import SOLID_KG_M3
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "CEILING",
    "COLLAPSE",
    "LAG",
    "LONGEST_S",
    "RAW_DENSITY",
    "TIME_CONSTANT",
    "LowestDensity",
    "SteamingCurve",
    "expansion_ratio",
    "lowest_density",
    "steaming_density",
    "steaming_gain",
]

_NO_CURVE = "chosen to give densities and times of the trade; no published curve was found"
CEILING = Parameter("X_e", 42.0, 25.0, 60.0, "1", _NO_CURVE, memory=True)
TIME_CONSTANT = Parameter("tau", 35.0, 15.0, 90.0, "s", _NO_CURVE, memory=True)
COLLAPSE = Parameter("k_l", 0.0015, 0.0005, 0.005, "1/s", _NO_CURVE, memory=True)
LAG = Parameter("t_0", 6.0, 0.0, 20.0, "s", _NO_CURVE, memory=True)
RAW_DENSITY = Parameter(
    "rho_raw",
    610.0,
    590.0,
    650.0,
    "kg/m^3",
    "two public process pages: 38 lb/ft³, and about 600 kg/m³",
)

LONGEST_S = 600.0
"""The curve says nothing of longer steaming."""

_CAUSE = (
    "one grade, one steam pressure: ceiling, time constant and collapse rate are fitted, and no "
    "published curve stands behind the form"
)
_NARROWED = "one trial per grade and pressure that goes past the density's minimum"


@dataclass(frozen=True, slots=True)
class SteamingCurve:
    """One grade at one steam pressure. Arrays must fit each other.

    ``ceiling`` is the ratio of raw to expanded bulk density that the beads would reach if they
    lost no pentane, > 1; ``time_constant_s`` > 0; ``collapse_per_second`` the rate at which the
    ceiling decays, 0 to 0.1; ``lag_s`` the time until the beads are hot, >= 0;
    ``raw_density_kg_m3`` the raw beads' bulk density.
    """

    ceiling: ArrayLike = CEILING.value
    time_constant_s: ArrayLike = TIME_CONSTANT.value
    collapse_per_second: ArrayLike = COLLAPSE.value
    lag_s: ArrayLike = LAG.value
    raw_density_kg_m3: ArrayLike = RAW_DENSITY.value


@dataclass(frozen=True, slots=True)
class LowestDensity:
    """When the density is lowest, and how low."""

    time_s: NDArray[np.float64]
    density_kg_m3: NDArray[np.float64]


@stands(
    Trust.ESTIMATE,
    formula="dX/dt = (X_e exp(-k t) - X) / tau, X = 1 until the lag",
    source="first-order approach to a decaying ceiling; our own form",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def expansion_ratio(time_s: ArrayLike, curve: SteamingCurve) -> NDArray[np.float64]:
    r"""How many times their raw bulk volume beads take up after a time in steam.

    .. math::
        \frac{dX}{dt} = \frac{X_e e^{-k s} - X}{\tau}, \quad X(0) = 1
        \quad\Rightarrow\quad
        X = e^{-s/\tau} + X_e \frac{s}{\tau} e^{-k s} \, \frac{1 - e^{-z}}{z},
        \quad z = \left(\frac{1}{\tau} - k\right) s, \quad s = t - t_0

    Parameters
    ----------
    time_s : array_like, shape (...)
        Time since steam was let in, from 0 to 600. [s]
    curve : SteamingCurve
        The grade's parameters at this steam pressure.

    Returns
    -------
    ratio : ndarray, shape (...)
        Raw over expanded bulk density; time and parameters broadcast. [1]

    Raises
    ------
    OutOfRange
        If a time or a parameter is not finite or outside its range.

    Notes
    -----
    Describes; does not explain: cells that burst, wet steam and a cold vessel are all in three
    numbers. Use it inside the times and the pressure of the trial that it was fitted to.

    References
    ----------
    .. [1] That cell walls thin and burst and loss overtakes vaporisation, so that expansion
       ceases: lecture slides on expandable polystyrene [read in: a second source that cites it];
       the form of the curve is our own [common practice, no source].

    Examples
    --------
    >>> float(expansion_ratio(120.0, SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0)))
    35.69
    """
    time, curve_of = _checked(time_s, curve)
    ceiling, tau, collapse, lag, _ = curve_of
    return _ratio(np.maximum(time - lag, 0.0), ceiling, tau, collapse)


@stands(
    Trust.ESTIMATE,
    formula="rho = rho_raw / X(t)",
    source="first-order approach to a decaying ceiling; our own form",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def steaming_density(time_s: ArrayLike, curve: SteamingCurve) -> NDArray[np.float64]:
    r"""Bulk density of beads after a time in steam.

    .. math:: \rho(t) = \rho_{raw} / X(t)

    Falls to a minimum and rises again as pentane is lost and cells collapse.

    Parameters
    ----------
    time_s : array_like, shape (...)
        Time since steam was let in, from 0 to 600. [s]
    curve : SteamingCurve
        The grade's parameters at this steam pressure.

    Returns
    -------
    density : ndarray, shape (...)
        Bulk density; time and parameters broadcast. [kg/m^3]

    Raises
    ------
    OutOfRange
        If a time or a parameter is not finite or outside its range.

    References
    ----------
    .. [1] As for the expansion ratio. [common practice, no source]

    Examples
    --------
    >>> curve = SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0)
    >>> steaming_density([30.0, 60.0, 120.0, 300.0], curve).round(2).tolist()
    [29.14, 19.29, 17.09, 21.40]
    """
    raw = np.asarray(curve.raw_density_kg_m3, dtype=np.float64)
    return np.asarray(raw / expansion_ratio(time_s, curve))


@stands(
    Trust.ESTIMATE,
    formula="t* = t0 + tau ln[1 + (X_e - 1)(1 - q)/(X_e q)]/(1 - q), q = k tau",
    source="where the derivative of the closed form is zero",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def lowest_density(curve: SteamingCurve) -> LowestDensity:
    r"""Steaming time at which the density is lowest, and that density, in closed form.

    .. math::
        t^* = t_0 + \frac{\tau}{1 - q}
              \ln\left[1 + \frac{(X_e - 1)(1 - q)}{X_e q}\right], \quad q = k \tau,
        \qquad \rho_{min} = \frac{\rho_{raw}}{X_e} e^{k (t^* - t_0)}

    There the beads meet their falling ceiling. Steaming longer makes them denser again.

    Parameters
    ----------
    curve : SteamingCurve
        The grade's parameters; the collapse rate must be above 0, or there is no minimum.

    Returns
    -------
    lowest : LowestDensity
        Time since steam was let in, and bulk density. [s, kg/m^3]

    Raises
    ------
    OutOfRange
        If a parameter is not finite or outside its range, or nothing collapses.

    References
    ----------
    .. [1] By differentiation of the closed form. [common practice, no source]

    Examples
    --------
    >>> lowest = lowest_density(SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0))
    >>> float(lowest.time_s), float(lowest.density_kg_m3)
    (114.015, 17.078)
    """
    _, (ceiling, tau, collapse, lag, raw) = _checked(0.0, curve)
    require_between(0, 0.1, strict=True, collapse_per_second=collapse)
    q = collapse * tau
    gap = 1 - q
    level = (ceiling - 1) / (ceiling * q)
    with np.errstate(divide="ignore", invalid="ignore"):
        passed = np.where(gap == 0, level, np.log1p(level * gap) / gap) * tau
    return LowestDensity(lag + passed, raw / ceiling * np.exp(collapse * passed))


@stands(
    Trust.ESTIMATE,
    formula="d ln rho/dt = -(X_e exp(-k s) - X) / (tau X)",
    source="derivative of the closed form",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def steaming_gain(time_s: ArrayLike, curve: SteamingCurve) -> NDArray[np.float64]:
    r"""Relative change of density for one more second of steam: the gain of the time knob.

    .. math:: \frac{d \ln \rho}{dt} = -\frac{X_e e^{-k s} - X}{\tau X}

    Steep at first, zero at the minimum, positive beyond it: near the minimum the knob does
    nothing, beyond it the wrong thing.

    Parameters
    ----------
    time_s : array_like, shape (...)
        Time since steam was let in, from 0 to 600. [s]
    curve : SteamingCurve
        The grade's parameters at this steam pressure.

    Returns
    -------
    gain : ndarray, shape (...)
        Zero until the lag; time and parameters broadcast. [1/s]

    Raises
    ------
    OutOfRange
        If a time or a parameter is not finite or outside its range.

    References
    ----------
    .. [1] By differentiation of the closed form. [common practice, no source]

    Examples
    --------
    In per cent per second:

    >>> curve = SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0)
    >>> (100 * steaming_gain([25.0, 45.0, 60.0], curve)).round(2).tolist()
    [-3.66, -1.25, -0.64]
    """
    time, (ceiling, tau, collapse, lag, _) = _checked(time_s, curve)
    since = np.maximum(time - lag, 0.0)
    ratio = _ratio(since, ceiling, tau, collapse)
    gain = (ratio - ceiling * np.exp(-collapse * since)) / (tau * ratio)
    return np.where(time > lag, gain, 0.0)


def _ratio(
    since: NDArray[np.float64],
    ceiling: NDArray[np.float64],
    tau: NDArray[np.float64],
    collapse: NDArray[np.float64],
) -> NDArray[np.float64]:
    """X(s); written so that nothing cancels where 1/tau and k meet."""
    z = (1 / tau - collapse) * since
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(z == 0, 1.0, -np.expm1(-z) / z)
    return np.asarray(
        np.exp(-since / tau) + ceiling * since / tau * np.exp(-collapse * since) * share
    )


def _checked(
    time_s: ArrayLike, curve: SteamingCurve
) -> tuple[NDArray[np.float64], tuple[NDArray[np.float64], ...]]:
    time, ceiling, tau, collapse, lag, raw = require_arrays(
        time_s=time_s,
        ceiling=curve.ceiling,
        time_constant_s=curve.time_constant_s,
        collapse_per_second=curve.collapse_per_second,
        lag_s=curve.lag_s,
        raw_density_kg_m3=curve.raw_density_kg_m3,
    )
    require_between(0, LONGEST_S, time_s=time)
    require_between(1, 200, strict=True, ceiling=ceiling)
    require_between(0, 3600, strict=True, time_constant_s=tau)
    require_between(0, 0.1, collapse_per_second=collapse)
    require_between(0, LONGEST_S, lag_s=lag)
    require_between(0, SOLID_KG_M3, strict=True, raw_density_kg_m3=raw)
    return time, (ceiling, tau, collapse, lag, raw)
