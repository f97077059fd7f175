"""The steaming curve in the scale of its fit, with its slopes; private to this package."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import require_at_least
from beadwright.science.expansion.curve import SteamingCurve
from beadwright.science.trust import Trust, stands

__all__ = ["gain_slopes", "in_fit_scale", "log_ratio_slopes"]

_Array = NDArray[np.float64]
_NEAR = 1e-2
_SOURCE = "derivatives of the closed form"


@stands(Trust.EXACT, formula="ln X_e, ln tau, k_l, t_0", source="change of scale")
def in_fit_scale(curve: SteamingCurve) -> NDArray[np.float64]:
    """One curve's parameters in the scale in which they are fitted.

    Parameters
    ----------
    curve : SteamingCurve
        One curve, not several.

    Returns
    -------
    at : ndarray, shape (4,)
        ln X_e, ln tau, k_l, t_0. [1]

    Raises
    ------
    OutOfRange
        If a number of the curve is not finite, or its ceiling or time constant not above 0.

    Examples
    --------
    >>> in_fit_scale(SteamingCurve(42.0, 35.0, 0.0015, 6.0)).round(3).tolist()
    [3.738, 3.555, 0.002, 6.0]
    """
    ceiling = np.asarray(curve.ceiling, dtype=np.float64)
    tau = np.asarray(curve.time_constant_s, dtype=np.float64)
    collapse = np.asarray(curve.collapse_per_second, dtype=np.float64)
    lag = np.asarray(curve.lag_s, dtype=np.float64)
    require_at_least(0, strict=True, ceiling=ceiling, time_constant_s=tau)
    require_at_least(0, collapse_per_second=collapse, lag_s=lag)
    return np.array([np.log(ceiling), np.log(tau), collapse, lag])


@stands(Trust.EXACT, formula="ln X and its derivatives", source=_SOURCE)
def log_ratio_slopes(
    time_s: NDArray[np.float64], at: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Logarithm of the expansion ratio, and its slopes.

    Parameters
    ----------
    time_s : ndarray, shape (n,)
        Times in steam. [s]
    at : ndarray, shape (4,)
        ln X_e, ln tau, k_l, t_0; not checked. [1]

    Returns
    -------
    logs : ndarray, shape (n,)
        ln X. [1]
    slopes : ndarray, shape (n, 4)
        Its derivatives. [1]

    Raises
    ------
    OutOfRange
        If a time is negative or not finite.

    Examples
    --------
    >>> at = np.array([np.log(42.0), np.log(35.0), 0.0015, 6.0])
    >>> log_ratio_slopes(np.array([120.0]), at)[0].round(4).tolist()
    [3.5749]
    """
    require_at_least(0, time_s=time_s)
    (ceiling, tau), collapse = np.exp(at[:2]), at[2]
    since = np.maximum(time_s - at[3], 0.0)
    u, z = since / tau, (1 / tau - collapse) * since
    share, bend = _share(z)
    fading = np.exp(-collapse * since)
    rise = ceiling * u * fading
    cooling = np.exp(-u)
    ratio = cooling + rise * share
    slopes = np.empty((time_s.size, 4))
    slopes[:, 0] = rise * share
    slopes[:, 1] = u * cooling - rise * (share + u * bend)
    slopes[:, 2] = -rise * since * (share + bend)
    slopes[:, 3] = np.where(time_s > at[3], -(ceiling * fading - ratio) / tau, 0.0)
    return np.log(ratio), slopes / ratio[:, None]


@stands(Trust.EXACT, formula="d ln rho/dt and its derivatives", source=_SOURCE)
def gain_slopes(
    time_s: NDArray[np.float64], at: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Gain of the time knob, and its slopes.

    Parameters
    ----------
    time_s : ndarray, shape (n,)
        Times in steam. [s]
    at : ndarray, shape (4,)
        ln X_e, ln tau, k_l, t_0; not checked. [1]

    Returns
    -------
    gain : ndarray, shape (n,)
        d ln rho/dt. [1/s]
    slopes : ndarray, shape (n, 4)
        Its derivatives. [1/s]

    Raises
    ------
    OutOfRange
        If a time is negative or not finite.

    Examples
    --------
    >>> at = np.array([np.log(42.0), np.log(35.0), 0.0015, 6.0])
    >>> gain_slopes(np.array([45.0]), at)[0].round(4).tolist()
    [-0.0125]
    """
    (ceiling, tau), collapse = np.exp(at[:2]), at[2]
    logs, slopes = log_ratio_slopes(time_s, at)
    since = np.maximum(time_s - at[3], 0.0)
    pull = ceiling * np.exp(-collapse * since - logs) / tau  # X_e e^(-ks) / (tau X)
    gain = np.where(time_s > at[3], 1 / tau - pull, 0.0)
    own = np.zeros_like(slopes)
    own[:, 0] = 1.0
    own[:, 1] = -1.0
    own[:, 2] = -since
    own[:, 3] = collapse
    bends = -pull[:, None] * (own - slopes)
    bends[:, 1] -= 1 / tau
    return gain, np.where((time_s > at[3])[:, None], bends, 0.0)


def _share(z: _Array) -> tuple[_Array, _Array]:
    """(1 - exp(-z))/z and its derivative, by series where they would cancel."""
    near = np.abs(z) < _NEAR
    some = bool(near.any())
    far = np.where(near, 1.0, z) if some else z
    cooled = np.exp(-far)
    share = (1 - cooled) / far
    bend = (cooled - share) / far
    if some:
        share = np.where(near, 1 - z / 2 + z**2 / 6 - z**3 / 24 + z**4 / 120, share)
        bend = np.where(near, -1 / 2 + z / 3 - z**2 / 8 + z**3 / 30 - z**4 / 144, bend)
    return share, bend
