r"""Between groups and within them: variance components of a one-way layout, groups of any size.

Read first: :func:`one_way`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beadwright.errors import OutOfRange, require_series

__all__ = ["OneWay", "one_way"]


@dataclass(frozen=True, slots=True)
class OneWay:
    """Standard deviations between groups and within them."""

    mean: float
    """Of the group means."""
    within: float
    between: float
    """What groups add beyond what is within them; 0 where that explains all."""
    within_df: int
    between_df: int
    size: float
    """Number of values that a group counts as."""
    mean_square_between: float


def one_way(groups: Sequence[ArrayLike]) -> OneWay:
    r"""Variance components by the analysis of variance, groups taken at random.

    .. math::
        s_w^2 = \frac{\sum_i \sum_j (y_{ij} - \bar y_i)^2}{N - k}, \qquad
        s_b^2 = \max\left(0, \frac{MS_b - s_w^2}{n_0}\right), \qquad
        n_0 = \frac{N - \sum n_i^2 / N}{k - 1}

    Parameters
    ----------
    groups : sequence of array_like, each of shape (n,)
        Values of each group, in any unit. [1]

    Returns
    -------
    components : OneWay
        In the unit of the values. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two groups, no group has two values, or a number is not finite.

    References
    ----------
    .. [1] S. R. Searle, G. Casella, C. E. McCulloch, Variance Components, Wiley, 1992, 3.6
       [from memory].
    .. [2] ISO 5725-2:2019, 7.4.5, for the mean number of results [from memory].

    Examples
    --------
    >>> found = one_way([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0]])
    >>> found.within, round(found.between, 6), found.size
    (1.0, 2.041241, 3.0)
    """
    some = [require_series(group=group)[0] for group in groups]
    count = np.array([one.size for one in some])
    total, k = int(count.sum()), len(some)
    if k < 2 or total <= k:  # noqa: PLR2004 - one group has nothing between
        name, valid = "groups", "two groups or more, one of them with two values or more"
        raise OutOfRange(name, f"{k} groups of {total} values", valid=valid)
    if not all(np.isfinite(one).all() for one in some):
        name = "groups"
        raise OutOfRange(name, float("nan"), valid="finite numbers")
    means = np.array([one.mean() for one in some])
    grand = float(count @ means) / total
    inside = sum(float(np.sum((one - one.mean()) ** 2)) for one in some) / (total - k)
    square = float(count @ (means - grand) ** 2) / (k - 1)
    size = (total - float(count @ count) / total) / (k - 1)
    between = max(0.0, (square - inside) / size)
    return OneWay(float(means.mean()), float(np.sqrt(inside)), float(np.sqrt(between)),
                  total - k, k - 1, size, square)  # fmt: skip
