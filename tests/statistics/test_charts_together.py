"""Several characteristics at once, starts, many products and many streams."""

from __future__ import annotations

import numpy as np
import pytest

from beadwright.statistics.charts import (
    WESTERN_ELECTRIC,
    Baseline,
    grouped,
    individuals,
    self_starting,
    standardised,
    t_squared,
    t_squared_parts,
    together,
)
from beadwright.statistics.charts.several import t_squared_limit


@pytest.mark.parametrize("by", ["deviation", "successive differences"])
def test_limits_of_several_characteristics_hold_their_share(by: str) -> None:
    """Of 800 series of forty points, 1 % lies beyond in phase 1 and in phase 2: within a fifth."""
    rng = np.random.default_rng(17)
    beyond = np.zeros(2)
    for _ in range(800):
        first, later = rng.normal(0, 1, (40, 2)), rng.normal(0, 1, (40, 2))
        kept = together(first, Baseline(by=by))
        inverse = np.linalg.inv(kept.covariance)
        for phase, points in ((1, first), (2, later)):
            off = points - kept.level
            far = np.einsum("mi,ij,mj->m", off, inverse, off)
            limit = t_squared_limit(kept, 1 if phase == 1 else 2, 0.01)
            beyond[phase - 1] += float((far > limit).mean()) / 800

    assert beyond.tolist() == pytest.approx([0.01, 0.01], rel=0.2)


def test_a_pair_that_does_not_go_together_is_seen() -> None:
    """Each value lies inside its own limits, and the pair does not belong to the others."""
    rng = np.random.default_rng(5)
    mass = rng.normal(3.3, 0.05, 60)
    density = 7 * mass + rng.normal(0, 0.05, 60)
    mass[50], density[50] = 3.38, 7 * 3.38 - 0.9
    pair = np.stack((mass, density), axis=1)
    chart = t_squared(pair)

    assert chart.signalled == (50,)
    assert not individuals(mass).signals
    assert not individuals(density).signals
    assert t_squared_parts(pair, together(pair))[50].min() > 10


def test_a_start_needs_no_limits_beforehand() -> None:
    """Scores do not depend on the unit, and the first two have none."""
    values = np.random.default_rng(4).normal(20, 3, 30)
    one, other = self_starting(values), self_starting(1000 * values - 7)

    assert np.isnan(one.points[:2]).all()
    np.testing.assert_allclose(one.points, other.points, atol=1e-9)


def test_products_of_their_own_on_one_chart() -> None:
    """A run may go from one product to the next: it is of the process."""
    chart = standardised([10.2, 20.1, 10.3, 20.2, 10.1, 20.3, 10.2, 20.1],
                         [10, 20] * 4, 0.2, WESTERN_ELECTRIC)  # fmt: skip

    assert [signal.rule.name for signal in chart.signals] == ["Western Electric 4"]


def test_many_streams_have_the_false_alarms_of_one() -> None:
    """Eight cavities, 40,000 times: one false alarm in 370, within four standard errors."""
    z = np.random.default_rng(11).normal(0, 1, (40_000, 8))
    alarms = len(grouped(z, np.zeros(8), np.ones(8)).chart.signals)

    assert abs(alarms - 40_000 / 370.4) < 4 * (40_000 / 370.4) ** 0.5
