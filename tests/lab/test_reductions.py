"""Results worked out from what is read on a bench, with how sure they are and what departs."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from scipy.stats import binomtest

from beadwright.errors import OutOfRange
from beadwright.lab.reductions import REDUCTIONS, reduce

Read = dict[str, float | Sequence[float] | str]

BOARD: dict[str, float] = {
    "before": 0.0510,
    "after": 0.0982,
    "length": 0.3048,
    "width": 0.3048,
    "thick": 0.0254,
}
SIZES = {"length": 0.100, "width": 0.100, "thick": 0.025}


def test_a_share_of_beads_has_the_exact_binomial_interval() -> None:
    """As scipy's binomtest has it; the standard uncertainty is its width over twice 1.96."""
    found = reduce("fusion", {"faces": "42/50, 40 of 50; 44/51"})
    exact = binomtest(126, 151).proportion_ci(method="exact")

    assert found.value == 126 / 151
    assert (found.low, found.high) == pytest.approx((exact.low, exact.high), abs=1e-9)
    assert found.u == pytest.approx((exact.high - exact.low) / (2 * 1.959964), rel=1e-9)
    assert found.beside == "126 of 151 beads on 3 faces"
    assert found.departures == ()


def test_few_beads_and_faces_that_differ_are_told() -> None:
    """Each as a departure of the result."""
    codes = [one.code for one in reduce("fusion", {"faces": "19/20, 5/20"}).departures]

    assert codes == ["few_beads", "fields_differ"]


@pytest.mark.parametrize("text", ["", "42", "42/50 38/45", "42/", "51/50", "a/b", "4.2/5"])
def test_what_is_no_count_of_a_face_is_refused(text: str) -> None:
    """Also more beads broken than there are."""
    with pytest.raises(OutOfRange):
        reduce("fusion", {"faces": text})


def test_a_density_carries_what_it_was_measured_with() -> None:
    """Sizes of one rule go together: 0.1 mm of 100, 100 and 25 mm are 0.6 %, by hand.

    JCGM 100:2008, 5.2.2 [from memory]: of a product the shares add where inputs are one error.
    """
    mass = {"mass": 0.00575, "u_mass": 0.00001}
    found = reduce("density", {**SIZES, **mass, "u_length": 0.0001})
    share = math.hypot(0.00001 / 0.00575, 0.0001 * (10 + 10 + 40))

    assert found.value == pytest.approx(23.0)
    assert found.u == pytest.approx(23.0 * share, rel=1e-4)  # to first order
    assert found.low == pytest.approx(23.0 - 2 * 23.0 * share, rel=1e-4)


def test_an_uncertainty_with_a_part_unknown_is_none_and_says_so() -> None:
    """A balance without a rule; and no word where nobody stated any."""
    found = reduce("density", {**SIZES, "mass": 0.00575, "u_mass": 0.00001})
    bare = reduce("density", {**SIZES, "mass": 0.00575})

    assert (found.u, bare.u, bare.beside) == (None, None, "")
    assert found.beside.startswith("no uncertainty, for one is not stated: rule or calliper")
    with pytest.raises(OutOfRange, match="above 0"):
        reduce("density", {**SIZES, "mass": 0.00575, "u_mass": 0.0, "u_length": 0.0001})


def test_a_change_of_size_takes_the_mean_of_several_places() -> None:
    """0.9 mm of 100 mm; each reading by itself: u² = 2 u₁² / n of the mean of n, by hand."""
    after: Read = {"length_after": (0.0990, 0.0992, 0.0991), "width_after": 0.1004,
             "thick_after": 0.0251}  # fmt: skip
    before: Read = {**SIZES, "length": (0.0999, 0.1001, 0.1000)}
    found = reduce("dimensional_stability", {**before, **after, "u_length": 0.0001})

    assert found.value == pytest.approx(-0.009)
    assert found.beside == "length -0.90 %, width +0.40 %, thickness +0.40 %"
    assert found.u == pytest.approx(0.0001 * math.sqrt((1 + 0.991**2) / 3) / 0.1, rel=1e-4)
    with pytest.raises(OutOfRange, match="as many numbers"):
        reduce("dimensional_stability", {**SIZES, **after})


