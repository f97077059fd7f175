"""The bounds of a trace back against linear programmes of the same record, solved by HiGHS.

Never narrower than what the record leaves open; just that wherever foam alone is blown from place
to place and blocks are moulded of it, and at any merge right before the lot asked about.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable

import pytest
from django.db import transaction
from hypothesis import given, note, settings
from hypothesis import strategies as st

from beadwright.ledger import trace
from beadwright.ledger.draft import Line
from beadwright.ledger.traced import RESIDUE_MG
from tests.ledger.genealogy import touches
from tests.ledger.programme import Programme
from tests.plant.yard import Yard
from tests.strategies import Choice, drawn

pytestmark = pytest.mark.django_db

_serial = itertools.count(1)
_CLOSE = 2e-6
"""What whole milligrams and the solver's tolerance may make of a share."""

_SILOS = ("S1", "S2", "S3")


class _Play:
    """A small plant in which foam goes about at random; no silo ever stands at nothing, unswept."""

    def __init__(self, pick: Choice) -> None:
        self.pick = pick
        self.yard = Yard.open(f"B-{next(_serial)}", _SILOS)
        self.stock = dict.fromkeys(_SILOS, 0)
        self.blocks: dict[str, int] = {}
        self.at = 10
        self.bags = pick.whole(2, 4)
        for i in range(self.bags):
            self.yard.bag(f"A{i}")
        for i in range(2):
            self.yard.carton(f"T{i}")

    def go(self, *moves: Callable[[_Play], None]) -> None:
        for _ in range(self.pick.whole(4, 9)):
            self.at += 1
            self.pick.of(moves)(self)
        # Whatever was drawn at random, something was moulded.
        silo = max(_SILOS, key=lambda one: self.stock[one])
        if self.stock[silo] < 2:
            self._fill(silo, "A0", 5)
        self.at += 1
        self._mould("L0", silo, self.stock[silo] - 1)

    def fill(self) -> None:
        self._fill(self.pick.of(_SILOS[:2]), f"A{self.pick.whole(0, self.bags - 1)}",
                   self.pick.whole(2, 12))  # fmt: skip

    def _fill(self, silo: str, bag: str, kg: int) -> None:
        self.yard.expand(bag, silo, kg, at=self.at)
        self.stock[silo] += kg

    def blow(self) -> None:
        source, into = self.pick.of(list(itertools.permutations(_SILOS, 2)))
        if self.stock[source] > 1:
            kg = self.pick.whole(1, self.stock[source] - 1)
            self.yard.transfer(source, into, kg, at=self.at)
            self.stock[source] -= kg
            self.stock[into] += kg

    def sweep(self) -> None:
        silo = self.pick.of(_SILOS[:2])
        self.yard.sweep(silo, at=self.at)
        self.stock[silo] = 0

    def mould(self) -> None:
        silo = self.pick.of(_SILOS)
        if self.stock[silo] > 1:
            lot = f"L{self.pick.whole(0, 1)}"
            self._mould(lot, silo, self.pick.whole(1, self.stock[silo] - 1))

    def _mould(self, lot: str, silo: str, kg: int) -> None:
        carton = "" if lot == "L1" else self.pick.of(("T0", "T1"))
        self.yard.mould(lot, silo, carton, good=kg, foam_kg=1.0, at=self.at)
        self.stock[silo] -= kg
        self.blocks[lot] = self.blocks.get(lot, 0) + kg

    def mould_light(self) -> None:
        """Mould blocks that are lighter in foam, and packed at the mass of the others."""
        if self.blocks.get("L0", 0) and self.stock["S1"] > 1:
            kg = self.pick.whole(1, self.stock["S1"] - 1)
            self.yard.mould("L0", "S1", "T0", good=2 * kg, foam_kg=0.5, at=self.at)
            self.stock["S1"] -= kg
            self.blocks["L0"] += kg

    def blend(self) -> None:
        """Expand two bags into one silo at once."""
        mg = [1_000_000 * self.pick.whole(1, 6) for _ in range(2)]
        lines = [Line("A0", -1, mg[0]), Line("A1", -1, mg[1]), Line("S1", 1, sum(mg))]
        self.yard.step("expand", self.at, lines)
        self.stock["S1"] += sum(mg) // 1_000_000

    def pack(self) -> None:
        for lot, there in self.blocks.items():
            if there > 1:
                pieces = self.pick.whole(1, there - 1)
                self.yard.bundle(f"BU{self.pick.whole(0, 1)}-{lot}", lot, pieces, at=self.at)
                self.blocks[lot] -= pieces
                return


def closed(play: _Play, codes: list[str]) -> None:
    """Bags and cartons make up a lot: what one is at least, the others leave, and the reverse."""
    for code in codes:
        found = trace.trace(play.yard.no, code, "back", cut_mg=0).lots
        first = [one for one in found if one.lot.kind in {"bead", "tie"}]
        assert sum(one.share for one in first) == pytest.approx(1)
        for one in first:
            others = [other for other in first if other is not one]
            assert one.least >= 1 - sum(other.most for other in others) - _CLOSE
            assert one.most <= 1 - sum(other.least for other in others) + _CLOSE


