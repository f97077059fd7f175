"""How far a storey's courses end from the height they were meant for.

Read first: :func:`stack_up`. Courses of one lot are wrong together: the lots' spread adds up
where the blocks' own spread partly cancels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtr

from beadwright.errors import OutOfRange, require_arrays, require_at_least
from beadwright.science.trust import Trust, stands

__all__ = ["BlockHeights", "Courses", "Ending", "block_heights", "lot_heights", "stack_up"]

_FEWEST_LOTS = 2
_FEWEST_BLOCKS = 2


@dataclass(frozen=True, slots=True)
class BlockHeights:
    """Heights of blocks in m: mean and its uncertainty, spread within a lot and between lots.

    The spreads are standard deviations; ``dof`` is that of the mean's uncertainty and of the
    spread between lots, ``dof_within`` that of the spread within.
    """

    mean_m: float
    u_mean_m: float
    within_m: float
    between_m: float
    dof: float
    dof_within: float


@dataclass(frozen=True, slots=True)
class Courses:
    """A storey: its height, how far off it may end, and how many courses come from each lot.

    ``seat_m`` is what a joint between two courses adds (a gap) or takes (teeth that seat
    deeper), ``seat_spread_m`` its standard deviation from joint to joint.
    """

    storey_height_m: float
    tolerance_m: float
    courses_of_lot: ArrayLike
    seat_m: float = 0.0
    seat_spread_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Ending:
    """Where the top course ends: too high (above 0) or low by ``deviation_m``, and how surely."""

    courses: int
    deviation_m: float
    u_m: float
    dof: float
    chance_low: float
    chance_high: float

    @property
    def chance(self) -> float:
        """Chance to end farther off than the tolerance, either way."""
        return self.chance_low + self.chance_high


@stands(
    Trust.EXACT,
    formula="one-way random effects by analysis of variance",
    source="ISO 5725-2 / any textbook of analysis of variance; the plant's own measurements",
)
def block_heights(height_m: ArrayLike, lot: ArrayLike) -> BlockHeights:
    r"""Mean height and spread, within and between lots, from blocks that were measured.

    .. math::
        s_b^2 = \max \left( 0, \frac{MS_b - MS_w}{n_0} \right), \qquad
        n_0 = \frac{n - \sum n_i^2 / n}{k - 1}, \qquad
        u^2(\bar h) = s_b^2 \frac{\sum n_i^2}{n^2} + \frac{s_w^2}{n}

    Parameters
    ----------
    height_m : array_like, shape (n,)
        Height of each block as it stacks, > 0, judged at one age. [m]
    lot : array_like, shape (n,)
        A whole number for each block's lot: two lots or more, one of them of two blocks. [1]

    Returns
    -------
    heights : BlockHeights
        Mean, its uncertainty, and the spreads. [m]

    Raises
    ------
    OutOfRange
        If shapes differ, a height is not above 0, or lots or blocks are too few to tell the
        spread between lots from that within.

    Notes
    -----
    The spread within holds the gauge's own repeatability; the gauge's bias is common to all and
    is not in it. Where the lots spread no more than their blocks, the spread between is 0.

    References
    ----------
    .. [1] S. R. Searle et al., "Variance Components", 3.6, unbalanced one-way classification.
       [from memory]

    Examples
    --------
    >>> found = block_heights([0.4070, 0.4072, 0.4064, 0.4066], [1, 1, 2, 2])
    >>> round(found.mean_m, 4), round(found.within_m * 1000, 3), round(found.between_m * 1000, 3)
    (0.4068, 0.141, 0.412)
    """
    height, lots = require_arrays(height_m=height_m, lot=lot)
    if height.ndim != 1 or height.shape != lots.shape:
        argument = "lot"
        raise OutOfRange(argument, f"of shape {lots.shape}", valid="a row as height_m")
    require_at_least(0, strict=True, height_m=height)
    require_at_least(-np.inf, lot=lots)
    _, place = np.unique(lots, return_inverse=True)
    count = np.bincount(place)
    k, n = len(count), len(height)
    if k < _FEWEST_LOTS or n == k:
        argument = "lot"
        valid = "at least two lots, one of them of two blocks or more"
        raise OutOfRange(argument, f"{n} blocks of {k} lots", valid=valid)
    means = np.bincount(place, height) / count
    mean = float(height.mean())
    within = float(np.sum((height - means[place]) ** 2)) / (n - k)
    among = float(np.sum(count * (means - mean) ** 2)) / (k - 1)
    size = (n - float(np.sum(count**2)) / n) / (k - 1)
    between = max(0.0, (among - within) / size)
    u = np.sqrt(between * float(np.sum(count**2)) / n**2 + within / n)
    return BlockHeights(mean, float(u), within**0.5, between**0.5, float(k - 1), float(n - k))


@stands(
    Trust.EXACT,
    formula="mean of the lot's own blocks; u = s_w / √n; nothing between lots",
    source="law of propagation; the plant's own measurements",
)
def lot_heights(height_m: ArrayLike, known: BlockHeights | None = None) -> BlockHeights:
    r"""Heights of one lot whose blocks were measured, for courses that all come from it.

    .. math:: u(\bar h) = \frac{s_w}{\sqrt{n}}

    Parameters
    ----------
    height_m : array_like, shape (n,)
        Height of each block of the lot that was measured, > 0. [m]
    known : BlockHeights, optional
        What several lots of the product say of the spread within one; without it the lot's own
        blocks say it, and two of them are needed. [m]

    Returns
    -------
    heights : BlockHeights
        The lot's mean, its uncertainty and the spread within; between lots none. [m]

    Raises
    ------
    OutOfRange
        If heights are no row or not above 0, or a single block has no spread known.

    Notes
    -----
    Every lot is taken to spread as much within as the others do.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 4.2.3.
       [from memory]

    Examples
    --------
    Four blocks, with a spread within lots of 0.3 mm known from elsewhere:

    >>> known = BlockHeights(0.4066, 0.0001, 0.0003, 0.0004, 9.0, 90.0)
    >>> found = lot_heights([0.4070, 0.4072, 0.4064, 0.4066], known)
    >>> round(found.mean_m, 4), round(found.u_mean_m * 1000, 3), found.between_m, found.dof
    (0.4068, 0.15, 0.0, 90.0)
    """
    (height,) = require_arrays(height_m=height_m)
    require_at_least(0, strict=True, height_m=height)
    if height.ndim != 1 or (known is None and height.size < _FEWEST_BLOCKS):
        argument, given = "height_m", f"of shape {height.shape}"
        raise OutOfRange(argument, given, valid="a row; of two blocks or more without known")
    mean = float(height.mean())
    within = float(height.std(ddof=1)) if known is None else known.within_m
    dof = float(height.size - 1) if known is None else known.dof_within
    return BlockHeights(mean, within / float(height.size) ** 0.5, within, 0.0, dof, dof)


@stands(
    Trust.EXACT,
    formula="N mean + seats - storey; variance N s_w² + Σ n_j² s_b² + N² u² + (N - 1) s_g²",
    source="law of propagation; t predictive with Welch-Satterthwaite degrees of freedom",
)
def stack_up(heights: BlockHeights, courses: Courses) -> Ending:
    r"""Where a storey's courses end, and the chance that they end too far off.

    .. math::
        D = N \bar h + (N - 1) g - H, \qquad
        u^2(D) = \sum_j n_j^2 s_b^2 + N s_w^2 + N^2 u^2(\bar h) + (N - 1) s_g^2

    where of N courses :math:`n_j` come from lot j. D over its uncertainty is taken as Student's
    t, with degrees of freedom by Welch and Satterthwaite.

    Parameters
    ----------
    heights : BlockHeights
        Of the product, at the age at which it is stacked. [m]
    courses : Courses
        The storey, its tolerance, and the courses of each lot. [m, 1]

    Returns
    -------
    ending : Ending
        Deviation, its uncertainty, and the chances to end too low and too high. [m, 1]

    Raises
    ------
    OutOfRange
        If a length or spread is negative or not finite, the height not above 0, or there is no
        course.

    Notes
    -----
    Lots not yet measured are meant. Lots that were measured are better known, and the answer is
    then on the safe side. Levelling on site, cutting the top course and settling under the
    concrete are not in it.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2 and
       G.4.1. [from memory]

    Examples
    --------
    Six courses of 16 in all from one lot, for a storey of 8 ft and 1/4 in either way:

    >>> blocks = BlockHeights(0.4066, 0.0001, 0.0003, 0.0004, 9.0, 90.0)
    >>> end = stack_up(blocks, Courses(2.4384, 0.00635, [6]))
    >>> round(end.deviation_m * 1000, 2), round(end.u_m * 1000, 2), round(end.chance, 3)
    (1.2, 2.58, 0.043)
    """
    (lots,) = require_arrays(courses_of_lot=np.atleast_1d(courses.courses_of_lot))
    _require_valid(heights, courses)
    require_at_least(0, courses_of_lot=lots)
    n = float(lots.sum())
    require_at_least(1, courses=n)
    deviation = n * heights.mean_m + (n - 1) * courses.seat_m - courses.storey_height_m
    shared = float(np.sum(lots**2)) * heights.between_m**2 + n**2 * heights.u_mean_m**2
    own = n * heights.within_m**2
    seats = (n - 1) * courses.seat_spread_m**2
    variance = shared + own + seats
    weight = shared**2 / heights.dof + own**2 / heights.dof_within
    dof = variance**2 / weight if weight > 0 else np.inf
    u = float(np.sqrt(variance))
    low, high = (_beyond(courses.tolerance_m - sign * deviation, u, dof) for sign in (-1.0, 1.0))
    return Ending(round(n), float(deviation), u, float(dof), low, high)


def _beyond(room: float, u: float, dof: float) -> float:
    """Chance that an error exceeds the room left for it."""
    if u == 0:
        return float(room < 0)
    return float(stdtr(min(dof, 1e12), -room / u))


def _require_valid(heights: BlockHeights, courses: Courses) -> None:
    require_at_least(
        0,
        strict=True,
        mean_m=heights.mean_m,
        storey_height_m=courses.storey_height_m,
    )
    for name, dof in (("dof", heights.dof), ("dof_within", heights.dof_within)):
        if not dof > 0:
            raise OutOfRange(name, dof, valid="a number above 0, infinity too")
    require_at_least(
        0,
        u_mean_m=heights.u_mean_m,
        within_m=heights.within_m,
        between_m=heights.between_m,
        tolerance_m=courses.tolerance_m,
        seat_spread_m=courses.seat_spread_m,
    )
    require_at_least(-np.inf, seat_m=courses.seat_m)
