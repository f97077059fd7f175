"""Variables plans worked on real readings: by hand, and against a general-purpose library.

The worked example of MIL-STD-414 is checked with the plan itself, in tests/outside.
"""

from __future__ import annotations

import math
import statistics

import numpy as np
import pytest
from scipy import stats

from beadwright.errors import Refusal
from beadwright.plant.inspection_plans.by_variables import LotMeasured, by_variables, of_lot
from beadwright.plant.inspection_plans.by_variables_told import asks, brief, outcome
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

NOW = ms(900)
PLAN = {"product": "FB6", "characteristic": "length", "good": "1 %", "bad": "20 %"}
LEAST = 1198.0
"""Lower limit of the length, in mm; an upper one lies far off."""


@pytest.fixture
def yard() -> Yard:
    """Two lots of 40; a lower limit of each block's length, and a plan from before them."""
    yard = Yard.open()
    yard.limit("LENGTH-MIN", "length", "min", f"{LEAST} mm", statistic="each")
    yard.set("variables", "LENGTH", PLAN, since=1)
    for number in (1, 2):
        yard.block_lot(f"L{number}", good=40, at=20 + number)
    return yard


def lengths(mean: float, count: int, seed: int = 3) -> list[float]:
    """Lengths in mm with a standard deviation of 0.8."""
    drawn = np.random.default_rng(seed).normal(mean, 0.8, count)
    return [round(float(one), 2) for one in drawn]


def gauged(yard: Yard, lot: str, values: list[float]) -> None:
    """Gauge blocks a day old."""
    yard.gauge(lot, "length", [f"{one} mm" for one in values], at=70)


def judged(lot: str) -> LotMeasured:
    """Give what the plan says of a lot."""
    plans = by_variables(open_plant("P1"), "FB6", NOW)
    (plan,) = [one for one in plans if one.its.name == "LENGTH"]
    return next(one for one in plan.lots if one.lot == lot)


def test_the_plan_keeps_its_two_points_by_another_library() -> None:
    """SciPy's non-central t distribution: passes 1 % at least 95 times, 20 % at most 10 in 100."""
    yard = Yard.open()
    yard.set("variables", "LENGTH", PLAN, since=1)
    (found,) = by_variables(open_plant("P1"), "FB6", NOW)
    size, factor = found.its.plan.size, found.its.plan.factor
    root = math.sqrt(size)

    good, bad = (
        float(stats.nct.sf(root * factor, size - 1, root * stats.norm.isf(share)))
        for share in (0.01, 0.20)
    )
    assert good >= 0.95
    assert bad == pytest.approx(0.10, abs=1e-6)  # k keeps the consumer's point exactly
    smaller = float(stats.nct.ppf(0.9, size - 2, math.sqrt(size - 1) * stats.norm.isf(0.2)))
    passes = stats.nct.sf(smaller, size - 2, math.sqrt(size - 1) * stats.norm.isf(0.01))
    assert passes < 0.95  # one piece fewer keeps not both


@pytest.mark.parametrize(("mean", "accepted"), [(LEAST + 2.4, True), (LEAST + 0.9, False)])
def test_a_lot_is_judged_by_mean_and_spread_of_the_first_values_asked(
    yard: Yard, mean: float, accepted: bool
) -> None:
    """Worked out with the standard library from the readings; what is measured beyond is left."""
    size = judged("L1").plan.size
    values = lengths(mean, size)
    gauged(yard, "L1", [*values, 1100.0])
    found = judged("L1")

    assert found.judged is not None
    assert found.measured == size + 1
    m, s = statistics.mean(values), statistics.stdev(values)
    assert found.judged.mean == pytest.approx(m / 1000)
    assert found.judged.spread == pytest.approx(s / 1000)
    assert found.judged.inside_lower == pytest.approx((m - LEAST) / s)
    assert found.judged.accepted is accepted
    assert found.judged.accepted is ((m - LEAST) / s >= found.plan.factor)
    said = outcome(found, "si")
    assert said.endswith("is accepted: accepted." if accepted else "is accepted: not accepted.")


def test_fewer_values_than_asked_are_not_judged(yard: Yard) -> None:
    """And a lot without a limit of each piece, or of too few pieces, says why."""
    size = judged("L1").plan.size
    gauged(yard, "L1", lengths(LEAST + 3, size - 1))
    assert judged("L1").why_not == f"{size - 1} of {size} pieces measured"

    yard.set("variables", "WIDTH", {**PLAN, "characteristic": "width"}, since=1)
    (one,) = [each for each in of_lot(open_plant("P1"), "L1", "FB6") if each.its.name == "WIDTH"]
    assert one.why_not == "no limit of each piece is set on width"
    yard.block_lot("L3", good=5, at=30)
    assert judged("L3").why_not.startswith(f"{size} pieces are asked and 5 were made")
    assert len(judged("L3").which.pieces) == 5


def test_a_plan_of_block_density_sends_nobody_to_cut_specimens(yard: Yard) -> None:
    """With a state it is the foam of whole blocks; without one a laboratory's specimens."""
    body = {**PLAN, "characteristic": "density"}
    yard.set("variables", "BLOCK", {**body, "state": "24h"}, since=1)
    yard.set("variables", "CUT", body, since=1)
    plans = {one.its.name: one for one in by_variables(open_plant("P1"), "FB6", NOW)}
    block, cut = (asks(plans[name].its, "si") for name in ("BLOCK", "CUT"))
    assert "dry foam density of the block (net of ties and water), a day old, of" in block
    assert ",," not in block
    assert "specimen" not in block
    assert "specimen" not in brief(plans["BLOCK"].lots[0])
    assert "density of a specimen, as a laboratory reports it of" in cut


def test_a_known_spread_needs_fewer_pieces(yard: Yard) -> None:
    """N by the formula of the normal distribution; the sample's own spread is not asked."""
    before = judged("L1").plan.size
    yard.set("variables", "LENGTH", {**PLAN, "sigma": "0.8 mm"}, since=2)
    found = judged("L1")
    quantiles = [float(stats.norm.isf(one)) for one in (0.05, 0.10, 0.01, 0.20)]
    size = math.ceil(((quantiles[0] + quantiles[1]) / (quantiles[2] - quantiles[3])) ** 2)
    gauged(yard, "L1", [LEAST + 2] * size)

    assert found.plan.size == size < before
    known = judged("L1").judged
    assert known is not None
    assert known.inside_lower == pytest.approx(2 / 0.8)


def test_a_lot_made_before_the_plan_has_none(yard: Yard) -> None:
    """A plan holds for lots made on its day or later, and ends with its version."""
    yard.set("variables", "HEIGHT", {**PLAN, "characteristic": "height"}, since=21.5)
    names = {one.its.name for one in of_lot(open_plant("P1"), "L1", "FB6")}

    assert names == {"LENGTH"}
    assert {one.its.name for one in of_lot(open_plant("P1"), "L2", "FB6")} == {"LENGTH", "HEIGHT"}


@pytest.mark.parametrize(
    "body",
    [
        {**PLAN, "good": "20 %", "bad": "1 %"}, {**PLAN, "bad": ""}, {**PLAN, "sigma": "0.8 kg"},
        {**PLAN, "characteristic": "defective_ties"}, {**PLAN, "state": "wet"},
        {**PLAN, "product": ""},
    ],
)  # fmt: skip
def test_a_plan_that_cannot_be_is_refused(yard: Yard, body: dict[str, object]) -> None:
    """Points turned round or lacking, a spread of another kind, what is not measured."""
    with pytest.raises(Refusal):
        yard.set("variables", "LENGTH", body, since=3)
