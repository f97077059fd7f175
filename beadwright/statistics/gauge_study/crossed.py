"""A crossed study: every person measures every part several times.

Read :func:`crossed_study` first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import fdtrc

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.gauge_study.components import (
    Component,
    Row,
    Term,
    component,
    distinct,
)
from beadwright.statistics.requirements import refuse, require_where

__all__ = ["CrossedStudy", "crossed_study", "study_array"]

_DRAWS = 20_000
"""Draws for the intervals of shares: their ends are then good to a few per cent of themselves."""


@dataclass(frozen=True, slots=True)
class CrossedStudy:
    """What a crossed study says of measuring, of people, and of parts."""

    table: tuple[Row, ...]
    """Part, person, interaction, repeatability, total; the first two tested against the third."""
    pooled: bool
    """Whether the interaction was taken as part of repeatability."""
    repeatability: Component
    person: Component
    interaction: Component | None
    """None where it was pooled."""
    reproducibility: Component
    """Person and interaction together."""
    gauge: Component
    """Repeatability and reproducibility together."""
    part: Component
    total: Component
    share: float
    """Gauge by total, as standard deviations."""
    share_interval: tuple[float, float]
    distinct: float
    """Classes of parts that can be told apart; infinite where measuring does not scatter."""
    distinct_interval: tuple[float, float]
    mean: float
    confidence: float

    def of_tolerance(self, width: float) -> float:
        """Six standard deviations of measuring by the distance of the limits."""
        require_at_least(0, strict=True, width=width)
        return 6 * self.gauge.sd / width


def crossed_study(
    values: ArrayLike, *, pool_above: float = 0.25, confidence: float = 0.95
) -> CrossedStudy:
    r"""Crossed study by analysis of variance, all effects random.

    .. math::
        \sigma_e^2 = M_e, \quad \sigma_{op}^2 = \frac{M_{op} - M_e}{r}, \quad
        \sigma_o^2 = \frac{M_o - M_{op}}{p r}, \quad \sigma_p^2 = \frac{M_p - M_{op}}{o r}

    Where the interaction shows with a chance above ``pool_above`` it is pooled: its squares go
    to repeatability, and :math:`M_e` of both stands for :math:`M_{op}`.

    Parameters
    ----------
    values : array_like, shape (p, o, r)
        Readings: parts by people by trials, at least two of each, in any unit. [1]
    pool_above : float, optional
        Chance p of the interaction above which it is pooled; 1 never pools, 0 always. [1]
    confidence : float, optional
        Of all intervals. [1]

    Returns
    -------
    study : CrossedStudy
        In the unit of the readings.

    Raises
    ------
    OutOfRange
        If the readings are not of three dimensions with at least two each, one is missing or not
        finite, or a share lies outside its range.

    Notes
    -----
    Two or three people are a small sample of people: look at the width of the interval before
    the figure. Intervals of variances are by modified large samples; those of the shares by
    generalised pivots, drawn from a fixed seed.

    References
    ----------
    .. [1] AIAG, "Measurement Systems Analysis", 4th ed., 2010: analysis of variance, pooling above
       p = 0.25. [read in: a second source that cites it]
    .. [2] R. K. Burdick, C. M. Borror and D. C. Montgomery, "Design and Analysis of Gauge R&R
       Studies", SIAM 2005. [from memory]
    .. [3] M. Hamada and S. Weerahandi, "Measurement system assessment via generalized inference",
       J. Qual. Technol. 32 (2000) 241-253. [from memory]

    Examples
    --------
    >>> study = crossed_study(
    ...     [[[1.0, 1.1], [1.1, 1.2]], [[2.0, 2.1], [2.0, 2.2]], [[3.1, 3.0], [3.2, 3.1]]]
    ... )
    >>> (study.pooled, round(study.gauge.sd, 3), round(study.part.sd, 3))
    (True, 0.091, 0.999)
    """
    array = study_array(values)
    require_between(0, 1, pool_above=pool_above)
    require_between(0, 1, strict=True, confidence=confidence)
    part, person, both, error = _squares(array)
    table = _table(part, person, both, error)
    chance = table[2].p
    if chance is None or chance > pool_above or pool_above == 0:
        error = Row("repeatability", both.dof + error.dof, both.squares + error.squares)
        both = error
    rows, sizes = (part, person, both, error), (array.shape[0], array.shape[1], array.shape[2])
    intervals = _intervals(rows, sizes, confidence)
    return _study(table, _Sums(rows, sizes, confidence), intervals, float(array.mean()))


def study_array(values: ArrayLike) -> NDArray[np.float64]:
    """Readings of a study as an array of three dimensions, or OutOfRange.

    Parameters
    ----------
    values : array_like, shape (a, b, c)
        Readings, at least two along each dimension, in any unit. [1]

    Returns
    -------
    array : ndarray, shape (a, b, c)
        The same. [1]

    Raises
    ------
    OutOfRange
        If there are other dimensions, fewer than two along one, or a reading is not finite.
    """
    (array,) = require_arrays(values=values)
    if array.ndim != 3 or min(array.shape) < 2:  # noqa: PLR2004 - see the docstring
        refuse("values", f"of shape {array.shape}", "of three dimensions, at least 2 along each")
    require_where(np.isfinite(array), "a finite number: a study has no gaps", values=array)
    return array


def _squares(array: NDArray[np.float64]) -> tuple[Row, Row, Row, Row]:
    """Sums of squares of part, person, interaction, repeatability."""
    parts, people, trials = array.shape
    mean, cells = array.mean(), array.mean(axis=2)
    of_parts, of_people = array.mean(axis=(1, 2)), array.mean(axis=(0, 2))
    apart = cells - of_parts[:, None] - of_people + mean
    return (
        Row("part", parts - 1, people * trials * float(((of_parts - mean) ** 2).sum())),
        Row("person", people - 1, parts * trials * float(((of_people - mean) ** 2).sum())),
        Row("interaction", (parts - 1) * (people - 1), trials * float((apart**2).sum())),
        Row(
            "repeatability",
            parts * people * (trials - 1),
            float(((array - cells[:, :, None]) ** 2).sum()),
        ),
    )


def _table(part: Row, person: Row, both: Row, error: Row) -> tuple[Row, ...]:
    total = Row(
        "total",
        sum(row.dof for row in (part, person, both, error)),
        sum(row.squares for row in (part, person, both, error)),
    )
    tested = (_tested(part, both), _tested(person, both), _tested(both, error))
    return (*tested, error, total)


def _tested(row: Row, against: Row) -> Row:
    """The same line with its ratio to another and the chance of that."""
    if against.squares <= 0:
        return row
    f = row.mean_square / against.mean_square
    return Row(row.source, row.dof, row.squares, f, float(fdtrc(row.dof, against.dof, f)))


class _Sums:
    """Variances as sums of the mean squares of part, person, interaction and repeatability.

    Where the interaction was pooled its row is that of repeatability.
    """

    def __init__(
        self, rows: tuple[Row, Row, Row, Row], sizes: tuple[int, int, int], confidence: float
    ) -> None:
        self.rows, self.confidence = rows, confidence
        self.pooled = rows[2] is rows[3]
        parts, people, trials = sizes
        p, o, r = 1 / (people * trials), 1 / (parts * trials), 1 / trials
        self.repeatability = self._of(0, 0, 0, 1)
        self.person = self._of(0, o, -o, 0)
        self.interaction = None if self.pooled else self._of(0, 0, r, -r)
        self.part = self._of(p, 0, -p, 0)
        both = self.interaction.variance if self.interaction else 0.0
        reproducibility = self._of(0, o, 0 if self.pooled else r - o, -o if self.pooled else -r)
        self.reproducibility = _at_least(reproducibility, self.person.variance + both)
        self.gauge = _at_least(
            self._of(0, o, r - o, 1 - r),
            self.repeatability.variance + self.reproducibility.variance,
        )
        self.total = _at_least(
            self._of(p, o, r - o - p, 1 - r), self.gauge.variance + self.part.variance
        )

    def _of(self, *factors: float) -> Component:
        """The sum with these factors of the four mean squares."""
        merged: dict[Row, float] = {}
        for row, factor in zip(self.rows, factors, strict=True):
            merged[row] = merged.get(row, 0.0) + factor
        terms = [Term(f, row.mean_square, row.dof) for row, f in merged.items() if f]
        return component(terms, self.confidence)


def _study(
    table: tuple[Row, ...],
    sums: _Sums,
    intervals: tuple[tuple[float, float], tuple[float, float]],
    mean: float,
) -> CrossedStudy:
    return CrossedStudy(
        table=table,
        pooled=sums.pooled,
        repeatability=sums.repeatability,
        person=sums.person,
        interaction=sums.interaction,
        reproducibility=sums.reproducibility,
        gauge=sums.gauge,
        part=sums.part,
        total=sums.total,
        share=sums.gauge.sd / sums.total.sd if sums.total.sd > 0 else 0.0,
        share_interval=intervals[0],
        distinct=distinct(sums.part.sd, sums.gauge.sd),
        distinct_interval=intervals[1],
        mean=mean,
        confidence=sums.confidence,
    )


def _at_least(whole: Component, parts: float) -> Component:
    """A sum of parts of which one came out below 0 and counts as 0: the sum is then that much."""
    variance = max(whole.variance, parts)
    return replace(whole, variance=variance, upper=max(whole.upper, variance))


def _intervals(
    rows: tuple[Row, Row, Row, Row], sizes: tuple[int, int, int], confidence: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Intervals of the share and of the classes, by generalised pivots."""
    parts, people, trials = sizes
    random = np.random.default_rng(1)
    drawn = {
        id(row): row.squares / random.chisquare(row.dof, _DRAWS) for row in dict.fromkeys(rows)
    }
    part, person, against, error = (drawn[id(row)] for row in rows)
    o, pr = 1 / (parts * trials), 1 / trials
    gauge = np.maximum(person * o + against * (pr - o) + error * (1 - pr), 0.0)
    between = np.maximum((part - against) / (people * trials), 0.0)
    tail = (1 - confidence) / 2
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.nan_to_num(np.sqrt(gauge / (gauge + between)))
        classes = np.floor(1.41 * np.sqrt(between / gauge))
    classes = np.where(np.isnan(classes), np.inf, classes)
    low, high = np.quantile(share, (tail, 1 - tail))
    fewest, most = np.quantile(classes, (tail, 1 - tail), method="nearest")
    return (float(low), float(high)), (float(fewest), float(most))
