"""Defects of a plant: counted by hand, and against the exact test of a general-purpose library."""

from __future__ import annotations

from typing import Any

import pytest
from scipy.stats import binomtest, fisher_exact

from beadwright.errors import Misuse
from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.plant.defects import defects_asked, defects_json, group_counts, left_told, told
from beadwright.plant.defects.answer import Source
from beadwright.plant.opening import open_plant
from tests.plant.yard import FORM, Yard

pytestmark = pytest.mark.django_db

KG = 1_000_000


@pytest.fixture
def yard() -> Yard:
    """Two presses, two tie lots, one bag of beads."""
    yard = Yard.open()
    yard.set("product", "FB6", {**FORM, "foam_mass": "1.5 kg", "foam_volume": "66 L"}, since=1)
    for press in ("FP1", "FP2"):
        yard.set("place", press, kind="press")
    yard.bag("B-1")
    yard.carton("T-1", unit_kg=0.25)
    yard.carton("T-2", unit_kg=0.25)
    yard.expand("B-1", "S1")
    return yard


def counted(
    yard: Yard,
    lot: str,
    scrap: int,
    of: tuple[str, str, float],
    silo: str = "S1",
    **facts: str,
) -> None:
    """Sixty blocks of a lot, so many of them scrapped; ``of`` is tie lot, press and hour."""
    ties, press, at = of
    good, each = 60 - scrap, 3 * KG
    said = {"good": str(good), "scrap": str(scrap), "lot": lot, **facts}
    if scrap:
        said["cause"] = facts.get("cause", "short fill")
    lines = [
        Line(silo, -1, 90 * KG, 0, Evidence.BACKFLUSHED),
        Line(ties, -1, 90 * KG, 360, Evidence.COUNTED),
        Line(lot, 1, good * each, good, Evidence.COUNTED),
        *([Line(f"W-{lot}", 1, scrap * each)] if scrap else []),
    ]
    new = [NewLot(lot, Material.BLOCK, "mould run", "FB6", unit_mg=each)]
    new += [NewLot(f"W-{lot}", Material.SCRAP, "bin")] if scrap else []
    yard.step("mould", at, lines, *new, product="FB6", place=press, facts=said)


def scrapped(by: str = "tie lot") -> Source:
    """Blocks scrapped at the press, of all that was made."""
    found = defects_asked(open_plant("P1"), "2026-08-01", "2026-12-31", by)
    return next(one for one in found.sources if one.name == "scrapped at the press")


def test_a_tie_lot_with_more_scrap_is_named_with_its_lots(yard: Yard) -> None:
    """12 of 120 against 2 of 120: Fisher's exact test as SciPy has it, doubled for two groups."""
    for number, (ties, scrap) in enumerate([("T-1", 1), ("T-1", 1), ("T-2", 5), ("T-2", 7)], 1):
        counted(yard, f"L{number}", scrap, (ties, f"FP{2 - number % 2}", 10 + number))
    found = scrapped()

    assert (found.pieces, found.bad, found.groups) == (240, 14, (("T-1", 120), ("T-2", 120)))
    most = group_counts(found)[0]
    assert (most.name, most.bad, most.pieces) == ("T-2", 12, 120)
    exact = binomtest(12, 120).proportion_ci(method="exact")
    assert most.share is not None
    assert (most.share.lower, most.share.upper) == pytest.approx((exact.low, exact.high), rel=1e-9)
    (one,) = found.apart
    its = one.standing
    assert (one.kind, its.name, its.bad, one.lots) == ("short fill", "T-2", 12, ("L3", "L4"))
    exact = fisher_exact([[12, 108], [2, 118]], alternative="greater").pvalue
    assert its.probability == pytest.approx(exact, rel=1e-9)
    assert its.holm == pytest.approx(2 * exact, rel=1e-9)
    assert one.goes_with == ()
    assert "6.0 times the others" in told(one, "tie lot")


def test_what_goes_with_it_is_said(yard: Yard) -> None:
    """The second tie lot ran on the second press only: the two cannot be told apart."""
    for number, (ties, scrap, press) in enumerate(
        [("T-1", 1, "FP1"), ("T-1", 1, "FP1"), ("T-2", 9, "FP2")], 1
    ):
        counted(yard, f"L{number}", scrap, (ties, press, 10 + number))

    (one,) = scrapped().apart
    assert one.goes_with == ("press FP2",)
    assert "It cannot be told from press FP2" in told(one, "tie lot")
    assert "All are of L3" in told(one, "tie lot")
    (same,) = scrapped("press").apart
    assert (same.standing.name, same.goes_with) == ("FP2", ("tie lot T-2",))


