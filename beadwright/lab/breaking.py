"""Did a specimen break: stress gone at once, where unloading would have taken travel.

Read first: :func:`fell_at_once`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["fell_at_once"]

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
