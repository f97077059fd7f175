"""Variables plans worked on real readings: by hand, and against a general-purpose library.

The acceptance itself is checked with example B-1 of MIL-STD-414 (mean, standard deviation, quality
index, k, estimated share beyond) in tests/outside/test_statistics_sampling.py.
"""

from __future__ import annotations

import math
import statistics

import numpy as np
import pytest
from scipy import stats

from beadwright.errors import Refusal
from beadwright.ledger.draft import Decision, Reading, ReadingsDraft
from beadwright.plant.assessment import Reason
from beadwright.plant.inspecting import inspecting
from beadwright.plant.inspection_plans.by_variables import by_variables, of_lot
from beadwright.plant.inspection_plans.lot_measured import LotMeasured
from beadwright.plant.inspection_plans.measured_told import asks, brief, outcome, pieces_drawn
from beadwright.plant.opening import open_plant, rebuild_plant
from beadwright.plant.reasons_in_units import in_units
from beadwright.plant.release import as_json, assess
from tests.plant.restating import restate
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
    said = outcome(found, "si").partition(" None of them")[0]
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
    assert (
        judged("L3").why_not == f"{size} pieces are asked and 5 were made: measure every one, 0 are"
    )
    assert len(judged("L3").which.pieces) == 5


def test_which_pieces_were_measured_is_held_against_those_drawn(yard: Yard) -> None:
    """Named by their number they are told from others, of which nobody knows how they were taken.

    What is cut of a piece adds to its name.
    """
    found = judged("L1")
    size, drawn = found.plan.size, found.drawn
    assert (found.left, found.others) == (drawn, 0)
    facts = {"state": "24h", "age_h": "26"}
    values = lengths(LEAST + 2.4, size)
    names = [f"{drawn[0]}-2", *drawn[1:-2], "D1", "W2"]
    some = [
        Reading("length", f"{mm}", "mm", lot="L1", specimen=name, facts=facts)
        for name, mm in zip(names, values, strict=True)
    ]
    yard.read(some[:2], at=70)
    part = judged("L1")
    assert (part.left, part.others) == (drawn[2:], 0)
    assert f"Left to measure: {', '.join(drawn[2:])}." in pieces_drawn(part)
    assert "named" not in outcome(part, "si")

    yard.read(some[2:], at=71)
    whole = judged("L1")
    assert (whole.left, whole.others) == (drawn[-2:], 2)
    assert f"accepted. 2 of these {size} are not named as a piece" in outcome(whole, "si")
    assert "Left" not in pieces_drawn(whole)
    gauged(yard, "L2", values)
    assert "accepted. None of them is named as a piece the plan drew" in outcome(judged("L2"), "si")


def test_pieces_drawn_are_judged_before_others(yard: Yard) -> None:
    """Whoever measures others first does not choose by it; a piece has one name and one value.

    A number that the lot does not have is no piece of it.
    """
    plan = judged("L1")
    size, drawn = plan.plan.size, plan.drawn
    facts = {"state": "24h", "age_h": "26"}

    def read(*named: tuple[str, float]) -> None:
        yard.read([Reading("length", f"{mm}", "mm", lot="L1", specimen=name, facts=facts)
                   for name, mm in named], at=70)  # fmt: skip

    read(("P99", 1199.0), ("P0", 1199.0), ("W1", 1250.0), ("D1", 1251.0))
    assert (judged("L1").measured, judged("L1").others) == (2, 2)
    values = lengths(LEAST + 2.4, size)
    read(*zip(drawn, values, strict=True))
    read((f"p {drawn[0][1:]}", 1190.0), (f"{drawn[1]}-2", 1190.0))
    found = judged("L1")
    assert (found.measured, found.others, found.left) == (size + 2, 0, ())
    assert found.judged is not None
    assert found.judged.mean == pytest.approx(statistics.mean(values) / 1000)


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
        {**PLAN, "state": "press", "for_release": True}, {**PLAN, "for_release": "yes"},
    ],
)  # fmt: skip
def test_a_plan_that_cannot_be_is_refused(yard: Yard, body: dict[str, object]) -> None:
    """Points turned round or lacking, a spread of another kind, what is not measured.

    Nor one that would decide on wet blocks, which only screen.
    """
    with pytest.raises(Refusal):
        yard.set("variables", "LENGTH", body, since=3)


