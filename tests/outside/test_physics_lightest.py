"""The lightest safe density against normal quantiles, simulation and a published layout."""

import math

import numpy as np
import pytest
from scipy import stats

from beadwright.science.foam import COMPRESSIVE, FoamTests, fit_relation
from beadwright.science.foam.lightest import Demand, Spread, chance_of_failing, lightest
from beadwright.statistics.one_way import one_way

KNOWN = 1e9  # degrees of freedom: as good as known


@pytest.mark.parametrize(("statistic", "count"), [("each", 1), ("each", 5), ("mean", 5)])
@pytest.mark.parametrize("allowed", [0.001, 0.01, 0.1])
def test_spreads_within_lots_alone_give_the_normal_quantile(
    statistic: str, count: int, allowed: float
) -> None:
    """[numpy-scipy] All of n above: z of (1 - p)^(1/n); their mean: z of 1 - p, over root n."""
    demand = Demand("density", 20.0, statistic, count, None)  # type: ignore[arg-type]
    found = lightest(Spread(0.0, KNOWN, 0.4, KNOWN), [demand], allowed).density_kg_m3
    if statistic == "each":
        z = float(stats.norm.ppf((1 - allowed) ** (1 / count)))
    else:
        z = float(stats.norm.ppf(1 - allowed)) / math.sqrt(count)
    assert found == pytest.approx(20 + 0.4 * z, abs=2e-4)


def test_lots_and_pieces_of_one_reading_add_as_squares() -> None:
    """[numpy-scipy] One piece a lot: one normal of both spreads and the reading's own."""
    demand = Demand("density", 20.0, "each", 1, None, u_reading=0.1)
    found = lightest(Spread(0.3, KNOWN, 0.4, KNOWN), [demand], 0.05).density_kg_m3
    assert found == pytest.approx(20 + math.sqrt(0.26) * stats.norm.ppf(0.95), abs=1e-3)


def test_the_chance_of_a_lot_agrees_with_a_simulation() -> None:
    """[numpy-scipy] 200,000 lots of five specimens on a fitted line, by another route."""
    rng = np.random.default_rng(11)
    density = rng.uniform(19, 25, 40)
    line = 120e3 + 9.0e3 * (density - 21.6) + rng.normal(0, 4e3, 40)
    fitted = fit_relation(COMPRESSIVE, FoamTests(list(density), list(line)))
    spread = Spread(0.35, 30, 0.25, 120)
    demands = [
        Demand("strength", 104e3, "mean", 5, fitted),
        Demand("density", 20.6, "each", 4, None, u_reading=0.1),
    ]
    ours = chance_of_failing(21.2, spread, demands)

    lots = 200_000
    k = rng.choice(fitted.line.noises.size, size=lots, p=fitted.line.weights)
    roots = np.linalg.cholesky(fitted.line.covariances[k])
    a, b = (fitted.line.means[k] + np.einsum("kij,kj->ki", roots, rng.normal(size=(lots, 2)))).T
    between = 0.35 * np.sqrt(30 / rng.chisquare(30, lots))
    within = 0.25 * np.sqrt(120 / rng.chisquare(120, lots))
    level = 21.2 + between * rng.normal(size=lots)
    at = level[:, None] + within[:, None] * rng.normal(size=(lots, 5))
    noise = fitted.line.noises[k][:, None] * rng.normal(size=(lots, 5))
    strength = a[:, None] + b[:, None] * (at - 21.6) + noise
    pieces = level[:, None] + within[:, None] * rng.normal(size=(lots, 4))
    read = pieces + 0.1 * rng.normal(size=(lots, 4))
    failing = (strength.mean(axis=1) < 104e3) | (read < 20.6).any(axis=1)

    # 600 draws of what is not known, of a chance that varies by some half of itself: 2 %.
    assert float(ours.value) == pytest.approx(float(failing.mean()), rel=0.02)


def test_components_of_a_balanced_layout_against_one_way_analysis_of_variance() -> None:
    """[numpy-scipy] The ratio of mean squares is the F of scipy's analysis of variance."""
    rng = np.random.default_rng(3)
    groups = [
        rng.normal(level, 1.0, size)
        for level, size in zip(rng.normal(0, 2, 6), (4, 3, 5, 4, 2, 6), strict=True)
    ]
    found = one_way(groups)
    f = stats.f_oneway(*groups).statistic
    assert found.mean_square_between / found.within**2 == pytest.approx(float(f))


def test_components_of_many_groups_come_to_the_truth() -> None:
    """[numpy-scipy] 4,000 groups of 2 to 6: 2.0 between, 1.0 within, to three standard errors."""
    rng = np.random.default_rng(5)
    groups = [rng.normal(rng.normal(0, 2), 1.0, rng.integers(2, 7)) for _ in range(4000)]
    found = one_way(groups)
    assert found.within == pytest.approx(1.0, abs=3 * 1.0 / math.sqrt(2 * found.within_df))
    assert found.between == pytest.approx(2.0, abs=3 * 2.1 / math.sqrt(2 * 4000))
