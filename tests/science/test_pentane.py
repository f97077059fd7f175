"""Pentane: mass is kept, bases are not mixed, and a missing input never reassures."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from beadwright.errors import OutOfRange
from beadwright.science import pentane
from beadwright.science.pentane import (
    STRICTER_LIMIT,
    WIDER_LIMIT,
    Air,
    Beads,
    DilutionTask,
    LowerLimit,
    PerDryPolymer,
    PerWetBead,
    Room,
)
from beadwright.science.trust import Banded

HOUR = 3600.0
STORE = Beads(
    np.array([400.0, 300.0]), PerDryPolymer.of([0.05, 0.045]), [0.0, 7200.0], 1.5e-3, 2.3e-13
)
KNOWN = Room(2400.0, 2.5, fan_running=True, pressure_pa=99_000.0, mixing=2.0)
RATE = Banded.of([2e-4, 1e-4], [1e-4, 5e-5], [4e-4, 2e-4])
EDGES = [0.0, HOUR, 2 * HOUR]

shares = st.floats(0, 0.15)


@given(shares, st.floats(0, 0.2), st.floats(0, 0.003))
def test_a_basis_changes_there_and_back(share: float, water: float, spread: float) -> None:
    """With the same water, content and uncertainty come back."""
    dry = pentane.per_dry_polymer(PerWetBead.of(share, spread), water)
    back = pentane.per_wet_bead(dry, water)

    assert float(back.kg_kg) == pytest.approx(share, rel=1e-12, abs=1e-15)
    assert float(back.u_kg_kg) == pytest.approx(spread, rel=1e-9, abs=1e-15)
    assert float(dry.kg_kg) >= share


@given(shares, st.floats(0, 0.2))
def test_a_basis_is_mass_over_mass(share: float, water: float) -> None:
    """One kilogram of bead, weighed apart into pentane, water and polymer."""
    dry = float(pentane.per_dry_polymer(PerWetBead.of(share), water).kg_kg)

    assert dry * (1 - share - water) == pytest.approx(share, rel=1e-12, abs=1e-15)


@given(st.floats(0.001, 0.15), st.floats(0, 0.2))
def test_a_basis_carries_its_uncertainty(share: float, water: float) -> None:
    """To first order, the change of the result for a small change of the figure."""
    step = 1e-7
    low, high = (
        float(pentane.per_dry_polymer(PerWetBead.of(share + it), water).kg_kg)
        for it in (-step, step)
    )
    slope = pentane.per_dry_polymer(PerWetBead.of(share, 1.0), water).u_kg_kg

    assert float(slope) == pytest.approx((high - low) / (2 * step), rel=1e-5)


@given(st.floats(0.03, 0.10), st.floats(0.001, 0.02))
def test_the_mistake_of_the_wet_basis_is_what_the_beads_still_hold(
    before: float, after: float
) -> None:
    """Both ways reckoned out for one tonne of beads."""
    first, second = PerWetBead.of(before), PerWetBead.of(after)
    mistaken = 1000 * (before - after)
    true = pentane.stage_losses(
        1000 * (1 - before),
        PerDryPolymer.of([float(pentane.per_dry_polymer(it).kg_kg) for it in (first, second)]),
    ).total_kg

    shortfall = float(pentane.wet_basis_shortfall(first, second))
    assert shortfall == pytest.approx(mistaken / true - 1, rel=1e-6)
    assert shortfall == -after


def test_the_two_bases_do_not_mix() -> None:
    """A wet-basis figure where a balance needs a dry one is refused, and says what to do."""
    wet = PerWetBead.of([0.06, 0.04])
    refusals: list[Callable[[], Any]] = [
        lambda: pentane.stage_losses(940.0, wet),  # type: ignore[arg-type]
        lambda: pentane.content_left(wet, 0.0, 1e-3, 1e-13),  # type: ignore[arg-type]
        lambda: pentane.emission(replace(STORE, content=wet), EDGES),  # type: ignore[arg-type]
        lambda: pentane.per_wet_bead(wet),  # type: ignore[arg-type]
    ]
    for refused in refusals:
        with pytest.raises(OutOfRange, match="is of type PerWetBead: must be of type PerDryPol"):
            refused()
    dry: Any = PerDryPolymer.of(0.06)
    with pytest.raises(OutOfRange, match="must be of type PerWetBead"):
        pentane.per_dry_polymer(dry)
    with pytest.raises(OutOfRange, match="is of type float"):
        pentane.wet_basis_shortfall(0.06, 0.04)  # type: ignore[arg-type]


def test_stages_add_up_and_so_do_their_uncertainties() -> None:
    """The sum of the stages is the ends' difference; what simulated assays show is the spread."""
    true, spread, polymer = np.array([0.0638, 0.0515, 0.0384, 0.0256]), 0.0016, 940.0
    found = pentane.stage_losses(polymer, PerDryPolymer.of(true, spread), 5.0)
    rng = np.random.default_rng(20260601)
    n = 200_000
    masses = rng.normal(polymer, 5.0, n)
    losses = -np.diff(rng.normal(true, spread, (n, 4)), axis=1) * masses[:, None]

    assert found.total_kg == pytest.approx(polymer * (true[0] - true[-1]))
    assert float(found.loss_kg.sum()) == pytest.approx(found.total_kg)
    assert found.u_kg == pytest.approx(losses.std(axis=0, ddof=1), rel=0.01)
    assert found.u_total_kg == pytest.approx(float(losses.sum(axis=1).std(ddof=1)), rel=0.01)
    assert found.u_total_kg < np.sqrt((found.u_kg**2).sum())
    assert found.covariance_kg2[0, 1] == pytest.approx(np.cov(losses.T)[0, 1], rel=0.03)


