"""The lightest density that is safe to aim at: by the plant's own lots, never below its listing."""

from __future__ import annotations

import math
import random
import statistics

import pytest
from scipy import stats

from beadwright.ledger import settings
from beadwright.plant.set_up import SetUp, set_up
from beadwright.plant.set_up.asked import Choice
from beadwright.plant.worked import Line
from beadwright.science.trust import Trust
from tests.plant.yard import FORM, Yard, ms

pytestmark = pytest.mark.django_db

VOLUME_L, AIM_KG = 66.0, 1.500
LIMIT = 21.6


def yard_of(lots: int = 6, **product: str) -> Yard:
    """Lots whose blocks scatter by 0.3 kg/m3 between them and 0.1 within, about 22.7."""
    yard = Yard.open()
    body = {**FORM, "ties": 0, "foam_volume": f"{VOLUME_L} L", "foam_mass": f"{AIM_KG} kg"}
    yard.set("product", "FB6", {**body, **product}, since=1)
    yard.set("approved", "FB6", revision="R1", grades=["F1", "T6"])
    yard.set("grade", "F1", of="bead", colour="white", price_per_kg="2")
    yard.limit("FB6-MIN", "density", "min", f"{LIMIT} kg/m3", statistic="each")
    chance = random.Random(5)
    yard.bag("B-9")
    yard.expand("B-9", "S1", kg=400)
    for number in range(lots):
        lot = f"L{number}"
        yard.block_lot(lot, at=20 + number)
        level = 22.7 + chance.gauss(0, 0.3)
        masses = [VOLUME_L / 1000 * (level + chance.gauss(0, 0.1)) for _ in range(6)]
        yard.weigh(lot, "dry", masses, at=60 + number)
    return yard


def asked(yard: Yard) -> SetUp:
    """Its set-up sheet."""
    return set_up(yard.no, Choice("FB6"), ms(300))


def line(found: SetUp, key: str) -> Line:
    """A line of a sheet."""
    return next(one for one in found.lines if one.key == key)


def test_the_lightest_keeps_each_lot_above_the_limit_at_the_chance_allowed() -> None:
    """Near what normal tables say of one piece a lot; above the limit, below the aim."""
    found = asked(yard_of(lots=12, listed_density="21.6 kg/m3", failing_lots="1 %"))
    lightest, between, within = (
        line(found, key).value or 0.0 for key in ("lightest", "between_lots", "within_lots")
    )
    known = LIMIT + float(stats.norm.ppf(0.99)) * (between**2 + within**2) ** 0.5
    assert known < lightest < known + 0.5  # more, for spreads that twelve lots do not know well
    assert lightest < (line(found, "moulded_density").value or 0.0)
    low, high = line(found, "lightest").low, line(found, "lightest").high
    assert low is not None
    assert high is not None
    assert low < lightest < high + 0.3


def test_it_is_never_below_the_density_that_the_product_is_listed_at() -> None:
    """Listed at 22.4, the lightest is that, however even the lots are; the sheet says why."""
    found = asked(yard_of(lots=12, listed_density="22.6 kg/m3", failing_lots="20 %"))
    assert (line(found, "lightest").value or 99.0) < 22.6
    assert line(found, "safe_target").value == pytest.approx(22.6)
    says = next(one.says for one in found.sections if one.key == "aim")
    assert "the agency's approval first" in says


def test_without_a_listing_there_is_no_answer() -> None:
    """What the product is listed at is no detail: it is asked for by name."""
    found = asked(yard_of())
    assert line(found, "lightest").value is not None
    assert line(found, "safe_target").value is None
    assert "Density it is listed at" in line(found, "safe_target").lacking


def test_too_few_lots_say_nothing() -> None:
    """Two lots have no spread to speak of."""
    found = asked(yard_of(lots=2, listed_density="21.6 kg/m3"))
    assert line(found, "lightest").value is None
    assert line(found, "between_lots").value is None


