"""A nested study: each person has parts of their own, because testing destroys them.

Read :func:`nested_study` first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from numpy.typing import ArrayLike
from scipy.special import fdtrc

from beadwright.errors import require_between
from beadwright.statistics.gauge_study.components import (
    Component,
    Row,
    Term,
    component,
    distinct,
)
from beadwright.statistics.gauge_study.crossed import study_array

__all__ = ["NestedStudy", "nested_study"]


@dataclass(frozen=True, slots=True)
class NestedStudy:
    """What a nested study says of people, of parts, and of what is within a part."""

    table: tuple[Row, ...]
    """Person, part within person, repeatability, total; each of the first two by the next."""
    person: Component
    part: Component
    repeatability: Component
    """Measuring, and what differs between specimens of one part: the study cannot tell them."""
    gauge: Component
    total: Component
    share: float
    """Gauge by total, as standard deviations."""
    distinct: float
    mean: float
    confidence: float


def nested_study(values: ArrayLike, confidence: float = 0.95) -> NestedStudy:
    r"""Nested study by analysis of variance, all effects random.

    .. math::
        \sigma_e^2 = M_e, \quad \sigma_p^2 = \frac{M_{p(o)} - M_e}{r}, \quad
        \sigma_o^2 = \frac{M_o - M_{p(o)}}{p r}

    Parameters
    ----------
    values : array_like, shape (o, p, r)
        Readings: people by parts of each by trials, at least two of each, in any unit. [1]
    confidence : float, optional
        Of all intervals. [1]

    Returns
    -------
    study : NestedStudy
        In the unit of the readings.

    Raises
    ------
    OutOfRange
        If the readings are not of three dimensions with at least two each, one is missing or not
        finite, or the confidence is not between 0 and 1.

    Notes
    -----
    Trials must be specimens as alike as can be had, as neighbours from one block: what differs
    between them counts as measuring. Measuring has at least the variance of repeatability, so its
    interval does not begin below that one's.

    References
    ----------
    .. [1] D. C. Montgomery, "Design and Analysis of Experiments", chapter on nested designs:
       two-stage, all effects random. [from memory]

    Examples
    --------
    >>> study = nested_study([[[1.0, 1.1], [2.0, 2.2]], [[1.3, 1.2], [2.1, 2.4]]])
    >>> (round(study.repeatability.sd, 3), round(study.part.sd, 3))
    (0.137, 0.719)
    """
    array = study_array(values)
    require_between(0, 1, strict=True, confidence=confidence)
    people, parts, trials = array.shape
    mean, cells, of_people = float(array.mean()), array.mean(axis=2), array.mean(axis=(1, 2))
    person = Row("person", people - 1, parts * trials * float(((of_people - mean) ** 2).sum()))
    part = Row(
        "part within person",
        people * (parts - 1),
        trials * float(((cells - of_people[:, None]) ** 2).sum()),
    )
    error = Row(
        "repeatability",
        people * parts * (trials - 1),
        float(((array - cells[:, :, None]) ** 2).sum()),
    )

    def of(*pairs: tuple[float, Row]) -> Component:
        return component([Term(f, row.mean_square, row.dof) for f, row in pairs], confidence)

    r, pr = 1 / trials, 1 / (parts * trials)
    repeatability = of((1.0, error))
    by_person, by_part = of((pr, person), (-pr, part)), of((r, part), (-r, error))
    gauge = _whole(of((pr, person), (-pr, part), (1.0, error)), repeatability, by_person)
    total = _whole(of((pr, person), (r - pr, part), (1 - r, error)), gauge, by_part)
    whole = Row("total", array.size - 1, person.squares + part.squares + error.squares)
    return NestedStudy(
        table=(_tested(person, part), _tested(part, error), error, whole),
        person=by_person,
        part=by_part,
        repeatability=repeatability,
        gauge=gauge,
        total=total,
        share=gauge.sd / total.sd if total.sd > 0 else 0.0,
        distinct=distinct(by_part.sd, gauge.sd),
        mean=mean,
        confidence=confidence,
    )


def _whole(whole: Component, first: Component, second: Component) -> Component:
    """Give a sum of two, of which one may have come out below 0; no lower than the first."""
    variance = first.variance + second.variance
    return replace(
        whole,
        variance=variance,
        lower=max(whole.lower, first.lower),
        upper=max(whole.upper, variance),
    )


def _tested(row: Row, against: Row) -> Row:
    if against.squares <= 0:
        return row
    f = row.mean_square / against.mean_square
    return replace(row, f=f, p=float(fdtrc(row.dof, against.dof, f)))
