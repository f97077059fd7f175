"""A batch pre-expander that stops on a level: its density is charge over volume.

Read first: :func:`level_stop_density`; one per cent more charge is one per cent more density.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.constants import SOLID_KG_M3
from beadwright.science.trust import Trust, stands

__all__ = [
    "LevelVolume",
    "level_stop_charge",
    "level_stop_density",
    "level_volume",
]

_MOST_LOST = 0.10  # no expandable bead holds more blowing agent than that
_FEWEST = 3


@dataclass(frozen=True, slots=True)
class LevelVolume:
    """Volume of beads at the level stop, learnt from batches, with its standard uncertainty."""

    volume_m3: float
    u_volume_m3: float
    spread: float
    """Relative standard deviation of one batch about it."""
    batches: int


@stands(
    Trust.EXACT,
    formula="rho = m (1 - l) / V",
    source="conservation of mass",
)
def level_stop_density(
    charge_kg: ArrayLike, vessel_volume_m3: ArrayLike, pentane_loss: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Bulk density of a batch that stopped when its beads reached the level probe.

    .. math:: \rho = \frac{m \, (1 - \ell)}{V}

    The volume is fixed by the probe, so the charge fixes the density: the gain of ln rho to ln m
    is exactly 1, whatever steam, bead or time. The charge mass is the knob, and the steaming time
    to reach the level becomes a sign of health.

    Parameters
    ----------
    charge_kg : array_like, shape (...)
        Dry beads with their pentane, as charged, > 0. [kg]
    vessel_volume_m3 : array_like, shape (...)
        Volume of beads below the probe, > 0. [m^3]
    pentane_loss : array_like, shape (...), optional
        Share of the charge that left as pentane, from 0 to 0.10. [1]

    Returns
    -------
    density : ndarray, shape (...)
        Dry bulk density in the vessel; the inputs broadcast. [kg/m^3]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range, or if the density that results is
        above that of solid polymer.

    Notes
    -----
    Density in the vessel, hot and level: a cup that is dried or cooled is another quantity, and
    beads leave with a few per cent of water that is not in the charge.

    References
    ----------
    .. [1] Conservation of mass; that machines stop on a level. [common practice, no source]

    Examples
    --------
    11.0 kg that lose 1 % fill half a cubic metre at:

    >>> float(level_stop_density(11.0, 0.5, 0.01))
    21.78
    """
    charge, volume, loss = _sized(
        charge_kg=charge_kg, vessel_volume_m3=vessel_volume_m3, pentane_loss=pentane_loss
    )
    density = charge * (1 - loss) / volume
    require_between(0, SOLID_KG_M3, density_kg_m3=density)
    return density


@stands(
    Trust.EXACT,
    formula="m = rho V / (1 - l)",
    source="conservation of mass",
)
def level_stop_charge(
    density_kg_m3: ArrayLike, vessel_volume_m3: ArrayLike, pentane_loss: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Charge that gives a wanted bulk density at the level stop.

    .. math:: m = \frac{\rho V}{1 - \ell}

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Wanted dry bulk density in the vessel, above 0 and up to 1050. [kg/m^3]
    vessel_volume_m3 : array_like, shape (...)
        Volume of beads below the probe, > 0. [m^3]
    pentane_loss : array_like, shape (...), optional
        Share of the charge that leaves as pentane, from 0 to 0.10. [1]

    Returns
    -------
    charge_kg : ndarray, shape (...)
        Dry beads with their pentane; the inputs broadcast. [kg]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] Conservation of mass. [common practice, no source]

    Examples
    --------
    >>> float(level_stop_charge(21.78, 0.5, 0.01))
    11.00
    """
    density, volume, loss = _sized(
        density_kg_m3=density_kg_m3, vessel_volume_m3=vessel_volume_m3, pentane_loss=pentane_loss
    )
    require_between(0, SOLID_KG_M3, density_kg_m3=density)
    return density * volume / (1 - loss)


@stands(
    Trust.ESTIMATE,
    formula="V = exp(mean of ln(m (1 - l) / rho))",
    source="the identity above, over the plant's own batches",
    cause="cups spread by about 1 % by packing alone, and the vessel's beads are hot and wet",
    narrowed_by="more batches with charge and cup, each cup the mean of three",
)
def level_volume(
    charge_kg: ArrayLike, density_kg_m3: ArrayLike, pentane_loss: ArrayLike = 0.0
) -> LevelVolume:
    r"""Volume below the level probe, as the plant's own batches show it.

    .. math:: \ln V = \frac{1}{n} \sum_i \ln \frac{m_i (1 - \ell_i)}{\rho_i}

    No drawing tells where beads stop a probe. The mean of the logarithms weighs every batch by
    its relative error, which is how cups err.

    Parameters
    ----------
    charge_kg : array_like, shape (n,)
        Charge of each batch, > 0; at least three. [kg]
    density_kg_m3 : array_like, shape (n,)
        Cup density of each batch, all taken in one and the same state, > 0. [kg/m^3]
    pentane_loss : array_like, shape (n,), optional
        Share of the charge lost as pentane. [1]

    Returns
    -------
    volume : LevelVolume
        Volume, its standard uncertainty, the spread of one batch, and their number.

    Raises
    ------
    OutOfRange
        If fewer than three batches are given, or an argument is not finite or out of its range.

    Notes
    -----
    Cups of another state (hot, dried, at the hopper) give another volume: use it with cups of the
    same state only.

    References
    ----------
    .. [1] Conservation of mass. [common practice, no source]

    Examples
    --------
    >>> found = level_volume([10.9, 11.0, 11.1], [21.7, 22.0, 22.1], 0.01)
    >>> round(found.volume_m3, 4), found.batches
    (0.4965, 3)
    """
    charge, density, loss = _sized(
        charge_kg=charge_kg, density_kg_m3=density_kg_m3, pentane_loss=pentane_loss
    )
    require_between(0, SOLID_KG_M3, density_kg_m3=density)
    logs = np.ravel(np.log(charge * (1 - loss) / density))
    if logs.size < _FEWEST:
        batches = "charge_kg"
        raise OutOfRange(batches, f"{logs.size} batches", valid="at least 3 batches")
    spread = float(np.std(logs, ddof=1))
    volume = float(np.exp(np.mean(logs)))
    return LevelVolume(volume, volume * spread / float(np.sqrt(logs.size)), spread, logs.size)


def _sized(**arguments: ArrayLike) -> tuple[NDArray[np.float64], ...]:
    """Every argument as an array of one shape; masses, densities and volumes above 0."""
    arrays = dict(zip(arguments, np.broadcast_arrays(*require_arrays(**arguments)), strict=True))
    require_between(0, _MOST_LOST, pentane_loss=arrays["pentane_loss"])
    require_at_least(
        0, strict=True, **{name: of for name, of in arrays.items() if name != "pentane_loss"}
    )
    return tuple(arrays.values())
