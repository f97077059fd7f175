"""A strip's flexural strength: the truth of made curves, whatever the frame did to them."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.lab.beam import Beam, Loading, bending_force, loading_rate
from beadwright.lab.flexure import Flexure, flexure_of
from beadwright.lab.flexure_method import METHODS, FlexureTest, flexure_departures
from beadwright.lab.loading import Trace
from beadwright.lab.methods import METHODS as ASKED
from tests.lab.curves import Foam, Row, foam_curve

STRIP = Beam(span_m=0.254, width_m=0.1016, depth_m=0.0254)
FOAM = Foam(modulus_pa=10e6, limit_pa=180e3, rise_pa=4e6)
BREAK = 0.035
AT_BREAK = float(FOAM.stress(np.array([BREAK]))[0])
AT_FIVE = float(FOAM.stress(np.array([0.05]))[0])


def recorded(strain: Row, stress: Row, beam: Beam = STRIP) -> Trace:
    """Force and deflection of a strip with these strains and stresses."""
    return Trace(bending_force(stress, beam), strain / beam.strain_per_deflection)


def broken(slack: float = 0.004, rows: int = 600, foam: Foam = FOAM) -> tuple[Row, Row]:
    """A strip that breaks at 3.5 % strain, and a frame that goes on to 6."""
    strain, stress = foam_curve(foam, rows=rows, end=0.06, slack=slack, bend=0.002)
    true = strain - slack - 0.002
    return strain, np.where(true > BREAK, 0.02 * stress, stress)


def codes(result: Flexure) -> list[str]:
    """What is told."""
    return [one.code for one in result.departures]


def test_a_break_is_found_with_its_stress_strain_and_modulus() -> None:
    """A strip that breaks before 5 % has its highest stress as strength."""
    result = flexure_of(recorded(*broken()), STRIP)

    assert result.strength_at == "break"
    assert result.strength_pa == pytest.approx(AT_BREAK, rel=2e-3)
    assert result.strain_at_strength == pytest.approx(BREAK, abs=2e-4)
    assert result.modulus_pa == pytest.approx(10e6, rel=2e-3)
    assert result.toe == pytest.approx(0.006, abs=5e-5)
    assert result.departures == ()


def test_a_strip_that_does_not_break_has_its_stress_at_5_percent_from_the_toe() -> None:
    """And it is told that the method asks for another, bent faster."""
    strain, stress = foam_curve(FOAM, end=0.08, slack=0.01, bend=0.002)
    result = flexure_of(recorded(strain, stress), STRIP)

    assert (result.strength_at, codes(result)) == ("5 %", ["not_broken"])
    assert result.strength_pa == pytest.approx(AT_FIVE, rel=2e-3)
    assert float(np.interp(0.05, strain, stress)) < 0.98 * AT_FIVE


def test_a_strip_that_softens_has_its_highest_stress() -> None:
    """It fell off, and not at once."""
    soft = dataclasses.replace(FOAM, rise_pa=-2e6)
    result = flexure_of(recorded(*foam_curve(soft, end=0.08, bend=0.002)), STRIP)

    assert (result.strength_at, codes(result)) == ("highest", [])
    assert result.strength_pa == pytest.approx(180e3, rel=5e-3)


def test_a_break_past_5_percent_is_no_break() -> None:
    """The strength is the stress at 5 % then."""
    strain, stress = foam_curve(FOAM, end=0.08, bend=0.002)
    result = flexure_of(recorded(strain, np.where(strain > 0.065, 0.0, stress)), STRIP)

    assert result.strength_at == "5 %"
    assert result.strength_pa == pytest.approx(AT_FIVE, rel=2e-3)


@pytest.mark.parametrize("gone", [True, False])
def test_a_record_that_ends_before_says_so_unless_the_strip_broke_as_the_frame_turned(
    gone: bool,
) -> None:
    """The fall may lie in the rows of the way back."""
    strain, stress = foam_curve(FOAM, end=BREAK, bend=0.002)
    back = strain[-1] - np.linspace(1e-4, 0.02, 50)
    less = 0.1 * stress[-1] * np.ones(50) if gone else stress[-1] - 1.5 * 10e6 * (strain[-1] - back)
    result = flexure_of(recorded(np.r_[strain, back], np.r_[stress, np.maximum(less, 0)]), STRIP)

    assert result.strength_at == ("break" if gone else "neither")
    assert result.strength_pa == (pytest.approx(AT_BREAK, rel=2e-3) if gone else None)
    assert codes(result) == ([] if gone else ["ended_early"])


@given(
    slack=st.floats(0, 0.05),
    rows=st.integers(500, 3000),
    size=st.floats(1e-3, 1e3),
    sign=st.sampled_from([(1, 1), (1, -1), (-1, 1), (-1, -1)]),
    zero=st.floats(-0.5, 0.5),
    loading=st.sampled_from(list(Loading)),
)
def test_neither_units_signs_rows_slack_nor_loading_move_the_answer(  # noqa: PLR0913, PLR0917
    slack: float, rows: int, size: float, sign: tuple[int, int], zero: float, loading: Loading
) -> None:
    """The same foam, told otherwise."""
    beam = dataclasses.replace(STRIP, loading=loading)
    trace = recorded(*broken(slack, rows), beam)
    told = Trace(sign[1] * trace.force_n * size, sign[0] * trace.travel_m + zero)
    result = flexure_of(told, beam)

    assert result.strength_at == "break"
    assert result.strength_pa is not None
    assert result.strength_pa / size == pytest.approx(AT_BREAK, rel=6e-3)
    assert result.modulus_pa / size == pytest.approx(10e6, rel=6e-3)
    assert result.strain_at_strength == pytest.approx(BREAK, abs=6e-4)


@given(seed=st.integers(0, 10_000))
def test_noise_moves_the_strength_little(seed: int) -> None:
    """A scatter of 0.3 % of the strength."""
    strain, stress = broken()
    rng = np.random.default_rng(seed)
    result = flexure_of(recorded(strain, stress + rng.normal(0, 0.003 * AT_BREAK, 600)), STRIP)

    assert result.strength_at == "break"
    assert result.strength_pa == pytest.approx(AT_BREAK, rel=0.015)
    assert abs(result.modulus_pa - 10e6) < 5 * result.u_modulus_pa


def test_a_strip_that_sags_far_has_both_stresses() -> None:
    """A thin strip on a long span: the plain stress stays the result, the other stands beside."""
    thin = Beam(span_m=0.254, width_m=0.1, depth_m=0.0125)
    result = flexure_of(recorded(*broken(), thin), thin)
    sag = BREAK / thin.strain_per_deflection / 0.254

    assert sag > 0.11
    assert result.strength_pa == pytest.approx(AT_BREAK, rel=2e-3)
    assert result.corrected_pa == pytest.approx(
        AT_BREAK * (1 + 6 * sag**2 - 3 * sag * 0.0125 / 0.254), rel=5e-3
    )
    assert codes(result) == ["large_deflection"]
    assert result.corrected_pa is not None
    assert f"corrected {result.corrected_pa / 1e3:.4g} kPa" in result.departures[0].value


AS_ASKED = FlexureTest(
    STRIP, length_m=0.3048, rate_m_s=loading_rate(0.1 / 60, STRIP), conditioned_s=40 * 3600,
    temperature_k=296.15, humidity=0.50, specimens=3,
)  # fmt: skip


def test_a_test_as_the_method_asks_has_no_departure() -> None:
    """So what is found below is the plant."""
    assert flexure_departures(METHODS["ASTM C203 I-B"], AS_ASKED) == ()
    euro = FlexureTest(
        Beam(0.25, 0.15, 0.05), length_m=0.30, rate_m_s=10e-3 / 60, conditioned_s=6 * 3600,
        temperature_k=294.15,
    )  # fmt: skip
    assert flexure_departures(METHODS["EN 12089 B"], euro) == ()


@pytest.mark.parametrize(
    ("method", "change", "expected"),
    [
        ("ASTM C203 I-B", {"rate_m_s": 4e-3 / 60}, ["rate"]),
        ("ASTM C203 I-A", {}, ["rate"]),
        ("ASTM C203 I-D", {}, []),
        ("ASTM C203 I-D", {"rate_m_s": None}, ["rate_not_recorded"]),
        ("ASTM C203 II-B", {}, ["loading"]),
        ("ASTM C203 I-B", {"beam": Beam(0.20, 0.1016, 0.0254)}, ["span", "rate"]),
        ("ASTM C203 I-B", {"beam": Beam(0.254, 0.0762, 0.0254)}, ["width"]),
        ("ASTM C203 I-B", {"length_m": 0.28, "conditioned_s": None}, ["length",
         "conditioned_not_recorded"]),
        ("ASTM C203 I-B", {"humidity": 0.7, "specimens": 2}, ["humidity", "specimens"]),
        ("EN 12089 B", {}, ["span", "rate", "width"]),
        ("EN 12089 B", {"beam": Beam(0.25, 0.15, 0.05), "length_m": 0.29, "rate_m_s": None},
         ["length", "rate_not_recorded"]),
    ],
)  # fmt: skip
def test_each_departure_is_told(
    method: str, change: dict[str, object], expected: list[str]
) -> None:
    """With what was and what is asked, and where it is asked."""
    test = dataclasses.replace(AS_ASKED, **change)  # type: ignore[arg-type]
    found = flexure_departures(METHODS[method], test)

    assert [one.code for one in found] == expected
    assert all(one.asked and one.source for one in found)


@pytest.mark.parametrize(
    ("characteristic", "method", "hours"),
    [("flexural_strength", "ASTM C203", 40), ("bending_strength", "EN 12089", 6)],
)
def test_a_reading_of_bending_is_asked_what_its_method_asks(
    characteristic: str, method: str, hours: int
) -> None:
    """Without span, width and rate, which a reading does not state."""
    row = ASKED[characteristic]
    asked = {one.name: one.asked for one in row.conditions}

    assert row.name == method
    assert asked["conditioned"] == f"{hours} h or more"
    assert not {"width", "length", "span", "rate"} & set(asked)
