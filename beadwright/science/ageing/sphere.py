"""How far a sphere has come towards its surroundings: the series behind gas, pentane and heat.

All is told by two numbers without a unit: the Fourier number tau = D t / a², and, where the
surface itself resists, the Biot number L = a k / D. Read first: :func:`sphere_uptake`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import erfcx, gamma

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.trust import Trust, stands

__all__ = [
    "bead_uptake",
    "sphere_centre",
    "sphere_roots",
    "sphere_time",
    "sphere_uptake",
    "sphere_uptake_resisted",
]

_Floats = NDArray[np.float64]

_SWITCH = 0.05
"""Below it the short-time form, above it the long series; both are exact to 1e-15 there."""

_CENTRE_SWITCH = 0.3
"""The same for the centre and the flux, whose two forms converge alike there."""

_RESISTED_SWITCH = 0.03
"""As above with surface resistance: reflections left out below it weigh exp(-1/0.03) = 3e-15."""

_TERMS = 9
"""Terms of the long series above its switch: the tenth weighs exp(-(10 pi)² 0.05) = 4e-22."""

_RESISTED_TERMS = 12
_LATE = 0.7
"""Share above which one exponential tells the time better than a parabola."""

_SERIES = 1 / gamma(1 + np.arange(3, 45) / 2)
"""Coefficients of erfcx after its first three, as a power series of alternating sign."""

_CRANK = "Crank, The Mathematics of Diffusion, 2nd ed., Oxford 1975"


@stands(
    Trust.EXACT,
    formula="M = 1 - 6/π² Σ exp(-n²π²τ)/n², n = 1, 2, …",
    source=f"{_CRANK}, equations 6.20 and 6.22",
)
def sphere_uptake(tau: ArrayLike) -> _Floats:
    r"""Share of its final uptake that a sphere has reached, its surface held constant.

    .. math::
        M = 1 - \frac{6}{\pi^2} \sum_{n=1}^\infty \frac{e^{-n^2 \pi^2 \tau}}{n^2}
          = 6 \sqrt{\tau} \left[\pi^{-1/2}
            + 2 \sum_{n=1}^\infty \mathrm{ierfc}\frac{n}{\sqrt{\tau}}\right] - 3 \tau

    Parameters
    ----------
    tau : array_like, shape (...)
        Fourier number: diffusivity times time over the radius squared, >= 0. [1]

    Returns
    -------
    uptake : ndarray, shape (...)
        From 0 to 1; of a sphere that gives off, the share given off. Rounding apart, exact: the
        second form below tau = 0.05 (where its sum is below 1e-9 and its first term is kept),
        the first above. [1]

    Raises
    ------
    OutOfRange
        If a Fourier number is negative, not finite, or none is given.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equations 6.20, 6.22.
       [read in: a second source that cites it]

    Examples
    --------
    A public library of polymer kinetics prints 0.9484368978658284 for 100 s in a sphere of
    0.2 mm radius at 1e-10 m²/s:

    >>> float(sphere_uptake(1e-10 * 100 / 0.2e-3**2))
    0.948436897866
    """
    (number,) = require_arrays(tau=tau)
    require_at_least(0, tau=number)
    short = np.minimum(number, _SWITCH)
    root = np.sqrt(short)
    early = 6 * root * (1 / np.sqrt(np.pi) + 2 * _ierfc_inverse(root)) - 3 * short
    late = np.zeros_like(number)
    long = np.maximum(number, _SWITCH)
    for n in range(_TERMS, 0, -1):
        late += np.exp(-((n * np.pi) ** 2) * long) / n**2
    return np.where(number < _SWITCH, early, 1 - 6 / np.pi**2 * late)


@stands(
    Trust.EXACT,
    formula="C = 1 + 2 Σ (-1)ⁿ exp(-n²π²τ), n = 1, 2, …",
    source=f"{_CRANK}, equations 6.19 and 6.21",
)
def sphere_centre(tau: ArrayLike) -> _Floats:
    r"""Share of its final change that the centre of a sphere has reached, its surface held.

    .. math::
        C = 1 + 2 \sum_{n=1}^\infty (-1)^n e^{-n^2 \pi^2 \tau}
          = \frac{2}{\sqrt{\pi \tau}} \sum_{n=0}^\infty e^{-(2n+1)^2 / (4 \tau)}

    Parameters
    ----------
    tau : array_like, shape (...)
        Fourier number: diffusivity times time over the radius squared, >= 0. [1]

    Returns
    -------
    change : ndarray, shape (...)
        From 0 to 1: of concentration, or of temperature. [1]

    Raises
    ------
    OutOfRange
        If a Fourier number is negative, not finite, or none is given.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equations 6.19, 6.21.
       [from memory]

    Examples
    --------
    The same library prints 0.8304935009764246 for the centre at tau = 0.25:

    >>> float(sphere_centre(0.25))
    0.830493500976
    """
    (number,) = require_arrays(tau=tau)
    require_at_least(0, tau=number)
    short = np.clip(number, 1e-4, _CENTRE_SWITCH)
    early = np.zeros_like(number)
    for n in (5, 3, 1):
        early += np.exp(-(n**2) / (4 * short))
    early *= 2 / np.sqrt(np.pi * short)
    late = np.zeros_like(number)
    long = np.maximum(number, _CENTRE_SWITCH)
    for n in (4, 3, 2, 1):
        late += (-1) ** n * np.exp(-((n * np.pi) ** 2) * long)
    return np.where(number < _CENTRE_SWITCH, early, 1 + 2 * late)


@stands(
    Trust.EXACT,
    formula="τ such that M(τ) is the share asked for",
    source=f"{_CRANK}, equation 6.20, solved by Newton's method",
)
def sphere_time(uptake: ArrayLike) -> _Floats:
    r"""Fourier number at which a sphere has reached a share of its final uptake.

    Parameters
    ----------
    uptake : array_like, shape (...)
        Share, >= 0 and < 1. [1]

    Returns
    -------
    tau : ndarray, shape (...)
        Solution of ``sphere_uptake(tau) == uptake``. [1]

    Raises
    ------
    OutOfRange
        If a share is not from 0 to below 1, or none is given.

    Examples
    --------
    Half of it by tau = 0.030547, nine tenths by 0.182985:

    >>> sphere_time([0.5, 0.9]).round(6).tolist()
    [0.030547, 0.182985]
    """
    (share,) = require_arrays(uptake=uptake)
    require_between(0, np.nextafter(1.0, 0.0), uptake=share)
    # The two ends of the curve, each inverted: a parabola in sqrt(tau), and one exponential.
    early = (1 / np.sqrt(np.pi) - np.sqrt(np.maximum(1 / np.pi - share / 3, 0.0))) ** 2
    late = -np.log((1 - share) * np.pi**2 / 6) / np.pi**2
    tau = np.where(share < _LATE, early, np.maximum(late, 1e-12))
    for _ in range(4):
        slope = 3 * (_theta(tau) - 1)
        step = np.where(tau > 0, (sphere_uptake(tau) - share) / slope, 0.0)
        tau = np.maximum(tau - step, 0.0)
    return tau


@stands(
    Trust.EXACT,
    formula="roots of β cot β + L - 1 = 0",
    source=f"{_CRANK}, equation 6.42 and table 6.2",
)
def sphere_roots(biot: ArrayLike, count: int) -> _Floats:
    r"""First eigenvalues of a sphere whose surface resists.

    .. math:: \beta \cot \beta + L - 1 = 0, \qquad (n - 1) \pi < \beta_n < n \pi

    Parameters
    ----------
    biot : array_like, shape (...)
        Biot number L: radius times surface coefficient over diffusivity, > 0. [1]
    count : int
        How many, >= 1. [1]

    Returns
    -------
    roots : ndarray, shape (..., count)
        In rising order. [1]

    Raises
    ------
    OutOfRange
        If a Biot number is not a finite number above 0, or the count is below 1.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equation 6.42.
       [read in: a second source that cites it]

    Examples
    --------
    At L = 1 the first is half of pi; at L = 10 it is 2.8363:

    >>> sphere_roots([1.0, 10.0], 1)[:, 0].round(4).tolist()
    [1.5708, 2.8363]
    """
    (number,) = require_arrays(biot=biot)
    require_at_least(0, strict=True, biot=number)
    require_at_least(1, count=count)
    over = number[..., np.newaxis]
    base = np.arange(count) * np.pi
    # With beta = base + x the condition is tan x = (base + x)/(1 - L): one x in (0, pi).
    shape = (*over.shape[:-1], count)
    low, high = np.zeros(shape), np.full(shape, np.pi)
    x = np.where(over < 1, 0.25, 0.75) * np.pi + np.zeros(count)
    for _ in range(60):
        beta = base + x
        sine, cosine = np.sin(x), np.cos(x)
        value = beta * cosine + (over - 1) * sine
        low, high = np.where(value > 0, x, low), np.where(value > 0, high, x)
        slope = over * cosine - beta * sine
        guess = x - value / np.where(slope == 0, 1.0, slope)
        inside = (guess > low) & (guess < high)
        new = np.where(inside, guess, (low + high) / 2)
        if np.all(np.abs(new - x) <= 4e-16 * beta):
            break
        x = new
    return np.asarray(base + x)


@stands(
    Trust.EXACT,
    formula="M = 1 - Σ 6L² exp(-β²τ) / {β²[β² + L(L-1)]}, β cot β + L - 1 = 0",
    source=f"{_CRANK}, equation 6.43; its short-time form by Laplace transform of one reflection",
)
def sphere_uptake_resisted(tau: ArrayLike, biot: ArrayLike) -> _Floats:
    r"""Share of its final uptake that a sphere has reached through a surface that resists.

    .. math::
        M = 1 - \sum_{n=1}^\infty
            \frac{6 L^2 e^{-\beta_n^2 \tau}}{\beta_n^2 [\beta_n^2 + L (L - 1)]}, \qquad
        \beta_n \cot \beta_n + L - 1 = 0

    Below tau = 0.03, where the far side of the sphere is not felt to 3e-15, the flux into a
    half-space with curvature is integrated instead, with H = L - 1 and y = H sqrt(tau):

    .. math::
        M = \frac{3 L}{H} \left[\frac{L}{H^2} \left(e^{y^2} \mathrm{erfc}\, y - 1
            + \frac{2 y}{\sqrt{\pi}}\right) - \tau\right]

    Parameters
    ----------
    tau : array_like, shape (...)
        Fourier number, >= 0. [1]
    biot : array_like, shape (...)
        Biot number L: radius times surface coefficient over diffusivity, > 0. [1]

    Returns
    -------
    uptake : ndarray, shape (...)
        From 0 to 1; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a Fourier number is negative, a Biot number not above 0, one of them not finite, or
        their shapes do not fit.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equation 6.43.
       [read in: a second source that cites it]

    Examples
    --------
    A public library of polymer kinetics prints 0.6539883 for tau = 0.1 and L = 10; beyond
    that its digits differ, as its roots are rounded:

    >>> float(sphere_uptake_resisted(0.1, 10.0))
    0.653988
    """
    number, resistance = require_arrays(tau=tau, biot=biot)
    require_at_least(0, tau=number)
    require_at_least(0, strict=True, biot=resistance)
    early = _resisted_early(np.minimum(number, _RESISTED_SWITCH), resistance)
    roots = sphere_roots(resistance, _RESISTED_TERMS)
    late = np.zeros(np.broadcast_shapes(number.shape, resistance.shape))
    long = np.maximum(number, _RESISTED_SWITCH)
    for n in range(_RESISTED_TERMS):
        square = roots[..., n] ** 2
        # L² over the bracket, so written that neither end of L overflows.
        weight = 6 / (square * (square / resistance**2 + 1 - 1 / resistance))
        late += weight * np.exp(-square * long)
    return np.where(number < _RESISTED_SWITCH, early, 1 - late)


@stands(
    Trust.EXACT,
    formula="M of a sphere, with a skin where L is finite",
    source=f"{_CRANK}, equations 6.20 and 6.43",
)
def bead_uptake(tau: ArrayLike, biot: float = np.inf) -> _Floats:
    """Share of its final uptake that a bead has reached, with a skin or without.

    Parameters
    ----------
    tau : array_like, shape (...)
        Fourier number, >= 0. [1]
    biot : float, optional
        Biot number of the skin, > 0; infinite where there is none. [1]

    Returns
    -------
    uptake : ndarray, shape (...)
        From 0 to 1. [1]

    Raises
    ------
    OutOfRange
        If a Fourier number is negative or not finite, or the Biot number not above 0.

    Examples
    --------
    >>> float(bead_uptake(0.1)), float(bead_uptake(0.1, 10.0))
    (0.770479, 0.653988)
    """
    return sphere_uptake(tau) if biot == np.inf else sphere_uptake_resisted(tau, biot)


def _ierfc_inverse(root: _Floats) -> _Floats:
    """Integral of erfc from 1/root on; that from 2/root on weighs below 1e-35."""
    inverse = 1 / np.maximum(root, 0.05)
    bell = np.exp(-(inverse**2))
    value = bell * (1 / np.sqrt(np.pi) - inverse * erfcx(inverse))
    return np.asarray(np.maximum(value, 0.0))


def _theta(tau: _Floats) -> _Floats:
    """Surface flux of the sphere over its limit, plus one: the derivative of M is 3 (it - 1)."""
    short = np.clip(tau, 1e-300, _CENTRE_SWITCH)
    early = 1 / np.sqrt(np.pi * short) * (1 + 2 * np.exp(-1 / short))
    late = np.zeros_like(tau)
    for n in (4, 3, 2, 1):
        late += np.exp(-((n * np.pi) ** 2) * np.maximum(tau, _CENTRE_SWITCH))
    return np.where(tau < _CENTRE_SWITCH, early, 1 + 2 * late)


def _resisted_early(tau: _Floats, biot: _Floats) -> _Floats:
    """Uptake while the far side is not felt; about H = 0 as a power series."""
    root = np.sqrt(tau)
    y = (biot - 1) * root
    near = np.clip(y, -1.0, 1.0)
    tail = np.zeros_like(y)
    for coefficient in _SERIES[::-1]:
        tail = coefficient - near * tail
    small = 3 * biot * tau * (1 - biot * root * tail)
    far = np.maximum(y, 1.0)
    over = np.maximum(biot - 1, 1e-3)
    bracket = erfcx(far) - 1 + 2 * far / np.sqrt(np.pi)
    large = 3 * biot / over * (biot / over**2 * bracket - tau)
    return np.where(y < 1, small, large)
