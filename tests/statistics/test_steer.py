"""Steering: the advice on simulated machines, and what must hold of it whatever the numbers."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.statistics.steer import (
    Band,
    Change,
    Drift,
    Gain,
    Knob,
    Series,
    advised,
    band_at,
    cheapest_band,
    combined_gain,
    fit_drift,
    habit_of,
    learnt_gain,
    window_of,
)
from tests.statistics.pre_expanders import Machine, chased, disturbance, left_alone, steered

_WANDERS = Drift(0.2, 0.05, 0.2, 1.0, 300, 0.001)
_SCATTERS = Drift(0.1, 0.05, 0.02, 1.0, 300, 0.6)
_BAND = band_at(0.6, weight=0.2, sigma=1.0)
_KNOB = Knob(Gain(1.0, 0.05, 0))
_OFF = np.full(12, 2.0)


def test_a_deviation_past_the_band_is_taken_back() -> None:
    """Twelve cups two sigmas heavy: less by what is forecast, save for the gain's doubt."""
    advice = advised(Series(_OFF, np.zeros(12)), _WANDERS, _BAND, _KNOB)
    assert (advice.word, advice.why) == ("change", "beyond_band")
    assert advice.change == pytest.approx(-advice.forecast / (1 + 0.05**2))
    assert abs(advice.after) < 0.01


def test_an_act_on_its_way_is_not_made_twice() -> None:
    """With two cups of dead time, what was done after the last cup is still to come."""
    acts = np.zeros(12)
    acts[-1] = -2.0
    advice = advised(Series(_OFF, acts), _WANDERS, _BAND, Knob(Gain(1.0, 0.05, 0), delay=2))
    assert advice.word == "leave"


def test_no_act_is_advised_where_no_wander_is_shown() -> None:
    """Scatter about the target: the newest cups alone move nothing."""
    e = np.concatenate((np.tile([1.0, -1.0], 20), [1.5, 1.2, 1.4]))
    advice = advised(Series(e, np.zeros(e.size)), _SCATTERS, _BAND, _KNOB)
    assert (advice.word, advice.why) == ("leave", "no_drift")


def test_a_steady_offset_is_taken_back_whole() -> None:
    """No wander, but all cups lie two sigmas off: that is a wrong setting."""
    advice = advised(Series(_OFF, np.zeros(12)), _SCATTERS, _BAND, _KNOB)
    assert advice.why == "off_target"
    assert advice.change == pytest.approx(-2 / 1.0025)


@pytest.mark.parametrize("what", ["bead lot", "steam pressure", "target"])
def test_what_changed_inside_the_window_refuses_advice(what: str) -> None:
    """It is named with how many cups to wait; after them advice comes again."""
    refused = advised(Series(_OFF, np.zeros(12), (Change(9, what),)), _WANDERS, _BAND, _KNOB)
    assert (refused.word, refused.changed, refused.wait) == ("refused", what, window_of(0.2) - 3)
    later = advised(Series(_OFF, np.zeros(12), (Change(7, what),)), _WANDERS, _BAND, _KNOB)
    assert later.word == "change"


def test_a_machine_that_trims_itself_is_only_watched() -> None:
    """Two controllers fight."""
    knob = Knob(Gain(1.0, 0.05, 0), trims_itself=True)
    assert advised(Series(_OFF, np.zeros(12)), _WANDERS, _BAND, knob).why == "trims_itself"


def test_a_change_smaller_than_can_be_set_is_left() -> None:
    """Half a step rounds to none."""
    knob = Knob(Gain(1.0, 0.05, 0), step=5.0)
    assert advised(Series(_OFF, np.zeros(12)), _WANDERS, _BAND, knob).why == "below_step"


