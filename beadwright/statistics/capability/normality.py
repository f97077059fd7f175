"""Whether values may come from a normal distribution, in plain words.

Read :func:`normality` first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import shapiro

from beadwright.errors import require_at_least
from beadwright.statistics.requirements import require_series

__all__ = ["Normality", "normality"]

_LEVEL = 0.05
_SELDOM = 5e-4
_FEW, _MANY = 25, 2000
_COARSE = 12
"""Different values below which rounding, and not the shape, may be what is seen."""
_LEAST = 3


@dataclass(frozen=True, slots=True)
class Normality:
    """What a test of normality found."""

    count: int
    skewness: float
    """0 of a normal distribution; above, the long tail is that of large values."""
    excess: float
    """Kurtosis less 3: 0 of a normal distribution; above, the tails are heavy."""
    statistic: float
    """W of Shapiro and Wilk."""
    probability: float
    """How often normal values would look at least so odd."""
    doubtful: bool
    words: tuple[str, ...]


def normality(values: ArrayLike) -> Normality:
    r"""Test of Shapiro and Wilk, with what it can and cannot tell of so many values.

    .. math::
        W = \left(\sum a_i x_{(i)}\right)^2 \Big/ \sum (x_i - \bar x)^2

    Parameters
    ----------
    values : array_like, shape (n,)
        At least three, in any unit. [1]

    Returns
    -------
    normality : Normality
        Statistic, probability, and words.

    Raises
    ------
    OutOfRange
        If there are fewer than three values, or they do not differ.

    References
    ----------
    .. [1] S. S. Shapiro and M. B. Wilk, "An analysis of variance test for normality", Biometrika
       52 (1965) 591-611; P. Royston, algorithm AS R94, as the scientific library has it. [from
       memory]

    Examples
    --------
    >>> found = normality([148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236])
    >>> found.statistic, found.doubtful
    (0.79, True)
    """
    series = require_series(_LEAST, values=values)
    spread = float(series.std())
    require_at_least(0, strict=True, spread=spread)
    found = shapiro(series)
    z = (series - series.mean()) / spread
    skewness, excess = float((z**3).mean()), float((z**4).mean()) - 3
    probability = float(found.pvalue)
    doubtful = probability < _LEVEL
    words = _words(series, probability, (skewness, excess))
    return Normality(
        len(series), skewness, excess, float(found.statistic), probability, doubtful, words
    )


def _words(series: np.ndarray, probability: float, shape: tuple[float, float]) -> tuple[str, ...]:
    count, skewness, excess = len(series), *shape
    if probability < _LEVEL:
        odd = []
        if abs(skewness) > (6 / count) ** 0.5:
            odd.append(f"the tail of {'large' if skewness > 0 else 'small'} values is longer")
        if abs(excess) > (24 / count) ** 0.5:
            odd.append(f"the tails are {'heavier' if excess > 0 else 'lighter'}")
        how = " and ".join(odd) or "they do not lie as such values do"
        found = [
            (
                f"These values do not look normal: {how}. Normal values would look so odd "
                f"{_often(probability)}. Use the percentile method, or look for two kinds of "
                "pieces, a drift or a wrong reading first."
            )
        ]
    else:
        found = [
            (
                "Nothing speaks against a normal distribution. That does not show one: it means "
                f"that {count} values cannot tell."
            )
        ]
    if count < _FEW:
        found.append(f"{count} values are too few to see any but a gross departure.")
    if count > _MANY and probability < _LEVEL:
        found.append("Of so many values the test also sees what does not matter: look at a plot.")
    different = len(np.unique(series))
    if different < min(_COARSE, count):
        found.append(
            f"Only {different} different values: the rounding of the instrument may be all that "
            "the test sees."
        )
    return tuple(found)


def _often(probability: float) -> str:
    if probability < _SELDOM:
        return "in fewer than 1 case of 1000"
    return f"{1000 * probability:.0f} times in 1000"
