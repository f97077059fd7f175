"""How probable it is that lots conform, and the risks of the plant's rule: a guide, on no paper."""

from __future__ import annotations

import math
import statistics

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from beadwright.errors import Misuse
from beadwright.ledger.draft import Reading
from beadwright.plant.conformity import chance, chance_said, conformity
from tests.plant.asking import block, good_yard, the_limit
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

DENSITIES = (22.4, 22.9, 23.3, 22.1, 23.8, 22.6, 23.1, 22.7, 21.9, 23.0, 22.5, 23.4)
_U = math.hypot(0.2, 0.0025 * statistics.median(DENSITIES))


def made(*densities: float, k: str = "", u: str = "0.013") -> Yard:
    """A lot of blocks a day old, weighed with u = 13 g: 0.2 kg/m³ of foam."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    if k:
        yard.set("decision", "rule", acceptance="guarded", k=k)
    yard.block_lot("L1")
    readings = [
        Reading("block_mass_24h", f"{block(one):.6f}", "kg", lot="L1", specimen=f"D{n}",
                uncertainty=u, facts={"state": "24h", "age_h": "26"})
        for n, one in enumerate(densities)
    ]  # fmt: skip
    yard.read(readings, at=60)
    return yard


def test_the_probability_is_that_of_the_normal_law() -> None:
    """By scipy: 22.2 kg/m³ with u = 0.208 against 22.0."""
    result = the_limit(made(22.2))

    u = math.hypot(0.2, 0.0025 * 22.2)
    assert chance(result) == pytest.approx(norm.cdf(0.2 / u), rel=1e-3)


def test_without_a_known_uncertainty_none_is_told() -> None:
    """Water alone gives some; that is a part, and would make it look surer than it is."""
    result = the_limit(good_yard("L1"))

    assert result.u_si
    assert chance(result) is None


@pytest.mark.parametrize("k", ["", "2"])
def test_the_risks_are_those_of_two_normal_rows(k: str) -> None:
    """By scipy: truth and reading are normal together, with the spread of what is made in both."""
    (one,) = conformity(made(*DENSITIES, k=k).no, "FB6", "density", ms(70)).limits
    spread = one.spread
    assert spread is not None, one.why_not
    seen, guard = statistics.stdev(DENSITIES), float(k or 0) * _U
    own = math.sqrt(seen**2 - _U**2)
    assert spread.count == len(DENSITIES)
    assert spread.seen_si == pytest.approx(seen, rel=1e-4)
    assert spread.own_si == pytest.approx(own, rel=1e-3)
    assert spread.guard_si == pytest.approx(guard, rel=1e-3)

    mean = statistics.fmean(DENSITIES)
    both = multivariate_normal([mean, mean], np.array([[own**2, own**2], [own**2, own**2 + _U**2]]))
    beyond = norm.cdf(22.0, mean, own)
    rejected = norm.cdf(22.0 + guard, mean, math.hypot(own, _U))
    beyond_and_rejected = both.cdf([22.0, 22.0 + guard])
    assert spread.risks.nonconforming == pytest.approx(beyond, abs=2e-4)
    assert spread.risks.consumer == pytest.approx(beyond - beyond_and_rejected, abs=2e-4)
    assert spread.risks.producer == pytest.approx(rejected - beyond_and_rejected, abs=4e-4)


def test_a_guard_band_moves_risk_from_the_receiver_to_the_plant() -> None:
    """JCGM 106:2012, 9.5 [from memory]: less of one is more of the other."""
    yard = made(*DENSITIES)
    (simple,) = conformity(yard.no, "FB6", "density", ms(70)).limits
    yard.set("decision", "rule", acceptance="guarded", k="2")
    (guarded,) = conformity(yard.no, "FB6", "density", ms(70)).limits

    assert simple.spread is not None
    assert guarded.spread is not None
    assert guarded.spread.risks.consumer < simple.spread.risks.consumer / 5
    assert guarded.spread.risks.producer > 2 * simple.spread.risks.producer


@pytest.mark.parametrize(("densities", "u", "why"), [
    (DENSITIES[:5], "0.013", "5 figures; 10 are needed"),
    (DENSITIES, "", "the uncertainty of a reading is not known"),
    (DENSITIES, "0.065", "spreads no more than one reading is uncertain"),
])  # fmt: skip
def test_where_no_risk_can_be_told_it_says_why(
    densities: tuple[float, ...], u: str, why: str
) -> None:
    """Too few, nothing known, or all of it may be error of reading."""
    (one,) = conformity(made(*densities, u=u).no, "FB6", "density", ms(70)).limits

    assert one.spread is None
    assert why in one.why_not


def test_what_to_state_is_named_with_its_instrument_and_place() -> None:
    """The balance by its name, with its calibration and its setting; nothing where all is known."""
    yard = made(*DENSITIES, u="")
    missing = conformity(yard.no, "FB6", "density", ms(70)).to_state
    assert "the instrument of each reading that names none" in missing
    assert "s under [repeatability.block_mass_24h]" in missing
    yard.read([
        Reading("block_mass_24h", f"{block(22.4):.6f}", "kg", lot="L1", specimen="D99",
                instrument="BAL-9", facts={"state": "24h", "age_h": "26"})
    ], at=61)  # fmt: skip
    named = conformity(yard.no, "FB6", "density", ms(70)).to_state
    assert "the standard uncertainty of BAL-9: with its next calibration" in named
    assert "as u under [instrument.BAL-9]" in named
    assert conformity(yard.no, "FB6", "density", ms(70), "0.1 kg/m3").to_state == ""


def test_too_large_an_uncertainty_is_told_beside_the_spread() -> None:
    """Both figures, in the unit of the limit."""
    (one,) = conformity(made(*DENSITIES).no, "FB6", "density", ms(70), "5 kg/m3").limits
    assert "where u is 5.0" in one.why_not
    assert "kg/m3" in one.why_not.partition("standard deviation of ")[2][:12]


def test_what_no_limit_is_put_on_is_misuse() -> None:
    """It names what limits there are."""
    with pytest.raises(Misuse, match="there are on: density"):
        conformity(made(23.0).no, "FB6", "width", ms(70))


@pytest.mark.parametrize(("known", "said"), [
    (0.9995, "over 99.9 %"), (0.5, "50.0 %"), (0.0004, "under 0.1 %"), (0.9772, "97.7 %"),
])  # fmt: skip
def test_a_probability_never_reads_as_certain(known: float, said: str) -> None:
    """Nothing measured is."""
    assert chance_said(known) == said


def test_an_uncertainty_by_hand_is_asked_as_if_each_piece_had_it() -> None:
    """By scipy: of one block, in kg/m³ and in per cent of what was read; the record keeps its own.

    JCGM 106:2012, 9.3: accepted, the specific consumer's risk is what is left to one [from memory].
    """
    yard = made(22.2)
    for said, u in (("0.3 kg/m3", 0.3), ("1 %", 0.222)):
        (one,) = conformity(yard.no, "FB6", "density", ms(70), said).limits
        (lot,) = one.lots
        # The block's mass is keyed to a milligram, which is 15 mg/m³ of foam.
        assert lot.chance == pytest.approx(norm.cdf(0.2 / u), abs=3e-5)
        assert lot.specific_risk == pytest.approx(norm.sf(0.2 / u), abs=3e-5)

    (one,) = conformity(yard.no, "FB6", "density", ms(70)).limits
    assert one.lots[0].result.u_si == pytest.approx(math.hypot(0.2, 0.0025 * 22.2), rel=1e-5)


def test_of_a_rejected_lot_the_risk_is_the_producers() -> None:
    """Within the limit and inside the guard band: rejected, and most likely conforming."""
    (one,) = conformity(made(22.2, k="2").no, "FB6", "density", ms(70)).limits
    (lot,) = one.lots

    assert lot.result.finding == "not_met"
    assert (
        lot.specific_risk
        == lot.chance
        == pytest.approx(
            norm.cdf(0.2 / math.hypot(0.2, 0.0025 * 22.2)),
            abs=3e-5,  # as above
        )
    )


@pytest.mark.parametrize("said", ["1 m", "0 kg/m3", "2", "-1 %"])
def test_what_is_no_uncertainty_is_refused(said: str) -> None:
    """Of a product without a lot too."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")

    with pytest.raises(Misuse, match="no standard uncertainty of density"):
        conformity(yard.no, "FB6", "density", ms(70), said)
