"""What goes round a boiler: flash, blowdown, make-up and returned condensate.

Read first: :func:`water_balance`. Steam that goes into pre-expander and moulds is lost with what
it heats: only what chests and traps give back counts as condensate, and that has to be measured.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least
from beadwright.science.steam.water import saturated
from beadwright.science.trust import Trust, stands

__all__ = [
    "BoilerWater",
    "WaterBalance",
    "blowdown_rate",
    "flash_share",
    "water_balance",
]

_MASS_AND_SALT = "mass and dissolved solids in = out, no solids in the steam"


@dataclass(frozen=True, slots=True)
class BoilerWater:
    """Steam drawn and condensate returned in kg/s; dissolved solids, all in one unit.

    Solids may be mg/l, ppm, or conductivity where one factor turns it into solids.
    """

    steam_kg_s: ArrayLike
    boiler_solids: ArrayLike
    make_up_solids: ArrayLike
    condensate_kg_s: ArrayLike = 0.0
    condensate_solids: ArrayLike = 0.0


@dataclass(frozen=True, slots=True)
class WaterBalance:
    """Flows in kg/s, the feed's solids in the unit given, and cycles (boiler over feed)."""

    blowdown_kg_s: NDArray[np.float64]
    feed_kg_s: NDArray[np.float64]
    make_up_kg_s: NDArray[np.float64]
    feed_solids: NDArray[np.float64]
    cycles: NDArray[np.float64]


@stands(
    Trust.EXACT,
    formula="x = (h_f1 - h_f2) / (h_g2 - h_f2)",
    source="energy balance at constant enthalpy, states by IAPWS-IF97",
)
def flash_share(before_pa: ArrayLike, after_pa: ArrayLike) -> NDArray[np.float64]:
    r"""Share of boiling water that becomes steam when it is let down to a lower pressure.

    .. math:: x = \frac{h_f(p_1) - h_f(p_2)}{h_g(p_2) - h_f(p_2)}

    Parameters
    ----------
    before_pa : array_like, shape (...)
        Absolute pressure at which the water boils, 611.213 to 22.064e6. [Pa]
    after_pa : array_like, shape (...)
        Absolute pressure after the valve or trap, not above the first. [Pa]

    Returns
    -------
    share : ndarray, shape (...)
        By mass, 0 to 1; the inputs broadcast. [1]

    Raises
    ------
    OutOfRange
        If a pressure is outside the saturation line, or rises over the valve.

    References
    ----------
    .. [1] Energy balance of a valve, states by IAPWS R7-97(2012).
       [read in: a second source that cites it]

    Examples
    --------
    Condensate of 7 bar gauge let down to the standard atmosphere:

    >>> float(flash_share(801_325, 101_325))
    0.1340
    """
    before, after = require_arrays(before_pa=before_pa, after_pa=after_pa)
    require_at_least(0, strict=True, before_pa=before, after_pa=after)
    first, second = saturated(before), saturated(after)
    _require_order("after_pa", after, before, "not above before_pa")
    return np.asarray((first.liquid_j_kg - second.liquid_j_kg) / second.latent_j_kg)


@stands(Trust.EXACT, formula="B = S / (C - 1)", source=_MASS_AND_SALT)
def blowdown_rate(steam_kg_s: ArrayLike, cycles: ArrayLike) -> NDArray[np.float64]:
    r"""Water to be blown down, so that the boiler's solids stay at some cycles of its feed's.

    .. math:: B = \frac{S}{C - 1}

    Parameters
    ----------
    steam_kg_s : array_like, shape (...)
        Steam drawn, >= 0. [kg/s]
    cycles : array_like, shape (...)
        Solids of the boiler water over those of the feed, > 1. [1]

    Returns
    -------
    blowdown_kg_s : ndarray, shape (...)
        Blowdown; the feed is it and the steam together. The inputs broadcast. [kg/s]

    Raises
    ------
    OutOfRange
        If a steam flow is negative, or the cycles are not above 1.

    References
    ----------
    .. [1] UFC 3-240-13FN, "Operation and Maintenance: Industrial Water Treatment", 25 May 2005,
       p. 44, equation 7 (its fraction bar is lost in print; its figures are those of a fraction).
       [read in: the source]

    Examples
    --------
    Twenty cycles at 5 kg/s of steam, as printed there:

    >>> float(blowdown_rate(5.0, 20.0))
    0.26
    """
    steam, ratio = require_arrays(steam_kg_s=steam_kg_s, cycles=cycles)
    require_at_least(0, steam_kg_s=steam)
    require_at_least(1, strict=True, cycles=ratio)
    return np.asarray(steam / (ratio - 1))


