"""Run lengths of control charts against published tables, to the printed digit."""

import math

import pytest

from beadwright.statistics.charts.attributes import counts_run_length, proportions
from beadwright.statistics.charts.chart import Process
from beadwright.statistics.charts.cusum import Cusum, cusum_run_length, one_sided_run_length
from beadwright.statistics.charts.ewma import Ewma, ewma, ewma_for, ewma_run_length
from beadwright.statistics.charts.rule_chain import rule_run_length
from beadwright.statistics.charts.rules import LIMITS, NELSON, WESTERN_ELECTRIC, Rule, RuleSet
from tests.outside.printed import agrees

# Shift in standard deviations; lengths of rule 1 alone, and with rule 2, 3 or 4.
CHAMP_WOODALL = """
0.0 370.40 225.44 166.05 152.73
0.2 308.43 177.56 120.70 110.52
0.4 200.08 104.46  63.88  59.76
0.6 119.67  57.92  33.99  33.64
0.8  71.55  33.12  19.78  21.07
1.0  43.89  20.01  12.66  14.58
1.2  27.82  12.81   8.84  10.90
1.4  18.25   8.69   6.62   8.60
1.6  12.38   6.21   5.24   7.03
1.8   8.69   4.66   4.33   5.85
2.0   6.30   3.65   3.68   4.89
2.2   4.72   2.96   3.18   4.08
2.4   3.65   2.48   2.78   3.38
2.6   2.90   2.13   2.43   2.81
2.8   2.38   1.87   2.14   2.35
3.0   2.00   1.68   1.89   1.99
"""
COLUMNS = (LIMITS, *(WESTERN_ELECTRIC.only(1, number) for number in (2, 3, 4)))


@pytest.mark.parametrize("row", CHAMP_WOODALL.strip().splitlines())
def test_runs_rules_of_champ_and_woodall(row: str) -> None:
    """[champ-woodall-1987] Average run lengths with each rule, of sixteen shifts, as printed."""
    shift, *printed = row.split()
    for rules, text in zip(COLUMNS, printed, strict=True):
        value = rule_run_length(rules, float(shift)).mean
        assert agrees(value, text), (rules.name, value)


@pytest.mark.parametrize(
    ("numbers", "printed"),
    [((1, 2, 3), "132.89"), ((1, 2, 4), "122.05"), ((1, 3, 4), "105.78"), ((1, 2, 3, 4), "91.75")],
)
def test_several_runs_rules_together(numbers: tuple[int, ...], printed: str) -> None:
    """[champ-woodall-1987] In control, all four rules signal once in 91.75 points."""
    assert agrees(rule_run_length(WESTERN_ELECTRIC.only(*numbers)).mean, printed)


def test_all_four_rules_with_a_shift() -> None:
    """[champ-woodall-1987] All four rules, shifts of 0.4 and 1."""
    assert agrees(rule_run_length(WESTERN_ELECTRIC, 0.4).mean, "36.61")
    assert agrees(rule_run_length(WESTERN_ELECTRIC, 1.0).mean, "9.22")


def test_false_signals_of_each_test() -> None:
    """[nelson-1984] Each test: below 5 in 1000; the first four: below 1 in 100; six: below 2."""
    chance = {n: 1 / rule_run_length(NELSON.only(n)).mean for n in range(1, 9)}

    assert max(chance.values()) < 0.005
    assert 1 / rule_run_length(NELSON.only(1, 2, 3, 4)).mean < 0.01
    assert 1 / rule_run_length(NELSON.only(1, 2, 3, 4, 5, 6)).mean < 0.02


def test_runs_in_closed_form() -> None:
    """[runs-closed-form] Runs on one side, within and beyond one sigma: (1 - p^r) / (p^r q)."""
    within = math.erf(1 / math.sqrt(2))
    cases = (
        (NELSON.only(2), 2.0**9 - 1),
        (WESTERN_ELECTRIC.only(4), 2.0**8 - 1),
        (NELSON.only(7), (1 - within**15) / (within**15 * (1 - within))),
        (NELSON.only(8), (1 - (1 - within) ** 8) / ((1 - within) ** 8 * within)),
    )
    for rules, expected in cases:
        assert rule_run_length(rules).mean == pytest.approx(expected, rel=1e-8), rules.name


def test_first_trends_and_turns_by_counting_permutations() -> None:
    """[runs-closed-form] Six in a row: 2 of 720 orders; fourteen by turns: 2 · 199360981 of 14!."""
    trend, turns = rule_run_length(NELSON.only(3)), rule_run_length(NELSON.only(4))

    assert trend.chance_by(5) == pytest.approx(0.0, abs=1e-12)
    assert trend.chance_by(6) == pytest.approx(2 / 720, rel=2e-4)
    assert turns.chance_by(13) == pytest.approx(0.0, abs=1e-12)
    assert turns.chance_by(14) == pytest.approx(2 * 199_360_981 / math.factorial(14), rel=2e-4)


