"""Conformity, decisions and risks: what must hold of any reading and any limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.statistics.conformity import (
    GammaProcess,
    Limits,
    NormalProcess,
    acceptance_limits,
    conformity_probability,
    global_risks,
    guard_band,
    guard_for_consumer_risk,
    guarded_acceptance,
    lot_mean,
    posterior,
    simple_acceptance,
)

NUMBER = st.floats(-50, 50)
SPREAD = st.floats(0.01, 20)


@given(NUMBER, SPREAD, NUMBER, st.floats(0.1, 30), st.sampled_from([1.0, 4.0, 30.0, math.inf]))
def test_three_places_share_one(
    value: float, u: float, lower: float, width: float, dof: float
) -> None:
    """Below, within and above the limits: the chances add up to one."""
    upper = lower + width
    within = float(conformity_probability(value, u, Limits(lower, upper), dof))
    not_above = float(conformity_probability(value, u, Limits(upper=upper), dof))
    not_below = float(conformity_probability(value, u, Limits(lower=lower), dof))

    assert within == pytest.approx(not_above + not_below - 1, abs=1e-12)
    assert 0 <= within <= 1


@given(NUMBER, SPREAD, NUMBER)
def test_few_readings_know_less(value: float, u: float, upper: float) -> None:
    """Student's tails are heavier: on the good side the chance falls with fewer readings."""
    chances = [
        float(conformity_probability(value, u, Limits(upper=upper), dof))
        for dof in (2.0, 5.0, 50.0, math.inf)
    ]

    assert chances == sorted(chances, reverse=value > upper)


def test_without_uncertainty_a_value_at_the_limit_conforms() -> None:
    """The limits themselves are allowed."""
    found = conformity_probability([0.9, 1.0, 1.1], 0.0, Limits(upper=1.0))

    assert found.tolist() == [1.0, 1.0, 0.0]


@given(NUMBER, SPREAD, NUMBER, SPREAD)
def test_a_posterior_lies_between_and_is_surer(a: float, u: float, b: float, v: float) -> None:
    """Between reading and prior; surer than either; the same if they change places."""
    one, other = posterior(a, u, b, v), posterior(b, v, a, u)

    assert min(a, b) - 1e-9 <= float(one.value) <= max(a, b) + 1e-9
    assert float(one.u) < min(u, v)
    assert float(one.value) == pytest.approx(float(other.value), abs=1e-9)


def test_what_all_readings_share_does_not_average_away() -> None:
    """A hundred times the readings: the scatter's part falls tenfold, the shared part stays."""
    few, many = [1.0, 2.0, 3.0, 4.0], [1.0, 2.0, 3.0, 4.0] * 100
    pure, shared = lot_mean(many), lot_mean(many, u_shared=0.5)

    assert float(pure.u) < float(lot_mean(few).u) / 9
    assert float(shared.u) > 0.5
    assert float(lot_mean(few).dof) == 3.0
    assert float(lot_mean(few, u_shared=5.0).dof) > 1000
    assert math.isinf(float(lot_mean([2.0], spread=1.0).dof))


@given(NUMBER, SPREAD, NUMBER, st.floats(0, 3))
def test_a_guard_only_takes_away(value: float, u: float, upper: float, multiple: float) -> None:
    """What a guarded rule accepts a simple rule accepts too; risks lie where they belong."""
    limits = Limits(upper=upper)
    simple = simple_acceptance(value, u, limits)
    guarded = guarded_acceptance(value, u, limits, multiple=multiple)

    assert bool(simple.accepted) >= bool(guarded.accepted)
    assert float(guarded.consumer_risk) <= float(conformity_probability(-multiple, 1, Limits(0)))
    assert (float(simple.consumer_risk) > 0.5) <= (not bool(simple.accepted))
    assert float(simple.consumer_risk) * float(simple.producer_risk) == 0


