"""A foam's compressive strength: the truth of made curves, whatever the frame did to them."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.lab.compression import Compression, compressed, compression_of
from beadwright.lab.compression_method import METHODS, CompressionTest, compression_departures
from beadwright.lab.loading import Trace, travel_rate, upright
from tests.lab.curves import Foam, foam_curve, plain_reduction

FOAM = Foam()
YIELDING = Foam(rise_pa=-0.3e6)


def figures(result: Compression) -> tuple[float, ...]:
    """What must not move."""
    assert result.strength_pa is not None
    assert result.strain_at_strength is not None
    return result.strength_pa, result.modulus_pa, result.strain_at_strength


@pytest.mark.parametrize(
    ("foam", "at", "strength"),
    [(FOAM, "10 %", FOAM.ten), (YIELDING, "yield", YIELDING.limit_pa)],
)
def test_the_truth_of_a_made_curve_is_found(foam: Foam, at: str, strength: float) -> None:
    """Toe, modulus and strength of a curve that bends into a line and out of it."""
    result = compressed(*foam_curve(foam, slack=0.02))

    assert result.strength_at == at
    assert result.strength_pa == pytest.approx(strength, rel=2e-3)
    assert result.modulus_pa == pytest.approx(foam.modulus_pa, rel=1e-3)
    assert result.toe == pytest.approx(0.024, abs=5e-5)
    assert result.departures == ()


def test_stress_at_10_percent_is_read_from_the_toe_not_from_the_first_row() -> None:
    """Without the correction it would be lower by the slope past the knee times the toe."""
    strain, stress = foam_curve(FOAM, slack=0.02)
    naive = float(np.interp(0.10, strain, stress))

    assert naive < FOAM.ten - 0.02 * FOAM.rise_pa
    assert compressed(strain, stress).strength_pa == pytest.approx(FOAM.ten, rel=1e-3)


@given(
    slack=st.floats(0, 0.15),
    rows=st.integers(400, 4000),
    size=st.floats(1e-3, 1e3),
    sign=st.sampled_from([(1, 1), (1, -1), (-1, 1), (-1, -1)]),
    zero=st.floats(-5, 5),
    falling=st.booleans(),
)
def test_neither_units_signs_rows_nor_slack_move_the_answer(  # noqa: PLR0913, PLR0917 - drawn
    slack: float, rows: int, size: float, sign: tuple[int, int], zero: float, falling: bool
) -> None:
    """The same foam, told otherwise."""
    foam = YIELDING if falling else FOAM
    strain, stress = foam_curve(foam, slack=slack, rows=rows)
    plain = compressed(*foam_curve(foam))

    told = compressed(sign[0] * strain + zero, sign[1] * stress * size)

    strength, modulus, at = figures(told)
    assert (strength / size, modulus / size) == pytest.approx(figures(plain)[:2], rel=6e-3)
    assert at == pytest.approx(figures(plain)[2], abs=5e-4)
    assert told.strength_at == plain.strength_at


@given(scale=st.floats(0.1, 10), area=st.floats(1e-4, 1), height=st.floats(1e-3, 1))
def test_force_and_travel_come_to_the_same(scale: float, area: float, height: float) -> None:
    """Stress is force over area, strain travel over height."""
    strain, stress = foam_curve(FOAM, slack=0.01)
    trace = Trace(
        -stress * area, 3.0 - strain * height, scale * np.arange(strain.size, dtype=np.float64)
    )

    result = compression_of(trace, area_m2=area, height_m=height)

    assert figures(result) == pytest.approx(figures(compressed(strain, stress)), rel=1e-6)


def test_what_follows_the_test_does_not_count() -> None:
    """The frame drives back, the force falls; or the foam densifies to ten times its strength."""
    strain, stress = foam_curve(FOAM)
    back = compressed(np.r_[strain, strain[::-4]], np.r_[stress, 0 * stress[::-4]])
    more = np.linspace(strain[-1], 0.7, 400)[1:]
    dense = compressed(
        np.r_[strain, more], np.r_[stress, stress[-1] * np.exp(4 * (more - strain[-1]))]
    )

    assert figures(back) == pytest.approx(figures(compressed(strain, stress)), rel=1e-6)
    assert figures(dense) == pytest.approx(figures(compressed(strain, stress)), rel=1e-6)


def test_noise_moves_the_strength_little_and_is_told() -> None:
    """A scatter of 0.3 % of the strength costs no yield that is not there; 4 % is told."""
    rng = np.random.default_rng(6)
    strain, stress = foam_curve(FOAM, slack=0.01)
    quiet = compressed(strain, stress + rng.normal(0, 0.003 * FOAM.ten, strain.size))
    loud = compressed(strain, stress + rng.normal(0, 0.06 * FOAM.ten, strain.size))

    assert quiet.strength_at == "10 %"
    assert quiet.strength_pa == pytest.approx(FOAM.ten, rel=0.01)
    off = abs(quiet.modulus_pa - FOAM.modulus_pa)
    assert off < 3 * quiet.u_modulus_pa < 0.04 * FOAM.modulus_pa
    assert quiet.departures == ()
    assert "scatter" in [one.code for one in loud.departures]


def test_a_record_that_ends_before_10_percent_has_no_strength() -> None:
    """It is told, with how far it went; the modulus is there."""
    result = compressed(*foam_curve(FOAM, end=0.07))

    assert (result.strength_pa, result.strength_at, result.ten_percent) == (None, "neither", None)
    assert result.modulus_pa == pytest.approx(FOAM.modulus_pa, rel=1e-3)
    (told,) = result.departures
    assert told.code == "ended_early"
    assert told.value == "7.00 % strain"


@pytest.mark.parametrize("end", [0.05, 0.08])
@pytest.mark.parametrize("stands", [0, 3])
def test_a_specimen_that_breaks_as_the_frame_turns_has_its_highest_stress(
    end: float, stands: int
) -> None:
    """The fall lies in rows of the way back, so no yield shows; it is told as a break."""
    strain, stress = foam_curve(FOAM, end=end)
    away = np.r_[np.full(stands, strain[-1]), strain[-1] - np.linspace(2e-4, 0.02, 40)]
    gone = np.r_[np.full(stands, stress[-1]), stress[-1] * np.geomspace(0.4, 1e-3, 40)]
    result = compressed(np.r_[strain, away], np.r_[stress, gone])

    assert result.strength_at == "break"
    assert result.strength_pa == stress[-1]
    assert result.strain_at_strength == pytest.approx(end, abs=1e-4)
    (told,) = result.departures
    assert (told.code, told.value) == ("broke", f"{end * 100:.2f} % strain")


@given(steep=st.floats(0.5, 2.5), end=st.floats(0.03, 0.09))
def test_a_frame_that_only_draws_back_breaks_nothing(steep: float, end: float) -> None:
    """Foam unloads along its modulus, or somewhat steeper: no break, and so no strength."""
    strain, stress = foam_curve(FOAM, end=end)
    away = np.linspace(0, 0.03, 200)[1:]
    less = np.maximum(stress[-1] - steep * FOAM.modulus_pa * away, 0.0)
    result = compressed(np.r_[strain, strain[-1] - away], np.r_[stress, less])

    assert (result.strength_pa, result.strength_at) == (None, "neither")
    assert [one.code for one in result.departures] == ["ended_early"]


def test_a_break_is_found_in_force_and_travel_too() -> None:
    """The way back is not cut off before it is looked at."""
    strain, stress = foam_curve(FOAM, end=0.06)
    trace = Trace(
        -np.r_[stress, 0.1 * stress[-1], 0.0] * 0.01,
        -np.r_[strain, strain[-1] - 1e-4, strain[-1] - 1e-3] * 0.05,
    )

    assert compression_of(trace, area_m2=0.01, height_m=0.05).strength_at == "break"


def test_a_highest_force_on_the_way_back_is_told() -> None:
    """Travel and force then do not belong together row by row."""
    strain, stress = foam_curve(FOAM)
    late = np.roll(stress, 30)
    late[:30] = 0.0
    result = compressed(
        np.r_[strain, strain[-1] - 1e-4 * np.arange(1, 31)], np.r_[late, stress[-30:]]
    )

    assert "highest_driving_back" in [one.code for one in result.departures]


def test_strains_of_points_count_from_the_first_row() -> None:
    """Where the frame's own zero lies is left out; the toe is not."""
    strain, stress = foam_curve(FOAM, slack=0.02)
    plain, moved = (compressed(strain + zero, stress) for zero in (0.0, -3.0))

    assert moved.strain[0] == 0.0
    assert moved.toe == pytest.approx(plain.toe)
    assert plain.ten_percent is not None
    assert plain.ten_percent.strain == pytest.approx(plain.toe + 0.10)


