"""The rest of the steam: what a meter shows beyond the heat balance, and what it goes with.

Read first: :func:`fit_meter`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import nnls

from beadwright.errors import require_at_least, require_enough, require_series
from beadwright.science.curve_fit import Fitted, Reported, expanded_uncertainty, quantile
from beadwright.science.trust import Banded, Trust, stands

__all__ = ["MeterFit", "SteamLog", "expected_steam", "fit_meter"]

_Array = NDArray[np.float64]
_TERMS = (
    ("leak", "1", "share of the heat balance"),
    ("per shot", "kg", "number of shots"),
    ("per purge second", "kg/s", "purge time"),
    ("per standby second", "kg/s", "standby time"),
)
_TOGETHER = 100.0  # variance inflation at which two causes cannot be told apart
_CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class SteamLog:
    """Metered steam of some hours or shifts, with what happened in each; arrays of shape (n,).

    ``least_kg`` is the heat balance summed over the period's shots.
    """

    metered_kg: ArrayLike
    least_kg: ArrayLike
    shots: ArrayLike
    purge_s: ArrayLike
    standby_s: ArrayLike


@dataclass(frozen=True, slots=True)
class MeterFit(Reported):
    """Where the rest of the steam goes, as far as the log can tell."""

    parameters: tuple[Fitted, ...]
    """Leak (share of the heat balance), per shot, per purge second, per standby second."""
    coefficients: _Array
    covariance: _Array
    spread_kg: float
    """Standard deviation of one period about the fit."""
    degrees: int
    below: bool
    """The meter shows less than the heat balance, beyond chance: one of the two is wrong."""


@stands(
    Trust.ESTIMATE,
    formula="metered - least = a least + b shots + c purge + d standby, all >= 0",
    source="non-negative least squares (Lawson and Hanson)",
    cause="meters err, and a period's shots, purges and standby go up and down together",
    narrowed_by="periods that differ: one without shots, one with long purges",
)
def fit_meter(log: SteamLog) -> MeterFit:
    """What the metered steam beyond the heat balance goes with: leaks, shots, purges, standby.

    No cause gives steam back, so none may be negative. Causes that went up and down together in
    this log are not told apart: each is refused, and says which other it goes with.

    Parameters
    ----------
    log : SteamLog
        Periods with meter, heat balance and what happened.

    Returns
    -------
    fit : MeterFit
        Coefficients with standard uncertainty, or reasons. A coefficient at 0 keeps its
        uncertainty.

    Raises
    ------
    OutOfRange
        If there are fewer than six periods, or a number is negative or not finite.

    Notes
    -----
    Uncertainties are those of ordinary least squares: close to 0 they are only a guide.

    References
    ----------
    .. [1] C. L. Lawson and R. J. Hanson, "Solving Least Squares Problems", 1974, chapter 23.
       [from memory]

    Examples
    --------
    >>> shots = [0.0, 30, 60, 90, 60, 30, 45, 75]
    >>> purge = [0.0, 150, 200, 600, 500, 60, 300, 150]
    >>> idle = [3600.0, 900, 300, 0, 600, 1800, 0, 1200]
    >>> least = [4.0 * n for n in shots]
    >>> metered = [1.5 * m + 0.01 * p + 0.002 * i for m, p, i in zip(least, purge, idle)]
    >>> fit = fit_meter(SteamLog(metered, least, shots, purge, idle))
    >>> [each.symbol for each in fit.refused]
    ['leak', 'per shot']
    """
    metered, columns = _arrays(log)
    rest = metered - columns[:, 0]
    size = np.sqrt((columns**2).sum(axis=0))
    seen = size > 0
    scaled = columns[:, seen] / size[seen]
    coefficients = np.zeros(columns.shape[1])
    coefficients[seen] = nnls(scaled, rest)[0] / size[seen]
    degrees = metered.size - int(seen.sum())
    left = rest - columns @ coefficients
    spread = float(np.sqrt(left @ left / degrees))
    inverse = np.linalg.pinv(scaled.T @ scaled)
    covariance = np.zeros((size.size, size.size))
    covariance[np.ix_(seen, seen)] = spread**2 * inverse / np.outer(size[seen], size[seen])
    apart = np.zeros(size.size)
    apart[seen] = np.where(_inflation(scaled) > _TOGETHER, np.inf, 1.0)
    mean, error = float(rest.mean()), float(rest.std(ddof=1)) / np.sqrt(rest.size)
    return MeterFit(
        _reported(coefficients, covariance, apart, columns),
        coefficients,
        covariance,
        spread,
        degrees,
        bool(mean < -quantile(_CONFIDENCE, rest.size - 1) * error),
    )


@stands(
    Trust.ESTIMATE,
    formula="least + the fitted rest, with the band of its mean",
    source="linear model",
    cause="the scatter of the metered periods",
    narrowed_by="more metered periods like the one asked about",
)
def expected_steam(fit: MeterFit, log: SteamLog, coverage: float = 0.95) -> Banded:
    """Steam expected for periods, from heat balance and fitted rest; never less than the balance.

    Parameters
    ----------
    fit : MeterFit
        A fitted meter.
    log : SteamLog
        The periods; what the meter showed is not used.
    coverage : float, optional
        Chance that the band holds the mean, 0.95 by default. [1]

    Returns
    -------
    steam : Banded
        Expected steam of each period. [kg]

    Raises
    ------
    OutOfRange
        If a number is negative or not finite, or the coverage not between 0 and 1.

    Examples
    --------
    >>> fit = MeterFit((), np.array([0.5, 0.0, 0.0, 0.0]), np.zeros((4, 4)), 0.0, 4, False)
    >>> float(expected_steam(fit, SteamLog(0.0, 100.0, 25.0, 0.0, 0.0)).value[0])
    150.0
    """
    _, columns = _arrays(log, least_periods=1)
    mean = columns[:, 0] + columns @ fit.coefficients
    off = expanded_uncertainty(columns, fit.covariance, coverage, fit.degrees)
    return Banded.of(mean, np.maximum(mean - off, columns[:, 0]), mean + off)


def _arrays(log: SteamLog, least_periods: int = 6) -> tuple[_Array, _Array]:
    given = {
        "metered_kg": log.metered_kg,
        "least_kg": log.least_kg,
        "shots": log.shots,
        "purge_s": log.purge_s,
        "standby_s": log.standby_s,
    }
    arrays = require_series(**given)
    for name, of in zip(given, arrays, strict=True):
        require_at_least(0, strict=False, **{name: of})
    require_enough(least_periods, "periods", metered_kg=arrays[0].size)
    return arrays[0], np.array(arrays[1:]).T


def _inflation(scaled: _Array) -> _Array:
    """Variance inflation of columns of length 1: how much each is made of the others."""
    single = np.linalg.svd(scaled, compute_uv=False)
    if single[-1] < 1e-10 * single[0]:
        gram = scaled.T @ scaled + 1e-10 * np.eye(scaled.shape[1])
    else:
        gram = scaled.T @ scaled
    return np.asarray(np.diagonal(np.linalg.inv(gram)))


def _reported(
    coefficients: _Array, covariance: _Array, apart: _Array, columns: _Array
) -> tuple[Fitted, ...]:
    us = np.sqrt(np.maximum(np.diagonal(covariance), 0.0))
    found = []
    for index, (symbol, unit, words) in enumerate(_TERMS):
        if apart[index] == 0:
            why = f"there is no {words} in this log"
        elif np.isinf(apart[index]):
            why = f"{words} went up and down with {_partner(index, columns)}: vary one without it"
        else:
            found.append(Fitted(symbol, unit, float(coefficients[index]), float(us[index])))
            continue
        found.append(Fitted(symbol, unit, None, None, why))
    return tuple(found)


def _partner(index: int, columns: _Array) -> str:
    """The column that is most nearly in step with one."""
    length = np.sqrt((columns**2).sum(axis=0))
    likeness = columns.T @ columns[:, index] / np.where(length > 0, length, np.inf)
    likeness[index] = -np.inf
    return _TERMS[int(likeness.argmax())][2]
