"""Fresh concrete on a foam form: table, floor and cap, and rates solved against a plain search."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import ArrayLike

from beadwright.errors import OutOfRange
from beadwright.science.pour import (
    CAUTION,
    Binder,
    Element,
    Governs,
    Mix,
    Panel,
    Pour,
    Reason,
    Strip,
    Weaker,
    bending_stress,
    chemistry_coefficient,
    counts_as_liquid,
    depth_pressure,
    greatest_lift,
    greatest_rate,
    lateral_pressure,
    rate_equation,
    strip_deflection,
    supported_pressure,
    tie_load,
    unit_weight_coefficient,
)
from beadwright.science.pour.mix import POUND_PER_CUBIC_FOOT as PCF

FOOT = 0.3048
FT_H = FOOT / 3600
PSF = 47.88025898033584
MIX = Mix(150 * PCF, 6 * 0.0254)
STRIP = Strip(0.2032, 0.066675)


def fahrenheit(degrees: float) -> float:
    """Kelvin."""
    return (degrees + 459.67) * 5 / 9


def pour(rate: ArrayLike, degrees: float, feet: ArrayLike, **more: object) -> Pour:
    """A placement in ft/h, °F and ft, vibrated 4 ft deep."""
    return Pour(
        more.pop("mix", MIX),  # type: ignore[arg-type]
        np.asarray(feet) * FOOT,
        np.asarray(rate) * FT_H,
        fahrenheit(degrees),
        4 * FOOT,
        **more,  # type: ignore[arg-type]
    )


def panel(psf: float) -> Panel:
    """A panel that supports a pressure in lb/ft², at a factor of 2."""
    return Panel(STRIP, psf * PSF * 0.6 * (0.2032 / 0.066675) ** 2 * 2, 2.0)


RATES = st.floats(0, 30)
DEGREES = st.floats(42, 98)
FEET = st.floats(1, 40)
MIXES = st.builds(
    Mix,
    st.floats(100, 170).map(lambda w: w * PCF),
    st.sampled_from([0.10, 0.1778, 0.19]),
    st.sampled_from(list(Binder)),
    st.booleans(),
    st.booleans(),
)
POURS = st.builds(
    lambda r, t, h, mix, element, base: pour(r, t, h, mix=mix, element=element, from_base=base),
    RATES,
    DEGREES,
    FEET,
    MIXES,
    st.sampled_from(list(Element)),
    st.booleans(),
)


@given(POURS)
def test_pressure_lies_between_nothing_and_its_head(placed: Pour) -> None:
    """Never above the full head (a quarter more from the base), nor under the floor within it."""
    found = lateral_pressure(placed)
    head = float(found.head_pa)

    assert 0 < float(found.pressure_pa) <= head * (1.25 if placed.from_base else 1) * (1 + 1e-12)
    assert float(found.pressure_pa) >= min(float(found.floor_pa), head) * (1 - 1e-12)
    assert 0 < float(found.full_depth_m) <= float(np.asarray(placed.height_m)) * (1 + 1e-12)
    assert str(found.governs) in {each.value for each in Governs}


@given(POURS, RATES, FEET)
def test_more_rate_or_height_is_never_less_pressure(placed: Pour, rate: float, feet: float) -> None:
    """Monotone in both, also across the table's steps."""
    here = float(lateral_pressure(placed).pressure_pa)
    for name, value in (("rate_m_s", rate * FT_H), ("height_m", feet * FOOT)):
        there = float(lateral_pressure(replace(placed, **{name: value})).pressure_pa)  # type: ignore[arg-type]
        more = value >= float(np.asarray(getattr(placed, name)))
        assert there >= here * (1 - 1e-12) if more else there <= here * (1 + 1e-12)


@given(DEGREES, MIXES)
def test_the_two_equations_meet_at_7_ft_h(degrees: float, mix: Mix) -> None:
    """(b) just below and (c) at 7 ft/h are one pressure: 63000 = 43400 + 7 x 2800."""
    below, quick_below = rate_equation(pour(6.9999999, degrees, 10, mix=mix))
    at, quick_at = rate_equation(pour(7.0, degrees, 10, mix=mix))

    assert (bool(quick_below), bool(quick_at)) == (False, True)
    assert float(below) == pytest.approx(float(at), rel=1e-6)


