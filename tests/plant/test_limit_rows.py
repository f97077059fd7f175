"""A figure that misses its limit never reads as if it met it, in whatever units it is shown."""

import math
from statistics import stdev
from typing import Literal

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.limit_rows import LimitRow, rows
from beadwright.plant.measured import measured
from beadwright.web.lots.pictures import against_limits
from tests.plant.asking import block, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

System = Literal["si", "us"]

LB_FT3 = 0.45359237 / 0.3048**3
"""Exactly, in kg/m3 (the pound and the foot as NIST SP 811 gives them)."""


STEP = 1e-4
"""Of the scale, in kg: 0.0015 kg/m3 of a block."""


def beside(density: float, side: int) -> float:
    """The mass of a block nearest to a density, by the scale's steps: below it or not."""
    steps = block(density) / STEP
    return (math.floor(steps - 1e-6) if side < 0 else math.ceil(steps + 1e-6)) * STEP


def weighed(bound: str, value: str, *masses: float) -> Yard:
    """A lot with a limit on its density, and blocks of these masses."""
    yard = Yard.open()
    yard.limit("LIM", "density", bound, value)
    yard.block_lot("L1")
    yard.weigh("L1", "24h", list(masses))
    return yard


def the_row(yard: Yard, system: System | None) -> LimitRow:
    """The limit's row as a page shows it."""
    (row,) = rows(the_lot(yard).limits, system)
    return row


@pytest.mark.parametrize("system", [None, "si", "us"])
@pytest.mark.parametrize(
    ("bound", "value", "density"),
    [
        ("min", "21.6 kg/m3", 21.6),
        ("max", "24.0 kg/m3", 24.0),
        ("min", "1.35 lb/ft3", 1.35 * LB_FT3),
        ("max", "1.5 lb/ft3", 1.5 * LB_FT3),
    ],
)
def test_what_misses_by_less_than_the_digits_shown_gets_more_of_them(
    bound: str, value: str, density: float, system: System | None
) -> None:
    """Found and limit are told apart, and stand on the right sides of each other."""
    yard = weighed(bound, value, beside(density, -1 if bound == "min" else 1))
    row = the_row(yard, system)
    limit = float(row.limit.split()[1])

    assert row.finding == "not_met"
    assert float(row.found) < limit if bound == "min" else float(row.found) > limit


@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("mass", [beside(21.6, 1), block(21.0)])
def test_what_meets_its_limit_or_misses_it_plainly_keeps_the_usual_digits(
    mass: float, system: System
) -> None:
    """Two digits in SI and three in US units, as ever."""
    found = the_row(weighed("min", "21.6 kg/m3", mass), system).found

    assert len(found.partition(".")[2]) == {"si": 2, "us": 3}[system]


@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("side", [-1, 1])
def test_the_picture_tells_them_apart_too(side: int, system: System) -> None:
    """By the digits of its labels; what meets the limit needs none more."""
    yard, more = weighed("min", "21.6 kg/m3", beside(21.6, side), block(23.0)), side < 0
    (one,) = [each for each in measured(yard.no, the_lot(yard)) if each.characteristic == "density"]
    picture = against_limits("L1", 0, one, system)
    value, limit = min(picture.strips[0].values), picture.bounds[0].value

    assert (picture.digits > {"si": 2, "us": 3}[system]) is more
    assert (round(value, picture.digits) < round(limit, picture.digits)) is more


def test_beside_each_figure_stands_how_sure_it_is() -> None:
    """U = 2 u: of one piece its own, of a mean with what the pieces differ by, by JCGM 100 4.2.3.

    Lengths of 1218, 1219 and 1221 mm, u = 0.5 mm: s / sqrt(3) is 0.882 mm, and with u 1.014 mm.
    """
    yard = Yard.open()
    yard.limit("EACH", "length", "min", "1210 mm")
    yard.limit("MEAN", "length", "min", "1211 mm", statistic="mean")
    yard.limit("WIDE", "width", "max", "300 mm")
    yard.block_lot("L1")
    yard.read([
        *(Reading("length", f"{mm}", "mm", lot="L1", specimen=f"D{mm}", uncertainty="0.5",
                  facts={"state": "24h", "age_h": "26"}) for mm in (1218, 1219, 1221)),
        Reading("width", "280", "mm", lot="L1", specimen="D1",
                facts={"state": "24h", "age_h": "26"}),
    ])  # fmt: skip
    spread = stdev((1218, 1219, 1221)) / math.sqrt(3)
    told = {one.statistic + one.characteristic: one for one in rows(the_lot(yard).limits)}

    each, mean, wide = told["eachlength"], told["meanlength"], told["eachwidth"]
    assert (each.sure, each.u) == ("known", "1.0")
    assert mean.sure == "known"
    assert float(mean.u) == pytest.approx(2 * math.hypot(spread, 0.5), abs=0.05)  # two figures
    assert (wide.sure, wide.u) == ("unknown", "")


def test_a_density_without_its_balances_part_is_at_least_so_unsure() -> None:
    """Of ties and water alone, of which something is known."""
    row = the_row(weighed("min", "20.0 kg/m3", block(22.0)), "si")

    assert row.sure == "least"
    assert float(row.u) > 0


@pytest.mark.parametrize(
    ("keyed", "system", "found", "margin"),
    [
        (("6.97 lb", "6.9 lb"), "us", "6.97", "0.195"),
        (("6.97 lb", "6.99 lb"), "si", "3.171", "0.0794"),
        (("3.162 kg", "3.2 kg"), "us", "7.055", "0.1102"),
    ],
)
def test_a_figure_has_no_more_digits_than_the_instrument_reads(
    keyed: tuple[str, str], system: System, found: str, margin: str
) -> None:
    """One pound in a hundred parts is a thousandth of a kilogram, by 0.45359237 kg exactly.

    7.165 lb are 3.25 kg (3.2499893, and the limit is 3.25 kg: 7.16502 lb); 3.2 kg are 7.05479 lb.
    """
    yard = Yard.open()
    yard.limit("HEAVY", "block_mass_24h", "max", "3.250 kg")
    yard.block_lot("L1")
    read = [
        Reading("block_mass_24h", number, unit, lot="L1", specimen=number, facts={"age_h": "26"})
        for number, unit in (one.split() for one in keyed)
    ]
    yard.read(read)
    row = the_row(yard, system)
    assert (row.found, row.margin) == (found, margin)
    assert row.limit == {"us": "max 7.1650 lb", "si": "max 3.2500 kg"}[system]


def test_a_figure_that_would_read_as_meeting_its_limit_gets_the_digits_that_tell() -> None:
    """7.164 lb are no 7.165: two digits would read 7.16, beside a minimum of 7.1617 lb."""
    yard = Yard.open()
    yard.limit("LIGHT", "block_mass_24h", "min", "3.2485 kg")
    yard.block_lot("L1")
    read = Reading("block_mass_24h", "3.25", "kg", lot="L1", specimen="D1", facts={"age_h": "26"})
    yard.read([read])
    row = the_row(yard, "us")
    assert row.finding == "met"
    assert float(row.found) >= float(row.limit.split()[1])


def test_what_wet_blocks_screen_at_stands_in_the_units_of_its_row() -> None:
    """The pounds beside it, and no kilograms."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "21.6 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "press", [3.2])
    row = the_row(yard, "us")

    assert f"they screen at {row.found} lb/ft³, which would be" in row.missing
    assert "they screen at" in the_row(yard, "si").missing
    assert "kg/m" not in row.missing
