"""Defects by mould cavity: a planted bad one is named and even ones are not; what nobody said."""

from __future__ import annotations

import pytest
from scipy.stats import fisher_exact

from beadwright.ledger import rebuild
from beadwright.plant.defects import defects_asked, defects_json, left_told, none_told, told
from beadwright.plant.defects.answer import Defects, Source
from beadwright.plant.opening import open_plant, rebuild_plant
from tests.plant.test_plant_defects import counted, yard
from tests.plant.yard import Yard

__all__ = ["yard"]

pytestmark = pytest.mark.django_db

BAD = "mould M-A, cavity 2"


@pytest.fixture
def moulds(yard: Yard) -> Yard:
    """Two moulds of two cavities, and one that nobody set up."""
    for mould in ("M-A", "M-B"):
        yard.set("mould", mould, cavities=2)
    return yard


def asked(by: str = "cavity") -> Defects:
    """Defects of all that was made."""
    return defects_asked(open_plant("P1"), "2026-08-01", "2026-12-31", by)


def pressed(by: str = "cavity") -> Source:
    """Blocks scrapped at the press."""
    return asked(by).sources[0]


def looked(by: str = "cavity") -> Source:
    """Pieces found bad when looked over."""
    return asked(by).sources[1]


def three_lots(yard: Yard, bad: int, others: int = 1) -> None:
    """Of three lots 20 pieces of each cavity are looked over; ``bad`` are of M-A's second."""
    for number, mould in enumerate(("M-A", "M-A", "M-B"), 1):
        counted(yard, f"L{number}", 0, ("T-1", "FP1", 9 + number), mould=mould)
        for cavity in (1, 2):
            planted = bad if (mould, cavity) == ("M-A", 2) else others
            yard.look_over(f"L{number}", 20, at=40, cavity=cavity, fusion=planted)


def test_a_bad_cavity_is_named_with_its_mould(moulds: Yard) -> None:
    """12 of 40 against 2 of 40 of the same mould; the other mould's second cavity is not it."""
    three_lots(moulds, bad=6)
    found = looked()

    assert found.groups == (
        ("mould M-A, cavity 1", 40), (BAD, 40),
        ("mould M-B, cavity 1", 20), ("mould M-B, cavity 2", 20),
    )  # fmt: skip
    (one,) = found.apart
    its = one.standing
    assert (its.name, its.bad, its.of, one.lots) == (BAD, 12, 40, ("L1", "L2"))
    exact = fisher_exact([[12, 28], [2, 38]], alternative="greater").pvalue
    assert its.probability == pytest.approx(exact, rel=1e-9)
    assert its.holm == pytest.approx(4 * exact, rel=1e-9)
    words = told(one, "cavity")
    assert words.startswith("fusion, mould M-A, cavity 2: 12 of 40 pieces")
    assert "6.0 times the other cavities of its mould" in words
    assert one.goes_with == ()  # its lot, ties, press and product have the good cavity too
    assert left_told(found, "cavity") == ""


def test_even_cavities_are_not_named(moulds: Yard) -> None:
    """As many bad of each: none stands out."""
    three_lots(moulds, bad=2, others=2)

    assert looked().bad == 12
    assert looked().apart == ()
    assert none_told(looked(), "cavity") == "No cavity has more than chance gives."


def test_a_bad_mould_is_no_bad_cavity(moulds: Yard) -> None:
    """Both cavities of one mould have many, those of the other few: its product or press has."""
    for number, (mould, press) in enumerate([("M-A", "FP2"), ("M-B", "FP1")], 1):
        counted(moulds, f"L{number}", 0, (f"T-{number}", press, 9 + number), mould=mould)
        for cavity in (1, 2):
            bad = 20 if mould == "M-A" else 1
            moulds.look_over(f"L{number}", 60, at=40, cavity=cavity, fusion=bad)

    assert looked().apart == ()
    assert [one.standing.name for one in looked("press").apart] == ["FP2"]


def test_what_ran_in_one_cavity_alone_is_said_to_go_with_it(moulds: Yard) -> None:
    """The lot of one cavity was made with ties of its own: the two cannot be told apart."""
    for number, (ties, bad) in enumerate([("T-1", 1), ("T-2", 12)], 1):
        counted(moulds, f"L{number}", 0, (ties, "FP1", 9 + number), mould="M-A")
        moulds.look_over(f"L{number}", 40, at=40, cavity=number, fusion=bad)
    (one,) = looked().apart

    assert (one.standing.name, one.goes_with) == (BAD, ("tie lot T-2",))
    assert "It cannot be told from tie lot T-2" in told(one, "cavity")
    assert f"All are of {one.lots[0]}" in told(one, "cavity")
    (other,) = looked("tie lot").apart
    assert other.goes_with == (BAD,)