@pytest.mark.parametrize(
    ("placed", "governs"),
    [
        (pour(5, 60, 10), Governs.SLOW_RATE),
        (pour(5, 60, 14), Governs.SLOW_RATE),
        (pour(5, 60, 14.1), Governs.RATE),
        (pour(7, 60, 10), Governs.RATE),
        (pour(15, 90, 20), Governs.RATE),
        (pour(15.01, 90, 20), Governs.FAST),
        (pour(15.01, 90, 20, element=Element.COLUMN), Governs.SLOW_RATE),
        (pour(5, 60, 20, element=Element.COLUMN), Governs.SLOW_RATE),
        (pour(1, 90, 10), Governs.FLOOR),
        (pour(5, 60, 5), Governs.HEAD),
        (replace(pour(1, 60, 10), vibration_depth_m=4.01 * FOOT), Governs.LIQUID),
        (pour(1, 60, 10, mix=replace(MIX, slump_m=7.01 * 0.0254)), Governs.LIQUID),
        (pour(1, 60, 10, mix=replace(MIX, slump_m=7 * 0.0254)), Governs.FLOOR),
        (pour(1, 60, 10, mix=replace(MIX, self_consolidating=True)), Governs.LIQUID),
        (pour(1, 60, 10, from_base=True), Governs.PUMPED),
    ],
)
def test_each_case_of_the_table(placed: Pour, governs: Governs) -> None:
    """Slump, vibration, element, rate and height pick the equation; limits themselves included."""
    assert str(lateral_pressure(placed).governs) == governs.value


def test_a_lift_of_4_ft_does_not_care_for_the_rate() -> None:
    """150 lb/ft³: floor and head are both 600 lb/ft², at any rate and temperature; 5 ft does."""
    for rate in (0.5, 4.0, 14.0, 20.0):
        found = lateral_pressure(pour(rate, 45, 4))
        assert float(found.pressure_pa) / PSF == pytest.approx(600, abs=1e-6)
        assert not found.rate_matters
    assert lateral_pressure(pour(4.0, 45, 5)).rate_matters
    assert not lateral_pressure(pour(4.0, 45, 9, mix=replace(MIX, slump_m=0.2))).rate_matters


@given(st.floats(50, 310).map(lambda w: w * PCF))
def test_the_weight_coefficient_steps_as_published(density: float) -> None:
    """At least 0.8, 1 from 140 to 150 lb/ft³, in proportion above."""
    pcf, found = round(density / PCF, 3), float(unit_weight_coefficient(density))
    expected = max(0.8, (1 + pcf / 145) / 2) if pcf < 140 else 1.0 if pcf <= 150 else pcf / 145

    assert found == pytest.approx(expected, rel=1e-12)


def test_the_chemistry_coefficient_is_the_table() -> None:
    """A retarder raises plain and blended binders."""
    got = [[chemistry_coefficient(b, retarder=r) for r in (False, True)] for b in Binder]

    assert got == [[1.0, 1.2], [1.2, 1.4], [1.4, 1.4]]


def test_many_pours_at_once_are_the_pours_one_by_one() -> None:
    """Arrays of rate, height and temperature broadcast, and give what single numbers give."""
    rates, feet = np.array([1.0, 5.0, 10.0, 16.0]), np.array([[4.0], [10.0], [20.0]])
    found = lateral_pressure(pour(rates, 60, feet))

    for i, j in np.ndindex(3, 4):
        one = lateral_pressure(pour(rates[j], 60, feet[i, 0]))
        assert found.pressure_pa[i, j] == pytest.approx(float(one.pressure_pa), rel=1e-12)
        assert found.governs[i, j] == str(one.governs)
        assert found.rate_matters[i, j] == bool(one.rate_matters)


@given(st.floats(0, 1e5), st.floats(0.05, 0.5), st.floats(0.02, 0.2), st.booleans())
def test_a_strip_gives_back_the_pressure_it_was_asked_for(
    pressure: float, span: float, thickness: float, continuous: bool
) -> None:
    """Stress under a pressure, taken as strength, supports that pressure; F times less at F."""
    strip = Strip(span, thickness, continuous)
    stress = float(bending_stress(pressure, strip))
    if stress == 0:
        return

    assert float(supported_pressure(stress, 1.0, strip)) == pytest.approx(pressure, rel=1e-12)
    assert float(supported_pressure(stress, 2.5, strip)) == pytest.approx(pressure / 2.5, rel=1e-12)