def test_a_second_loading_a_start_under_load_and_a_rise_past_yield_are_told() -> None:
    """Each is in the record itself; none is hidden, and none changes a number."""
    strain, stress = foam_curve(FOAM)
    half = strain.size // 2
    twice = compressed(
        np.r_[strain[:half], strain[half - 50 : half], strain[half:]],
        np.r_[stress[:half], stress[half - 50 : half] * 0.5, stress[half:]],
    )
    loaded = compressed(strain[60:], stress[60:] + 20e3)
    s = np.interp(strain, [0, 0.02, 0.04, 0.13], [0, 100e3, 90e3, 160e3])
    past = compressed(strain, s)

    assert "travel_back" in [one.code for one in twice.departures]
    assert "begins_loaded" in [one.code for one in loaded.departures]
    assert [one.code for one in past.departures] == ["rises_past_yield"]
    assert past.strength_pa == pytest.approx(100e3, rel=0.01)
    assert past.highest.stress_pa == pytest.approx(136.7e3, rel=0.01)


@pytest.mark.parametrize(
    ("strain", "stress", "argument"),
    [
        ([0.0] * 20, list(range(20)), "trace"),
        (list(range(5)), list(range(5)), "force_n"),
        ([0.01 * n for n in range(20)], [float("nan"), *range(19)], "force_n"),
        ([1.0 * n for n in range(20)], list(range(20)), "strain"),
        ([0.01 * n for n in range(20)], list(range(19)), "travel_m"),
    ],
)
def test_a_curve_that_cannot_be_one_is_refused(
    strain: list[float], stress: list[float], argument: str
) -> None:
    """The error names what is wrong."""
    with pytest.raises(OutOfRange) as caught:
        compressed(strain, stress)

    assert caught.value.argument == argument