def test_a_specimen_of_another_size_is_told() -> None:
    """12 by 12 by 1 in is as asked; 100 mm square is not, and the figure stays."""
    small = {**BOARD, "length": 0.1, "width": 0.1}

    assert reduce("water_absorption", BOARD).departures == ()
    assert [one.code for one in reduce("water_absorption", small).departures] == ["specimen_size"]
    assert reduce("water_absorption_28d", small).departures == ()


def test_water_that_clings_is_taken_off_by_a_dip() -> None:
    """The other way of 28 days: 2 g clung, of a litre; the ways do not mix."""
    sizes = {"length_dip": 0.2, "width_dip": 0.2, "thick_dip": 0.025}
    found = reduce("water_absorption_28d", {"dipped": 0.024, "soaked": 0.044, **sizes})

    assert found.value == pytest.approx(0.020)
    with pytest.raises(OutOfRange, match="missing"):
        reduce("water_absorption_28d", {"dipped": 0.024, "after": 0.044, **sizes})


def test_each_shape_is_worked_out_both_ways() -> None:
    """A gap, or diagonals and heights: the same board, the same figure, by hand."""
    edge, other = 1.2192, 0.4064
    first, second = (math.sqrt(edge**2 + other**2 + sign * 2 * edge * other * 0.003)
                     for sign in (1, -1))  # fmt: skip
    diagonals = {"first": first, "second": second, "edge": edge, "other_edge": other}
    assert reduce("squareness", {"gap": 0.0015, "leg": 0.5}).value == pytest.approx(0.003)
    assert reduce("squareness", diagonals).value == pytest.approx(0.003)

    heights: Read = {"heights": (0.010, 0.0115, 0.010), "along": 0.5}
    assert reduce("edge_trueness", {"gap": 0.0015, "leg": 0.5}).value == pytest.approx(0.003)
    assert reduce("edge_trueness", heights).value == pytest.approx(0.003)


def test_a_hollow_board_stands_off_the_table() -> None:
    """By 1.5 mm; one lower than its own thickness was misread."""
    tops = (0.0502, 0.0515, 0.0509)
    assert reduce("flatness", {"tops": tops, "board": 0.050}).value == pytest.approx(0.0015)
    with pytest.raises(OutOfRange, match="at least the thickness"):
        reduce("flatness", {"tops": (0.049,), "board": 0.050})


def test_a_pull_is_net_of_the_grip_and_says_its_rate() -> None:
    """2.54 mm/min within a quarter, by ASTM D1761 [from memory]: 3.2 is too fast, 3.1 is not."""
    pull = {"peak": 1450.0, "rest": 12.0}
    slow = {**pull, "travel": 0.0062, "lasted": 120.0}
    fast = {**pull, "travel": 0.0064, "lasted": 120.0}

    assert reduce("fastener_pull", slow).value == 1438.0
    assert reduce("fastener_pull", slow).departures == ()
    assert [one.code for one in reduce("fastener_pull", fast).departures] == ["rate"]
    assert [one.code for one in reduce("fastener_pull", pull).departures] == ["rate_not_recorded"]
    assert reduce("tie_pull", {"peak": 900.0}).value == 900.0
    for wrong in ({"peak": 10.0, "rest": 12.0}, {"peak": 10.0, "rest": -1.0}):
        with pytest.raises(OutOfRange):
            reduce("tie_pull", wrong)
    assert reduce("tie_pull", {**pull, "u_force": 5.0}).u == pytest.approx(5 * math.sqrt(2))


def test_tension_is_force_over_the_bonded_area() -> None:
    """250 N on 50 by 50 mm: 100 kPa."""
    pull = {"peak": 250.0, "length": 0.05, "width": 0.05}
    assert reduce("tension_across_faces", pull).value == pytest.approx(100e3)


def test_no_two_ways_share_a_figure() -> None:
    """What is keyed must say which way is meant."""
    for ways in REDUCTIONS.values():
        names = [one.name for way in ways for one in way.asked]
        assert len(names) == len(set(names))


PSI, LBF, INCH = 6894.757, 4.448222, 0.0254


