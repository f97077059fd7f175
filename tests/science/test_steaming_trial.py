"""A steaming trial, over many invented plants: true bands, and silence where it must be silent."""

from collections.abc import Iterator

import numpy as np
import pytest

from beadwright.errors import OutOfRange
from beadwright.science.expansion import (
    SteamingCurve,
    SteamingFit,
    SteamingTrial,
    fit_steaming,
    fitted_density,
    fitted_gain,
    propose_trial,
    steaming_density,
    steaming_gain,
)

TRUTH = SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0)
LONG = (15.0, 25, 40, 60, 90, 130, 180, 250, 350, 480)
SHORT = (10.0, 15, 20, 30, 40, 50, 60)
LATE = (150.0, 180, 220, 260, 300, 350, 420, 480)
NOISE = 0.02


def trials(times: tuple[float, ...], number: int, **known: float | None) -> Iterator[SteamingTrial]:
    """Trials of one design, with cups that scatter by 2 %."""
    random = np.random.default_rng(len(times))
    for _ in range(number):
        cups = steaming_density(times, TRUTH) * np.exp(NOISE * random.standard_normal(len(times)))
        yield SteamingTrial(times, cups, 610.0, **known)


def names(fit: SteamingFit) -> set[str]:
    """The parameters a fit refuses."""
    return {each.symbol for each in fit.refused}


def test_a_trial_that_goes_past_the_minimum_tells_all_three() -> None:
    """Ten cups to 480 s: nothing refused, and nine in ten 90 % bands hold the truth."""
    truths = dict(zip(("X_e", "tau", "k_l"), (42.0, 35.0, 0.0015), strict=True))
    held = dict.fromkeys(truths, 0)
    for trial in trials(LONG, 100, spread=NOISE):
        fit = fit_steaming(trial)
        assert names(fit) == set()
        for each in fit.parameters[:3]:
            assert each.value is not None
            assert each.u is not None
            held[each.symbol] += abs(each.value - truths[each.symbol]) < 1.645 * each.u

    assert all(0.80 < count / 100 < 0.98 for count in held.values()), held


def test_a_trial_that_stops_at_60_s_says_that_it_cannot() -> None:
    """Seven cups to 60 s: the collapse is always refused, ceiling and time constant nearly so."""
    fits = [fit_steaming(trial) for trial in trials(SHORT, 60, spread=NOISE)]

    assert all("k_l" in names(fit) for fit in fits)
    assert sum(names(fit) == {"X_e", "tau", "k_l"} for fit in fits) > 54
    assert "too early to see the density rise again" in fits[0].refused[0].why
    assert all(each.u is None for each in fits[0].refused)


def test_a_trial_of_late_cups_cannot_tell_the_time_constant() -> None:
    """Cups from 150 s on see the ceiling fall, and nothing of how it was reached."""
    fits = [fit_steaming(trial) for trial in trials(LATE, 40, spread=NOISE)]

    assert sum("tau" in names(fit) for fit in fits) > 34
    why = next(e.why for fit in fits for e in fit.refused if e.symbol == "tau")
    assert "first cup was taken at 150 s" in why


@pytest.mark.parametrize("times", [LONG, SHORT])
def test_inside_the_tested_times_the_bands_are_true(times: tuple[float, ...]) -> None:
    """95 % bands of density and gain hold the truth so often, even where no parameter is told."""
    ask = np.array([times[2], times[4], times[-2]])
    density, gain = steaming_density(ask, TRUTH), steaming_gain(ask, TRUTH)
    held = np.zeros((2, 3))
    for trial in trials(times, 200, spread=NOISE):
        fit = fit_steaming(trial)
        for row, (band, truth) in enumerate(
            ((fitted_density(fit, ask), density), (fitted_gain(fit, ask), gain))
        ):
            held[row] += (band.low <= truth) & (truth <= band.high)

    assert np.all(held / 200 > 0.90)
    assert np.all(held / 200 < 0.995)


def test_a_fitted_lag_is_reported_or_refused() -> None:
    """With early cups the lag is told to some seconds; from 60 s on it is refused."""
    early = fit_steaming(next(trials((8.0, 11, *LONG), 1, lag_s=None, spread=NOISE)))
    late = fit_steaming(next(trials(LATE, 1, lag_s=None, spread=NOISE)))
    lag = early.parameters[3]

    assert lag.value == pytest.approx(6.0, abs=2.0)
    assert "read from the machine" in {e.symbol: e.why for e in late.refused}["t_0"]