@given(
    slack=st.floats(0, 0.03), bend=st.floats(0.001, 0.006), rise=st.floats(-1e6, 1e6),
    rows=st.integers(150, 500),
)  # fmt: skip
def test_the_plain_sums_agree(slack: float, bend: float, rise: float, rows: int) -> None:
    """An independent reduction by polyfit, row by row, gives the same within 1 %."""
    strain, stress = foam_curve(Foam(rise_pa=rise), slack=slack, bend=bend, rows=rows)
    modulus, toe, ten, peak = plain_reduction(strain, stress)

    result = compressed(strain, stress)

    assert result.modulus_pa == pytest.approx(modulus, rel=0.01)
    assert result.toe == pytest.approx(toe, abs=1e-4)
    assert result.ten_percent is not None
    assert result.ten_percent.stress_pa == pytest.approx(ten, rel=0.01)
    if peak is not None:
        assert result.strength_pa == pytest.approx(peak, rel=0.01)


def test_the_rate_is_found_in_the_trace() -> None:
    """2.5 mm a minute, with a slow start and a fast way back."""
    time = np.arange(0, 120, 0.1)
    travel = np.interp(time, [0, 5, 120], [0, 0.1e-3, 4.9e-3])
    found = travel_rate(upright(Trace(travel * 1e5, travel, time)))

    assert found == pytest.approx(4.8e-3 / 115, rel=1e-6)
    assert travel_rate(Trace(travel, travel)) is None


AS_ASKED = CompressionTest(
    height_m=0.0254, length_m=0.1016, width_m=0.1016, rate_m_s=2.5e-3 / 60,
    conditioned_s=40 * 3600, temperature_k=296.15, humidity=0.50, specimens=5,
)  # fmt: skip


def test_a_test_as_the_method_asks_has_no_departure() -> None:
    """So what is found below is the plant."""
    assert compression_departures(METHODS["ASTM D1621"], AS_ASKED) == ()
    euro = dataclasses.replace(AS_ASKED, height_m=0.05, rate_m_s=5e-3 / 60)
    assert compression_departures(METHODS["EN 826"], euro) == ()


@pytest.mark.parametrize(
    ("change", "codes"),
    [
        ({"rate_m_s": 2.76e-3 / 60}, ["rate"]),
        ({"rate_m_s": 2.74e-3 / 60}, []),
        ({"rate_m_s": None}, ["rate_not_recorded"]),
        ({"conditioned_s": 39 * 3600}, ["conditioned"]),
        ({"conditioned_s": None, "humidity": None},
         ["conditioned_not_recorded", "humidity_not_recorded"]),
        ({"temperature_k": 299.0}, ["temperature"]),
        ({"humidity": 0.6}, ["humidity"]),
        ({"specimens": 4}, ["specimens"]),
        ({"length_m": 0.05, "width_m": 0.05}, ["area"]),
        ({"height_m": 0.0200, "rate_m_s": 2e-3 / 60}, ["height"]),
        ({"height_m": 0.12, "rate_m_s": 11.8e-3 / 60}, ["slender"]),
    ],
)  # fmt: skip
def test_each_departure_is_told(change: dict[str, float | None], codes: list[str]) -> None:
    """With what was and what is asked, and where it is asked."""
    test = dataclasses.replace(AS_ASKED, **change)  # type: ignore[arg-type]
    found = compression_departures(METHODS["ASTM D1621"], test)

    assert [one.code for one in found] == codes
    for one in found:
        assert one.asked
        assert "ASTM D1621-16" in str(one)