def test_a_gain_is_shown_as_it_comes_out() -> None:
    """More pentane after a stage than before is a wrong assay, not a zero."""
    assert pentane.stage_losses(100.0, PerDryPolymer.of([0.02, 0.03])).total_kg == pytest.approx(-1)


def test_beads_give_off_all_they_hold_and_no_more() -> None:
    """From the filling to the end of time; nothing before; parts of an interval add up."""
    ever = pentane.emission(STORE, [-HOUR, 0.0, 1e12])
    fine = pentane.emission(STORE, np.linspace(0.0, 1e6, 101))
    coarse = pentane.emission(STORE, [0.0, 1e6])

    assert ever[:, 0].tolist() == [0, 0]
    assert ever[:, 1].tolist() == pytest.approx([400 * 0.05, 300 * 0.045])
    assert fine.sum(axis=1) == pytest.approx(coarse[:, 0])
    assert (fine >= 0).all()


def test_what_is_given_off_is_what_is_missing_from_the_beads() -> None:
    """Content at two ages, by the other function, differs by the emission between."""
    ages = np.array([3.0, 40.0]) * HOUR
    left = pentane.content_left(PerDryPolymer.of(0.05), ages, 1.5e-3, 2.3e-13).kg_kg
    given_off = pentane.emission(Beads(1.0, PerDryPolymer.of(0.05), 0.0, 1.5e-3, 2.3e-13), ages)

    assert float(left[0] - left[1]) == pytest.approx(float(given_off[0]))


def test_the_series_of_the_emission_is_that_of_every_textbook() -> None:
    """The naive twin: 20 000 terms of the sum, for each edge alone."""
    n = np.arange(1, 20_001)[:, None]
    edges = np.array([0.0, 1.0, 6.0, 24.0, 300.0]) * HOUR
    tau = 2.3e-13 * edges / 1.5e-3**2
    uptake = 1 - 6 / np.pi**2 * (np.exp(-(n**2) * np.pi**2 * tau) / n**2).sum(axis=0)
    uptake[0] = 0.0
    found = pentane.emission(Beads(836.0, PerDryPolymer.of(0.05), 0.0, 1.5e-3, 2.3e-13), edges)

    assert found == pytest.approx(836.0 * 0.05 * np.diff(uptake), rel=1e-9)


