"""The ageing window: it moves the right way, holds at its ends, and never proposes outside."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.science.ageing import (
    AgeingModel,
    AgeingWindow,
    SiloBeads,
    SiloFills,
    Sureness,
    WindowLimits,
    ageing_state,
    ageing_window,
    core_temperature,
    proposed_hours,
    size_classes,
)

FILLS = SiloFills(36.0, 0.05, size_classes(3e-3, 0.15, 5), 293.15, 318.15, 0.8, 0.0, 7200.0)
COOL = replace(FILLS, filled_k=293.15, radius_m=[[1.5e-3]])


def ends(window: AgeingWindow) -> tuple[float, float]:
    """When it opens and closes, by the estimates."""
    return float(window.opens_s.value[0]), float(window.closes_s.value[0])


def test_at_its_ends_the_state_is_the_limit() -> None:
    """The series themselves, at the ages found, have as much air and pentane as asked."""
    window = ageing_window(FILLS)
    ready, stale = float(window.ready_age_s.value[0]), float(window.stale_age_s.value[0])
    cold = SiloBeads(36.0, 0.05, FILLS.radius_m, 293.15)
    air = ageing_state(cold, [ready]).air_share.mean()
    ages = np.linspace(0.0, stale, 4001)
    core = core_temperature(ages, 0.8, 318.15, 293.15)
    warm = SiloBeads(36.0, 0.05, FILLS.radius_m, core[np.newaxis])
    pentane = ageing_state(warm, ages).pentane_per_dry[..., -1].mean()

    assert air == pytest.approx(0.9, abs=1e-9)
    assert pentane == pytest.approx(0.0256, rel=2e-5)


def test_each_clock_moves_its_own_end() -> None:
    """Too fresh counts from the last bead in, stale from the first."""
    opens, closes = ends(ageing_window(FILLS))
    later_last = ends(ageing_window(replace(FILLS, last_in_s=10_800.0)))
    later_both = ends(ageing_window(replace(FILLS, first_in_s=3600.0, last_in_s=10_800.0)))

    assert later_last == pytest.approx((opens + 3600, closes))
    assert later_both == pytest.approx((opens + 3600, closes + 3600))


@settings(max_examples=25)
@given(st.floats(1.01, 1.5), st.floats(20, 50))
def test_it_moves_the_right_way(more: float, density: float) -> None:
    """Larger, colder or denser beads: later at both ends. More pentane: later to close."""
    plain = replace(FILLS, bead_density_kg_m3=density)
    opens, closes = ends(ageing_window(plain))
    wide = replace(plain, radius_m=np.asarray(FILLS.radius_m) * more)
    cold = replace(plain, room_k=293.15 - 10 * (more - 1), filled_k=318.15 - 10 * (more - 1))
    dense = replace(plain, bead_density_kg_m3=density * more)
    for changed in (wide, cold, dense):
        other = ends(ageing_window(changed))
        assert other[0] > opens
        assert other[1] > closes
    richer = ends(ageing_window(replace(plain, pentane_per_dry=0.05 * more)))
    assert richer[0] == pytest.approx(opens)
    assert richer[1] > closes
    hotter = ends(ageing_window(replace(plain, filled_k=318.15 + 20 * (more - 1))))
    bigger = ends(ageing_window(replace(plain, bag_radius_m=0.8 * more)))
    assert hotter[1] < closes
    assert bigger[1] < closes


def test_it_scales_with_the_square_of_the_size() -> None:
    """In a cool bag, twice the size takes four times as long, at both ends and of the band."""
    small = ageing_window(COOL)
    large = ageing_window(replace(COOL, radius_m=[[3e-3]]))
    for one, other in ((small.ready_age_s, large.ready_age_s),
                       (small.stale_age_s, large.stale_age_s)):  # fmt: skip
        for part in ("low", "value", "high"):
            assert getattr(other, part) == pytest.approx(4 * getattr(one, part), rel=1e-3)


def test_a_skin_is_later() -> None:
    """And a second pass, which starts with air, is earlier; one with enough is ready at once."""
    opens, closes = ends(ageing_window(COOL))
    skinned = ends(ageing_window(COOL, AgeingModel(biot=5.0)))
    second = ends(ageing_window(COOL, AgeingModel(air_at_start=0.5)))
    enough = ageing_window(COOL, AgeingModel(air_at_start=0.95))

    assert skinned[0] > opens
    assert skinned[1] > closes
    assert second[0] < opens
    assert enough.ready_age_s.high.tolist() == [0.0]


def test_no_pentane_to_begin_with_is_stale_at_once() -> None:
    """And nothing is proposed."""
    window = ageing_window(replace(COOL, pentane_per_dry=[0.02]))
    hours = proposed_hours(window)

    assert window.stale_age_s.value.tolist() == [0.0]
    assert hours.sureness == (Sureness.NONE,)
    assert np.isnan(hours.from_h).all()
    assert np.isnan(hours.until_h).all()


def test_a_probe_overrides_the_core() -> None:
    """As warm as conduction says, it moves the late end alone; cooler, the window closes later."""
    ages = np.geomspace(60, 4e6, 400)
    said = 293.15 + 25 * np.ones(400), core_temperature(ages, 0.8, 318.15, 293.15)
    free = ageing_window(FILLS)
    hot, alike = (ageing_window(replace(FILLS, probes=[(ages, it)])) for it in said)
    cool = ageing_window(replace(FILLS, probes=[([0.0], [293.15])]))

    assert alike.stale_age_s.value == pytest.approx(free.stale_age_s.value, rel=1e-3)
    assert alike.stale_age_s.high < free.stale_age_s.high
    assert hot.stale_age_s.value < free.stale_age_s.value < cool.stale_age_s.value
    assert cool.ready_age_s.value == pytest.approx(free.ready_age_s.value)
    none = ageing_window(replace(FILLS, probes=[None]))
    assert none.stale_age_s.value == pytest.approx(free.stale_age_s.value)


def test_the_band_is_what_random_numbers_show() -> None:
    """With the temperature at the reference, nine in ten of drawn diffusivities lie within."""
    at_reference = replace(COOL, room_k=296.15, filled_k=296.15)
    window = ageing_window(at_reference, None, WindowLimits(pentane_spread=0.5))
    rng = np.random.default_rng(20260401)
    drawn = 2.3e-13 * np.exp(0.5 * rng.standard_normal(4000))
    many = replace(at_reference, bead_density_kg_m3=np.full(4000, 36.0),
                   room_k=np.full(4000, 296.15))  # fmt: skip
    ages = ageing_window(many, AgeingModel(pentane_m2_s=drawn)).stale_age_s.value
    low, high = np.quantile(ages, [0.05, 0.95])

    # A sample's 5 % quantile of 4000 has a standard error of 0.53 % in probability, 2.6 % here.
    assert float(window.stale_age_s.low[0]) == pytest.approx(low, rel=0.1)
    assert float(window.stale_age_s.high[0]) == pytest.approx(high, rel=0.1)


def test_a_measured_diffusivity_narrows_the_band() -> None:
    """And clears the proposal."""
    vague = ageing_window(FILLS)
    known = ageing_window(FILLS, None, WindowLimits(air_spread=0.15, pentane_spread=0.08))
    for band in ("ready_age_s", "stale_age_s"):
        assert getattr(known, band).low > getattr(vague, band).low
        assert getattr(known, band).high <= getattr(vague, band).high
        assert getattr(known, band).value == pytest.approx(getattr(vague, band).value)
    assert proposed_hours(known).sureness == (Sureness.CLEAR,)


@settings(max_examples=40)
@given(
    st.floats(1.2e-3, 5e-3),
    st.floats(0.026, 0.08),
    st.floats(0, 1.5),
    st.floats(0, 36_000),
    st.floats(283, 343),
)
def test_a_proposal_never_leaves_the_window(
    diameter: float, pentane: float, spread: float, filling: float, filled: float
) -> None:
    """On the clock it starts after the window opens and ends before it closes."""
    fills = replace(
        FILLS,
        radius_m=size_classes(diameter, 0.15, 3),
        pentane_per_dry=pentane,
        last_in_s=filling,
        filled_k=filled,
    )
    window = ageing_window(fills, None, WindowLimits(pentane_spread=spread))
    hours = proposed_hours(window)
    opens, closes = ends(window)
    if hours.sureness[0] is Sureness.NONE:
        assert np.isnan(hours.from_h[0])
        return
    start, end = filling + 3600 * hours.from_h[0], 3600 * hours.until_h[0]
    assert opens <= start < end <= closes
    if hours.sureness[0] is Sureness.CLEAR:
        assert start >= float(window.opens_s.high[0])
        assert end <= float(window.closes_s.low[0])


def test_silos_do_not_mix() -> None:
    """Many at once are each as they are alone."""
    many = SiloFills(
        [36.0, 25.0], [0.05, 0.06], size_classes([3e-3, 2e-3], 0.15, 4), [293.15, 288.15],
        [318.15, 330.0], [0.8, 0.6], [0.0, 100.0], [7200.0, 200.0],
    )  # fmt: skip
    one = SiloFills(25.0, 0.06, size_classes(2e-3, 0.15, 4), 288.15, 330.0, 0.6, 100.0, 200.0)
    both, alone = ageing_window(many), ageing_window(one)

    assert both.opens_s.value[1] == pytest.approx(alone.opens_s.value[0])
    assert both.closes_s.high[1] == pytest.approx(alone.closes_s.high[0])


BAD: list[tuple[str, dict[str, Any]]] = [
    ("bead_density_kg_m3", {"bead_density_kg_m3": -36.0}),
    ("bead_density_kg_m3", {"bead_density_kg_m3": 1051.0}),
    ("pentane_per_dry", {"pentane_per_dry": np.nan}),
    ("radius_m", {"radius_m": []}),
    ("radius_m", {"radius_m": [[0.0]]}),
    ("room_k", {"room_k": -1.0}),
    ("room_k", {"room_k": [293.15, 293.15]}),
    ("filled_k", {"filled_k": 500.0}),
    ("bag_radius_m", {"bag_radius_m": 0.0}),
    ("first_in_s", {"first_in_s": np.nan}),
    ("last_in_s", {"last_in_s": np.inf}),
    ("last_in_s", {"last_in_s": -1.0}),
    ("probes", {"probes": [None, None]}),
    ("reading_k", {"probes": [([0.0], [-5.0])]}),
    ("reading_time_s", {"probes": [([5.0, 1.0], [300.0, 300.0])]}),
]
BAD_LIMITS: list[tuple[str, Any]] = [
    ("enough_air", 0.0),
    ("enough_air", 1.0),
    ("least_pentane_per_dry", 0.0),
    ("air_spread", -1.0),
    ("pentane_spread", np.nan),
    ("air_activation_sd_j_mol", -1.0),
    ("pentane_activation_sd_j_mol", -1.0),
]


@pytest.mark.parametrize(("name", "change"), BAD)
def test_bad_fills_are_named(name: str, change: dict[str, Any]) -> None:
    """Each entry, by its name."""
    with pytest.raises(OutOfRange, match=f"^{name}"):
        ageing_window(replace(FILLS, **change))


@pytest.mark.parametrize(("name", "bad"), BAD_LIMITS)
def test_bad_limits_are_named(name: str, bad: Any) -> None:
    """Each limit, by its name."""
    with pytest.raises(OutOfRange, match=f"^{name}"):
        ageing_window(FILLS, None, replace(WindowLimits(), **{name: bad}))