def test_a_strip_is_bent_as_beam_theory_says() -> None:
    """A strip of 3 by 1 in on 10 in that carries 7 lbf at its centre bears 35 psi.

    Common practice, no source: such a strip must carry 7 lb; and by beam theory 3PL/2bd² [from
    memory]. Loaded at the quarter points the same force makes half of it: 3PL/4bd².
    """
    strip = {"span": 10 * INCH, "width": 3 * INCH, "thick": INCH, "load": 7 * LBF}
    quarters = {f"{name}_quarters": value for name, value in strip.items()}

    assert reduce("flexural_strength", strip).value == pytest.approx(35 * PSI, rel=1e-6)
    assert reduce("flexural_strength", quarters).value == pytest.approx(17.5 * PSI, rel=1e-6)
    assert reduce("bending_strength", strip).value == pytest.approx(35 * PSI, rel=1e-6)


def test_the_uncertainty_of_a_bent_strip_is_of_force_and_of_one_rule() -> None:
    """To first order, by hand: sizes of one rule are off together, depth counts twice.

    JCGM 100:2008, 5.1.6 and 5.2.2 [from memory].
    """
    u_rule, u_cell = 0.0002, 0.1
    strip = {"span": 0.254, "width": 0.1016, "thick": 0.0254, "load": 41.5}
    found = reduce("flexural_strength", {**strip, "u_force": u_cell, "u_length": u_rule})
    sizes = u_rule / 0.254 - u_rule / 0.1016 - 2 * u_rule / 0.0254

    assert found.u is not None
    share = ((u_cell / 41.5) ** 2 + sizes**2) ** 0.5
    assert found.u / found.value == pytest.approx(share, rel=2e-3)  # higher terms: depth squared


@pytest.mark.parametrize(
    ("characteristic", "figures", "codes"),
    [
        # ASTM D1621-16: 25.8 to 232 cm², 2.5 ± 0.25 mm/min for each 25.4 mm of height.
        ("compressive_resistance", {"length": 0.1, "width": 0.1, "thick": 0.0508, "travel": 0.005,
                                    "lasted": 60.0}, []),
        ("compressive_resistance", {"length": 0.1, "width": 0.1, "thick": 0.0508, "travel": 0.005,
                                    "lasted": 30.0}, ["rate"]),
        ("compressive_resistance", {"length": 0.05, "width": 0.05, "thick": 0.0508, "travel": 0.005,
                                    "lasted": 60.0}, ["area", "slender"]),
        # EN 826:1996: squares of 50 mm and more, a tenth of the thickness a minute.
        ("compressive_stress_10", {"length": 0.05, "width": 0.05, "thick": 0.05, "travel": 0.005,
                                   "lasted": 60.0}, []),
        # ASTM C203-05a, I-B: a strain of 0.1 a minute is 0.1 L²/(6 d) of the head: 42.3 mm/min.
        ("flexural_strength", {"span": 0.254, "width": 0.1016, "thick": 0.0254, "strip": 0.3048,
                               "travel": 0.01, "lasted": 0.01 / (0.0423333 / 60)}, []),
        ("flexural_strength", {"span": 0.2, "width": 0.08, "thick": 0.0254, "strip": 0.3048,
                               "travel": 0.01, "lasted": 60.0}, ["span", "rate", "width"]),
        # EN 12089, method B: five thicknesses, 150 mm wide, 10 mm a minute.
        ("bending_strength", {"span": 0.25, "width": 0.15, "thick": 0.05, "strip": 0.3,
                              "travel": 0.01, "lasted": 60.0}, []),
    ],
)  # fmt: skip
def test_specimen_and_rate_are_held_against_the_method(
    characteristic: str, figures: dict[str, float], codes: list[str]
) -> None:
    """Each as its method asks, and otherwise; sources stand with the rows of the methods."""
    found = reduce(characteristic, {"load": 500.0, **figures})

    assert [one.code for one in found.departures] == codes


