"""The oxygen index: the least oxygen that keeps a bar burning, from a series up and down.

Read first: :func:`oxygen_index`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import log_ndtr

from beadwright.errors import OutOfRange, require_at_least, require_between, require_enough

__all__ = ["OxygenIndex", "oxygen_index", "series_of"]

_LEAST = 6
_SMALLEST_STEP = 0.002
_BAR = re.compile(r"([0-9]{1,2}(?:\.[0-9]{1,3})?) *%? *([yn])")


@dataclass(frozen=True, slots=True)
class OxygenIndex:
    """An oxygen index with what tells whether its series was a good one."""

    value: float
    """Share of oxygen by volume."""
    k: float
    """Distance of the index from the last concentration, in steps."""
    spread: float
    """Standard deviation of the last concentrations about the index."""
    step_fits: bool
    """Whether the step lies between two thirds of the spread and one and a half times it."""


def oxygen_index(concentration: Sequence[float], burned: Sequence[bool]) -> OxygenIndex:
    r"""Oxygen index from bars burnt one after another, a step down after each that burned.

    .. math:: \mathrm{OI} = C_F + k \, d

    The index is where half the bars would burn, by maximum likelihood, the standard deviation of
    bars taken as one step: that is what the printed table of k holds.

    Parameters
    ----------
    concentration : sequence of float
        Oxygen by volume of each bar in the order burnt, six at least: like results to begin with,
        then five more, above 0 and below 1, in equal steps. [1]
    burned : sequence of bool
        Whether each bar burned longer, or further, than the method allows.

    Returns
    -------
    index : OxygenIndex
        Shares of oxygen.

    Raises
    ------
    OutOfRange
        If there are fewer than six bars, the two do not match, all bars burned or none did, or a
        concentration is not one step down after a bar that burned and one step up after one that
        did not.

    Notes
    -----
    A comparison of materials on a small flame. It says nothing about a wall in a fire.

    References
    ----------
    .. [1] ASTM D2863 / ISO 4589-2: series and formula. [from memory]
    .. [2] W. J. Dixon, "The Up-and-Down Method for Small Samples", J. Am. Stat. Assoc. 60 (1965),
       967-978: the table of k. [from memory]

    Examples
    --------
    Steps of 0.2 % of oxygen:

    >>> index = oxygen_index([0.262, 0.264, 0.262, 0.264, 0.262, 0.264],
    ...                      [False, True, False, True, False, True])
    >>> index.value, index.k
    (0.263, -0.5)
    """
    require_enough(_LEAST, "bars", concentration=len(concentration))
    require_enough(len(concentration), "results", burned=len(burned))
    level = np.asarray(concentration, dtype=np.float64)
    require_between(0, 1, strict=True, concentration=level)
    fire = np.asarray(burned, dtype=bool)
    if fire.all() or not fire.any():
        argument, valid = "burned", "at least one bar that burned and one that did not"
        raise OutOfRange(argument, bool(fire[0]), valid=valid)
    step = float(np.mean(np.abs(np.diff(level))))
    require_at_least(0, strict=True, step=step)
    wanted = level[:-1] + np.where(fire[:-1], -step, step)
    off = np.abs(level[1:] - wanted) > 0.05 * step
    if off.any():
        argument, number = "concentration", int(np.argmax(off)) + 1
        valid = "one equal step down after a bar that burned, and up after one that did not"
        raise OutOfRange(argument, float(level[number]), index=(number,), valid=valid)
    k = _likeliest((level - level[-1]) / step, fire)
    value = float(level[-1] + k * step)
    spread = float(math.sqrt(np.sum((level[-_LEAST:] - value) ** 2) / (_LEAST - 1)))
    fits = 2 * spread / 3 <= step <= 3 * spread / 2
    small = spread < step <= _SMALLEST_STEP * (1 + 1e-6)
    return OxygenIndex(value, k, spread, bool(fits or small))


def series_of(text: str) -> tuple[tuple[float, ...], tuple[bool, ...]]:
    """Read a series of bars as a person writes it: per cent of oxygen, and whether it burned.

    Parameters
    ----------
    text : str
        Bars in the order burnt, with commas between: ``26.0 n, 26.4 y``; y burned, n did not.

    Returns
    -------
    concentration : tuple of float
        Shares of oxygen. [1]
    burned : tuple of bool
        Of each bar.

    Raises
    ------
    OutOfRange
        If a bar is no number of per cent followed by y or n.

    Examples
    --------
    >>> series_of("26.0 n, 26.4 y")
    ((0.26, 0.264), (False, True))
    """
    levels, fire = [], []
    for number, bar in enumerate(text.split(",")):
        found = _BAR.fullmatch(bar.strip())
        if found is None:
            argument, valid = "series", "per cent and y or n, such as 26.0 n"
            raise OutOfRange(argument, repr(bar.strip()), index=(number,), valid=valid)
        levels.append(float(found[1]) / 100)
        fire.append(found[2] == "y")
    return tuple(levels), tuple(fire)


def _likeliest(steps: np.ndarray, fire: np.ndarray) -> float:
    """Give where half would burn, in steps from the last: the score of its likelihood is 0."""
    sign = np.where(fire, 1.0, -1.0)

    def score(at: float) -> float:
        x = sign * (steps - at)
        # Density over distribution, in logarithms: it must not overflow far out.
        return float(np.sum(sign * np.exp(-(x**2) / 2 - math.log(2 * math.pi) / 2 - log_ndtr(x))))

    return float(brentq(score, steps.min() - 10, steps.max() + 10, xtol=1e-12))
