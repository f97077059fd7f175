"""A form through the door: refused as planned, recorded as happened, and posted once."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import Keyed, may, post, read
from beadwright.ledger import entered, lots
from beadwright.ledger.draft import StepDraft
from beadwright.plant.access import Role, Who
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

CODE = "LARKHOLLOW"
OPERATOR = Who("P-02", Role.OPERATOR)
TRANSFER = {"what": "transfer", "from": "S1", "to": "S2", "mass": "50"}


@pytest.fixture
def yard(ground: Plant) -> Plant:
    """The ground, in the store."""
    assert not import_files([ground.write()]).refused
    return ground


def form(kind: str, key: str, at: str = "", **values: str) -> Keyed:
    """Key a form in kilograms."""
    units = dict.fromkeys(("mass", "foam_per_block"), "kg")
    return read(CODE, kind, values, units=units, key=key, by="P-02", at=at)


def entries() -> int:
    """Number of entries in the record."""
    return len(entered.of_kinds(CODE, "step", "readings", "correct", "void"))


@pytest.mark.usefixtures("yard")
def test_what_may_be_is_posted_now_and_once() -> None:
    """Without a time it is now; sent again, also as happened, it is the same entry."""
    first = form("silo_moves", "f-1", **TRANSFER)
    assert may(CODE, first, OPERATOR).may
    done = post(CODE, first, OPERATOR)
    number = entries()

    assert done.posted
    assert not done.repeated
    assert {one.lot: one.mg for one in done.stock} == {"S1": 144_500_000, "S2": 50_000_000}
    again = form("silo_moves", "f-1", **TRANSFER)
    for planned in (True, False):
        twice = post(CODE, again, OPERATOR, planned=planned)
        assert (twice.posted, twice.repeated, twice.entries) == (True, True, done.entries)
    assert entries() == number


@pytest.mark.usefixtures("yard")
def test_the_same_key_with_other_content_is_refused() -> None:
    """A key is of one form."""
    assert post(CODE, form("silo_moves", "f-1", **TRANSFER), OPERATOR).posted
    other = post(CODE, form("silo_moves", "f-1", **{**TRANSFER, "mass": "60"}), OPERATOR)
    assert [one.code for one in other.refused] == ["key_reused"]
    assert not other.may_have_happened


@pytest.mark.parametrize("at", ["", "2026-09-02T07:00"])
@pytest.mark.usefixtures("yard")
def test_forbidden_is_refused_as_planned_and_recorded_as_happened(at: str) -> None:
    """More is drawn than the books say: it says why, and what it raises once it happened."""
    keyed = form("silo_moves", "f-2", at, **{**TRANSFER, "mass": "900"})
    number = entries()
    assert not may(CODE, keyed, OPERATOR).may
    refused = post(CODE, keyed, OPERATOR)

    assert [one.code for one in refused.refused] == ["more_than_held"]
    assert refused.may_have_happened
    assert (refused.posted, entries()) == (False, number)
    done = post(CODE, keyed, OPERATOR, planned=False)
    assert done.posted
    assert [(one.code, one.lot) for one in done.nonconformities] == [("more_than_held", "S1")]
    assert {one.lot: one.causes for one in done.stock}["S2"] == ("more_than_held:S1",)
    assert entries() == number + 1


@pytest.mark.usefixtures("yard")
def test_a_stated_time_is_kept() -> None:
    """What may be is posted as of the time that was stated, in the plant's zone."""
    keyed = form("silo_moves", "f-3", "2026-09-02T07:00", **TRANSFER)
    assert post(CODE, keyed, OPERATOR).posted
    step = entered.by_number(CODE, post(CODE, keyed, OPERATOR).entries)
    (draft,) = (one.draft for one in step.values())
    assert isinstance(draft, StepDraft)
    assert draft.happened_at == 1_788_350_400_000


@pytest.mark.usefixtures("yard")
def test_a_role_that_may_not_is_refused_for_good() -> None:
    """An operator takes no stock; it having happened changes nothing."""
    keyed = form("silo_moves", "f-4", what="stocktake", mass="100", **{"from": "S1"})
    done = post(CODE, keyed, OPERATOR)
    assert [one.code for one in done.refused] == ["not_allowed"]
    assert not done.may_have_happened
    assert not post(CODE, keyed, OPERATOR, planned=False).posted


@pytest.mark.usefixtures("yard")
def test_a_form_with_a_fault_is_not_posted() -> None:
    """The refusal names the field's fault."""
    done = post(CODE, form("silo_moves", "f-5", **{**TRANSFER, "to": "S9"}), OPERATOR)
    assert [one.code for one in done.refused] == ["unknown_place"]
    assert lots.get(lots.plant_number(CODE), "S9") is None