@pytest.mark.parametrize(
    ("minutes", "codes"), [(1.0, []), (2.0, ["rate"]), (0, ["rate_not_recorded"])]
)
def test_tension_is_held_against_its_rate(minutes: float, codes: list[str]) -> None:
    """EN 1607: 10 ± 1 mm a minute [from memory]; 50 mm square and 375 N are 150 kPa."""
    rate = {"travel": 0.010, "lasted": 60 * minutes} if minutes else {}
    found = reduce("tension_across_faces", {"peak": 375.0, "length": 0.05, "width": 0.05, **rate})

    assert found.value == pytest.approx(150e3)
    assert [one.code for one in found.departures] == codes


def test_a_hot_plate_and_a_flow_meter_give_the_same_board() -> None:
    """A board of 0.036 W/(m·K), 25.4 mm, 35 °C on 13 °C: q = λ ΔT / d, by Fourier's law.

    ISO 8302:1991: with one specimen each side, the heat flows both ways [from memory].
    """
    plates = {"hot": 308.15, "cold": 286.15, "thick": 0.0254}
    flux = 0.036 * 22 / 0.0254
    both = {f"{name}_plate": value for name, value in plates.items()}
    meter = {"signal": 0.002, "factor": flux / 0.002, **plates}
    two = {"heat_plate": 2 * flux * 0.09, "area_plate": 0.09, "other_plate": 0.0254, **both}
    one = {"heat_plate": flux * 0.09, "area_plate": 0.09, **both}

    for figures in (meter, two, one):
        found = reduce("thermal_conductivity", figures)
        assert found.value == pytest.approx(0.036, rel=1e-9)
        assert found.conditions["mean_temperature"] == pytest.approx(297.15)
        assert found.conditions["temperature_difference"] == pytest.approx(22)
        resistance = reduce("thermal_resistance", figures)
        assert resistance.value == pytest.approx(0.0254 / 0.036, rel=1e-9)


def test_the_uncertainty_of_heat_is_told_where_every_part_is() -> None:
    """To first order by hand: factor 1.5 %, thickness 0.05 mm, each face 0.1 K.

    JCGM 100:2008, 5.1.6 [from memory]: shares of a product and a quotient add in squares.
    """
    figures = {"signal": 0.002, "factor": 15590.0, "hot": 308.15, "cold": 286.15, "thick": 0.0254}
    worth = {"u_temperature": 0.1, "u_length": 5e-5, "u_heat": 0.015}
    found = reduce("thermal_conductivity", {**figures, **worth})
    share = (0.015**2 + (5e-5 / 0.0254) ** 2 + 2 * (0.1 / 22) ** 2) ** 0.5

    assert found.u is not None
    # Second-order terms of a quotient are left out by hand: (0.02)^2 of u at most.
    assert found.u / found.value == pytest.approx(share, rel=4e-4)
    assert reduce("thermal_conductivity", figures).u is None
    part = reduce("thermal_conductivity", {**figures, "u_heat": 0.015})
    assert part.u is None
    assert "a part of it is not stated" in part.beside


def test_a_result_between_two_mean_temperatures_is_read_off_their_line() -> None:
    """By hand: 0.0330 at 0 °C and 0.0370 at 40 °C are 0.0340 at 10 °C, and 0.0354 at 75 °F."""
    figures = {"means_between": [273.15, 313.15], "found_between": [0.0330, 0.0370]}
    worth = {"u_each_between": 0.01, "u_shared_between": 0.02}
    at_ten = reduce("thermal_conductivity_10c", {**figures, **worth})
    alone = ((0.75 * 0.00033) ** 2 + (0.25 * 0.00037) ** 2) ** 0.5  # weights of the line

    assert at_ten.value == pytest.approx(0.0340, rel=1e-9)
    assert at_ten.u == pytest.approx((alone**2 + (0.02 * 0.034) ** 2) ** 0.5, rel=1e-6)
    at_75_f = 0.0330 + 0.0001 * (75 - 32) * 5 / 9
    assert reduce("thermal_resistance", figures).value == pytest.approx(0.0254 / at_75_f)
    assert at_ten.conditions == {"mean_temperature": 283.15}
    with pytest.raises(OutOfRange, match="between two different mean temperatures"):
        reduce("thermal_conductivity_10c", {**figures, "means_between": [293.15, 313.15]})