def compared(play: _Play, codes: list[str]) -> list[tuple[float, float, float, float]]:
    """Bounds of every source of some lots: ours, and those of the programme."""
    lines = touches(play.yard.no)
    programme = Programme(lines)
    found = []
    for code in codes:
        for one in trace.trace(play.yard.no, code, "back", cut_mg=0).lots:
            least, most = programme.extremes(one.lot.code, code)
            note(f"{one.lot.code} in {code}: {one.least}-{one.most}, HiGHS {least}-{most}")
            found.append((one.least, one.most, least, most))
    assert found
    return found


def _within(ours: float, theirs: float) -> bool:
    return abs(ours - theirs) <= _CLOSE


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_where_foam_alone_is_blown_about_the_bounds_are_those_of_the_programme(
    data: st.DataObject,
) -> None:
    """Fills, transfers between silos, sweeps, mould runs of several draws: equal at both ends."""
    point = transaction.savepoint()
    play = _Play(drawn(data))
    play.go(_Play.fill, _Play.fill, _Play.blow, _Play.mould, _Play.sweep)

    for ours_least, ours_most, least, most in compared(play, sorted(play.blocks)):
        assert _within(ours_least, least)
        assert _within(ours_most, most)
    closed(play, sorted(play.blocks))
    transaction.savepoint_rollback(point)


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_the_bounds_of_bundles_are_never_narrower_than_those_of_the_programme(
    data: st.DataObject,
) -> None:
    """Bags blended at once, blocks of unlike parts of foam: ours hold those of the programme."""
    point = transaction.savepoint()
    play = _Play(drawn(data))
    play.go(_Play.fill, _Play.blend, _Play.blow, _Play.mould, _Play.mould_light, _Play.pack)
    play.pack()
    bundles = sorted({step.lines[1].lot for step in play.yard.steps.values()
                      if step.kind == "bundle"})  # fmt: skip

    codes = [*sorted(play.blocks), *bundles]
    for ours_least, ours_most, least, most in compared(play, codes):
        assert ours_least <= least + _CLOSE
        assert most - _CLOSE <= ours_most
    closed(play, codes)
    transaction.savepoint_rollback(point)


def bounds(yard: Yard, code: str, cut_mg: float = 0) -> dict[str, tuple[float, float]]:
    """Least and most of each lot in another."""
    found = trace.trace(yard.no, code, "back", cut_mg=cut_mg).lots
    return {one.lot.code: (one.least, one.most) for one in found}


def two_bags() -> Yard:
    """300 kg of B-1 and 100 kg of B-2 in silo S1."""
    yard = Yard.open()
    for bag in ("B-1", "B-2"):
        yard.bag(bag)
    yard.expand("B-1", "S1", 300, at=2)
    yard.expand("B-2", "S1", 100, at=3)
    return yard


def test_what_the_others_cannot_fill_is_there_for_certain() -> None:
    """Of 250 kg B-2 gave 100 at most, of 290 in two draws too; 100 kg more may be all of either."""
    yard = two_bags()
    yard.mould("L1", carton="", good=250, foam_kg=1, at=20)
    yard.mould("L2", carton="", good=100, foam_kg=1, at=21)
    yard.mould("L1", carton="", good=40, foam_kg=1, at=22)

    assert bounds(yard, "L2")["B-1"] == pytest.approx((0, 1))
    assert bounds(yard, "L1")["B-1"] == pytest.approx((190 / 290, 1))
    assert bounds(yard, "L1")["B-2"] == pytest.approx((0, 100 / 290))
    assert bounds(yard, "L1")["S1"] == pytest.approx((1, 1))


def test_what_was_drawn_beyond_the_books_may_be_of_anything() -> None:
    """S1 gives 440 kg out of 400: 40 are of nobody knows whom, by the estimate like the rest."""
    yard = two_bags()
    yard.mould("L1", carton="", good=440, foam_kg=1, at=20)

    assert bounds(yard, "L1")["B-1"] == pytest.approx((300 / 440, 0.75))
    assert bounds(yard, "L1")["B-2"] == pytest.approx((100 / 440, 0.25))


def test_what_stayed_in_a_place_that_ran_empty_is_bounded_by_the_residue() -> None:
    """400 kg came in and went; of the next 50 kg up to 1 kg may be of each bag before, or none."""
    yard = two_bags()
    yard.mould("L1", carton="", good=400, foam_kg=1, at=20)
    yard.bag("B-3")
    yard.expand("B-3", "S1", 60, at=21)
    yard.mould("L2", carton="", good=50, foam_kg=1, at=22)

    residue = RESIDUE_MG / 50_000_000
    assert bounds(yard, "L2")["B-1"] == pytest.approx((0, residue))
    assert bounds(yard, "L2")["B-2"] == pytest.approx((0, residue))
    assert bounds(yard, "L2")["B-3"] == pytest.approx((1 - residue, 1))


def test_what_is_not_listed_is_a_source_of_its_own() -> None:
    """B-2 is cut off the list: what of it may be there is still not B-1's."""
    yard = two_bags()
    yard.mould("L1", carton="", good=100, foam_kg=1, at=20)

    assert bounds(yard, "L1", cut_mg=30_000_000) == {"S1": (1, 1), "B-1": (0, 1)}
