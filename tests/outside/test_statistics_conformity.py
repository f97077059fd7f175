"""Conformity with uncertainty, decision rules and global risks against published examples."""

import math

import numpy as np
import pytest
from scipy import integrate, special

from beadwright.statistics.conformity import (
    GammaProcess,
    Limits,
    NormalProcess,
    conformity_probability,
    global_risks,
    guard_band,
    guard_for_consumer_risk,
    guarded_acceptance,
    posterior,
)
from tests.outside.printed import agrees

BALLS = GammaProcess(mean=1.0, sd=0.5)


def test_the_guides_two_examples() -> None:
    """[jcgm-106] Oil of 13.6 within 12.5 to 16.3, u = 1.8; a breakdown voltage below -5.40."""
    oil = conformity_probability(13.6, 1.8, Limits(12.5, 16.3))
    voltage = conformity_probability(-5.47, 0.05, Limits(upper=-5.40))

    assert agrees(float(oil), "0.66")
    assert agrees(float(voltage), "0.92")


def test_the_guides_table_of_one_limit() -> None:
    """[jcgm-106] How many standard uncertainties below the limit give which probability."""
    table = {0.80: "0.84", 0.90: "1.28", 0.95: "1.64", 0.99: "2.33", 0.999: "3.09"}
    for probability, printed in table.items():
        assert agrees(float(guard_band(1.0, 1 - probability)), printed), probability
        at = conformity_probability(-float(guard_band(1.0, 1 - probability)), 1.0, Limits(upper=0))
        assert float(at) == pytest.approx(probability, abs=1e-12)


def test_a_guarded_result_is_wrong_once_in_forty_times() -> None:
    """[jcgm-106] A band of two standard uncertainties leaves 2.3 % at its edge, 1.645 leave 5 %."""
    edge = {2.0: "0.023", 1.645: "0.050"}
    for multiple, printed in edge.items():
        decision = guarded_acceptance(-multiple, 1.0, Limits(upper=0.0), multiple=multiple)
        assert bool(decision.accepted)
        assert agrees(float(decision.consumer_risk), printed)


def test_the_ball_bearings() -> None:
    """[jcgm-106-balls] Shares beyond the limit, consumer's risk, acceptance limit for 0.1 %."""
    limits = Limits(upper=2.0)
    risks = global_risks(BALLS, 0.25, limits)
    limit = 2.0 - guard_for_consumer_risk(BALLS, 0.25, limits, 0.001)

    assert agrees(risks.nonconforming, "0.04238011")
    assert agrees(risks.consumer, "0.00801911")
    assert agrees(limit, "1.67182877")
    assert agrees(100 * risks.nonconforming, "4.2")
    assert agrees(100 * risks.consumer, "0.80")
    assert agrees(limit, "1.67")


def test_a_normal_process_agrees_with_the_bivariate_normal_distribution() -> None:
    """[bivariate-normal] False acceptance by a jig, by Owen's function instead of an integral."""
    process, spread = NormalProcess(0.0, 0.6), 0.1
    for guard in (0.0, 0.1, 0.2):
        risks = global_risks(process, spread, Limits(upper=1.5), guard)
        joint = math.hypot(0.6, spread)
        a, b, rho = 1.5 / 0.6, (1.5 - guard) / joint, 0.6 / joint
        accepted, below = special.ndtr(b), special.ndtr(a)
        both = _bivariate(a, b, rho)

        assert risks.consumer == pytest.approx(accepted - both, abs=1e-12)
        assert risks.producer == pytest.approx(below - both, abs=1e-12)
        assert risks.accepted == pytest.approx(accepted, abs=1e-12)


def _bivariate(a: float, b: float, rho: float) -> float:
    """Chance that both of two related standard normal values lie below a and b."""
    root = math.sqrt(1 - rho**2)
    first = special.owens_t(a, (b / a - rho) / root) + special.owens_t(b, (a / b - rho) / root)
    return float((special.ndtr(a) + special.ndtr(b)) / 2 - first)


def test_a_prior_is_as_good_as_a_grid() -> None:
    """[bayes-grid] Posterior mean and spread of normal knowledge, by adding up a fine grid."""
    value, u, prior, prior_u = 22.0, 0.3, 21.0, 0.4

    def moment(power: int) -> float:
        def weight(x: float) -> float:
            return x**power * math.exp(-(((value - x) / u) ** 2 + ((prior - x) / prior_u) ** 2) / 2)

        return float(integrate.quad(weight, 15, 28, epsabs=1e-14, points=[21.6])[0])

    mean = moment(1) / moment(0)
    known = posterior(value, u, prior, prior_u)

    assert float(known.value) == pytest.approx(mean, abs=1e-9)
    assert float(known.u) == pytest.approx(math.sqrt(moment(2) / moment(0) - mean**2), abs=1e-7)
    assert np.isinf(known.dof)
