"""Search finds a lot or an entry by whatever somebody knows of it, and says why."""

import pytest

from beadwright.ledger import people
from beadwright.ledger.draft import Decision, Label, Line, Material, NewLot
from beadwright.ledger.people import Person
from beadwright.plant.opening import open_plant
from beadwright.plant.search import Hit, search
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000


@pytest.fixture
def yard() -> Yard:
    """Two runs, one shipped; a bag with a supplier's lot; a hold; a person with a name."""
    yard = Yard.open()
    yard.block_lot("L1-001")
    yard.block_lot("L1-002", at=44)
    yard.bundle("BN-17", "L1-001", 10)
    yard.ship("SH-1", "BN-17", 10, "Quarry Lane")
    label = Label("Morven Beads", "ml_24%7-F1")
    bag = NewLot("B-9", Material.BEAD, "bag", grades=("F1",), labels=(label,))
    yard.step("receipt", 60, [Line("B-9", 1, KG)], bag)
    yard.hold("SMELL-4", "L1-002")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    return yard


def found(yard: Yard, text: str, limit: int = 30) -> tuple[Hit, ...]:
    """What a text finds."""
    del yard
    return search(open_plant(), text, limit)


def lots_of(hits: tuple[Hit, ...]) -> list[str]:
    """Codes of the lots found, in their order."""
    return [one.lot for one in hits if one.lot]


def test_a_code_comes_before_what_it_begins_and_that_before_what_has_it(yard: Yard) -> None:
    """Who scans a whole code wants that lot; who types a part wants the newest it begins."""
    yard.bag("L1-0")
    yard.bag("X-L1-0")

    assert lots_of(found(yard, "l1-0")) == ["L1-0", "L1-002", "L1-001", "X-L1-0"]
    assert found(yard, "L1-0")[0].why == "its code is L1-0"


@pytest.mark.parametrize("text", ["L1-0", "L1", "L", "B", "BN-17", "-"])
@pytest.mark.parametrize("limit", [1, 2, 3])
def test_a_short_list_is_the_beginning_of_a_long_one(yard: Yard, text: str, limit: int) -> None:
    """Whichever way it was read."""
    yard.bag("L1-0")
    yard.bag("X-L1-0")

    assert lots_of(found(yard, text, limit)) == lots_of(found(yard, text))[:limit]


@pytest.mark.parametrize("text", ["ML_24%7", "ml_24%7-f1", "%7-", "morven"])
def test_a_suppliers_lot_is_found_by_any_part_of_it(yard: Yard, text: str) -> None:
    """Signs that mean something to the database are only signs."""
    (hit,) = found(yard, text)

    assert (hit.lot, hit.why) == ("B-9", "label of Morven Beads: ml_24%7-F1")


@pytest.mark.parametrize("text", ["%", "_", "\\", "'", "L1%", "nothing like it"])
def test_signs_of_the_database_find_nothing_by_themselves(yard: Yard, text: str) -> None:
    """A per cent sign is no joker: here it stands in one label."""
    assert set(lots_of(found(yard, text))) <= {"B-9"}


def test_a_receiver_and_a_product_find_their_lots(yard: Yard) -> None:
    """In any case of letters, by a part."""
    assert lots_of(found(yard, "quarry")) == ["SH-1"]
    assert "shipped to Quarry Lane" in {one.why for one in found(yard, "quarry")}
    assert set(lots_of(found(yard, "FB6"))) == {"L1-001", "L1-002", "BN-17", "SH-1"}


def test_a_day_finds_what_was_made_then_the_mould_runs_first(yard: Yard) -> None:
    """Of the plant's calendar: the first run is of 1 September at 20:00, the second of the next."""
    first = found(yard, "2026-09-01")

    assert lots_of(first)[0] == "L1-001"
    assert "L1-002" not in lots_of(first)
    assert "L1-002" in lots_of(found(yard, "2026-09-02"))
    assert {"L1-001", "L1-002"} <= set(lots_of(found(yard, "2026-09")))
    for never in ("2026-13-01", "2026-02-30", "0000-00-00", "9999-12-31", "01.09.2026"):
        assert not found(yard, never)


@pytest.mark.parametrize("text", ["EI", "ei", "P-13", "ivesw", "edda ivesworth"])
def test_a_person_finds_what_they_did(yard: Yard, text: str) -> None:
    """By initials, id, or a part of the name."""
    hits = [one for one in found(yard, text) if one.what == "person"]

    assert [one.title for one in hits] == ["hold SMELL-4"]
    assert hits[0].why == "by Edda Ivesworth (EI, P-13)"


def test_a_hold_a_certificate_and_a_file_are_found_by_their_number(yard: Yard) -> None:
    """They lead to the entry that says it."""
    body = {"title": "wet bundle", "origin": "found"}
    yard.post(Decision("nc/1", ms(76), "nc_open", "NC-7", body, by="P-13"))

    hold, file = found(yard, "smell")[0], found(yard, "NC-7")[0]

    assert (hold.title, hold.what) == ("hold SMELL-4", "decision")
    assert (file.title, file.rank[0]) == ("nonconformity file NC-7", 0)
    assert hold.entry is not None
    assert file.entry is not None


def test_an_entry_is_found_by_number_and_by_client_key(yard: Yard) -> None:
    """A number that is also part of a code finds both."""
    key = next(key for key, step in yard.steps.items() if step.kind == "bundle")

    hits = found(yard, "17")
    assert [one.title for one in hits if one.what == "entry"] == ["entry 17"]
    assert "BN-17" in lots_of(hits)
    assert [one.why for one in found(yard, key)] == [f"its client key is {key}"]
    assert not [one for one in found(yard, "999999") if one.what == "entry"]


def test_no_lot_and_no_entry_is_given_twice_and_the_limit_is_kept(yard: Yard) -> None:
    """What matches in two ways is one hit, by its better reason."""
    hits = found(yard, "P1", 3)
    everything = found(yard, "1")

    assert len(hits) <= 3
    keys = [(one.lot, one.entry) for one in everything]
    assert len(keys) == len(set(keys))
    assert found(yard, "   ") == ()


def test_a_limit_is_found_by_its_id_and_by_the_standard_it_is_printed_in(yard: Yard) -> None:
    """From three signs on: shorter texts are codes of lots."""
    yard.limit("LENGTH-MAX", "length", "max", "1220 mm")
    yard.set("standard", "FB6", standard="ASTM C578", edition="10", type="II",
             characteristics=["density"])  # fmt: skip

    (own,) = found(yard, "length-max")
    assert (own.limit, own.said, own.lot, own.entry) == (
        "LENGTH-MAX", "length at most 1220 mm", "", None,
    )  # fmt: skip
    (printed,) = found(yard, "c578")
    assert printed.limit == "ASTM C578-10 II density"
    assert printed.said == "density at least 1.35 lb/ft3"
    assert "limit" not in {one.what for one in found(yard, "LE")}
