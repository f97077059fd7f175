"""Closing accounts of small plants, reckoned by hand: where all of a lot's material is.

What holds of any plant is asked in ``tests.ledger.traced``; here each figure can be followed with a
pencil.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from beadwright.errors import Misuse
from beadwright.ledger.account import Account, account
from beadwright.ledger.draft import Evidence, Line, Loss, Material, NewLot, StepDraft
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000


def told(yard: Yard, code: str) -> dict[str, float]:
    """An account in kg, without what is nothing; it must come to what was made."""
    one: Account = account(yard.no, code)
    assert one.total == pytest.approx(one.made, rel=1e-12, abs=1e-3)
    parts = {
        "made": one.made, "in_stock": one.in_stock, "shipped": one.shipped,
        "scrapped": one.scrapped, "sampled": one.sampled, "unaccounted": one.unaccounted,
        "residue": one.residue, **one.losses,
    }  # fmt: skip
    return {name: mg / KG for name, mg in parts.items() if abs(mg) > 1e-3}


def expanded(
    yard: Yard, lines: Sequence[Line], losses: dict[str, float], at: float = 2
) -> StepDraft:
    """Post an expansion with named losses; the rest is its remainder."""
    named = tuple(Loss(name, round(kg * KG)) for name, kg in losses.items())
    rest = -sum(line.sign * line.mg for line in lines) - sum(loss.mg for loss in named)
    draft = StepDraft(f"expand/{at}", "expand", ms(at), tuple(lines), named, rest)
    yard.post(draft)
    return draft


@pytest.fixture
def yard() -> Yard:
    """A bag of 1000 kg, of which 400 kg went into silo S1, and 59.8 kg of these into L1."""
    yard = Yard.open()
    yard.block_lot("L1")
    return yard


def test_a_bag_is_in_stock_wherever_it_lies(yard: Yard) -> None:
    """600 kg in the bag, 340.2 kg in the silo, 59.8 kg in blocks: all in stock."""
    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 1000})


def test_what_left_the_gate_is_shipped(yard: Yard) -> None:
    """10 of 40 blocks are shipped: of the bag 14.95 kg of foam, of the carton 16.2 kg of ties."""
    yard.ship("SH-1", "L1", 10)

    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 985.05, "shipped": 14.95})
    assert told(yard, "T-1") == pytest.approx({"made": 270, "in_stock": 253.8, "shipped": 16.2})


def test_scrap_and_samples_are_told_apart_from_stock(yard: Yard) -> None:
    """Four blocks go into a bin, one to the bench."""
    unit = 3_115_000
    line = Line("L1", -1, 4 * unit, 4, Evidence.COUNTED)
    yard.step("scrap", 30, [line, Line("BIN", 1, 4 * unit)], NewLot("BIN", Material.SCRAP, "bin"))
    new = NewLot("SA-1", Material.BLOCK, "sample", unit_mg=unit)
    yard.step("sample", 31, [Line("L1", -1, unit, 1), Line("SA-1", 1, unit, 1)], new)

    assert told(yard, "B-1") == pytest.approx(
        {"made": 1000, "in_stock": 992.525, "scrapped": 5.98, "sampled": 1.495}
    )


def test_losses_keep_their_names_and_remainders_have_none(yard: Yard) -> None:
    """Of 100 kg, 1.5 kg leave as pentane, 0.5 kg as dust; 2 kg nobody can account for."""
    lines = [Line("B-1", -1, 100 * KG), Line("S2", 1, 96 * KG)]
    expanded(yard, lines, {"pentane": 1.5, "dust": 0.5})

    assert told(yard, "B-1") == pytest.approx(
        {"made": 1000, "in_stock": 996, "pentane": 1.5, "dust": 0.5, "unaccounted": 2}
    )


def test_a_loss_is_shared_by_what_went_in(yard: Yard) -> None:
    """Two bags give 75 kg and 25 kg to one expansion: they share its losses three to one."""
    yard.bag("B-2")
    lines = [Line("B-1", -1, 75 * KG), Line("B-2", -1, 25 * KG), Line("S2", 1, 98 * KG)]
    expanded(yard, lines, {"pentane": 2})

    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 998.5, "pentane": 1.5})
    assert told(yard, "B-2") == pytest.approx({"made": 1000, "in_stock": 999.5, "pentane": 0.5})


def test_a_corrected_loss_replaces_the_first(yard: Yard) -> None:
    """A loss that was mistyped is not counted beside what was meant."""
    lines = [Line("B-1", -1, 100 * KG), Line("S2", 1, 96 * KG)]
    yard.steps["expand/2"] = expanded(yard, lines, {"pentane": 4})
    yard.correct("expand/2", losses=(Loss("dust", KG),), remainder_mg=3 * KG)

    assert told(yard, "B-1") == pytest.approx(
        {"made": 1000, "in_stock": 996, "dust": 1, "unaccounted": 3}
    )


def test_what_a_count_does_not_find_is_unaccounted_for(yard: Yard) -> None:
    """The silo held 340.2 kg by the books; 300 kg are found."""
    yard.step("weigh", 30, [Line("S1", 0, 300 * KG)])

    assert told(yard, "B-1") == pytest.approx(
        {"made": 1000, "in_stock": 959.8, "unaccounted": 40.2}
    )


def test_ran_empty_leaves_a_residue_beside_the_account() -> None:
    """Of 100 kg none is there by the books, and of two of three small fillings; 1 kg may be."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.expand("B-1", "S1", 100, at=2)
    for i in range(3):
        yard.step("ran_empty", 10 + i, [Line("S1", 0, 0)])
        yard.expand("B-1", "S1", 0.1, at=10.5 + i)

    assert told(yard, "B-1") == pytest.approx(
        {"made": 1000, "in_stock": 899.8, "unaccounted": 100.2, "residue": 1}
    )


