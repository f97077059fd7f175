"""The local atmosphere: what a gauge reads above, from an altitude or a barometer.

Read first: :func:`absolute_pressure`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.constants import ATMOSPHERE_PA, BAROMETER_PA, GRAVITY_M_S2
from beadwright.science.trust import Banded, Trust, stands

__all__ = ["absolute_pressure", "local_atmosphere", "standard_atmosphere", "station_pressure"]

_SEA_LEVEL_K = 288.15
_LAPSE_K_M = 0.0065
_EXPONENT = GRAVITY_M_S2 / (287.05287 * _LAPSE_K_M)
"""Of the pressure in the troposphere: g over (R times the lapse)."""
_EARTH_M = 6_356_766.0
_LOWEST_M, _HIGHEST_M = -500.0, 9_000.0
_WEATHER = 0.03


@stands(
    Trust.EXACT,
    formula="p = p0 (1 - L H / T0)^(g / (R L)), H = r h / (r + h)",
    source="ISO 2533:1975, Standard Atmosphere",
)
def standard_atmosphere(altitude_m: ArrayLike) -> NDArray[np.float64]:
    r"""Pressure of the standard atmosphere at an altitude.

    .. math:: p = p_0 \left(1 - \frac{L H}{T_0}\right)^{g/(R L)}, \qquad H = \frac{r h}{r + h}

    Parameters
    ----------
    altitude_m : array_like, shape (...)
        Height above sea level, -500 to 9000. [m]

    Returns
    -------
    pressure : ndarray, shape (...)
        What the mean atmosphere has there; the day's weather moves it by some 3 %, see
        :func:`local_atmosphere`. [Pa]

    Raises
    ------
    OutOfRange
        If an altitude is outside -500 to 9000 m.

    References
    ----------
    .. [1] ISO 2533:1975, "Standard Atmosphere": p0 = 101 325 Pa, T0 = 288.15 K, L = 6.5 K/km,
       g = 9.806 65 m/s², R = 287.052 87 J/(kg K), r = 6 356 766 m. [from memory]

    Examples
    --------
    >>> standard_atmosphere([0, 1500]).round().tolist()
    [101325.0, 84560.0]
    """
    (height,) = require_arrays(altitude_m=altitude_m)
    require_between(_LOWEST_M, _HIGHEST_M, altitude_m=height)
    return np.asarray(ATMOSPHERE_PA * _cooling(height) ** _EXPONENT)


@stands(
    Trust.ESTIMATE,
    formula="the standard atmosphere at the altitude, and 3 % to each side for the weather",
    source="ISO 2533:1975; the weather: common practice, no source",
    cause="the weather moves the barometer",
    narrowed_by="a barometer on the site, not reduced to sea level",
)
def local_atmosphere(altitude_m: ArrayLike) -> Banded:
    """Atmosphere of a site whose altitude is known and whose barometer is not.

    Parameters
    ----------
    altitude_m : array_like, shape (...)
        Height above sea level, -500 to 9000. [m]

    Returns
    -------
    pressure : Banded, shape (...)
        Standard pressure at the altitude, 3 % to each side. [Pa]

    Raises
    ------
    OutOfRange
        If an altitude is outside -500 to 9000 m.

    References
    ----------
    .. [1] ISO 2533:1975, "Standard Atmosphere". [from memory]
    .. [2] The band of the weather. [common practice, no source]

    Examples
    --------
    >>> float(local_atmosphere(1500).low)
    82023.
    """
    middle = standard_atmosphere(altitude_m)
    return Banded.of(middle, middle * (1 - _WEATHER), middle * (1 + _WEATHER))


@stands(
    Trust.EXACT,
    formula="p = p0 ((q / p0)^(1/n) - L H / T0)^n, n = g / (R L)",
    source="altimeter setting, inverted from the standard atmosphere of ISO 2533:1975",
)
def station_pressure(sea_level_pa: ArrayLike, altitude_m: ArrayLike) -> NDArray[np.float64]:
    r"""Pressure on the site from one that a weather service has reduced to sea level.

    .. math:: p = p_0 \left[\left(\frac{q}{p_0}\right)^{1/n} - \frac{L H}{T_0}\right]^{n}

    A weather report gives the pressure as it would be at sea level (an airfield's is called
    QNH). Taken as it stands at 1500 m, it makes steam of 0.2 bar gauge 4 K too hot.

    Parameters
    ----------
    sea_level_pa : array_like, shape (...)
        The reported pressure q, 85 000 to 110 000. [Pa]
    altitude_m : array_like, shape (...)
        Height of the site above sea level, -500 to 9000. [m]

    Returns
    -------
    pressure : ndarray, shape (...)
        What a barometer on the site shows; the inputs broadcast. [Pa]

    Raises
    ------
    OutOfRange
        If a pressure or an altitude is outside its range.

    References
    ----------
    .. [1] The altimeter setting is the pressure that makes a standard altimeter show the site's
       height; symbols as in ISO 2533:1975, n = g / (R L). [from memory]

    Examples
    --------
    On a day of the standard pressure the site has the standard atmosphere of its altitude:

    >>> float(station_pressure(101_325, 1500))
    84560.
    """
    reported, height = require_arrays(sea_level_pa=sea_level_pa, altitude_m=altitude_m)
    require_between(85_000, 110_000, sea_level_pa=reported)
    require_between(_LOWEST_M, _HIGHEST_M, altitude_m=height)
    root = (reported / ATMOSPHERE_PA) ** (1 / _EXPONENT) - (1 - _cooling(height))
    return np.asarray(ATMOSPHERE_PA * root**_EXPONENT)


@stands(Trust.EXACT, formula="p = p_gauge + p_atmosphere", source="definition of gauge pressure")
def absolute_pressure(gauge_pa: ArrayLike, atmosphere_pa: ArrayLike) -> NDArray[np.float64]:
    """Absolute pressure from a gauge and the local atmosphere, which has no default.

    Parameters
    ----------
    gauge_pa : array_like, shape (...)
        Reading above the atmosphere; below 0 is a vacuum. [Pa]
    atmosphere_pa : array_like, shape (...)
        Local atmosphere, 25 000 to 110 000: from a barometer on the site, or
        :func:`standard_atmosphere`. [Pa]

    Returns
    -------
    pressure : ndarray, shape (...)
        Their sum, not below 0; the inputs broadcast. [Pa]

    Raises
    ------
    OutOfRange
        If the atmosphere is outside its range, or a vacuum is deeper than it.

    References
    ----------
    .. [1] Definition of gauge pressure. [common practice, no source]

    Examples
    --------
    Steam of 0.2 bar gauge at 1500 m:

    >>> float(absolute_pressure(20_000, standard_atmosphere(1500)))
    104560.
    """
    gauge, atmosphere = require_arrays(gauge_pa=gauge_pa, atmosphere_pa=atmosphere_pa)
    require_between(*BAROMETER_PA, atmosphere_pa=atmosphere)
    require_at_least(-BAROMETER_PA[1], gauge_pa=gauge)
    total = np.asarray(gauge + atmosphere)
    require_at_least(0, pressure_pa=total)
    return total


def _cooling(altitude_m: NDArray[np.float64]) -> NDArray[np.float64]:
    geopotential = _EARTH_M * altitude_m / (_EARTH_M + altitude_m)
    return np.asarray(1 - _LAPSE_K_M * geopotential / _SEA_LEVEL_K)
