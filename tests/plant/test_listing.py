"""What a product's listing asks of a grade that stands on it: each attribute, and when it holds."""

from __future__ import annotations

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import holds
from tests.door.forbidden import FORBIDDEN, planned
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

BEAD = {"of": "bead", "flame_retardant": "yes", "colour": "white", "bead_class": "B"}
TIE = {"of": "tie", "resin": "PP"}
ASKS = {
    "flame_retardants": ["yes"],
    "colours": ["white", "grey"],
    "bead_classes": ["B"],
    "tie_resins": ["PP"],
}


def _listed(bead: dict[str, str], tie: dict[str, str]) -> Yard:
    """A plant whose list names both grades, and says what they must be."""
    yard = Yard.open()
    yard.set("grade", "PK1", bead)
    yard.set("grade", "T6", tie)
    yard.set("approved", "FB6", {"revision": "R7", "grades": ["F1", "PK1", "T6"], **ASKS})
    return yard


def test_a_grade_that_is_all_the_listing_asks_may_be_moulded() -> None:
    """Planned too."""
    yard = _listed(BEAD, TIE)
    broken = FORBIDDEN["wrong_grade"](yard)  # on this list it breaks nothing

    yard.post(planned(broken.draft))

    assert holds.nonconformities(yard.no) == []


@pytest.mark.parametrize(
    ("bead", "tie", "lot", "what"),
    [
        ({**BEAD, "flame_retardant": "no"}, TIE, "S1", "whose flame retardant is no"),
        ({**BEAD, "colour": "black"}, TIE, "S1", "asks for white or grey"),
        ({"of": "bead", "flame_retardant": "yes", "colour": "grey"}, TIE, "S1",
         "whose bead class is not stated"),
        (BEAD, {**TIE, "resin": "regrind PP"}, "T-1", "grade T6, whose resin is regrind PP"),
    ],
)  # fmt: skip
def test_what_differs_is_named_though_the_grade_is_on_the_list(
    bead: dict[str, str], tie: dict[str, str], lot: str, what: str
) -> None:
    """It cannot be planned; where it happened the blocks are held, by the listing's revision."""
    yard = _listed(bead, tie)
    draft = FORBIDDEN["wrong_grade"](yard).draft

    with pytest.raises(Refusal) as refused:
        yard.post(planned(draft))
    yard.post(draft)

    assert refused.value.codes == ("wrong_grade",)
    (found,) = holds.nonconformities(yard.no)
    assert (found.code, found.lot) == ("wrong_grade", lot)
    assert what in found.detail
    assert "the approved list R7 of FB6" in found.detail


def test_a_grade_stated_anew_for_the_past_is_judged_anew() -> None:
    """The bead turns out to hold no flame retardant: what was moulded of it is held."""
    yard = _listed(BEAD, TIE)
    yard.post(FORBIDDEN["wrong_grade"](yard).draft)
    before = holds.nonconformities(yard.no)

    yard.set("grade", "PK1", {**BEAD, "flame_retardant": "no"}, since=1)

    assert before == []
    assert [one.code for one in holds.nonconformities(yard.no)] == ["wrong_grade"]
