"""Cooling of a panel by conduction alone: an upper bound, never a demoulding time.

Read first: :func:`conduction_time`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.trust import Parameter, Trust, stands

__all__ = ["DIFFUSIVITY", "conduction_time", "wall_excess", "wall_roots"]

DIFFUSIVITY = Parameter(
    "alpha",
    1.23e-6,
    1.0e-6,
    1.4e-6,
    "m^2/s",
    "conductivity 0.036 W/(m K) over 22.5 kg/m³ times 1300 J/(kg K)",
)

_MOST_TERMS = 400
_SHORT = 1e-4  # Fourier numbers below which the series needs more terms than are kept
_BISECTIONS = 60


@stands(
    Trust.EXACT,
    formula="zeta tan zeta = Bi, zeta_n between (n-1) pi and (n-1/2) pi",
    source="heat equation of a plane wall with convection",
)
def wall_roots(biot: float, count: int) -> NDArray[np.float64]:
    r"""Eigenvalues of a plane wall that is cooled alike on both sides.

    .. math:: \zeta_n \tan \zeta_n = Bi, \qquad (n - 1)\pi \le \zeta_n \le (n - \tfrac12)\pi

    Parameters
    ----------
    biot : float
        Heat transfer coefficient times half thickness over conductivity, > 0; infinite for
        surfaces held at the coolant's temperature. [1]
    count : int
        How many, 1 to 400. [1]

    Returns
    -------
    roots : ndarray, shape (count,)
        In rising order. [1]

    Raises
    ------
    OutOfRange
        If the Biot number is not above 0, or the count is outside its range.

    References
    ----------
    .. [1] F. P. Incropera and D. P. DeWitt, "Fundamentals of Heat and Mass Transfer", equation
       5.39c and table 5.1. [read in: a second source that cites it]

    Examples
    --------
    >>> wall_roots(1.0, 1).round(4).tolist()
    [0.8603]
    """
    require_between(1, _MOST_TERMS, count=count)
    if not biot > 0:
        name = "biot"
        raise OutOfRange(name, biot, valid="a number above 0, or infinite")
    whole = np.arange(count) * np.pi
    if np.isinf(biot):
        return np.asarray(whole + np.pi / 2, dtype=np.float64)
    # zeta - (n-1) pi - arctan(Bi / zeta) rises and is concave: Newton from the left never passes.
    root = whole.copy()
    root[0] = np.sqrt(biot / (1 + 4 * biot / np.pi**2)) * 0.5
    for _ in range(_BISECTIONS):
        off = root - whole - np.arctan2(biot, root)
        step = off / (1 + biot / (root**2 + biot**2))
        root = root - step
        if np.all(np.abs(step) <= 1e-15 * np.maximum(root, 1e-300)):
            break
    return np.asarray(root, dtype=np.float64)


@stands(
    Trust.EXACT,
    formula="theta = sum C_n exp(-zeta_n² Fo) cos(zeta_n x), C = 4 sin z/(2z + sin 2z)",
    source="heat equation of a plane wall with convection",
)
def wall_excess(fourier: ArrayLike, biot: float, position: ArrayLike = 0.0) -> NDArray[np.float64]:
    r"""Share of its first excess temperature that a place in a wall still has.

    .. math::
        \theta = \sum_n C_n e^{-\zeta_n^2 Fo} \cos(\zeta_n x), \qquad
        C_n = \frac{4 \sin \zeta_n}{2 \zeta_n + \sin 2 \zeta_n}

    Parameters
    ----------
    fourier : array_like, shape (...)
        Diffusivity times time over the square of the half thickness, at least 1e-4. [1]
    biot : float
        Biot number, > 0, or infinite. [1]
    position : array_like, shape (...), optional
        Place as a share of the half thickness: 0 in the middle, 1 at the surface. [1]

    Returns
    -------
    excess : ndarray, shape (...)
        1 when cooling starts, 0 at last; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] F. P. Incropera and D. P. DeWitt, "Fundamentals of Heat and Mass Transfer", equation
       5.39. [read in: a second source that cites it]

    Examples
    --------
    A steel pipe wall, taken as a slab:

    >>> float(wall_excess(5.64, 0.313))
    0.2123
    """
    time, place = require_arrays(fourier=fourier, position=position)
    require_at_least(_SHORT, fourier=time)
    require_between(0, 1, position=place)
    least = float(time.min())
    count = int(min(_MOST_TERMS, 3 + np.ceil(6.5 / np.pi / np.sqrt(least))))
    zeta = wall_roots(biot, count)
    weight = 4 * np.sin(zeta) / (2 * zeta + np.sin(2 * zeta))
    time, place = time[..., None], place[..., None]
    terms = weight * np.exp(-(zeta**2) * time) * np.cos(zeta * place)
    return np.asarray(np.clip(terms.sum(axis=-1), 0.0, 1.0))


@stands(
    Trust.WHAT_IF,
    formula="t = Fo l²/alpha, Fo where the middle's excess has fallen to the wanted share",
    source="plane wall; conduction only",
)
def conduction_time(
    thickness_m: float,
    excess: float,
    *,
    biot: float = float("inf"),
    diffusivity_m2_s: float = DIFFUSIVITY.value,
) -> float:
    r"""Time until the middle of a panel has cooled to a share of its excess, by conduction alone.

    An upper bound on cooling and no more: in the mould vacuum takes heat out by evaporation, and
    the fall of gas pressure, not the core's temperature, lets a part be demoulded. Use the fitted
    foam pressure for that.

    Parameters
    ----------
    thickness_m : float
        Thickness between cooled faces, > 0. [m]
    excess : float
        Wanted share of the first excess temperature, from 0.001 to 0.95. [1]
    biot : float, optional
        Biot number, > 0; infinite (the least time) by default. [1]
    diffusivity_m2_s : float, optional
        Thermal diffusivity of the foam, > 0. [m^2/s]

    Returns
    -------
    time_s : float
        The time. [s]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] F. P. Incropera and D. P. DeWitt, "Fundamentals of Heat and Mass Transfer", equation
       5.39. [read in: a second source that cites it]

    Examples
    --------
    A 2 5/8 in. panel with perfect cooling, until a fifth of the excess is left:

    >>> float(round(conduction_time(0.066675, 0.2)))
    678.0
    """
    require_at_least(0, strict=True, thickness_m=thickness_m, diffusivity_m2_s=diffusivity_m2_s)
    require_between(0.001, 0.95, excess=excess)
    low = np.log(_SHORT)
    slowest = float(wall_roots(biot, 1)[0])
    high = np.log(_SHORT + 10.0 / slowest**2)
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if float(wall_excess(np.exp(middle), biot)) > excess:
            low = middle
        else:
            high = middle
    return float(np.exp(high)) * (thickness_m / 2) ** 2 / diffusivity_m2_s