# Drift by point; lengths of rule 1, with 2 of 3, with 4 of 5, with 10 on one side.
AERNE_RULES = """
0.005623 136.67 120.90 105.34 107.08
0.010000  96.03  84.22  73.31  75.23
0.023714  53.99  47.06  41.33  43.35
0.056234  29.21  25.51  22.91  24.86
0.100000  19.11  16.79  15.45  17.29
0.237137   9.98   8.94   8.71  10.18
0.562341   5.17   4.80   5.15   5.48
1.000000   3.35   3.22   3.63   3.52
"""
TEN = Rule("ten", "ten points in a row on one side", "beyond", 10, 10)
STRETCHED = (
    LIMITS.scaled(3.069 / 3),
    WESTERN_ELECTRIC.only(1, 2).scaled(2.1494 / 2),
    WESTERN_ELECTRIC.only(1, 3).scaled(1.14),
    RuleSet("ten", (*LIMITS.scaled(3.2425 / 3).rules, TEN), "", verified=True),
)


def _drift(rate: float) -> list[float]:
    return [rate * point for point in range(1, 1 + min(3000, math.ceil(12 / rate)))]


@pytest.mark.parametrize("row", AERNE_RULES.strip().splitlines())
def test_runs_rules_under_drift(row: str) -> None:
    """[aerne-1991] Average run lengths of runs rules while the mean drifts, as printed."""
    rate, *printed = row.split()
    rate_exact = 10 ** (round(8 * math.log10(float(rate))) / 8)
    for rules, text in zip(STRETCHED, printed, strict=True):
        value = rule_run_length(rules, _drift(rate_exact)).mean
        # The widths are printed to four digits: that alone moves long runs by some hundredths.
        assert agrees(value, text) or value == pytest.approx(float(text), abs=0.021), value


# Shift; λ = 0.5 and λ = 0.05, both L = 2. The paper prints 3.95 at 1.25: a misprint for 3.59.
CROWDER = """
0.00 26.45 127.53
0.25 20.12  43.94
0.50 11.89  18.97
0.75  7.29  11.64
1.00  4.91   8.38
1.50  2.80   5.41
1.75  2.29   4.62
2.25  1.70   3.61
2.50  1.51   3.26
2.75  1.37   2.99
3.00  1.26   2.76
3.25  1.18   2.56
3.50  1.12   2.39
3.75  1.08   2.26
4.00  1.05   2.15
"""


@pytest.mark.parametrize("row", CROWDER.strip().splitlines())
def test_weighted_averages_of_crowder(row: str) -> None:
    """[crowder-1987] Average run lengths of two designs, fifteen shifts, as printed."""
    shift, *printed = row.split()
    for weight, text in zip((0.5, 0.05), printed, strict=True):
        value = ewma_run_length(Ewma(weight, 2.0, exact=False), float(shift)).mean
        assert agrees(value, text), value


LUCAS_SACCUCCI = {
    (0.5, 3.071): "500 255 88.8 35.9 17.5 6.53 3.63 2.50 1.93 1.34",
    (0.4, 3.054): "500 224 71.2 28.4 14.3 5.9 3.5 2.5 2.0 1.4",
    (0.25, 2.998): "500 170 48.2 20.1 11.1 5.5 3.6 2.7 2.3 1.7",
    (0.2, 2.962): "500 150 41.8 18.2 10.5 5.5 3.7 2.9 2.4 1.9",
    (0.1, 2.814): "500 106 31.3 15.9 10.3 6.1 4.4 3.4 2.9 2.2",
    (0.05, 2.615): "500 84.1 28.8 16.4 11.4 7.1 5.2 4.2 3.5 2.7",
    (0.03, 2.437): "500 76.7 29.3 17.6 12.6 8.07 5.99 4.80 4.03 3.11",
}
SHIFTS = (0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4)


@pytest.mark.parametrize("design", LUCAS_SACCUCCI)
def test_weighted_averages_of_lucas_and_saccucci(design: tuple[float, float]) -> None:
    """[lucas-saccucci-1990] Average run lengths of seven designs and ten shifts, as printed.

    The paper's chain has a finite number of states: its last digit may be one off.
    """
    for shift, text in zip(SHIFTS, LUCAS_SACCUCCI[design].split(), strict=True):
        value = ewma_run_length(Ewma(*design, exact=False), shift).mean
        last = 10.0 ** -len(text.partition(".")[2])
        assert agrees(value, text) or abs(value - float(text)) < 1.001 * last, (shift, value)