@stands(
    Trust.EXACT,
    formula="B = ((S - R) c_m + R c_r) / (c_b - c_m), F = S + B, M = F - R",
    source=_MASS_AND_SALT,
)
def water_balance(water: BoilerWater) -> WaterBalance:
    r"""Blowdown, feed and make-up of a boiler from what its waters carry.

    .. math::
        B = \frac{(S - R)\, c_m + R\, c_r}{c_b - c_m}, \qquad F = S + B, \qquad M = F - R

    The feed is make-up and condensate mixed, so its solids depend on the blowdown; both balances
    together give the blowdown in closed form.

    Parameters
    ----------
    water : BoilerWater, shape (...)
        Steam S and returned condensate R, R not above S; solids of boiler c_b, make-up c_m and
        condensate c_r, c_b above both. [kg/s]

    Returns
    -------
    balance : WaterBalance, shape (...)
        Blowdown, feed, make-up, solids of the feed, cycles (infinite where nothing is blown
        down, because no solids come in). [kg/s]

    Raises
    ------
    OutOfRange
        If a flow or solid is negative, more condensate returns than steam went out, or the
        boiler's solids are not above the make-up's and the condensate's.

    References
    ----------
    .. [1] UFC 3-240-13FN, "Operation and Maintenance: Industrial Water Treatment", 25 May 2005,
       p. 44, figure 3-9 for the flows. [read in: the source]

    Examples
    --------
    10 000 kg/h of steam, feed of 200 ppm and boiler of 3000 ppm, nothing returned: 714.3 kg/h.

    >>> balance = water_balance(BoilerWater(10_000 / 3600, 3000.0, 200.0))
    >>> float(balance.blowdown_kg_s * 3600), float(balance.cycles)
    (714.29, 15.0)
    """
    steam, boiler, make_up, back, returned = require_arrays(
        steam_kg_s=water.steam_kg_s,
        boiler_solids=water.boiler_solids,
        make_up_solids=water.make_up_solids,
        condensate_kg_s=water.condensate_kg_s,
        condensate_solids=water.condensate_solids,
    )
    require_at_least(0, steam_kg_s=steam, condensate_kg_s=back)
    require_at_least(0, make_up_solids=make_up, condensate_solids=returned)
    _require_order("condensate_kg_s", back, steam, "not above steam_kg_s")
    _require_order("make_up_solids", make_up, boiler, "below boiler_solids", strict=True)
    _require_order("condensate_solids", returned, boiler, "below boiler_solids", strict=True)
    blowdown = ((steam - back) * make_up + back * returned) / (boiler - make_up)
    feed = steam + blowdown
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # no solids, no end
        solids = np.where(feed > 0, blowdown * boiler / np.where(feed > 0, feed, 1), make_up)
        cycles = np.where(solids > 0, boiler / np.where(solids > 0, solids, 1), np.inf)
    return WaterBalance(*(np.asarray(it) for it in (blowdown, feed, feed - back, solids, cycles)))


def _require_order(
    name: str,
    lower: NDArray[np.float64],
    upper: NDArray[np.float64],
    valid: str,
    *,
    strict: bool = False,
) -> None:
    low, high = np.broadcast_arrays(lower, upper)
    good = (low < high) if strict else (low <= high)
    if not good.all():
        at = tuple(int(i) for i in np.argwhere(~good)[0])
        raise OutOfRange(name, float(low[at]), index=at, valid=valid)
