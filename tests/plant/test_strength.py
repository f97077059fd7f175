"""Strength against density by the plant's own tests: the line, its flags, the least density."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from beadwright.charts.curves import draw
from beadwright.charts.strength import picture
from beadwright.ledger.draft import Reading
from beadwright.plant.set_up.own_tests import OwnTests
from beadwright.plant.strength import by_lot, strength_line
from beadwright.plant.strength_words import words_of
from beadwright.web.products.strength import drawn_of
from tests.plant.asking import block
from tests.plant.planning import STRENGTH
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

_PSI = 6894.757293168
_DENSITY = (19.0, 20.0, 21.0, 22.0, 23.0, 24.0, 25.0)
_STRENGTH = (12.1, 13.4, 14.6, 15.3, 16.9, 17.8, 19.2)


def plant(strengths: tuple[float, ...] = _STRENGTH) -> Yard:
    """Seven lots a day apart, each with two tests about its strength, at least 15 psi asked."""
    yard = Yard.open()
    yard.set("ageing", "F1", min_h="0", max_h="2000")
    yard.limit("STR", STRENGTH, "min", "15.0 psi", statistic="mean")
    for n, (density, psi) in enumerate(zip(_DENSITY, strengths, strict=True), 1):
        lot = f"L{n}"
        yard.bag(f"B-{n}", at=24 * n)
        yard.carton(f"T-{n}", at=24 * n)
        yard.expand(f"B-{n}", "S1", at=24 * n + 2)
        yard.mould(lot, carton=f"T-{n}", good=10, at=24 * n + 12)
        yard.read([
            Reading("block_mass_24h", f"{block(density):.6f}", "kg", lot=lot, specimen="D1",
                    facts={"state": "24h", "age_h": "26"}),
            *(Reading(STRENGTH, f"{psi + off:.3f}", "psi", lot=lot, specimen=f"C{i}")
              for i, off in enumerate((-0.2, 0.2))),
        ], at=24 * n + 50)  # fmt: skip
    return yard


def test_the_line_is_that_through_the_lots_means() -> None:
    """By scipy: seven points, not fourteen."""
    found = strength_line(plant().no, "FB6", STRENGTH, ms(24 * 40))
    own = stats.linregress(_DENSITY, np.array(_STRENGTH) * _PSI)

    assert found.line is not None, found.why_not
    assert found.line.count == len(_DENSITY)
    assert found.line.slope == pytest.approx(own.slope, rel=1e-4)
    assert found.line.intercept == pytest.approx(own.intercept, rel=1e-3)
    assert found.line.u_slope == pytest.approx(own.stderr, rel=1e-3)


def test_the_density_at_the_limit_is_the_lines_and_the_sure_one_is_heavier() -> None:
    """Where the line is at 15 psi; nine lots in ten surely reach it only above."""
    found = strength_line(plant().no, "FB6", STRENGTH, ms(24 * 40))
    own = stats.linregress(_DENSITY, _STRENGTH)
    (at,) = found.limits

    assert at.found is not None
    assert at.found.x == pytest.approx((15.0 - own.intercept) / own.slope, rel=1e-4)
    assert at.lightest_kg_m3 is not None
    assert at.lightest_kg_m3 > at.found.x
    told = " ".join(words_of(found, "si"))
    assert f"From {at.lightest_kg_m3:.2f} kg/m" in told
    assert "nine lots in ten reach 15.0 psi (STR), with 90 % confidence" in told


def test_where_all_that_was_tested_is_strong_enough_it_says_so() -> None:
    """It promises nothing of lighter lots than were tested."""
    strong = tuple(one + 10 for one in _STRENGTH)
    found = strength_line(plant(strong).no, "FB6", STRENGTH, ms(24 * 40))
    told = " ".join(words_of(found, "si"))

    assert "All through what was tested, from 19.00 kg/m" in told
    assert "lighter ones have not been tested" in told


def test_a_lot_far_off_is_flagged_and_stays_in_the_line() -> None:
    """Nothing is dropped for its distance."""
    wild = (*_STRENGTH[:3], 22.0, *_STRENGTH[4:])
    found = strength_line(plant(wild).no, "FB6", STRENGTH, ms(24 * 40))

    assert found.line is not None
    assert [one.index for one in found.flagged] == [3]
    assert found.line.count == len(_DENSITY)
    assert found.without is not None
    assert found.without.count == len(_DENSITY) - 1
    drawn = draw(picture(drawn_of(found, found.line), "si"))
    assert "flagged" in drawn.svg
    assert "1 far from the others is flagged" in drawn.words


@pytest.mark.parametrize("system", ["si", "us"])
def test_the_picture_says_what_it_shows(system: str) -> None:
    """Axes in the units of choice, one ring a lot."""
    found = strength_line(plant().no, "FB6", STRENGTH, ms(24 * 40))
    assert found.line is not None
    spec = picture(drawn_of(found, found.line), "si" if system == "si" else "us")

    assert len(spec.points) == len(_DENSITY)
    assert not any(one.full for one in spec.points)
    assert spec.y.words.endswith("kPa" if system == "si" else "psi")
    assert spec.across[0].value == pytest.approx(15.0 * _PSI / (1e3 if system == "si" else _PSI))


def test_of_few_lots_no_line_is_told() -> None:
    """It says how many there are."""
    found = strength_line(Yard.open().no, "FB6", STRENGTH, ms(24 * 40))

    assert found.line is None
    assert "0 lots have both; 6 of differing density are needed" in found.why_not


def test_tests_of_one_lot_make_one_point() -> None:
    """They share its density: more of them prove nothing more of the line."""
    assert by_lot(OwnTests("x", (20.0, 20.0, 22.0), (1.0, 3.0, 5.0), 2)) == (
        (20.0, 22.0),
        (2.0, 5.0),
    )