def test_a_decision_of_many_readings_is_each_by_itself() -> None:
    """Vectorised over readings and uncertainties alike."""
    values, u, limits = np.array([1.7, 1.9, 2.05]), np.array([0.1, 0.2, 0.01]), Limits(1.0, 2.0)
    every = guarded_acceptance(values, u, limits)
    alone = [guarded_acceptance(*pair, limits) for pair in zip(values, u, strict=True)]

    assert every.accepted.tolist() == [bool(one.accepted) for one in alone]
    assert every.probability.tolist() == [float(one.probability) for one in alone]


@pytest.mark.parametrize("process", [NormalProcess(1.0, 0.5), GammaProcess(1.0, 0.5)])
@pytest.mark.parametrize("guard", [-0.2, 0.0, 0.3])
def test_risks_agree_with_things_made_and_read(
    process: NormalProcess | GammaProcess, guard: float
) -> None:
    """400,000 things made and read: each share within four standard errors."""
    random, n, limits = np.random.default_rng(3), 400_000, Limits(0.2, 2.0)
    shape = (process.mean / process.sd) ** 2
    true = (
        random.normal(process.mean, process.sd, n)
        if isinstance(process, NormalProcess)
        else random.gamma(shape, process.mean / shape, n)
    )
    read = true + random.normal(0, 0.25, n)
    good = (true >= 0.2) & (true <= 2.0)
    taken = (read >= 0.2 + guard) & (read <= 2.0 - guard)
    risks = global_risks(process, 0.25, limits, guard)

    for share, seen in (
        (risks.nonconforming, ~good),
        (risks.accepted, taken),
        (risks.consumer, taken & ~good),
        (risks.producer, good & ~taken),
    ):
        assert abs(seen.mean() - share) < 4 * math.sqrt(share * (1 - share) / n)


@given(st.floats(0.05, 0.9))
def test_a_guard_for_a_risk_gives_that_risk(part: float) -> None:
    """Whatever part of the nonconforming may pass, the guard found lets just that part pass."""
    process, limits = NormalProcess(0.0, 1.0), Limits(-2.0, 1.5)
    risk = part * global_risks(process, 0.3, limits).nonconforming
    guard = guard_for_consumer_risk(process, 0.3, limits, risk)

    assert global_risks(process, 0.3, limits, guard).consumer == pytest.approx(risk, rel=1e-8)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (Limits, "upper is inf: must be a finite number where lower is none."),
        (lambda: Limits(2.0, 1.0), "upper is 1.0: must be a number above lower, 2."),
        (
            lambda: conformity_probability([1.0, math.nan], 1.0, Limits(0)),
            "value[1] is nan: must be a finite number of at least -inf.",
        ),
        (
            lambda: conformity_probability(1.0, [0.1, -0.1], Limits(0)),
            "u[1] is -0.1: must be a finite number of at least 0.",
        ),
        (
            lambda: conformity_probability(1.0, 0.1, Limits(0), dof=0),
            "dof is 0.0: must be a number above 0, or infinite.",
        ),
        (
            lambda: lot_mean([1.0]),
            "readings is one number: must be two numbers or more where no spread is given.",
        ),
        (
            lambda: acceptance_limits(Limits(0, 1), [0.2, 0.6]),
            "guard[1] is 0.6: must be at most half the distance of the limits, 0.5.",
        ),
        (
            lambda: guard_band(1.0, 0.0),
            "risk is 0.0: must be a number above 0 and at most 0.5.",
        ),
        (
            lambda: GammaProcess(1.0, 1.5),
            "sd is 1.5: must be at most the mean, 1: else most values are at 0.",
        ),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, message: str) -> None:
    """The argument, its first bad value, where, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert str(caught.value) == message


def test_a_risk_that_no_guard_gives_is_refused() -> None:
    """More than is made beyond the limits cannot be let through."""
    with pytest.raises(OutOfRange, match=r"risk is 0\.5"):
        guard_for_consumer_risk(NormalProcess(0, 1), 0.1, Limits(upper=2), 0.5)