def test_drawn_beads_give_off_nothing_more_here() -> None:
    """Half of a silo drawn at an hour is half of it from then on."""
    edges = np.arange(5) * HOUR
    content = PerDryPolymer.of(0.05)
    whole = pentane.emission(Beads(400.0, content, 0.0, 1.5e-3, 2.3e-13), edges)
    parts = pentane.emission(
        Beads([200.0, 200.0], content, 0.0, 1.5e-3, 2.3e-13, [np.inf, 2 * HOUR]), edges
    ).sum(axis=0)

    assert parts[:2] == pytest.approx(whole[:2])
    assert parts[2:] == pytest.approx(whole[2:] / 2)


def test_smaller_and_warmer_beads_give_off_more_at_first() -> None:
    """The first hour grows with diffusivity and shrinks with radius, nearly as their roots."""
    first = {
        (a, d): float(
            pentane.emission(Beads(1.0, PerDryPolymer.of(0.05), 0.0, a, d), [0.0, HOUR])[0]
        )
        for a in (1e-3, 2e-3)
        for d in (1e-13, 4e-13)
    }

    assert first[2e-3, 1e-13] < first[1e-3, 1e-13] < first[1e-3, 4e-13]
    assert first[1e-3, 4e-13] / first[1e-3, 1e-13] == pytest.approx(2, rel=0.06)


def test_a_band_holds_every_diffusivity_within_it() -> None:
    """Also where faster beads give off less, because they have little left."""
    edges = np.array([0.0, 1.0, 10.0, 100.0, 1000.0, 3000.0]) * HOUR
    band = pentane.emission_rate(STORE, edges, 3.0)
    alone = pentane.emission_rate(STORE, edges, 1.0)

    for factor in np.geomspace(1 / 3, 3, 41):
        changed = replace(STORE, diffusivity_m2_s=2.3e-13 * factor)
        rate = pentane.emission(changed, edges).sum(axis=0) / np.diff(edges)
        assert (rate <= band.high * 1.01).all()
        assert (rate >= band.low * 0.99).all()
    assert alone.low.tolist() == pytest.approx(alone.high.tolist())
    assert band.value == pytest.approx(alone.value)


def test_a_panels_lag_grows_with_the_square_of_its_thickness() -> None:
    """And is small against the days that its beads take."""
    lag = pentane.board_lag([0.05, 0.10])

    assert float(lag.value[1] / lag.value[0]) == pytest.approx(4)
    assert (lag.low < lag.value).all()
    assert float(pentane.board_lag(2.625 * 0.0254).high) < 3 * HOUR


@given(st.floats(0, 1e6), st.floats(250, 330), st.floats(6e4, 1.05e5))
def test_concentrations_there_and_back(parts: float, kelvin: float, pressure: float) -> None:
    """By volume to by mass and back."""
    back = pentane.ppm_of(pentane.mg_m3_of(parts, kelvin, pressure), kelvin, pressure)
    assert float(back) == pytest.approx(parts, rel=1e-12)


def test_undiluted_vapour_sinks_and_diluted_does_not() -> None:
    """2.5 times as heavy as air alone; 0.2 % at a tenth of the limit."""
    vapour = float(pentane.vapour_density(293.15, 101_325.0))
    air = 101_325.0 * 0.0289647 / (8.314462618 * 293.15)
    share = 0.1 * WIDER_LIMIT.share

    assert vapour / air == pytest.approx(2.49, abs=0.005)
    assert share * vapour / air + 1 - share == pytest.approx(1.002, abs=0.0003)


def test_dilution_air_holds_the_share_it_is_for() -> None:
    """A room with that air, run for long, comes to the stated share of the limit."""
    task = DilutionTask(3e-4, 293.15, 99_000.0, 0.25, 3.0)
    air = float(pentane.dilution_air(task))
    level = pentane.room_air(Air(100.0, air, 3.0), [3e-4], [0.0, 1e7]).edge_kg_m3[-1]
    density = float(pentane.vapour_density(293.15, 99_000.0))

    assert float(level) == pytest.approx(0.25 * STRICTER_LIMIT.share * density)


def test_the_default_limit_is_the_stricter() -> None:
    """It asks for 15/11 of the air."""
    strict, wide = (
        float(pentane.dilution_air(DilutionTask(1e-4, 293.15, 1e5, limit=it)))
        for it in (STRICTER_LIMIT, WIDER_LIMIT)
    )

    assert strict / wide == pytest.approx(15 / 11)
    assert float(pentane.dilution_air(DilutionTask(1e-4, 293.15, 1e5))) == strict