def test_a_tie_lot_that_ran_in_one_cavity_is_explained_by_it(moulds: Yard) -> None:
    """Most bad pieces of the tie lot are of one cavity, and none are left without it."""
    for number, (ties, mould) in enumerate([("T-1", "M-B"), ("T-1", "M-B"), ("T-2", "M-A")], 1):
        counted(moulds, f"L{number}", 0, (ties, "FP1", 9 + number), mould=mould)
        for cavity in (1, 2):
            bad = 9 if (mould, cavity) == ("M-A", 2) else 1
            moulds.look_over(f"L{number}", 30, at=40, cavity=cavity, fusion=bad)
    (one,) = looked("tie lot").apart

    assert (one.standing.name, one.standing.bad) == ("T-2", 10)
    (other,) = [each for each in one.explained if each.by == "cavity"]
    assert (other.name, other.bad, other.left.bad, other.left.of) == (BAD, 9, 1, 30)
    exact = fisher_exact([[9, 21], [1, 29]], alternative="greater").pvalue
    assert other.alone == pytest.approx(exact, rel=1e-9)  # against the other cavity of its mould
    assert "Explained as well by mould M-A, cavity 2 (9 of the 10;" in told(one, "tie lot")


def test_a_mould_of_one_cavity_explains_nothing_beside_its_product(moulds: Yard) -> None:
    """There is no other cavity to set it against."""
    for number, (ties, bad) in enumerate([("T-1", 1), ("T-2", 12)], 1):
        moulds.set("mould", f"M-{number}", cavities=1)
        counted(moulds, f"L{number}", 0, (ties, "FP1", 9 + number), mould=f"M-{number}")
        moulds.look_over(f"L{number}", 40, at=40, fusion=bad)
    found = looked()

    assert found.groups == (("mould M-1, cavity 1", 40), ("mould M-2, cavity 1", 40))
    assert found.apart == ()
    assert "there is nothing to compare" in none_told(found, "cavity")
    assert [one.standing.name for one in looked("tie lot").apart] == ["T-2"]


def test_pieces_of_no_cavity_are_in_no_group_and_one_cavity_needs_none(moulds: Yard) -> None:
    """A lot looked over as a whole is left out and counted; a mould of one cavity is not."""
    moulds.set("mould", "M-C", cavities=1)
    for number, mould in enumerate(("M-A", "M-C", "tool 4"), 1):
        counted(moulds, f"L{number}", 0, ("T-1", "FP1", 9 + number), mould=mould)
        moulds.look_over(f"L{number}", 30, at=40, fusion=number)
    found = looked()

    assert found.groups == (("mould M-C, cavity 1", 30),)
    assert found.left == (2, 60, 4)
    assert "60 pieces of 2 lots, 4 of them with a defect" in left_told(found, "cavity")
    assert "no cavity is said of them, and their mould has several" in left_told(found, "cavity")


def test_scrap_says_its_cavity_and_a_shot_fills_them_all(moulds: Yard) -> None:
    """Of 240 moulded each cavity gave as many as the other; 16 scrapped of one stand out."""
    for number in range(1, 5):
        cavity = {"cavity": "2"} if number > 2 else {}
        counted(moulds, f"L{number}", 8 if cavity else 0, ("T-1", "FP1", 9 + number), mould="M-A",
                **cavity)  # fmt: skip
    counted(moulds, "L5", 3, ("T-1", "FP1", 15), mould="M-A")
    found = pressed()

    assert found.groups == (("mould M-A, cavity 1", 120), (BAD, 120))
    assert found.left == (1, 60, 3)  # nobody said the cavity of the last lot's scrap
    (one,) = found.apart
    assert (one.standing.name, one.standing.bad, one.lots) == (BAD, 16, ("L3", "L4"))
    whole = pressed("press")
    assert (whole.pieces, whole.bad) == (300, 19)


def test_a_rebuild_gives_the_same(moulds: Yard) -> None:
    """Cavities of scrap and of pieces looked over stand in the record itself."""
    three_lots(moulds, bad=6)
    counted(moulds, "L9", 8, ("T-1", "FP1", 20), mould="M-B", cavity="2")
    before = defects_json(open_plant("P1"), asked())
    rebuild_plant("P1")

    assert defects_json(open_plant("P1"), asked()) == before
    assert rebuild.broken("P1") == []
