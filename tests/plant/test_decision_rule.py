"""The plant's decision rule: what a guard band stops, what it asks, and what it never lets through.

The figures are worked by hand. A block of 65 L of foam that the scale weighs with u = 13 g has a
density with u = 0.013 / 0.065 = 0.2 kg/m³ from the scale; its water, 1 % of the dry foam with a
quarter of that as uncertainty, adds 0.0025 times its density: 0.0575 kg/m³ at 23 kg/m³.
"""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Reading
from beadwright.plant.bounds import Bound, LimitInForce, Statistic
from beadwright.plant.decision_rule import DEFAULT, DecisionRule, is_counted, said_of
from beadwright.plant.door import Door
from beadwright.plant.guard import held_against
from beadwright.plant.limit_rows import rows
from beadwright.plant.opening import RULES
from beadwright.plant.pieces import Value
from beadwright.plant.verdicts import LimitResult
from tests.plant.asking import block, coded, good_yard, the_limit, the_lot
from tests.plant.yard import Yard, ms

TWO = DecisionRule("guarded", Decimal(2), stated=True)


def weighed(yard: Yard, *densities: float, u: str = "0.013") -> None:
    """Read blocks a day old, of the yard's last lot, with the scale's uncertainty in kg."""
    yard.read(
        [
            Reading("block_mass_24h", f"{block(one):.6f}", "kg", lot="L1", specimen=f"U{n}",
                    uncertainty=u, facts={"state": "24h", "age_h": "26"})
            for n, one in enumerate(densities)
        ],
        at=61,
    )  # fmt: skip