def test_kinds_are_ranked_and_a_lot_is_counted_under_its_bag(yard: Yard) -> None:
    """Two causes; the one bag of beads has all of it, and nothing to be set against."""
    counted(yard, "L1", 4, ("T-1", "FP1", 10))
    counted(yard, "L2", 2, ("T-1", "FP1", 12), cause="stuck")
    found = scrapped("bead bag")

    assert found.kinds == (("short fill", 4), ("stuck", 2))
    assert found.pareto is not None
    assert [cause.count for cause in found.pareto.causes] == [4, 2]
    assert found.groups == (("B-1", 120),)
    assert found.apart == ()


def test_what_was_found_bad_is_counted_of_what_was_looked_over(yard: Yard) -> None:
    """Looked over the day after the span's last day, and counted all the same."""
    counted(yard, "L1", 0, ("T-1", "FP1", 10))
    counted(yard, "L2", 0, ("T-2", "FP2", 12))
    yard.look_over("L1", 50, at=40, fusion=1)
    yard.look_over("L2", 40, at=40, fusion=9, ties=2)
    found = defects_asked(open_plant("P1"), "2026-09-01", "2026-09-01", "tie lot")
    (looked,) = (one for one in found.sources if one.name == "found bad when looked over")

    assert (looked.pieces, looked.bad, looked.kinds) == (90, 12, (("fusion", 10), ("ties", 2)))
    assert [(one.kind, one.standing.name) for one in looked.apart] == [("fusion", "T-2")]
    exact = fisher_exact([[9, 31], [1, 49]], alternative="greater").pvalue
    assert looked.apart[0].standing.probability == pytest.approx(exact, rel=1e-9)


def test_nothing_made_is_nothing_found(yard: Yard) -> None:
    """No pieces, no kinds, and JSON that holds it."""
    assert yard.no
    plant = open_plant("P1")
    body: dict[str, Any] = defects_json(plant, defects_asked(plant, "2026-08-01", "2026-12-31"))
    assert [one["pieces"] for one in body["sources"]] == [0, 0]


@pytest.mark.parametrize(
    ("since", "until", "by"),
    [("2026-13-01", "", "press"), ("2026-02-01", "2026-01-01", "press"), ("", "", "shoe size")],
)
def test_what_cannot_be_meant_is_refused(yard: Yard, since: str, until: str, by: str) -> None:
    """No day, a span turned round, no such way."""
    assert yard.no
    with pytest.raises(Misuse):
        defects_asked(open_plant("P1"), since, until, by)


@pytest.fixture
def confounded(yard: Yard) -> Yard:
    """A second bag in a second silo: of its two lots the bad one has a carton of ties to itself."""
    yard.set("place", "S1", kind="silo")
    yard.set("place", "S2", kind="silo")
    yard.bag("B-2")
    yard.expand("B-2", "S2")
    for number in range(1, 6):
        counted(yard, f"L{number}", 1, ("T-1", "FP1", 10 + number))
    counted(yard, "L6", 12, ("T-2", "FP1", 16), "S2")
    counted(yard, "L7", 1, ("T-1", "FP1", 17), "S2")
    return yard


def test_an_excess_of_a_bag_that_a_tie_carton_explains_is_said(confounded: Yard) -> None:
    """Without the carton 1 of 60 is left, as of the others: the exact test finds nothing in it."""
    assert confounded.no
    (one,) = scrapped("bead bag").apart
    (other,) = [each for each in one.explained if each.by == "tie lot"]

    assert (one.standing.name, one.standing.bad) == ("B-2", 13)
    assert (other.name, other.bad, other.left.bad, other.left.of) == ("T-2", 12, 1, 60)
    exact = fisher_exact([[1, 59], [5, 295]], alternative="greater").pvalue
    assert other.left.probability == pytest.approx(exact, rel=1e-9)
    alone = fisher_exact([[12, 48], [6, 354]], alternative="greater").pvalue
    assert other.alone == pytest.approx(alone, rel=1e-9)
    assert other.first
    words = told(one, "bead bag")
    assert "Explained as well by tie lot T-2 (12 of the 13; without it 1 of 60 pieces" in words
    assert words.count("Look at tie lot T-2 first: it stands out more") == 1


def test_a_tie_carton_is_not_explained_by_the_bag_it_ran_with(confounded: Yard) -> None:
    """All of the carton is of the bag, so that nothing is left without it; the bag says so."""
    assert confounded.no
    (one,) = scrapped("tie lot").apart

    assert one.standing.name == "T-2"
    assert one.explained == ()
    assert "bead bag B-2" in one.goes_with


def test_a_silo_is_one_more_cause(confounded: Yard) -> None:
    """The lots of the second bag came from the second silo, by their traces."""
    assert confounded.no
    found = scrapped("silo")

    assert found.groups == (("S1", 300), ("S2", 120))
    assert [one.standing.name for one in found.apart] == ["S2"]