def test_exact_limits_of_the_first_averages() -> None:
    """[rhoads-1996] λ = 0.03, L = 2.437, limits that widen from point to point; six shifts.

    The paper simulated: its figure in control (427.9) is off by 4 %, and one unit of the last
    digit, or 2.5 %, is allowed. Steiner's table of 1999 (λ = 0.05, L = 3) is off by up to 4 %: at
    shift 1 it has 9.0, the integral 9.244, a simulation of 200,000 runs 9.263 ± 0.012.
    """
    printed = {0.5: "20.0", 1: "6.5", 1.5: "3.3", 2: "2.2", 3: "1.3", 4: "1.1"}
    for shift, text in printed.items():
        value = ewma_run_length(Ewma(0.03, 2.437), shift).mean
        assert abs(value - float(text)) <= max(0.1001, 0.025 * float(text)), (shift, value)


def test_weighted_average_to_eleven_digits() -> None:
    """[run-length-digits] λ = 0.25, L = 3, shift 1."""
    value = ewma_run_length(Ewma(0.25, 3.0, exact=False), 1.0).mean

    assert value == pytest.approx(11.154267016, rel=1e-9)


AERNE_EWMA = """
0.005623  77.01  85.93  102.68
0.010000  54.20  59.74   71.22
0.023714  31.54  33.95   39.87
0.056234  18.49  19.17   21.84
0.100000  13.07  13.16   14.55
0.237137   7.91   7.62    7.95
0.562341   4.88   4.54    4.44
1.000000   3.58   3.27    3.07
"""


@pytest.mark.parametrize("row", AERNE_EWMA.strip().splitlines())
def test_weighted_averages_under_drift(row: str) -> None:
    """[aerne-1991] Average run lengths of weighted averages while the mean drifts, as printed."""
    rate, *printed = row.split()
    rate_exact = 10 ** (round(8 * math.log10(float(rate))) / 8)
    designs = ((0.133, 2.856), (0.25, 2.974), (0.5, 3.049))
    for design, text in zip(designs, printed, strict=True):
        value = ewma_run_length(Ewma(*design, exact=False), _drift(rate_exact)).mean
        # The paper's chain has few states: up to 0.5 % on the slowest drift, below 0.1 % from
        # 0.05 on. A simulation of the slowest, below, stands by the integral.
        assert value == pytest.approx(float(text), rel=0.005 if float(rate) < 0.05 else 0.001)


@pytest.mark.parametrize(
    ("weight", "half"), [(0.05, 0.441), (0.1, 0.675), (0.15, 0.863), (0.2, 1.027), (0.25, 1.177)]
)
def test_median_run_lengths_of_gan(weight: float, half: float) -> None:
    """[gan-1993] Designs whose median run length in control is 500.

    The limits are printed to three digits: 0.0005 of them is some 2 % of the run length.
    """
    width = half / math.sqrt(weight / (2 - weight))
    median = ewma_run_length(Ewma(weight, width, exact=False)).median

    assert median == pytest.approx(500, rel=0.02)


def test_width_for_a_run_length_of_500() -> None:
    """[lucas-saccucci-1990] The design for 500 points in control gives the printed widths back."""
    for weight, width in ((0.25, "2.998"), (0.2, "2.962"), (0.1, "2.814"), (0.05, "2.615")):
        found = ewma_for(weight, 500.0, exact=False).width
        assert abs(found - float(width)) < 0.0011, (weight, found)


HANDBOOK = (
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2,
    52.6, 52.4, 53.6, 52.1,
)  # fmt: skip
PRINTED = (
    "50.60 49.52 50.56 50.18 50.16 49.21 49.75 49.85 50.26 50.33 50.11 49.36 49.52 50.05 49.38"
    " 49.92 50.73 51.23 51.94 51.99"
)


def test_weighted_averages_of_the_handbook() -> None:
    """[nist-ewma] Twenty averages with weight 0.3, and limits of the long run."""
    known = Process(50.0, 2.0539, "given", 0, math.inf)
    chart = ewma(HANDBOOK, known, Ewma(0.3, 3.0, exact=False))

    # Printed sums are rounded from exact ties: 50.18 is 50.1775 + 0.0025.
    for value, text in zip(chart.points.tolist(), PRINTED.split(), strict=True):
        assert abs(value - float(text)) < 0.0051
    assert agrees(chart.upper[0], "52.5884")
    # Printed as 47.4115: the half width was rounded before.
    assert abs(float(chart.lower[0]) - 47.4115) < 1.1e-4
    assert chart.signals == ()


# Shift; both sums with k = 0.5, h = 4: without and with a head start of h/2.
LUCAS_CROSIER = """
0.00 168  149
0.25 74.2 62.7
0.50 26.6 20.1
0.75 13.3 8.97
1.00 8.38 5.29
1.50 4.75 2.86
2.00 3.34 2.01
2.50 2.62 1.59
4.00 1.71 1.07
5.00 1.31 1.01
"""