@given(st.just(0.0) | st.floats(1e-9, 1e9), st.integers(1, 5))
def test_a_need_is_rounded_up(value: float, digits: int) -> None:
    """Never down, and by less than one step of its last digit."""
    shown = float(pentane.rounded_up(value, digits))

    assert shown >= value * (1 - 1e-11)
    assert shown <= value * (1 + 10.0 ** (1 - digits)) + 1e-9


def test_a_rooms_air_keeps_mass() -> None:
    """What comes in less what goes out is what gathers, interval by interval."""
    rng = np.random.default_rng(7)
    edges = np.concatenate([[0.0], rng.uniform(10, 5000, 20).cumsum()])
    rate = rng.uniform(0, 1e-3, 20)
    air = Air(2400.0, 2.5, 2.0, 1e-3)
    found = pentane.room_air(air, rate, edges)
    steps = np.diff(edges)

    gathered = 2400.0 * np.diff(found.edge_kg_m3)
    assert gathered == pytest.approx((rate - 2.5 / 2.0 * found.mean_kg_m3) * steps, abs=1e-12)


def test_a_rooms_air_is_what_a_general_solver_finds() -> None:
    """The same equation, integrated numerically; and one interval in many parts is the same."""
    rate = np.array([3e-4, 0.0, 1e-4])
    edges = np.array([0.0, 1800.0, 5400.0, 9000.0])
    level = 0.0
    for i in range(3):
        solved = solve_ivp(
            lambda _, c, g=rate[i]: (g - 1.25 * c) / 2400.0,
            (edges[i], edges[i + 1]),
            [level],
            rtol=1e-10,
            atol=1e-14,
        )
        level = float(solved.y[0, -1])
    found = pentane.room_air(Air(2400.0, 2.5, 2.0), rate, edges)
    parts = pentane.room_air(
        Air(2400.0, 2.5, 2.0), np.repeat(rate, 10), np.interp(np.arange(31) / 10, range(4), edges)
    )

    assert float(found.edge_kg_m3[-1]) == pytest.approx(level, rel=1e-7)
    assert parts.edge_kg_m3[::10] == pytest.approx(found.edge_kg_m3)


def test_without_air_it_only_gathers() -> None:
    """The limit as the air goes to nothing is the straight line of no air at all."""
    rate = [1e-4, 2e-4]
    still = pentane.room_air(Air(500.0, 0.0), rate, EDGES).edge_kg_m3
    hardly = pentane.room_air(Air(500.0, 1e-9), rate, EDGES).edge_kg_m3

    assert still == pytest.approx(np.array([0, 0.36, 1.08]) / 500)
    assert hardly == pytest.approx(still, rel=1e-7)


def test_rooms_side_by_side() -> None:
    """Many rooms at once are each alone."""
    rates = np.array([[1e-4, 2e-4], [3e-4, 0.0]])
    volumes, flows = np.array([500.0, 900.0]), np.array([0.0, 1.5])
    found = pentane.room_air(Air(volumes, flows), rates, EDGES)

    for i in range(2):
        alone = pentane.room_air(Air(volumes[i], flows[i]), rates[i], EDGES)
        assert found.edge_kg_m3[i] == pytest.approx(alone.edge_kg_m3)
        assert found.mean_kg_m3[i] == pytest.approx(alone.mean_kg_m3)


@pytest.mark.parametrize(
    ("field", "named"),
    [
        ("volume_m3", "volume of the room"),
        ("air_m3_s", "air flow"),
        ("fan_running", "whether the fan runs"),
        ("pressure_pa", "barometer or altitude"),
        ("mixing", "mixing factor"),
        ("share", "share of the lower explosive limit"),
    ],
)
def test_what_is_missing_makes_it_unknown(field: str, named: str) -> None:
    """Each input alone: unknown, its name, no number, no verdict, the caution all the same."""
    gap: dict[str, Any] = {field: None}
    screen = pentane.screen_room(replace(KNOWN, **gap), RATE, EDGES)

    assert screen.unknown
    assert screen.missing == (named,)
    assert (screen.needed_m3_s, screen.limit_share, screen.above) == (None, None, None)
    assert screen.caution == pentane.CAUTION


