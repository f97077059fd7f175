"""The plastic in a form block: what its ties weigh, and how many may be missing.

Read first: :func:`missing_ties`; one missing tie looks like a very light block.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least
from beadwright.lab.density import Estimate

__all__ = ["missing_ties", "tie_mass"]


def tie_mass(
    count: ArrayLike,
    unit_mass_kg: ArrayLike,
    *,
    u_unit_mass_kg: ArrayLike = 0.0,
    spread_kg: ArrayLike = 0.0,
) -> Estimate:
    r"""Mass of all ties in a block, from the tie lot's unit mass.

    .. math:: M = n m, \qquad u^2(M) = n^2 u^2(m) + n s^2

    The unit mass of a tie lot is one number for all its ties, so its uncertainty adds up with
    the count; the spread from tie to tie partly cancels.

    Parameters
    ----------
    count : array_like, shape (...)
        Ties in the block, >= 0. [1]
    unit_mass_kg : array_like, shape (...)
        Mean mass of one tie of the lot, >= 0. [kg]
    u_unit_mass_kg : array_like, shape (...), optional
        Standard uncertainty of that mean, >= 0. [kg]
    spread_kg : array_like, shape (...), optional
        Standard deviation from tie to tie within the lot, >= 0. [kg]

    Returns
    -------
    mass : Estimate, shape (...)
        Mass and its standard uncertainty. [kg]

    Raises
    ------
    OutOfRange
        If any input is negative or not finite.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2 and
       5.2.2, law of propagation. [from memory]

    Examples
    --------
    >>> float(tie_mass(6, 0.270, u_unit_mass_kg=0.001, spread_kg=0.002).u)
    0.00775
    """
    n, unit, u_unit, spread = _arrays(count, unit_mass_kg, u_unit_mass_kg, spread_kg)
    require_at_least(0, count=n, unit_mass_kg=unit, u_unit_mass_kg=u_unit, spread_kg=spread)
    return Estimate(n * unit, np.sqrt((n * u_unit) ** 2 + n * spread**2))


def missing_ties(
    shortfall_kg: ArrayLike,
    unit_mass_kg: ArrayLike,
    *,
    u_shortfall_kg: ArrayLike,
    u_unit_mass_kg: ArrayLike = 0.0,
    most: int,
) -> NDArray[np.int64]:
    r"""Number of missing ties that explains why a block is too light; 0 where none does.

    The whole number k from 1 to ``most`` nearest to :math:`\Delta m / m` is given where it fits:

    .. math:: |\Delta m - k m| \le 2 \sqrt{u^2(\Delta m) + k^2 u^2(m)}

    Parameters
    ----------
    shortfall_kg : array_like, shape (...)
        Mass expected less mass found; below 0 for a heavy block. [kg]
    unit_mass_kg : array_like, shape (...)
        Mass of one tie, > 0. [kg]
    u_shortfall_kg : array_like, shape (...)
        Standard uncertainty of the shortfall, block-to-block spread of the foam included,
        >= 0. [kg]
    u_unit_mass_kg : array_like, shape (...), optional
        Standard uncertainty of one tie's mass, >= 0. [kg]
    most : int
        Ties in a whole block. [1]

    Returns
    -------
    count : ndarray of int, shape (...)
        Ties missing, 0 to ``most``. [1]

    Raises
    ------
    OutOfRange
        If the tie's mass is not above 0, or an uncertainty is negative or not finite.

    Notes
    -----
    A question to ask before "light", not a finding: open the block and count. Where one tie
    weighs less than four uncertainties of the shortfall any shortfall would fit some count, so
    none is given.

    References
    ----------
    .. [1] Coverage factor 2: JCGM 100:2008, 6.3. [from memory] The question itself:
       [common practice, no source].

    Examples
    --------
    A block 0.281 kg too light, with ties of 0.270 kg and a foam that spreads by 0.03 kg:

    >>> int(missing_ties(0.281, 0.270, u_shortfall_kg=0.03, most=6))
    1
    """
    shortfall, unit, u_shortfall, u_unit = _arrays(
        shortfall_kg, unit_mass_kg, u_shortfall_kg, u_unit_mass_kg
    )
    require_at_least(-np.inf, shortfall_kg=shortfall)
    require_at_least(0, strict=True, unit_mass_kg=unit)
    require_at_least(0, u_shortfall_kg=u_shortfall, u_unit_mass_kg=u_unit)
    k = np.clip(np.rint(shortfall / unit), 1, most)
    fits = np.abs(shortfall - k * unit) <= 2 * np.hypot(u_shortfall, k * u_unit)
    telling = unit >= 4 * u_shortfall
    return np.where(fits & telling & (most > 0), k, 0).astype(np.int64)


def _arrays(*values: ArrayLike) -> tuple[NDArray[np.float64], ...]:
    return tuple(np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values)))