@pytest.mark.parametrize("row", LUCAS_CROSIER.strip().splitlines())
def test_sums_of_lucas_and_crosier(row: str) -> None:
    """[lucas-crosier-1982] Average run lengths of both sums, with and without a head start."""
    shift, plain, quick = row.split()

    assert agrees(cusum_run_length(Cusum(0.5, 4.0), float(shift)).mean, plain)
    assert agrees(cusum_run_length(Cusum(0.5, 4.0, 0.5), float(shift)).mean, quick)


def test_sums_of_vance() -> None:
    """[vance-1986] One sum with k = 0 and h = 10, eight shifts, as printed.

    Printed as 2071.51 at -0.25; 24 nodes and more give 2071.57.
    """
    printed = {-0.25: "2071.51", -0.125: "400.28", 0.0: "124.66", 0.125: "59.30", 0.25: "36.71",
               0.5: "20.37", 0.75: "14.06", 1.0: "10.75"}  # fmt: skip
    for shift, text in printed.items():
        value = one_sided_run_length(Cusum(0.0, 10.0), shift).mean
        assert agrees(value, text) or (shift == -0.25 and abs(value - 2071.51) < 0.065), value


def test_percentiles_of_waldmann() -> None:
    """[waldmann-1986] One sum with k = 0.5 and h = 3: 95 %, half and 5 % of all runs; means.

    By point 345, which is printed, 94.977 % have signalled; 95 % have by 346. The mean in control
    is printed as 117.4 there, as 117.59 by Brook and Evans: 117.596 here.
    """
    length = one_sided_run_length(Cusum(0.5, 3.0))

    assert [length.percentile(share) for share in (0.9497, 0.5, 0.05)] == [345, 82, 9]
    assert length.mean == pytest.approx(117.59, abs=0.006)
    assert agrees(one_sided_run_length(Cusum(0.5, 3.0), -0.5).mean, "1963")
    assert agrees(one_sided_run_length(Cusum(0.5, 3.0), 0.5).mean, "17.35")
    # 65.465, printed as 65.4
    assert cusum_run_length(Cusum(0.6, 3.0), 0.2).mean == pytest.approx(65.4, abs=0.07)


def test_sums_to_eleven_digits() -> None:
    """[run-length-digits] k = 0.25, h = 8, shift 2.5: one sum, with a head start of 0.1, both.

    The manual's quadrature has an error of 1e-7: a direct solution with 100 nodes gives
    4.150083726116.
    """
    one = one_sided_run_length(Cusum(0.25, 8.0), 2.5).mean
    begun = one_sided_run_length(Cusum(0.25, 8.0, 0.1 / 8), 2.5).mean
    both = cusum_run_length(Cusum(0.25, 8.0), 2.5).mean

    assert one == pytest.approx(4.1500836225, rel=3e-8)
    assert begun == pytest.approx(4.1061588131, rel=3e-8)
    assert both == pytest.approx(4.1500826715, rel=3e-7)


def test_sums_under_drift() -> None:
    """[gan-1992] One sum with k = 0.25 and h = 8 while the mean drifts from the second point on.

    The figure at 0.005 (76.3) is not met and left out: 77.17 here, 77.40 ± 0.13 by simulation.
    """
    printed = {0.01: "52.0", 0.02: "35.2", 0.05: "21.4", 0.1: "15.0", 0.5: "6.95",
               1.0: "5.16", 3.0: "3.30"}  # fmt: skip
    for rate, text in printed.items():
        value = one_sided_run_length(Cusum(0.25, 8.0), [0.0, *_drift(rate)]).mean
        last = 10.0 ** -len(text.partition(".")[2])
        assert abs(value - float(text)) < 1.001 * last, (rate, value)


# True share; chance of no signal, of 50 pieces with limits 0.0303 and 0.3697.
OPERATING = {
    0.01: "0.0894", 0.03: "0.4447", 0.05: "0.7206", 0.10: "0.9662", 0.30: "0.8594",
    0.35: "0.6216", 0.40: "0.3356", 0.45: "0.1273", 0.50: "0.0325", 0.55: "0.0053",
}  # fmt: skip


def test_shares_that_have_changed_go_unnoticed() -> None:
    """[montgomery-p-chart] Operating characteristic of a p chart about 0.20, samples of fifty."""
    chart = proportions([10.0] * 30, 50)
    assert agrees(chart.lower[0], "0.0303")
    assert agrees(chart.upper[0], "0.3697")
    for share, text in OPERATING.items():
        missed = 1 - 1 / counts_run_length(chart, share).mean
        assert agrees(missed, text), (share, missed)