def test_a_simple_span_is_the_beam_of_every_textbook() -> None:
    """Moment and deflection of an even load by integrating the beam numerically."""
    load, span, thickness, modulus = 3e4, 0.2, 0.06, 6e6
    x = np.linspace(0, span, 20_001)
    moment = load * x * (span - x) / 2
    curvature = moment / (modulus * thickness**3 / 12)
    step = x[1] - x[0]
    slope = np.concatenate([[0], np.cumsum((curvature[1:] + curvature[:-1]) / 2 * step)])
    bend = np.concatenate([[0], np.cumsum((slope[1:] + slope[:-1]) / 2 * step)])
    sag = float((bend[-1] * x / span - bend).max())
    simple = Strip(span, thickness, continuous=False)

    assert float(bending_stress(load, simple)) == pytest.approx(6 * moment.max() / thickness**2)
    assert float(strip_deflection(load, modulus, simple)) == pytest.approx(sag, rel=1e-6)
    assert bending_stress(load, Strip(span, thickness)) < bending_stress(load, simple)
    assert strip_deflection(load, modulus, Strip(span, thickness)) < sag


@given(POURS, st.floats(100, 4000), st.floats(0.5, 20))
def test_the_greatest_rate_is_where_a_search_finds_it(
    placed: Pour, psf: float, manual: float
) -> None:
    """Bisection on pressure against rate, the naive way, gives the same; the manual is a cap."""
    limit = greatest_rate(placed, panel(psf), manual * FT_H)

    def carried(rate: float) -> bool:
        pressure = float(lateral_pressure(replace(placed, rate_m_s=rate)).pressure_pa)
        return pressure <= limit.supported_pa * (1 + 1e-9)

    if not carried(0.0):
        assert limit.rate_m_s is None
        assert limit.lowered
        assert limit.reason in {Reason.FLOOR, Reason.TALL, Reason.LIQUID}
        return
    assert limit.rate_m_s is not None
    assert limit.supported_m_s is not None
    assert limit.rate_m_s == min(limit.supported_m_s, manual * FT_H)
    assert limit.lowered == (limit.rate_m_s < manual * FT_H)
    assert limit.pressure_pa is not None
    assert limit.pressure_pa <= limit.supported_pa * (1 + 1e-6)
    low, high = 0.0, 2000 * FT_H
    if carried(high):
        assert limit.supported_m_s == np.inf
        assert limit.reason is Reason.HYDROSTATIC
        return
    for _ in range(60):
        low, high = (
            ((low + high) / 2, high) if carried((low + high) / 2) else (low, (low + high) / 2)
        )
    assert limit.supported_m_s == pytest.approx(low, rel=1e-5, abs=1e-9)
    assert limit.reason in {Reason.RATE, Reason.FAST}


@given(POURS, st.floats(100, 4000))
def test_the_greatest_lift_is_where_a_search_finds_it(placed: Pour, psf: float) -> None:
    """At that height the pressure is supported, a hair above it is not."""
    limit = greatest_lift(placed, panel(psf))
    height = limit.height_m or 29.9

    def pressure(metres: float) -> float:
        return float(lateral_pressure(replace(placed, height_m=metres)).pressure_pa)

    assert pressure(min(height, 29.9)) <= limit.supported_pa * (1 + 1e-9)
    if limit.height_m is not None and limit.height_m < 29:
        assert pressure(height * 1.0001) > limit.supported_pa


@pytest.mark.parametrize(
    ("placed", "psf", "reason"),
    [
        (pour(0, 70, 9), 2000, Reason.HYDROSTATIC),
        (pour(0, 70, 9), 750, Reason.RATE),
        (pour(0, 98, 13), 1100, Reason.FAST),
        (pour(0, 70, 9), 599, Reason.FLOOR),
        (pour(0, 45, 20), 1000, Reason.TALL),
        (pour(0, 70, 9, mix=replace(MIX, slump_m=0.2)), 1000, Reason.LIQUID),
        (pour(0, 70, 9, from_base=True), 1400, Reason.LIQUID),
    ],
)
def test_every_reason_comes_with_the_caution(placed: Pour, psf: float, reason: Reason) -> None:
    """Each reason can happen, and its words end in the caution."""
    limit = greatest_rate(placed, panel(psf), 4 * FT_H)

    assert limit.reason is reason
    assert limit.words.endswith(CAUTION)
    assert limit.rate_m_s is None or limit.rate_m_s <= 4 * FT_H


def test_the_caution_says_what_it_must() -> None:
    """Never raise; not form design; code and practice govern; a lift says so too."""
    assert CAUTION.startswith("May only lower the installation manual's rate, never raise it.")
    assert "Not form design." in CAUTION
    for psf in (500, 5000):
        assert greatest_lift(pour(4, 70, 9), panel(psf)).words.endswith(CAUTION)


def test_no_strength_raises_the_manuals_rate() -> None:
    """However strong the lot, the answer is the manual's rate."""
    assert greatest_rate(pour(0, 70, 9), panel(1e6), 4 * FT_H).rate_m_s == 4 * FT_H