def test_what_is_given_away_is_what_the_blocks_hold_above_it() -> None:
    """Foam of a year, times how far above; money by the price of a kilogram."""
    found = asked(yard_of(lots=12, listed_density="21.6 kg/m3"))
    above, foam, away, money = (
        line(found, key).value or 0.0
        for key in ("above_safe", "foam_a_year", "given_away", "given_away_money")
    )
    assert 0 < above < 0.1
    assert away == pytest.approx(foam * above / (1 + above))
    assert money == pytest.approx(2 * away)
    assert line(found, "per_cent").value == pytest.approx(foam / 100)
    assert line(found, "given_away_money").title.endswith("in the plant's money")


def test_foam_given_away_costs_the_raw_beads_that_it_took() -> None:
    """By hand: with 6 % of pentane in the raw bead a kilogram of foam is 1/0.94 of beads."""
    yard = yard_of(lots=12, listed_density="21.6 kg/m3")
    (before,) = (one for one in asked(yard).lines if one.key == "given_away_money")
    grade = dict(settings.load(yard.no).at("grade", "F1", ms(1000)) or {})
    yard.set("grade", "F1", {**grade, "pentane": "6 %"}, since=1)
    found = asked(yard)
    assert before.value is not None
    assert line(found, "given_away_money").value == pytest.approx(before.value / 0.94)
    assert line(found, "given_away_money").inputs == ("given_away", "pentane_dry", "bead_price")


def test_money_has_the_name_that_the_plant_states() -> None:
    """Of what is given away, and of the price that it rests on."""
    yard = yard_of(lots=12, listed_density="21.6 kg/m3")
    yard.set("plant", yard.door.plant, currency="CHF")
    found = asked(yard)
    for key in ("bead_price", "per_cent_money", "given_away_money"):
        assert line(found, key).title.endswith("in CHF")


def test_the_mean_of_the_lots_has_the_band_of_their_means() -> None:
    """[numpy-scipy] Of lots of one size, Student's interval of the lots' own means, by SciPy."""
    yard = yard_of(lots=12)
    found = line(asked(yard), "lots_mean")
    chance, means = random.Random(5), []
    for _ in range(12):
        level = 22.7 + chance.gauss(0, 0.3)
        means.append(statistics.mean(level + chance.gauss(0, 0.1) for _ in range(6)))
    low, high = stats.t.interval(0.95, 11, statistics.mean(means), stats.sem(means))

    assert found.trust is Trust.ESTIMATE
    assert found.value == pytest.approx(statistics.mean(means), rel=1e-5)  # weighed to 0.1 g
    assert found.low == pytest.approx(low, rel=1e-5)
    assert found.high == pytest.approx(high, rel=1e-5)


def test_no_band_is_said_to_come_of_the_figure_itself() -> None:
    """Each says why it is there, and what narrows it is no repetition of how it was got."""
    found = asked(yard_of(lots=12, listed_density="21.6 kg/m3"))
    for one in found.lines:
        if one.origin in {"worked", "measured"}:
            assert f"{one.title}: worked out" not in one.causes
            assert f"{one.title}, measured in the plant" not in one.narrowed_by
    assert line(found, "lightest").causes == ("relation and spreads are known only so well",)
    assert line(found, "asks_1").narrowed_by == ("more lots",)


def test_the_band_of_a_chance_reaches_beyond_it() -> None:
    """Skewed as it is, the mean lies within what it may be."""
    now = line(asked(yard_of(lots=12)), "failing_now")
    assert None not in (now.low, now.value, now.high)
    assert (now.low or 0.0) < (now.value or 0.0) < (now.high or 0.0)


def test_a_year_of_foam_has_the_band_of_its_days() -> None:
    """Twelve lots of 40 blocks in twelve hours, ten days ago; nothing since: by hand.

    All on the first of the days looked at, so a day's spread is that of one full day among empty
    ones; two standard uncertainties reach to nothing. Within a week nothing is said.
    """
    yard = yard_of(lots=12, listed_density="21.6 kg/m3")
    found = line(asked(yard), "foam_a_year")
    made, days = 12 * 40 * 1.495, (300 - 20) / 24
    per_day = [0.0] * 11 + [made]
    off = 2 * statistics.stdev(per_day) / math.sqrt(12) * 365
    assert found.value == pytest.approx(made / days * 365)
    assert found.low == pytest.approx(max(0.0, made / days * 365 - off))
    assert found.high == pytest.approx(made / days * 365 + off)
    assert line(set_up(yard.no, Choice("FB6"), ms(150)), "foam_a_year").value is None
