"""Sampling plans against printed plans, a handbook's example and another library."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from beadwright.statistics.sampling import (
    DoublePlan,
    Level,
    Model,
    Scheme,
    Severity,
    SinglePlan,
    TwoPoints,
    VariablesPlan,
    acceptance,
    accepts,
    averages,
    code_letter,
    design_single,
    design_variables,
    outgoing_limit,
    published_plan,
    second_sample,
    share_accepted_with,
    share_beyond,
    variables_acceptance,
    zero_failures,
)
from beadwright.statistics.sampling.published import AQLS, LETTERS
from tests.outside.printed import agrees

# (52, 3) of lots of 10 000: probability of acceptance and pieces inspected, 1 % to 12 or 14 %.
ACCEPTED = (0.998, 0.980, 0.930, 0.845, 0.739, 0.620, 0.502, 0.394, 0.300, 0.223, 0.162, 0.115)
INSPECTED = (70, 253, 753, 1584, 2655, 3836, 5007, 6083, 7012, 7779, 8388, 8854, 9201, 9453)


def test_the_handbooks_plan() -> None:
    """[nist-oc] Operating characteristic, outgoing quality and its limit, pieces inspected.

    The handbook prints .845 and .739 where the exact figures round to .846 and .738, and 5007,
    7012, 7779 where they round to one more: it rounded on the way.
    """
    shares = np.arange(1, 15) / 100
    found = averages(SinglePlan(52, 3), shares, 10_000)

    assert found.acceptance[:12] == pytest.approx(ACCEPTED, abs=1.2e-3)
    assert found.inspected == pytest.approx(INSPECTED, abs=1.01)
    assert float(found.outgoing[2]) == pytest.approx(0.0277, abs=1e-4)
    assert agrees(outgoing_limit(SinglePlan(52, 3), 10_000)[0], "0.0372")


def test_the_ratio_of_the_two_points_by_acceptance_number() -> None:
    """[cameron-1952] Poisson: p(10 %) over p(95 %) for acceptance numbers 0 to 5."""
    for accept, printed in enumerate(["44.89", "10.95", "6.51", "4.89", "4.06", "3.55"]):
        plan = SinglePlan(1000, accept)
        bad, good = (share_accepted_with(plan, chance, Model.COUNTS) for chance in (0.10, 0.95))
        # 44.891 is printed 44.890 in the table's three digits; two digits are compared.
        assert agrees(bad / good, printed), (accept, bad / good)


def test_the_outgoing_factor_by_acceptance_number() -> None:
    """[aoql-y] y of AOQL = y (1/n - 1/N), Poisson, acceptance numbers 0 to 5."""
    size, lot = 1000, 10_000_000
    for accept, printed in enumerate([".3679", ".8400", "1.3711", "1.9424", "2.544", "3.168"]):
        limit, _ = outgoing_limit(SinglePlan(size, accept), lot, Model.COUNTS)
        assert agrees(limit / (1 / size - 1 / lot), printed)


# Lot size, then Ac by AQL 0.65 1.0 1.5 2.5 4.0 6.5 10 15; v and ^ are arrows.
NORMAL = """
8     A 2    v v v v v 0 ^ v
15    B 3    v v v v 0 ^ v 1
25    C 5    v v v 0 ^ v 1 2
50    D 8    v v 0 ^ v 1 2 3
90    E 13   v 0 ^ v 1 2 3 5
150   F 20   0 ^ v 1 2 3 5 7
280   G 32   ^ v 1 2 3 5 7 10
500   H 50   v 1 2 3 5 7 10 14
1200  J 80   1 2 3 5 7 10 14 21
3200  K 125  2 3 5 7 10 14 21 ^
10000 L 200  3 5 7 10 14 21 ^ ^
35000 M 315  5 7 10 14 21 ^ ^ ^
"""
# Letter, then Re as printed, with the arrows' shafts as the arrows they belong to.
TIGHTENED = """
8     A 2    v v v v v v v v
15    B 3    v v v v v 0 v v
25    C 5    v v v v 0 v v 1
50    D 8    v v v 0 v v 1 2
90    E 13   v v 0 v v 1 2 3
150   F 20   v 0 v v 1 2 3 5
280   G 32   0 v v 1 2 3 5 8
500   H 50   v v 1 2 3 5 8 12
1200  J 80   v 1 2 3 5 8 12 18
3200  K 125  1 2 3 5 8 12 18 ^
"""
PRINTED_AQLS = (0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0, 15.0)


@pytest.mark.parametrize(
    ("table", "severity"), [(NORMAL, Severity.NORMAL), (TIGHTENED, Severity.TIGHTENED)]
)
def test_the_published_plans_cell_by_cell(table: str, severity: Severity) -> None:
    """[mil-std-105e] Letter, sample size and acceptance number; an arrow leads to its plan.

    The printed table has an arrow up at A, 10, with nothing above it: it is taken as down.
    """
    rows = [line.split() for line in table.split("\n") if line]
    for at, (lot, letter, size, *cells) in enumerate(rows):
        for column, (aql, cell) in enumerate(zip(PRINTED_AQLS, cells, strict=True)):
            row, step = at, -1 if cell == "^" and at else 1
            while not rows[row][3 + column].isdigit() and 0 <= row + step < len(rows):
                row += step
            target = rows[row]
            if not target[3 + column].isdigit():
                continue  # the arrow leaves what is printed here
            found = published_plan(int(lot), aql, severity=severity)
            same = found.used == letter
            assert (found.letter, found.used) == (letter, target[1]), (letter, aql)
            assert found.plan.accept == int(target[3 + column]), (letter, aql)
            assert found.plan.refused_from == found.plan.accept + 1
            if same and int(size) < int(lot):
                assert found.plan.size == int(size)


def test_code_letters_of_every_level() -> None:
    """[aql-chart] Fifteen sizes of lots by seven levels, as printed."""
    printed = {
        8: "AAAAAAB", 15: "AAAAABC", 25: "AABBBCD", 50: "ABBCCDE", 90: "BBCCCEF",
        150: "BBCDDFG", 280: "BCDEEGH", 500: "BCDEFHJ", 1200: "CCEFGJK", 3200: "CDEGHKL",
        10_000: "CDFGJLM", 35_000: "CDFHKMN", 150_000: "DEGJLNP", 500_000: "DEGJMPQ",
        500_001: "DEHKNQR",
    }  # fmt: skip
    for lot, letters in printed.items():
        assert "".join(code_letter(lot, level) for level in Level) == letters


# Acceptance numbers of reduced inspection by AQL 0.065 to 6.5; a dash is an arrow.
REDUCED = """
E - - - - - - 0 - - - 1
F - - - - - 0 - - - 1 2
G - - - - 0 - - - 1 2 3
H - - - 0 - - - 1 2 3 5
J - - 0 - - - 1 2 3 5 6
K - 0 - - - 1 2 3 5 6 8
L 0 - - - 1 2 3 5 6 8 10
M - - - 1 2 3 5 6 8 10 -
"""


def test_reduced_plans() -> None:
    """[iso-2859-1-table-4] The numbers that were read; where an arrow leads was not."""
    lots = dict(
        zip(LETTERS, (8, 15, 25, 50, 90, 150, 280, 500, 1200, 3200, 10**4, 35_000), strict=False)
    )
    for line in REDUCED.split("\n"):
        if not line:
            continue
        letter, *cells = line.split()
        for aql, cell in zip(AQLS, cells, strict=False):
            found = published_plan(lots[letter], aql, severity=Severity.REDUCED)
            if cell == "-":
                assert found.used != letter, (letter, aql)
            else:
                assert (found.used, found.plan.accept) == (letter, int(cell)), (letter, aql)


def test_a_reduced_plan_of_the_older_standard() -> None:
    """[mil-std-105e-reduced] Letter J, AQL 1.5: 32 pieces, Ac 1, Re 4."""
    found = published_plan(1000, 1.5, severity=Severity.REDUCED, scheme=Scheme.MIL_STD_105E)

    assert (found.plan.size, found.plan.accept, found.plan.refused_from) == (32, 1, 4)


def test_outgoing_limits_of_the_older_standards_table() -> None:
    """[mil-std-105e-aoql] Letters J, K, L at AQL 1.0: 1.7, 1.6, 1.6 %."""
    for lot, printed in ((1200, "1.7"), (3200, "1.6"), (10_000, "1.6")):
        plan = published_plan(lot, 1.0).plan
        limit, _ = outgoing_limit(plan, 10**9, Model.COUNTS)
        assert agrees(100 * limit, printed)


def test_a_variables_plan_of_the_older_standard() -> None:
    """[mil-std-414] Example B-1: five readings, k = 1.53; then form 2."""
    found = accepts(VariablesPlan(5, 1.53), [197, 188, 184, 205, 201], upper=209)

    assert found.accepted
    assert found.mean == 195
    # Printed 8.81; the exact 8.803 rounds to 8.80.
    assert found.spread == pytest.approx(8.81, abs=0.01)
    assert found.inside_upper is not None
    assert agrees(found.inside_upper, "1.59")
    assert agrees(100 * share_beyond(5, 1.59), "2.19")


@pytest.mark.parametrize("lot", [20, 270])
@pytest.mark.parametrize("model", list(Model))
def test_acceptance_by_another_librarys_distributions(model: Model, lot: int) -> None:
    """[scipy-distributions] Single and double plans, term by term, in the plainest way."""

    def law(size: int, bad: int, left: int) -> object:
        if model is Model.LOT:
            return stats.hypergeom(left, bad, size)
        return (
            stats.binom(size, bad / lot)
            if model is Model.PROCESS
            else stats.poisson(size * bad / lot)
        )

    double = DoublePlan(7, 0, 3, 9, 2)
    for bad in (0, 1, 2, 5, lot // 3):
        share = bad / lot
        single = float(acceptance(SinglePlan(7, 1), share, model, lot))
        assert single == pytest.approx(law(7, bad, lot).cdf(1), abs=1e-9)  # type: ignore[attr-defined]
        first = law(7, bad, lot)
        plain = first.cdf(0)  # type: ignore[attr-defined]
        for seen in (1, 2):
            left = (bad - seen, lot - 7) if model is Model.LOT else (bad, lot)
            if left[0] < 0:
                continue
            plain += first.pmf(seen) * law(9, *left).cdf(2 - seen)  # type: ignore[attr-defined]
        assert float(acceptance(double, share, model, lot)) == pytest.approx(plain, abs=1e-9)
        needed = first.cdf(2) - first.cdf(0)  # type: ignore[attr-defined]
        assert float(second_sample(double, share, model, lot)) == pytest.approx(needed, abs=1e-9)


def test_plans_for_measured_values_by_another_librarys_distribution() -> None:
    """[scipy-distributions] Non-central t by its own quadrature, and the smallest n by trial."""
    plan = design_variables(TwoPoints(0.01, 0.06))
    for share in (0.01, 0.03, 0.06):
        shift = stats.norm.isf(share) * plan.size**0.5
        exact = stats.nct.sf(plan.factor * plan.size**0.5, plan.size - 1, shift)
        assert float(variables_acceptance(plan, share)) == pytest.approx(exact, abs=1e-8)
    less = plan.size - 1
    k = stats.nct.isf(0.10, less - 1, less**0.5 * stats.norm.isf(0.06)) / less**0.5
    assert stats.nct.sf(k * less**0.5, less - 1, less**0.5 * stats.norm.isf(0.01)) < 0.95


def test_the_smallest_plan_by_trying_all() -> None:
    """[scipy-distributions] No plan with fewer pieces keeps both points."""
    for good, bad in ((0.01, 0.05), (0.01, 0.06), (0.02, 0.08), (0.01, 0.10)):
        plan = design_single(TwoPoints(good, bad))
        tried = next(
            (n, c)
            for n in range(1, 400)
            for c in range(12)
            if stats.binom.cdf(c, n, bad) <= 0.10 and stats.binom.cdf(c, n, good) >= 0.95
        )
        assert (plan.size, plan.accept) == tried


def test_pieces_without_a_failure() -> None:
    """[zero-failure-table] 90/90, 95/90, 95/95 and 95/99: 22, 29, 59 and 299 pieces."""
    pairs = ((0.90, 0.90), (0.95, 0.90), (0.95, 0.95), (0.95, 0.99))

    assert [zero_failures(*pair) for pair in pairs] == [22, 29, 59, 299]