def test_nothing_known_names_everything() -> None:
    """An empty room, and beads of which nobody knows what they give off."""
    screen = pentane.screen_room(Room(), None, EDGES)
    assert screen.unknown
    assert len(screen.missing) == 6
    assert pentane.screen_room(KNOWN, None, EDGES).missing == ("what is given off",)


def test_a_screen_with_everything_known_says_how_much() -> None:
    """Its shares are those of the room's air, and more emission or less air is worse."""
    screen = pentane.screen_room(KNOWN, RATE, EDGES)
    level = pentane.room_air(Air(2400.0, 2.5, 2.0), RATE.value, EDGES).edge_kg_m3
    density = float(pentane.vapour_density(303.15, 99_000.0))

    assert not screen.unknown
    shown, needed, above = _known(screen)
    greatest = np.maximum(level[1:], level[:-1]) / (density * 0.011)
    assert shown.value == pytest.approx(greatest)
    assert (shown.low <= shown.value).all()
    assert (shown.high >= shown.value).all()
    assert not above.any()
    assert (needed.high == 2 * needed.value).all()

    still, _, gathers = _known(
        pentane.screen_room(replace(KNOWN, fan_running=False, air_m3_s=None), RATE, EDGES)
    )
    assert (still.value > shown.value).all()
    weak, _, exceeds = _known(
        pentane.screen_room(replace(KNOWN, volume_m3=50.0, air_m3_s=0.01), RATE, EDGES)
    )
    assert (weak.value > shown.value).all()
    assert exceeds.all()
    assert gathers.shape == (2,)


def _known(screen: pentane.RoomScreen) -> tuple[Banded, Banded, NDArray[np.bool_]]:
    shown, needed, above = screen.limit_share, screen.needed_m3_s, screen.above
    assert shown is not None
    assert needed is not None
    assert above is not None
    return shown, needed, above


def test_the_caution_says_what_it_must() -> None:
    """No gas test, no permission, what to do at an alarm, who governs."""
    for part in (
        "Calculated, not measured. Not a gas test, not permission to enter or do hot work.",
        "At a detector alarm leave, isolate, follow the site plan.",
        "Local code and licensed practice govern.",
    ):
        assert part in pentane.CAUTION