def test_where_the_rate_does_not_matter_it_is_said() -> None:
    """A 4 ft lift: in figures and in words."""
    limit = greatest_rate(pour(0, 70, 4), panel(700), 4 * FT_H)

    assert not limit.rate_matters
    assert "the full head acts at every rate" in limit.words


def test_the_weaker_of_foam_and_tie_counts() -> None:
    """A tie's 900 lb/ft² with a factor of 2 are 450 of the panel; a strong tie changes nothing."""
    area, foam = 0.2032**2, panel(750)
    weak = replace(foam, tie_strength_n=900 * PSF * area, tie_area_m2=area)
    strong = replace(foam, tie_strength_n=9000 * PSF * area, tie_area_m2=area)

    lift = greatest_lift(pour(4, 70, 9), weak)
    assert lift.weaker is Weaker.TIE
    assert lift.supported_pa / PSF == pytest.approx(450)
    assert lift.height_m == pytest.approx(3 * FOOT)
    assert greatest_rate(pour(4, 70, 9), weak, 4 * FT_H).reason is Reason.FLOOR
    plain, tied = (greatest_rate(pour(4, 70, 9), each, 9 * FT_H) for each in (foam, strong))
    assert tied == plain
    assert tied.weaker is Weaker.FOAM


GOOD = pour(4, 70, 9)


@pytest.mark.parametrize("ask", [lateral_pressure, rate_equation])
@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("height_m", 0.0),
        ("height_m", 31.0),
        ("rate_m_s", -1.0),
        ("temperature_k", 276.0),
        ("temperature_k", 312.0),
        ("temperature_k", float("nan")),
    ],
)
def test_a_bad_number_of_a_pour_is_named(
    ask: Callable[[Pour], object], name: str, bad: float
) -> None:
    """With its value and place."""
    good = getattr(GOOD, name)
    with pytest.raises(OutOfRange, match=rf"{name}\[1\] is {bad}"):
        ask(replace(GOOD, **{name: [good, bad]}))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: unit_weight_coefficient([2400.0, 700.0]), r"density_kg_m3\[1\] is 700.0"),
        (lambda: lateral_pressure(pour(4, 70, 9, mix=replace(MIX, slump_m=-0.1))), "slump_m is"),
        (lambda: counts_as_liquid(replace(GOOD, vibration_depth_m=np.nan)), "depth_m is nan"),
        (lambda: lateral_pressure(replace(GOOD, height_m=[])), "height_m is empty"),
        (
            lambda: lateral_pressure(replace(GOOD, height_m=[1.0, 2.0], rate_m_s=[0.0, 0.0, 0.0])),
            r"rate_m_s is of shape \(3,\)",
        ),
        (lambda: depth_pressure(-1.0, 2400.0, 1e4), "depth_m is -1.0"),
        (lambda: depth_pressure(1.0, 2400.0, [1e4, np.inf]), r"greatest_pa\[1\] is inf"),
        (lambda: bending_stress([1.0, -1.0], STRIP), r"pressure_pa\[1\] is -1.0"),
        (lambda: bending_stress(1.0, Strip(0.0, 0.06)), "span_m is 0.0"),
        (lambda: supported_pressure(0.0, 2.0, STRIP), "strength_pa is 0.0"),
        (lambda: supported_pressure(3e5, 0.9, STRIP), "safety_factor is 0.9"),
        (lambda: strip_deflection(1.0, 0.0, STRIP), "modulus_pa is 0.0"),
        (lambda: strip_deflection(1.0, 6e6, Strip(0.2, np.nan)), "thickness_m is nan"),
        (lambda: tie_load(1.0, [0.04, 0.0]), r"area_m2\[1\] is 0.0"),
        (lambda: greatest_rate(GOOD, panel(700), 0.0), "manual_rate_m_s is 0.0"),
        (lambda: greatest_rate(GOOD, Panel(STRIP, 3e5, 0.5), 1e-4), "safety_factor is 0.5"),
        (lambda: greatest_lift(GOOD, Panel(STRIP, -3e5, 2.0)), "strength_pa is -300000.0"),
        (lambda: greatest_lift(GOOD, Panel(STRIP, 3e5, 2.0, 0.0, 0.04)), "tie_strength_n is 0.0"),
        (lambda: greatest_lift(GOOD, Panel(STRIP, 3e5, 2.0, 900.0)), "tie_area_m2 is nan"),
    ],
)
def test_bad_input_is_named(ask: Callable[[], object], message: str) -> None:
    """By argument, first bad value, index and range."""
    with pytest.raises(OutOfRange, match=message):
        ask()