def test_a_curve_that_does_not_fit_shows() -> None:
    """Cups in a zigzag of 10 % are no curve of 2 % scatter; cups of the curve are."""
    zigzag = steaming_density(LONG, TRUTH) * np.exp(0.1 * (-1.0) ** np.arange(len(LONG)))
    bad = fit_steaming(SteamingTrial(LONG, zigzag, 610.0, spread=NOISE)).misfit
    good = fit_steaming(next(trials(LONG, 1, spread=NOISE))).misfit

    assert bad is not None
    assert good is not None
    assert bad > 10
    assert good < 3


def test_without_a_known_spread_the_cups_give_it() -> None:
    """Mean square over fifty trials is near the square of the truth."""
    found = [fit_steaming(trial).spread for trial in trials(LONG, 50)]

    assert float(np.sqrt(np.mean(np.square(found)))) == pytest.approx(NOISE, rel=0.12)


def test_the_proposal_makes_a_short_trial_tell() -> None:
    """The cups it asks for, added to a trial that told nothing, let all three be reported."""
    short = next(trials(SHORT, 1, spread=NOISE))
    plan = propose_trial(SHORT, fit_steaming(short).working_curve, spread=NOISE)
    times = (*SHORT, *plan.time_s)
    told = [names(fit_steaming(trial)) == set() for trial in trials(times, 40, spread=NOISE)]

    assert plan.enough
    assert max(plan.time_s) > 300
    assert 1 <= len(plan.time_s) <= 4
    assert sum(told) >= 38


def test_a_proposal_never_promises_less_than_it_had() -> None:
    """New cups never make an expected uncertainty worse; a good trial needs none."""
    plan = propose_trial([30.0], SteamingCurve(), longest_s=120.0)

    assert all(after <= before for after, before in zip(plan.after, plan.before, strict=True))
    assert not plan.enough
    assert "steam longer" in plan.words
    assert "No further cup" in propose_trial(LONG, SteamingCurve()).words
    assert "(2 cups)" in propose_trial(SHORT, SteamingCurve()).words


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"time_s": [1.0, 2.0]}, r"density_kg_m3 is of shape"),
        ({"time_s": [], "density_kg_m3": []}, "time_s is empty"),
        ({"density_kg_m3": [20.0, 611.0, 18.0, 18.0]}, r"density_kg_m3\[1\] is 611.0"),
        ({"density_kg_m3": [20.0, float("nan"), 18.0, 18.0]}, r"density_kg_m3\[1\] is nan"),
        ({"time_s": [10.0, 20.0, 601.0, 30.0]}, r"time_s\[2\] is 601.0"),
        ({"raw_density_kg_m3": 1100.0}, "raw_density_kg_m3 is 1100.0"),
        ({"lag_s": -1.0}, "lag_s is -1.0"),
        ({"spread": 0.0}, "spread is 0.0"),
        ({"time_s": [1.0, 2.0], "density_kg_m3": [20.0, 20.0]}, "time_s is 2 cups"),
    ],
)
def test_bad_trials_are_refused(arguments: dict[str, object], message: str) -> None:
    """By name, first bad value, index and range."""
    good: dict[str, object] = {
        "time_s": [15.0, 40.0, 120.0, 400.0],
        "density_kg_m3": [60.0, 23.0, 17.0, 24.0],
        "raw_density_kg_m3": 610.0,
    }
    with pytest.raises(OutOfRange, match=message):
        fit_steaming(SteamingTrial(**{**good, **arguments}))  # type: ignore[arg-type]


def test_asking_outside_the_tested_times_is_refused() -> None:
    """Neither band speaks of times that no cup was taken at or beyond."""
    fit = fit_steaming(next(trials(SHORT, 1, spread=NOISE)))
    for ask in (fitted_density, fitted_gain):
        with pytest.raises(
            OutOfRange, match=r"time_s\[1\] is 61.0: must be a number from 10 to 60"
        ):
            ask(fit, [30.0, 61.0])


@pytest.mark.parametrize(
    ("name", "bad"), [("spread", 0.0), ("longest_s", 601.0), ("wanted", 1.0), ("spread", np.nan)]
)
def test_bad_wishes_are_refused(name: str, bad: float) -> None:
    """A plan needs a scatter, a longest time and a goal that can be."""
    with pytest.raises(OutOfRange, match=f"{name} is {bad}"):
        propose_trial(SHORT, SteamingCurve(), **{name: bad})