# -- what a release waits for --------------------------------------------------------------------


@pytest.fixture
def waiting(yard: Yard) -> Yard:
    """The same plan, for which release waits."""
    yard.set("variables", "LENGTH", {**PLAN, "for_release": True}, since=2)
    return yard


def reason(lot: str) -> Reason:
    """Give what the plan says of a lot, as its answer has it."""
    (one,) = assess(open_plant("P1").no, [lot]).lots
    (found,) = [why for why in one.reasons if why.source == "variables plan LENGTH of FB6"]
    return found


def test_it_is_a_note_unless_release_waits_for_it(yard: Yard) -> None:
    """What it came to is told with its figures; the lot's answer is its limits' matter."""
    size = judged("L1").plan.size
    assert (reason("L1").code, reason("L1").weight) == ("plan_inspected", "notes")
    gauged(yard, "L1", lengths(LEAST + 0.9, size))
    told = reason("L1")
    found = judged("L1")
    assert found.judged is not None
    assert (told.code, told.weight) == ("plan_inspected", "notes")
    assert f"{size} of {size} pieces measured, not accepted" in told.sentence
    assert f"quality index {found.judged.inside_lower:.2f}" in told.sentence
    assert f"k is {found.plan.factor:.3f}" in told.sentence
    (us,) = in_units([told], (), "us")
    assert " in of " in us.sentence
    assert " mm" not in us.sentence


def test_a_release_waits_for_it_where_the_plant_says_so(waiting: Yard) -> None:
    """Too few: not enough evidence. Not accepted: may not ship. Accepted: a note."""
    size = judged("L1").plan.size
    gauged(waiting, "L1", lengths(LEAST + 2.4, size - 1))
    (one,) = assess(waiting.no, ["L1"]).lots
    assert (reason("L1").code, one.answer) == ("plan_not_measured", "not_enough_evidence")
    assert reason("L1").sentence.endswith(f", {size - 1} of {size} pieces measured")
    need = inspecting(waiting.no, "L1", NOW).need("gauge")
    assert (need.finding, need.counted, need.asked) == ("not_enough_evidence", size - 1, size)

    gauged(waiting, "L2", [LEAST + (0.1 if at % 2 else 1.0) for at in range(size)])
    (one,) = assess(waiting.no, ["L2"]).lots
    assert (reason("L2").code, one.answer) == ("plan_not_accepted", "may_not_ship")
    assert all(each.finding == "met" for each in one.limits)  # no piece by itself is too short
    with pytest.raises(Refusal):
        waiting.release("L2", one.evidence)
    need = inspecting(waiting.no, "L2", NOW).need("gauge")
    assert need.finding == "not_met"
    assert need.missing[-1].endswith("measured, not accepted")

    waiting.block_lot("L3", good=40, at=23)
    gauged(waiting, "L3", lengths(LEAST + 2.4, size))
    (one,) = assess(waiting.no, ["L3"]).lots
    assert (reason("L3").code, one.answer) == ("plan_inspected", "may_ship")
    rebuild_plant("P1")
    assert assess(waiting.no, ["L3"], at_ms=NOW) == assess(waiting.no, ["L3"], at_ms=NOW)
    assert reason("L2").code == "plan_not_accepted"


def test_a_program_reads_what_the_pages_say(waiting: Yard) -> None:
    """Values in SI, as the inspection of the product has them."""
    size = judged("L1").plan.size
    gauged(waiting, "L1", lengths(LEAST + 0.9, size))
    told = as_json(assess(waiting.no, ["L1"], at_ms=NOW))["lots"][0]["by_variables"]
    (one,) = told
    found = judged("L1")
    assert found.judged is not None
    assert (one["accepted"], one["measured"], one["asked"]) == (False, size, size)
    assert one["for_release"] is True
    assert one["mean"] == found.judged.mean
    assert one["lower"] == pytest.approx(LEAST / 1000)


