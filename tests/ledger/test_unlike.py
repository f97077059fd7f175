"""Bounds where ties are left over, where scrap is parted, and where weighings are a little off.

Blocks of 1.495 kg of foam and six ties of 0.27 kg; reckoned by hand.
"""

from __future__ import annotations

import pytest

from beadwright.ledger.draft import Line, Material, NewLot
from beadwright.ledger.trace import trace
from beadwright.ledger.traced import TraceLot
from beadwright.ledger.unlike import Off, unlike
from beadwright.plant.mass_off import is_share_off, off_of
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

_FOAM, _TIE, _BLOCK = 1.495, 0.27, 3.115


def _mg(kg: float) -> int:
    return round(1e6 * kg)


@pytest.fixture
def yard() -> Yard:
    """Bag B-1 and a carton of ties."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1", 400, at=2)
    return yard


def _bounds(yard: Yard, lot: str, source: str) -> list[tuple[float, float]]:
    """Bounds of a source in a lot: of its trace back, and of the source's trace forward."""
    off = off_of(yard.no)
    ways = ((lot, "back", source), (source, "forward", lot))
    found: list[TraceLot] = []
    for code, way, of in ways:
        lots = trace(yard.no, code, way, off=off).lots  # type: ignore[arg-type]
        found += [one for one in lots if one.lot.code == of]
    return [(one.least, one.most) for one in found]


def _mould_with_one_tie_over(yard: Yard) -> None:
    """38 good blocks, two scrapped, and a tie that broke: 241 drawn."""
    good, scrap = 38 * _BLOCK, 2 * _BLOCK + _TIE
    yard.step(
        "mould", 20,
        [
            Line("S1", -1, _mg(40 * _FOAM)), Line("T-1", -1, _mg(241 * _TIE), 241),
            Line("L1", 1, _mg(good), 38), Line("BIN", 1, _mg(scrap)),
        ],
        NewLot("L1", Material.BLOCK, "mould run", "FB6", unit_mg=_mg(_BLOCK)),
        NewLot("BIN", Material.SCRAP, "bin"),
        product="FB6", place="FP1",
    )  # fmt: skip


def test_a_tie_left_over_lies_in_the_good_or_in_the_scrap(yard: Yard) -> None:
    """Its share holds both cases, in the lot and in the bin, of the carton and of the bag."""
    _mould_with_one_tie_over(yard)
    scrap = 2 * _BLOCK + _TIE
    cases = {
        "L1": (38 * 6 * _TIE / (38 * _BLOCK), (38 * 6 + 1) * _TIE / (38 * _BLOCK + _TIE)),
        "BIN": (12 * _TIE / (2 * _BLOCK), 13 * _TIE / scrap),
    }
    for lot, ties in cases.items():
        for share in ties:
            for least, most in _bounds(yard, lot, "T-1"):
                assert least <= share <= most
            for least, most in _bounds(yard, lot, "B-1"):
                assert least <= 1 - share <= most
    (least, most), _ = _bounds(yard, "L1", "T-1")
    assert most - least < 2.1 * _TIE / (38 * _BLOCK)  # and no more than the tie, either way


@pytest.mark.parametrize(
    ("good", "scrap", "broken"), [(38, 2, 1), (2, 0, 2), (1, 0, 2), (3, 1, 4), (3, 1, 0)]
)
def test_ties_that_broke_may_all_lie_in_the_bin(good: int, scrap: int, broken: int) -> None:
    """Six ties in each block and the others in the bin, even where as many broke as blocks are."""
    pieces, block, tie = good + scrap, _mg(_BLOCK), _mg(_TIE)
    ties, blocks = (6 * pieces + broken) * tie, good * block
    rest = scrap * block + broken * tie
    out = unlike([
        (1, 1, 1, -1, pieces * _mg(_FOAM), 0, 0, 0),
        (1, 2, 2, -1, ties, 0, 0, 6 * pieces + broken),
        (1, 3, 3, 1, blocks, 0, 0, good),
        (1, 4, 4, 1, rest, 0, 0, 0),
    ])  # fmt: skip
    whole = ties / (blocks + rest)

    assert out.least(whole, blocks) <= 6 * tie / block + 1e-9
    assert out.most(whole, rest) >= (6 * scrap + broken) * tie / rest - 1e-9
    assert (out.apart_mg > 0) == (broken > 0)


def test_what_is_parted_may_be_parted_anyhow(yard: Yard) -> None:
    """Foam stripped of its ties may be all foam, though foam was a half of what went in."""
    _mould_with_one_tie_over(yard)
    foam, ties = 2 * _FOAM, 13 * _TIE
    yard.step(
        "strip", 30, [Line("BIN", -1, _mg(foam + ties)), Line("SF", 1, _mg(foam)),
                      Line("SF-T", 1, _mg(ties))],
        NewLot("SF", Material.SCRAP, "stripped"), NewLot("SF-T", Material.SCRAP, "ties"),
    )  # fmt: skip
    assert _bounds(yard, "SF", "B-1") == [(0.0, 1.0)] * 2
    for lot, share in (("SF", 0.0), ("SF-T", 1.0)):
        for least, most in _bounds(yard, lot, "T-1"):
            assert least <= share <= most


def test_a_share_of_a_mixture_is_as_uncertain_as_its_weighings(yard: Yard) -> None:
    """Foam and ties each off by three times 0.4 %, one too much and one too little."""
    yard.mould("L1", at=20)
    yard.set("tolerance", "mould", u="0.4 %")
    foam, ties = 40 * _FOAM, 240 * _TIE
    least, most = (ties * (1 + by) / (ties * (1 + by) + foam * (1 - by)) for by in (-0.012, 0.012))
    for bounds in _bounds(yard, "L1", "T-1"):
        assert bounds == pytest.approx((least, most))
    assert _bounds(yard, "S1", "B-1")[0] == (1.0, 1.0)  # of one bag alone it is all


def test_what_is_left_is_as_uncertain_as_all_that_came_and_went(yard: Yard) -> None:
    """A silo of 400 kg is drawn to 10 kg: of the bag before, 10 kg and 1.2 % of 790 kg may lie."""
    yard.bag("B-2")
    yard.transfer("S1", "S2", 390, at=10)
    yard.expand("B-2", "S1", 400, at=12)
    yard.mould("L1", carton="", at=20)
    (_, exactly), _ = _bounds(yard, "L1", "B-1")
    yard.set("tolerance", "fill", u="0.4 %")
    (_, most), _ = _bounds(yard, "L1", "B-1")

    assert exactly == pytest.approx(10 / 59.8)
    assert most == pytest.approx((10 + 0.012 * 790) / 59.8 * 1.012 / 0.988)


def test_a_plant_that_sets_nothing_has_bounds_of_right_masses(yard: Yard) -> None:
    """Nothing is made up; of several steps the worst counts, as it is set now."""
    assert off_of(yard.no) == Off(0.0)
    yard.set("tolerance", "expand", u="0.5 %")
    yard.set("tolerance", "mould", u="0.4 %")
    assert off_of(yard.no).share == pytest.approx(0.015)
    assert [is_share_off(text) for text in ("0.4 %", "11 %", "0.4 kg", "0.4", "-1 %")] == [
        True, False, False, False, False,
    ]  # fmt: skip