def ruled(*densities: float, u: str = "0.013", limit: str = "22.0 kg/m3", **more: str) -> Yard:
    """A lot of some densities, judged by guarded acceptance with 2 u."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", limit, **more)
    yard.set("decision", "rule", acceptance="guarded", k="2")
    yard.block_lot("L1")
    weighed(yard, *densities, u=u)
    return yard


# -- what it decides -----------------------------------------------------------------------------


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("density", "finding"), [(23.0, "met"), (22.2, "not_met"), (21, "not_met")]
)
def test_a_result_conforms_only_inside_the_limit_by_its_guard_band(
    density: float, finding: str
) -> None:
    """With u = sqrt(0.2² + (0.0025 ρ)²): the band of 2 u is some 0.42 kg/m³."""
    result = the_limit(ruled(density))

    assert result.finding == finding
    assert result.u_si == pytest.approx(math.hypot(0.2, 0.0025 * density), rel=1e-3)
    if density > 22:  # beyond the limit no band is asked about
        assert result.guard_si == pytest.approx(2 * (result.u_si or 0.0))


@pytest.mark.django_db
def test_within_the_band_the_reason_is_the_bands_own() -> None:
    """It says by how much it is inside, and how wide the band is; beyond the limit it is missed."""
    lot = the_lot(ruled(22.2))
    (reason,) = coded(lot, "guard_not_met")
    assert reason.weight == "stops"
    assert lot.answer == "may_not_ship"
    assert "is inside 22.0 kg/m3 by 0.20 kg/m3, less than the guard band of 0.42" in reason.sentence
    assert not coded(lot, "limit_not_met")
    (row,) = rows(lot.limits)
    assert (row.finding, row.missing) == ("not_met", "less than the guard band, 0.42 kg/m3")

    beyond = the_lot(ruled(21.0))
    assert coded(beyond, "limit_not_met")
    assert not coded(beyond, "guard_not_met")


@pytest.mark.django_db
def test_without_an_uncertainty_the_guarded_rule_cannot_decide() -> None:
    """It asks; nothing passes in silence, and what is beyond the limit is stopped all the same."""
    yard = good_yard("L1")
    assert the_lot(yard).answer == "may_ship"
    yard.set("decision", "rule", acceptance="guarded", k="2")
    lot = the_lot(yard)
    assert lot.answer == "not_enough_evidence"
    (reason,) = coded(lot, "uncertainty_unknown")
    assert reason.weight == "asks"
    assert "the uncertainty of density is not known" in reason.sentence

    yard.weigh("L1", "24h", [block(21.0)], at=62)
    assert the_lot(yard).reasons[0].code == "limit_not_met"


@pytest.mark.django_db
def test_a_block_whose_scale_is_not_known_has_no_known_density_uncertainty() -> None:
    """Water alone gives its density some uncertainty; that is a part, and must not pass for all."""
    yard = good_yard("L1")
    assert (the_limit(yard).u_si or 0.0) > 0

    yard.set("decision", "rule", acceptance="guarded", k="1")
    assert the_limit(yard).finding == "not_enough_evidence"
    assert the_limit(yard).unsure


@pytest.mark.django_db
def test_the_band_of_a_mean_is_that_of_the_mean() -> None:
    """Spread averages out, the scale does not: u² = s²/n + u(scale, ties, water)²."""
    densities = (23.0, 22.6, 22.2)
    result = the_limit(ruled(*densities, statistic="mean", specimens="3"))

    s = 0.4
    shared = math.hypot(0.2, 0.0025 * 23.0)
    assert result.value_si == pytest.approx(22.6, abs=1e-4)
    assert result.u_si == pytest.approx(math.hypot(s / math.sqrt(3), shared), rel=1e-3)
    assert result.guard_si == pytest.approx(2 * math.hypot(s / math.sqrt(3), shared), rel=1e-3)
    assert result.finding == "not_met"  # 0.6 inside, the band is 0.62
    assert the_limit(ruled(23.0, 22.7, 22.4, statistic="mean", specimens="3")).finding == "met"


# -- by which rule -------------------------------------------------------------------------------


@pytest.mark.django_db
def test_unset_it_is_simple_acceptance_and_says_that_it_is_the_default() -> None:
    """The answer is what it was before plants could choose."""
    lot = the_lot(good_yard("L1"))

    assert lot.decision_rule == "simple acceptance (the default: none is set)"
    assert {one.limit.rule for one in lot.limits} == {DEFAULT}


@pytest.mark.django_db
def test_a_characteristics_own_rule_goes_before_that_for_all() -> None:
    """Stricter or not, it is what the plant says of it."""
    yard = ruled(22.2)
    assert the_limit(yard).finding == "not_met"
    yard.set("decision", "density", acceptance="simple")
    assert the_limit(yard).finding == "met"
    assert the_lot(yard).decision_rule == "simple acceptance"


@pytest.mark.django_db
def test_a_lot_goes_by_the_rule_of_the_day_it_was_made() -> None:
    """One that comes into force later is not asked of it."""
    yard = good_yard("L1")
    yard.set("decision", "rule", acceptance="guarded", k="2", since=40)

    assert the_lot(yard).answer == "may_ship"


@pytest.mark.django_db
def test_the_hash_of_the_evidence_holds_the_rule() -> None:
    """Its acceptance, k, and the band; where none is set, the hash is what it always was."""
    yard = ruled(23.0)
    guarded = the_lot(yard).evidence
    yard.set("decision", "rule", acceptance="guarded", k="1.64")
    other = the_lot(yard)
    assert other.answer == "may_ship"
    yard.set("decision", "rule", acceptance="simple")
    stated = the_lot(yard).evidence

    assert len({guarded, other.evidence, stated}) == 3


@pytest.mark.django_db
@pytest.mark.parametrize("body", [
    {"acceptance": "guarded"}, {"acceptance": "guarded", "k": "0"},
    {"acceptance": "guarded", "k": "-1"}, {"acceptance": "guarded", "k": "two"},
    {"acceptance": "simple", "k": "2"}, {"acceptance": "lenient"}, {},
])  # fmt: skip
def test_a_rule_that_cannot_be_read_is_refused(body: dict[str, str]) -> None:
    """A band below nothing would widen the limit; a word that nobody knows would decide nothing."""
    with pytest.raises(Refusal) as refused:
        Yard.open().set("decision", "rule", body)

    assert {one.code for one in refused.value.faults} == {"bad_setting"}


@pytest.mark.django_db
def test_a_rule_for_what_no_limit_is_put_on_is_refused() -> None:
    """A misspelt characteristic would be guarded by nothing."""
    with pytest.raises(Refusal):
        Yard.open().set("decision", "densty", acceptance="guarded", k="2")


@pytest.mark.django_db
def test_what_is_counted_has_no_guard_band() -> None:
    """A number of pieces is not measured."""
    yard = ruled(23.0)
    yard.limit("TIES", "defective_ties", "max", "5 %", specimens=20)
    yard.look_over("L1", 40, ties=1)
    lot = the_lot(yard)

    assert lot.answer == "may_ship"
    assert lot.decision_rule == (
        "guarded acceptance, guard band 2 u; share defective ties: counted, without a guard band"
    )
    assert is_counted("share_defective")
    assert not is_counted("density")


def test_rules_that_differ_are_told_apart() -> None:
    """Each with what goes by it."""
    told = said_of([("density", TWO), ("width", DecisionRule(stated=True))])

    assert told == "density: guarded acceptance, guard band 2 u; width: simple acceptance"


# -- changed afterwards --------------------------------------------------------------------------


def _keyed_at(yard: Yard, hours: float) -> None:
    yard.door = Door("P1", RULES, clock=lambda: ms(hours))


@pytest.fixture
def strict(monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A lot within the guard band of 2 u, recorded on day 4."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(4 * 24))
    return ruled(22.2)


@pytest.mark.django_db
def test_a_rule_eased_afterwards_is_named(strict: Yard) -> None:
    """It lets the lot ship; the answer says who eased it, when, and what it asked before."""
    _keyed_at(strict, 30 * 24)
    strict.set("decision", "rule", acceptance="guarded", k="0.5")
    lot = the_lot(strict)

    assert lot.answer == "may_ship"
    (reason,) = coded(lot, "rule_loosened")
    assert reason.weight == "notes"
    assert reason.sentence == (
        "judged by a decision rule that nobody named eased on 2026-10-01, after it was made:"
        " guarded acceptance, guard band 2 u, now guarded acceptance, guard band 0.5 u"
    )
    (late,) = coded(lot, "set_afterwards")
    assert "decision rule from 2026-09-01 (k: 2, now 0.5)" in late.sentence


@pytest.mark.django_db
def test_a_characteristic_taken_out_of_the_rule_is_named(strict: Yard) -> None:
    """A rule of its own that asks less than the one for all eases it."""
    _keyed_at(strict, 10 * 24)
    strict.set("decision", "density", acceptance="simple")
    lot = the_lot(strict)

    assert lot.answer == "may_ship"
    assert "for density" in coded(lot, "rule_loosened")[0].sentence


@pytest.mark.django_db
def test_a_rule_made_stricter_or_of_another_characteristic_is_not_eased(strict: Yard) -> None:
    """Nor one that comes into force after the lot was made."""
    _keyed_at(strict, 10 * 24)
    strict.set("decision", "rule", acceptance="guarded", k="3")
    strict.set("decision", "width", acceptance="simple")
    strict.set("decision", "density", acceptance="simple", since=9 * 24)

    assert not coded(the_lot(strict), "rule_loosened")


@pytest.mark.django_db
def test_rules_of_one_file_were_never_otherwise(strict: Yard) -> None:
    """A plant that reads its old settings enters all of them late."""
    _keyed_at(strict, 10 * 24)
    strict.set("decision", "rule", acceptance="guarded", k="3", since=1)
    strict.set("decision", "rule", acceptance="guarded", k="0.5", since=2)

    assert not coded(the_lot(strict), "rule_loosened")


# -- it only adds strictness ---------------------------------------------------------------------


def _limit(bound: Bound, rule: DecisionRule, statistic: Statistic = "each") -> LimitInForce:
    twenty_two = Decimal(22)
    return LimitInForce(
        "X", "density", bound, statistic, twenty_two, "kg/m3", "density", twenty_two, rule=rule
    )


def _compare(limit: LimitInForce, value: float) -> tuple[bool, float, str]:
    margin = value - 22 if limit.bound == "min" else 22 - value
    return margin >= 0, margin, ""


@pytest.mark.parametrize("bound", ["min", "max"])
@pytest.mark.parametrize("statistic", ["each", "mean"])
@pytest.mark.parametrize("k", ["0.5", "1.64", "2"])
def test_no_value_passes_that_simple_acceptance_stops(
    bound: Bound, statistic: Statistic, k: str
) -> None:
    """Of values and uncertainties all over, known or not."""
    rule = DecisionRule("guarded", Decimal(k), stated=True)
    for value in (20.0, 21.9, 21.99999, 22.0, 22.00001, 22.1, 24.0):
        for u in (None, 0.0, 0.01, 0.5):
            values = [Value("density", value, u, "dry", "A", ())]
            figure = (value, u)
            simple = held_against(_limit(bound, DEFAULT, statistic), values, figure, _compare)
            stand = held_against(_limit(bound, rule, statistic), values, figure, _compare)
            accepted = stand.met and not stand.unsure

            assert not (accepted and not simple.met)
            if u is not None:
                inside = simple.margin >= float(k) * u - 1e-9
                assert accepted == (simple.met and inside), (value, u)
            else:
                assert not accepted


def test_the_piece_nearest_by_its_own_uncertainty_decides() -> None:
    """Not the lightest: one further inside may be less sure."""
    values = [
        Value("density", 22.3, 0.05, "dry", "A", ()),
        Value("density", 22.6, 0.40, "dry", "B", ()),
    ]
    stand = held_against(_limit("min", TWO), values, (22.3, 0.05), _compare)

    assert (stand.met, stand.value, stand.guard) == (False, 22.6, 0.8)


def test_one_piece_of_unknown_uncertainty_leaves_it_open() -> None:
    """But one that is known to be too near settles it."""
    sure = Value("density", 24.0, 0.05, "dry", "A", ())
    unknown = Value("density", 25.0, None, "dry", "B", ())
    near = Value("density", 22.05, 0.05, "dry", "C", ())

    assert held_against(_limit("min", TWO), [sure, unknown], (24.0, 0.05), _compare).unsure
    stand = held_against(_limit("min", TWO), [sure, unknown, near], (22.05, 0.05), _compare)
    assert not stand.met
    assert not stand.unsure


def test_at_the_edge_of_the_band_it_is_accepted() -> None:
    """JCGM 106:2012, 8.3.2: the acceptance limit belongs to what is accepted [from memory]."""
    edge = Value("density", 22.2, 0.1, "dry", "A", ())

    assert held_against(_limit("min", TWO), [edge], (22.2, 0.1), _compare).met


def test_a_result_says_in_words_by_how_much_it_misses_the_band() -> None:
    """As it stands in a reason and in a planned test."""
    result = LimitResult(
        _limit("min", TWO), "not_met", 22.1, 0.1, "22.1 kg/m3", 0.1, "0.1 kg/m3",
        guard_si=0.2, guard="0.2 kg/m3",
    )  # fmt: skip

    assert result.in_band
    assert result.short == (
        "inside 22 kg/m3 by 0.1 kg/m3, less than the guard band of 0.2 kg/m3 (2 u)"
    )