def test_a_lot_of_fewer_pieces_than_asked_is_measured_whole(waiting: Yard) -> None:
    """Accepted where none of all its pieces lies beyond; else not."""
    for number, shortest in ((5, LEAST), (6, LEAST - 0.1)):
        waiting.block_lot(f"L{number}", good=3, at=30 + number)
        gauged(waiting, f"L{number}", [shortest, 1200.0, 1201.0])
    assert [judged(lot).accepted for lot in ("L5", "L6")] == [True, False]
    assert outcome(judged("L5"), "si").startswith("All of its 3 pieces are measured, and none lies")
    assert reason("L6").code == "plan_not_accepted"


# -- which readings count ------------------------------------------------------------------------


def test_wet_blocks_and_too_young_ones_do_not_count(yard: Yard) -> None:
    """By the state said, and by the record of the run; with a state, those in it alone."""
    few = [f"{one} mm" for one in lengths(LEAST + 2, 3)]
    yard.gauge("L1", "length", few, at=70, facts={"state": "press", "age_h": "0.2"})
    yard.gauge("L2", "length", few, at=25)  # said to be a day old, three hours after moulding
    assert [judged(lot).measured for lot in ("L1", "L2")] == [0, 0]
    yard.gauge("L1", "length", few, at=72)
    assert judged("L1").measured == 3
    yard.set("variables", "LENGTH", {**PLAN, "state": "dry"}, since=2)
    assert judged("L1").measured == 0


def test_a_block_counts_for_no_specimen_of_a_laboratory(yard: Yard) -> None:
    """Of density without a state: what was cut; with one, the foam of whole blocks."""
    yard.limit("DEN", "density", "min", "21 kg/m3", statistic="each")
    yard.set("variables", "LENGTH", {**PLAN, "characteristic": "density"}, since=2)
    yard.weigh("L1", "24h", [3.13, 3.14], at=90)
    cut = {"mass": ("2.3", "g"), "length": ("50", "mm"), "width": ("50", "mm"),
           "height": ("40", "mm")}  # fmt: skip
    yard.read(
        [
            Reading(f"specimen_{name}", number, unit, lot="L1", specimen="C1")
            for name, (number, unit) in cut.items()
        ],
        at=91,
    )
    assert judged("L1").measured == 1
    yard.set("variables", "LENGTH", {**PLAN, "characteristic": "density", "state": "24h"}, since=3)
    assert judged("L1").measured == 2


def test_what_was_voided_or_read_by_an_unfit_gauge_does_not_count(yard: Yard) -> None:
    """Nor a second reading of the same block: the first stands."""
    yard.set("instrument", "CAL-1", what="caliper", every="365 days")
    facts = {"state": "24h", "age_h": "26"}
    yard.read([Reading("length", "1199", "mm", lot="L1", specimen="D1", facts=facts,
                       instrument="CAL-1")], at=70)  # fmt: skip
    assert judged("L1").measured == 0
    body = {"done": "2026-09-01", "result": "pass", "certificate": "C-1"}
    yard.post(Decision("calibration-1", ms(1), "calibration", "CAL-1", body))
    assert judged("L1").measured == 1
    gauged(yard, "L1", [1207.0, 1208.0])  # of D1 again, and of D2
    assert judged("L1").measured == 2
    key = yard.gauge("L2", "length", ["1199 mm"], at=70)
    yard.void(key)
    assert judged("L2").measured == 0


def test_a_reading_that_is_restated_keeps_its_place(yard: Yard) -> None:
    """Else whoever restates one that is too short would have another one judged in its place."""
    size = judged("L1").plan.size
    facts = {"state": "24h", "age_h": "26"}

    def read(number: int, mm: float) -> Reading:
        return Reading("length", f"{mm}", "mm", lot="L1", specimen=f"D{number}", facts=facts)

    values = [1198.0, *lengths(LEAST + 2.4, size)]
    yard.post(ReadingsDraft("inspections/1/readings", ms(60), (read(1, values[0]),), "P-01"))
    for number, mm in enumerate(values[1:], 2):
        yard.read([read(number, mm)], at=61)
    before = judged("L1").judged
    assert before is not None
    assert before.mean == pytest.approx(statistics.mean(values[:size]) / 1000)
    later = restate(yard, "inspections/1/readings", [read(1, 1198.01)])
    restate(yard, later, [read(1, 1198.02)], own="61")
    after = judged("L1").judged
    assert after is not None
    assert after.mean == pytest.approx(statistics.mean([1198.02, *values[1:size]]) / 1000)