def test_a_lot_of_two_shifts_is_counted_under_each(yard: Yard) -> None:
    """Scrap by the row that says it; what was looked over by the shift that moulded most."""
    counted(yard, "L1", 2, ("T-1", "FP1", 10), shift="early")
    for at, scrap in ((16, 5), (17, 1)):
        more(yard, "L1", scrap, at, shift="late")
    yard.look_over("L1", 50, at=40, fusion=3)
    found = scrapped("shift")

    assert found.groups == (("early", 60), ("late", 20))
    assert {one.name: one.bad for one in group_counts(found)} == {"early": 2, "late": 6}
    every = defects_asked(open_plant("P1"), "2026-08-01", "2026-12-31", "shift")
    looked = next(one for one in every.sources if one.name == "found bad when looked over")
    assert looked.groups == (("early", 50),)


def more(yard: Yard, lot: str, scrap: int, at: float, **facts: str) -> None:
    """Ten more blocks of a lot, so many of them scrapped."""
    good, each = 10 - scrap, 3 * KG
    said = {"good": str(good), "scrap": str(scrap), "lot": lot, "cause": "short fill", **facts}
    lines = [Line("S1", -1, 15 * KG, 0, Evidence.BACKFLUSHED),
             Line("T-1", -1, 15 * KG, 60, Evidence.COUNTED),
             Line(lot, 1, good * each, good, Evidence.COUNTED),
             Line(f"W-{lot}", 1, scrap * each)]  # fmt: skip
    yard.step("mould", at, lines, product="FB6", place="FP1", facts=said)


def test_pieces_without_ties_are_not_set_beside_those_with_some(yard: Yard) -> None:
    """Two presses put ties out of place alike; a third moulds packaging, which has none."""
    for number, press in enumerate(("FP1", "FP2", "FP1", "FP2"), 1):
        counted(yard, f"L{number}", 4, ("T-1", press, 10 + number), cause="tie out of place")
    yard.set("place", "PP1", kind="press")
    for number in range(4):
        packaging(yard, f"P{number}", 6, 16 + number)
    found = scrapped("press")

    assert found.groups == (("FP1", 120), ("FP2", 120), ("PP1", 480))
    assert [(one.kind, one.standing.name) for one in found.apart] == [("short fill", "PP1")]
    counted(yard, "L5", 26, ("T-2", "FP2", 21), cause="tie out of place")
    (one,) = (one for one in scrapped("press").apart if one.kind == "tie out of place")
    exact = fisher_exact([[34, 146], [8, 112]], alternative="greater").pvalue
    assert (one.standing.name, one.standing.others) == ("FP2", 8 / 120)
    assert one.standing.probability == pytest.approx(exact, rel=1e-9)


def packaging(yard: Yard, lot: str, scrap: int, at: float) -> None:
    """A hundred and twenty pieces without ties, so many of them scrapped."""
    lines = [Line("S1", -1, 12 * KG, 0, Evidence.BACKFLUSHED),
             Line(lot, 1, (120 - scrap) * KG // 10, 120 - scrap, Evidence.COUNTED),
             Line(f"W-{lot}", 1, scrap * KG // 10)]  # fmt: skip
    new = [NewLot(lot, Material.BLOCK, "mould run", "FB6", unit_mg=KG // 10),
           NewLot(f"W-{lot}", Material.SCRAP, "bin")]  # fmt: skip
    said = {"good": str(120 - scrap), "scrap": str(scrap), "lot": lot, "cause": "short fill"}
    yard.step("mould", at, lines, *new, product="FB6", place="PP1", facts=said)


def test_what_is_in_no_group_is_said(yard: Yard) -> None:
    """A lot without ties is not told apart by them, and its pieces are named."""
    for number, scrap in enumerate((1, 2), 1):
        counted(yard, f"L{number}", scrap, ("T-1", "FP1", 10 + number))
    lines = [Line("S1", -1, 90 * KG, 0, Evidence.BACKFLUSHED),
             Line("P1", 1, 60 * KG, 60, Evidence.COUNTED)]  # fmt: skip
    new = NewLot("P1", Material.BLOCK, "mould run", "FB6", unit_mg=KG)
    said = {"good": "57", "scrap": "3", "lot": "P1", "cause": "short fill"}
    yard.step("mould", 14, lines, new, product="FB6", place="FP1", facts=said)
    found = scrapped("tie lot")

    assert (found.pieces, found.left) == (120, (1, 60, 3))
    assert "60 pieces of 1 lot, 3 of them with a defect" in left_told(found, "tie lot")
    assert left_told(scrapped("press"), "press") == ""