NAN = float("nan")
DRY = PerDryPolymer.of(0.05)
WET = PerWetBead.of(0.05)
GOOD = DilutionTask(1e-4, 293.15, 1e5)
BAD: list[tuple[Callable[..., Any], tuple[Any, ...], str]] = [
    (PerWetBead.of, (6.0,), "kg_kg is 6.0: must be a number from 0 to 0.25"),
    (PerWetBead.of, ([0.05, NAN],), r"kg_kg\[1\] is nan"),
    (PerDryPolymer.of, (0.05, -0.1), "u_kg_kg is -0.1"),
    (PerDryPolymer.of, ([],), "kg_kg is empty"),
    (pentane.per_dry_polymer, (WET, 0.6), "water_kg_kg is 0.6"),
    (pentane.per_wet_bead, (DRY, [0.0, -0.1]), r"water_kg_kg\[1\] is -0.1"),
    (pentane.wet_basis_shortfall, (WET, DRY), "after is of type PerDryPolymer"),
    (pentane.stage_losses, (0.0, PerDryPolymer.of([0.06, 0.05])), "dry_polymer_kg is 0.0"),
    (pentane.stage_losses, (9.0, PerDryPolymer.of([0.06, 0.05]), -1.0), "u_dry_polymer_kg is -1"),
    (pentane.stage_losses, (9.0, PerDryPolymer.of([0.06])), r"contents is of shape \(1,\)"),
    (pentane.emitted_share, (1.2, 0.5), "captured is 1.2"),
    (pentane.emitted_share, (0.9, [0.9, NAN]), r"destroyed\[1\] is nan"),
    (pentane.per_hundred_raw, (1.0, 0.0), "raw_kg is 0.0"),
    (pentane.per_hundred_raw, ([], 1.0), "emitted_kg is empty"),
    (pentane.vapour_density, (20.0, 1e5), "temperature_k is 20.0"),
    (pentane.vapour_density, (293.15, [1e5, 1.0]), r"pressure_pa\[1\] is 1.0"),
    (pentane.mg_m3_of, (-1.0,), "ppm is -1.0"),
    (pentane.ppm_of, ([1.0, -1.0],), r"concentration_mg_m3\[1\] is -1.0"),
    (pentane.dilution_air, (replace(GOOD, emission_kg_s=-1.0),), "emission_kg_s is -1.0"),
    (pentane.dilution_air, (replace(GOOD, share=0.5),), "share is 0.5"),
    (pentane.dilution_air, (replace(GOOD, share=0.0),), "share is 0.0"),
    (pentane.dilution_air, (replace(GOOD, mixing=[1.0, 0.5]),), r"mixing\[1\] is 0.5"),
    (pentane.dilution_air, (replace(GOOD, limit=LowerLimit(1.1, "")),), "lower_limit is 1.1"),
    (pentane.rounded_up, (NAN,), "value is nan"),
    (pentane.rounded_up, (1.0, 0), "digits is 0"),
    (pentane.emission, (replace(STORE, radius_m=0.0), EDGES), "radius_m is 0.0"),
    (pentane.emission, (replace(STORE, dry_polymer_kg=[1.0, -1.0]), EDGES), r"kg\[1\] is -1.0"),
    (pentane.emission, (replace(STORE, radius_m=[1.0, 2.0, 3.0]), EDGES), "radius_m is of shape"),
    (pentane.emission, (replace(STORE, gone_s=[-1.0, 9e9]), EDGES), r"gone_s\[0\] is -1.0"),
    (pentane.emission, (STORE, [0.0, 2.0, 1.0]), r"edges_s\[2\] is 1.0"),
    (pentane.emission, (STORE, [0.0]), r"edges_s is of shape \(1,\)"),
    (pentane.emission_rate, (STORE, EDGES, 0.5), "factor is 0.5"),
    (pentane.emission_rate, (STORE, [0.0, NAN]), r"edges_s\[1\] is nan"),
    (pentane.content_left, (DRY, -1.0, 1e-3, 1e-13), "age_s is -1.0"),
    (pentane.content_left, (DRY, 1.0, 1e-3, 0.0), "diffusivity_m2_s is 0.0"),
    (pentane.board_lag, (0.0,), "thickness_m is 0.0"),
    (pentane.room_air, (Air(0.0, 1.0), [1e-4], [0.0, 1.0]), "volume_m3 is 0.0"),
    (pentane.room_air, (Air(9.0, -1.0), [1e-4], [0.0, 1.0]), "air_m3_s is -1.0"),
    (pentane.room_air, (Air(9.0, 1.0, 0.9), [1e-4], [0.0, 1.0]), "mixing is 0.9"),
    (pentane.room_air, (Air(9.0, 1.0), [1e-4, NAN], EDGES), r"emission_kg_s\[1\] is nan"),
    (pentane.room_air, (Air(9.0, 1.0), [1e-4], EDGES), r"edges_s is of shape \(3,\)"),
    (pentane.room_air, (Air(9.0, 1.0), [1e-4, 1e-4], [0.0, 2.0, 1.0]), r"edges_s\[2\] is 1.0"),
    (pentane.screen_room, (replace(KNOWN, volume_m3=-1.0), RATE, EDGES), "volume_m3 is -1.0"),
    (pentane.screen_room, (replace(KNOWN, mixing=99.0), RATE, EDGES), "mixing is 99.0"),
]


@pytest.mark.parametrize(("function", "given", "said"), BAD)
def test_bad_input_is_named(
    function: Callable[..., Any], given: tuple[Any, ...], said: str
) -> None:
    """The argument, its first bad value, its place, and the valid range."""
    with pytest.raises(OutOfRange, match=said) as caught:
        function(*given)
    assert "must be" in str(caught.value)


def test_every_function_is_tried_with_bad_input() -> None:
    """None is left out of the list above."""
    functions = {it for it in pentane.__all__ if it[0].islower()}
    assert functions == {function.__name__ for function, *_ in BAD} - {"of"}
