"""Did a specimen break: stress gone at once, where unloading would have taken travel.

Read first: :func:`fell_at_once`; :func:`break_row` looks for such a fall along a curve.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["break_row", "fell_at_once"]

_HALF = 0.5
_SUDDEN = 0.25  # of the strain that unloading along the modulus line would take to the half


def fell_at_once(
    strain: NDArray[np.float64], stress_pa: NDArray[np.float64], modulus_pa: float
) -> bool:
    r"""Whether stress falls to under half while strain hardly changes, either way.

    .. math::
        |\epsilon - \epsilon_1| \le \tfrac14 \cdot \frac{\sigma_1 / 2}{E}
        \quad \text{where } \sigma \text{ is first under } \sigma_1 / 2

    Parameters
    ----------
    strain : ndarray, shape (n,)
        Strain from the point on that is asked about. [1]
    stress_pa : ndarray, shape (n,)
        Stress there, the first the one it falls from, > 0. [Pa]
    modulus_pa : float
        Of the loading, > 0. [Pa]

    Returns
    -------
    broke : bool
        True for a break. False where stress falls slowly, where it does not fall to the half, and
        where the rows lie too far apart to tell.

    References
    ----------
    .. [1] Ours: foam unloads along its modulus or somewhat steeper, never four times as steep.
       [common practice, no source]

    Examples
    --------
    From 100 kPa at 5 MPa, half would be unloaded over 1 % strain; here it is gone in 0.1 %:

    >>> fell_at_once(np.array([0.05, 0.049, 0.048]), np.array([100e3, 8e3, 0.0]), 5e6)
    True
    >>> fell_at_once(np.array([0.05, 0.045, 0.040]), np.array([100e3, 70e3, 45e3]), 5e6)
    False
    """
    under = stress_pa < _HALF * stress_pa[0]
    if not under.any():
        return False
    moved = abs(float(strain[int(np.argmax(under))] - strain[0]))
    return moved <= _SUDDEN * _HALF * float(stress_pa[0]) / modulus_pa


def break_row(
    strain: NDArray[np.float64], stress_pa: NDArray[np.float64], modulus_pa: float
) -> int | None:
    """Row of a loading from which stress is gone at once, at the highest stress or after it.

    Parameters
    ----------
    strain : ndarray, shape (n,)
        Strain. [1]
    stress_pa : ndarray, shape (n,)
        Stress. [Pa]
    modulus_pa : float
        Of the loading, > 0. [Pa]

    Returns
    -------
    row : int or None
        The last row before the fall; None where stress never falls at once. [1]

    Notes
    -----
    The fall is to under half of the highest stress: a specimen that softens that far without a
    break is not seen to break after.

    References
    ----------
    .. [1] As in :func:`fell_at_once`. [common practice, no source]

    Examples
    --------
    >>> e = np.array([0, 0.01, 0.02, 0.03, 0.0302, 0.0304])
    >>> break_row(e, np.array([0, 50e3, 100e3, 98e3, 20e3, 0]), 5e6)
    3
    """
    top = int(np.argmax(stress_pa))
    under = stress_pa[top:] < _HALF * stress_pa[top]
    if not under.any():
        return None
    last = top + int(np.argmax(under))
    for row in range(last - 1, top - 1, -1):
        if fell_at_once(strain[row : last + 1], stress_pa[row : last + 1], modulus_pa):
            rows = slice(row, last)
            return row + int(np.argmax(stress_pa[rows]))
    return None