@given(st.lists(st.floats(-3, 3), min_size=3, max_size=30), st.floats(0.5, 2.0))
def test_units_do_not_matter(values: list[float], scale: float) -> None:
    """Deviations in another unit, band and sigma with them: the same act."""
    e = np.array(values)
    one = advised(Series(e, np.zeros(e.size)), _WANDERS, _BAND, _KNOB)
    scaled = Drift(0.2, 0.05, 0.2, scale, 300, 0.001)
    band = band_at(0.6 * scale, weight=0.2, sigma=scale)
    knob = Knob(Gain(scale, 0.05 * scale, 0))
    other = advised(Series(e * scale, np.zeros(e.size)), scaled, band, knob)
    assert other.word == one.word or abs(abs(one.forecast) - one.limit) < 1e-9
    if other.word == one.word:
        assert other.change == pytest.approx(one.change, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("delay", [0, 1, 2])
def test_steering_a_machine_that_wanders(delay: int) -> None:
    """Its variance is that of the band within 5 %, below chasing's, with a tenth of its acts.

    10,000 cups a case; the standard error of a variance is some 2 %. The whole: ./bench steering.
    """
    machine = Machine(0.2, delay=delay, half_width=0.7)
    theory = band_at(0.7, weight=0.2, sigma=1.0, delay=delay).variance
    rng = np.random.default_rng(31 + delay)
    found, other = [], []
    for _ in range(5):
        wander = disturbance(0.2, 2600, rng)
        found.append(steered(machine, wander))
        other.append(chased(machine, wander))
    assert np.mean([one.variance for one in found]) == pytest.approx(theory, rel=0.05)
    assert all(a.variance < b.variance for a, b in zip(found, other, strict=True))
    assert np.mean([one.acted for one in found]) <= 0.1 * np.mean([one.acted for one in other])


def test_steering_a_machine_that_only_scatters() -> None:
    """It is left alone, or nearly: at most 15 % more variance than without any act."""
    rng = np.random.default_rng(7)
    for _ in range(8):
        still = disturbance(0.0, 1200, rng)
        assert steered(Machine(0.0), still).variance <= 1.15 * left_alone(still).variance


def test_learnt_gain_covers_the_truth() -> None:
    """Within twice its standard uncertainty in some 95 of 100 records."""
    rng = np.random.default_rng(9)
    inside = 0
    for _ in range(200):
        acts = np.where(np.arange(150) % 15 == 7, rng.choice([-2.0, 2.0], 150), 0.0)
        moved = np.concatenate(([0.0, 0.0], np.cumsum(acts)))[:150]
        found = learnt_gain([(0.7 * moved + disturbance(0.2, 150, rng), acts)], weight=0.2, delay=1)
        assert found is not None
        inside += abs(found.value - 0.7) <= 2 * found.u
    assert 180 <= inside <= 199  # 95.4 % of 200 is 191, three standard deviations are 9


def test_a_learnt_gain_far_from_the_assumed_is_kept_near_and_doubted() -> None:
    """Of the wrong sign, with little said against it: two thirds of the assumed, and doubtful."""
    kept = combined_gain(Gain(1.0, 0.5, 0), Gain(-1.0, 0.1, 8))
    assert kept.doubtful
    assert kept.value == pytest.approx(1 / 1.5)
    assert combined_gain(Gain(1.0, 0.5, 0), Gain(-1.0, 0.1, 4)).value == 1.0


def test_the_cheapest_band_is_cheaper_than_its_neighbours() -> None:
    """A dearer adjustment widens it; one that costs nothing leaves none."""

    def cost(band: Band) -> float:
        return 8.0 / band.interval + band.variance

    best = cheapest_band(weight=0.2, sigma=1.0, adjustment=8.0, square=1.0)
    for factor in (0.9, 1.1):
        assert cost(best) < cost(band_at(factor * best.half_width, weight=0.2, sigma=1.0))
    wider = cheapest_band(weight=0.2, sigma=1.0, adjustment=16.0, square=1.0)
    assert wider.half_width > best.half_width
    assert cheapest_band(weight=0.2, sigma=1.0, adjustment=0.0, square=1.0).interval == 1.0


def test_a_habit_of_chasing_is_told_from_one_that_settles() -> None:
    """Whole deviations taken back are unstable with one cup of dead time, not without."""
    rng = np.random.default_rng(2)
    e = rng.normal(size=40)
    assert habit_of(e, -e, delay=1).unstable
    assert not habit_of(e, -e, delay=0).unstable
    assert not habit_of(e, np.zeros(40), delay=2).unstable


def test_a_series_without_scatter_or_with_no_number_is_refused() -> None:
    """Nothing can be learnt of it, and it says so."""
    for runs in ([np.zeros(20)], [np.arange(3.0)], [np.array([1.0, np.nan] * 5)]):
        with pytest.raises(OutOfRange):
            fit_drift(runs)
    with pytest.raises(OutOfRange):
        advised(Series([np.nan, 1.0, 2.0], np.zeros(3)), _WANDERS, _BAND, _KNOB)
    with pytest.raises(OutOfRange):
        advised(Series(_OFF, np.zeros(12)), _WANDERS, _BAND, Knob(Gain(0.0, 1.0, 0)))