def test_a_place_drawn_empty_is_no_stock_against_a_negative_rest(yard: Yard) -> None:
    """Of two bags, 400 and 59.8 kg went through S1, and on: 1 kg of the two may lie there still."""
    yard.bag("B-2")
    yard.expand("B-2", "S1", 59.8, at=20)
    yard.transfer("S1", "S2", 400, at=30)

    shares = {"B-1": 400 / 459.8, "B-2": 59.8 / 459.8}
    for bag, share in shares.items():
        assert told(yard, bag) == pytest.approx({"made": 1000, "in_stock": 1000, "residue": share})
    assert told(yard, "S1") == pytest.approx({"made": 459.8, "in_stock": 459.8, "residue": 1})


def test_no_more_is_left_than_one_residue_until_a_sweep(yard: Yard) -> None:
    """Emptied twice, the place holds no two kilograms; swept, it holds none."""
    for at in (30, 40):
        yard.transfer("S1", "S2", 340.2 if at == 30 else 50, at=at)
        yard.expand("B-1", "S1", 50, at=at + 5)
    yard.transfer("S1", "S2", 50, at=50)
    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 1000, "residue": 1})

    yard.sweep("S1", at=60)
    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 1000})
    assert told(yard, "S1") == pytest.approx({"made": 500, "in_stock": 500})


def test_an_empty_bag_that_is_said_to_be_empty_holds_nothing(yard: Yard) -> None:
    """A part of a bag was drawn to the last bead: ran empty leaves no residue of nothing."""
    new = NewLot("B-1A", Material.BEAD, "part", grades=("F1",))
    yard.step("split", 30, [Line("B-1", -1, 200 * KG), Line("B-1A", 1, 200 * KG)], new)
    yard.expand("B-1A", "S2", 200, at=31)
    yard.step("ran_empty", 32, [Line("B-1A", 0, 0)])

    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 1000})
    assert told(yard, "S2") == pytest.approx({"made": 200, "in_stock": 200})


def test_what_is_swept_out_is_unaccounted_for(yard: Yard) -> None:
    """A sweep says that nothing is left; where it went, no step has said."""
    yard.sweep("S1", at=30)

    assert told(yard, "B-1") == pytest.approx(
        {"made": 1000, "in_stock": 659.8, "unaccounted": 340.2}
    )


def test_a_draw_beyond_the_books_is_too_little_unaccounted_for(yard: Yard) -> None:
    """600 kg were in the bag; 650 kg are drawn: 50 kg more are there than ever came."""
    yard.expand("B-1", "S2", 650, at=30)

    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 1050, "unaccounted": -50})


def test_what_comes_back_is_not_made_twice(yard: Yard) -> None:
    """Of 100 kg blown from S1 into S2, 60 kg come back: they came into S1 once."""
    yard.transfer("S1", "S2", 100, at=30)
    yard.transfer("S2", "S1", 60, at=31)

    assert told(yard, "S1") == pytest.approx({"made": 400, "in_stock": 400})


def test_an_undone_shipment_is_in_stock_again(yard: Yard) -> None:
    """A correction that ships fewer leaves the others where they were."""
    yard.ship("SH-1", "L1", 10)
    key = next(key for key, step in yard.steps.items() if step.kind == "ship")
    lines = [replace(x, mg=x.mg // 2, pieces=5) for x in yard.steps[key].lines]
    yard.correct(key, lines=tuple(lines))

    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 992.525, "shipped": 7.475})


def test_a_returned_pallet_is_in_stock(yard: Yard) -> None:
    """Pieces that a receiver sends back lie in the yard, and count as shipped no more."""
    yard.ship("SH-1", "L1", 10)
    unit = 3_115_000
    new = NewLot("RE-1", Material.BLOCK, "returned", unit_mg=unit)
    lines = [Line("SH-1", -1, 4 * unit, 4), Line("RE-1", 1, 4 * unit, 4, place="bay 2")]
    yard.step("return", 80, lines, new)

    assert told(yard, "B-1") == pytest.approx({"made": 1000, "in_stock": 991.03, "shipped": 8.97})


def test_a_lot_that_is_not_there_has_no_account(yard: Yard) -> None:
    """A mistyped code is named in the refusal."""
    with pytest.raises(Misuse, match="NO-SUCH"):
        account(yard.no, "NO-SUCH")
