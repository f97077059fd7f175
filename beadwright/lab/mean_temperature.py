"""A conductivity at a stated mean temperature, from results at several others.

Read first: :func:`at_mean_temperature`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from beadwright.errors import OutOfRange, require_at_least, require_enough
from beadwright.statistics.propagation import Input

__all__ = ["AtTemperature", "at_mean_temperature"]

_LEAST = 2


@dataclass(frozen=True, slots=True)
class AtTemperature:
    """A conductivity read off a straight line through results at several mean temperatures."""

    conductivity_w_mk: float
    u_w_mk: float
    slope_w_mk2: float
    """Change of conductivity with a kelvin of mean temperature."""
    furthest_w_mk: float
    """Largest distance of a result from the line: 0 of two results."""


def at_mean_temperature(
    mean_k: Sequence[float],
    conductivity_w_mk: Sequence[Input],
    wanted_k: float,
    *,
    shared: float = 0.0,
) -> AtTemperature:
    r"""Conductivity at a stated mean temperature, by a straight line through several results.

    .. math:: \lambda(T) = \sum_i w_i \lambda_i, \quad
              w_i = \frac1n + \frac{(T - \bar T)(T_i - \bar T)}{\sum_j (T_j - \bar T)^2}, \quad
              u^2 = \sum_i w_i^2 u_i^2 + (s \lambda)^2

    Parameters
    ----------
    mean_k : sequence of float
        Mean temperatures of the results, two different ones at least. [K]
    conductivity_w_mk : sequence of Input
        Results, each with what is uncertain in it alone. [W/(m K)]
    wanted_k : float
        The stated mean temperature, between the lowest and the highest of the results. [K]
    shared : float, optional
        Relative standard uncertainty that all results share, as of one calibration factor,
        >= 0. [1]

    Returns
    -------
    found : AtTemperature
        Value, uncertainty, slope, and how far a result lies from the line.

    Raises
    ------
    OutOfRange
        If there are fewer than two temperatures or results, or the stated temperature lies
        outside those measured: a line says nothing there.

    Notes
    -----
    Conductivity of foam bends a little with temperature: keep the results within some 30 K. Of
    three results or more, look at the furthest from the line.

    References
    ----------
    .. [1] Least squares as a sum of weighed results: JCGM 100:2008, H.3. [from memory]

    Examples
    --------
    At 10 °C and 40 °C measured, 24 °C asked:

    >>> line = at_mean_temperature(
    ...     [283.15, 313.15], [Input(0.0340, 2e-4), Input(0.0370, 2e-4)], 297.15)
    >>> line.conductivity_w_mk, line.u_w_mk
    (0.0354, 0.000142)
    """
    require_enough(_LEAST, "results", conductivity_w_mk=len(conductivity_w_mk))
    if len(mean_k) != len(conductivity_w_mk):
        argument = "mean_k"
        raise OutOfRange(argument, len(mean_k), valid="as many as there are results")
    at = np.asarray(mean_k, dtype=np.float64)
    require_at_least(0, strict=True, mean_k=at)
    if not at.min() < at.max() or not at.min() <= wanted_k <= at.max():
        argument, valid = "wanted_k", "between two different mean temperatures that were measured"
        raise OutOfRange(argument, wanted_k, valid=valid)
    found = np.array([one.value for one in conductivity_w_mk])
    own = np.array([one.u for one in conductivity_w_mk])
    away, squares = at - at.mean(), float(np.sum((at - at.mean()) ** 2))
    slope = float(np.sum(away * found) / squares)
    weights = 1 / len(at) + (wanted_k - at.mean()) * away / squares
    value = float(np.sum(weights * found))
    require_at_least(0, shared=shared)
    u = math.hypot(float(np.linalg.norm(weights * own)), shared * value)
    furthest = float(np.max(np.abs(found - found.mean() - slope * away)))
    return AtTemperature(value, u, slope, furthest if len(at) > _LEAST else 0.0)
