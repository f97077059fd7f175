"""A scan into a form: one lot is taken, several are asked about, and nothing is guessed."""

from __future__ import annotations

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import Keyed, fields_of, may, offered, post, read, scanned
from beadwright.interop.keyed.fitting import MOST
from beadwright.interop.keyed.form import FORMS
from beadwright.interop.keyed.labels import MEANT, element_strings
from beadwright.ledger.draft import Hold, StepDraft
from beadwright.plant.access import Role, Who
from beadwright.plant.door import now_ms
from beadwright.plant.opening import door_of
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

CODE = "LARKHOLLOW"
ENGINEER = Who("P-13", Role.ENGINEER)
BAGS = [
    "2,2026-09-03 08:00,B-2,88-A,Pellmere Resins,F1,882.5,KR",
    "3,2026-09-03 08:05,B-3,90-C,Pellmere Resins,F1,882.5,KR",
]


@pytest.fixture
def yard(ground: Plant) -> Plant:
    """Bag B-1 (88-A) of which a part is gone, B-2 of the same label, B-3 of another."""
    ground.add("bead_receipts", *BAGS)
    assert not import_files([ground.write()]).refused
    return ground


def scrap(of: str, key: str = "f-1", **more: str) -> Keyed:
    """A form that names what is in a field for lots: beads into a bin."""
    texts = {"what": "scrap", "from": of, "mass": "5", "bin": "BIN-1", **more}
    return read(CODE, "silo_moves", texts, units={"mass": "lb"}, key=key, by="P-13")


@pytest.mark.usefixtures("yard")
@pytest.mark.parametrize(
    "text",
    ["B-3", "b-3 ", "90-C", "]C190-C", "Lot: 90-C", "]C11090-C", "(01)09501101530003(10)90-C",
     "http://127.0.0.1:8737/lots/B-3/", "]Q3http://plant/lots/b-3"],
)  # fmt: skip
def test_what_one_lot_bears_is_taken_as_it(text: str) -> None:
    """Its own code, a supplier's label, and either with what a scanner or a label puts before."""
    form = scrap(text)

    assert form.ready, form.faults
    assert form.meant == ({} if text.strip().upper() == "B-3" else {"from": "B-3"})
    (step,) = form.drafts
    assert isinstance(step, StepDraft)
    assert [line.lot for line in step.lines] == ["B-3", "BIN-1"]


@pytest.mark.usefixtures("yard")
def test_a_label_on_two_open_lots_asks_which() -> None:
    """Both are given with what they are; the code that is chosen then stands."""
    form = scrap("88-A")
    (which,) = form.which

    assert not form.ready
    assert [one.code for one in form.faults["from"]] == ["which_lot"]
    assert (which.field, which.text) == ("from", "88-A")
    assert {(one.code, one.grades, one.part) for one in which.matches} == {
        ("B-1", ("F1",), False),
        ("B-2", ("F1",), False),
    }
    assert all(one.first is not None for one in which.matches)
    assert scrap("B-2").ready


@pytest.mark.usefixtures("yard")
@pytest.mark.parametrize("text", ["0-C", "B-3x", "-3"])
def test_a_part_is_never_taken_for_the_whole(text: str) -> None:
    """Of three signs at least it is asked about, though it fits but one; of fewer nothing fits."""
    form = scrap(text)

    assert not form.ready
    assert [one.code for one in form.faults["from"]] == (
        ["which_lot"] if text == "0-C" else ["unknown_lot"]
    )
    assert [one.code for each in form.which for one in each.matches] == (
        ["B-3"] if text == "0-C" else []
    )


@pytest.mark.usefixtures("yard")
def test_a_label_of_a_lot_that_is_used_up_is_the_open_one() -> None:
    """Once one of the two is empty nothing is asked any more."""
    assert post(CODE, scrap("B-2", mass="882.5"), ENGINEER).posted

    assert scrap("88-A", "f-2").meant == {"from": "B-1"}


@pytest.mark.usefixtures("yard")
def test_a_form_that_named_a_label_is_the_same_form_when_sent_again() -> None:
    """Though the bag it took all of bears the label no more than the others do by then."""
    first = scrap("90-C", mass="882.5")
    assert post(CODE, first, ENGINEER).posted
    again = post(CODE, scrap("90-C", mass="882.5"), ENGINEER)

    assert (again.posted, again.repeated) == (True, True)


@pytest.mark.usefixtures("yard")
def test_readings_sent_again_stay_of_the_lot_they_named() -> None:
    """A form that becomes readings alone, too."""
    texts = {"silo": "S1", "where": "hot", "mass": "221", "volume": "10"}
    units = {"mass": "g", "volume": "L"}
    for repeated in (False, True):
        form = read(CODE, "cups", texts, units=units, key="c-1", by="P-13")
        assert post(CODE, form, ENGINEER).repeated is repeated


@pytest.mark.usefixtures("yard")
def test_a_scan_of_another_kind_is_told_so() -> None:
    """A carton's label in a field for beads names the carton, which is none."""
    faults = scrap("T-7").faults

    assert [one.what for one in faults["from"]] == [
        "C-1 is tie; prefoam or regrind or bead is needed here"
    ]


@pytest.mark.usefixtures("yard")
def test_a_new_code_is_left_as_it_is() -> None:
    """A bag that is received may bear a label that others bear; its own code is new."""
    texts = {"bag": "88-A", "supplier_lot": "88-A", "grade": "F1", "mass": "880"}
    form = read(CODE, "bead_receipts", texts, units={"mass": "lb"}, key="r-1", by="P-13")

    assert form.ready
    assert may(CODE, form, ENGINEER).may


@pytest.mark.parametrize("text", ["10", "1088-A", "]C1", "]C199", "(10)", "x" * 5000, "\x1d\x1d"])
def test_any_text_can_be_read(text: str) -> None:
    """What is no element string is none; a scan of nothing means nothing."""
    assert element_strings(text) == {}
    assert [one for meant in MEANT for one in meant(text)]
    assert isinstance(element_strings(text), dict)


@pytest.mark.usefixtures("yard")
def test_a_field_offers_the_open_lots_that_fit_it() -> None:
    """Newest first; bags for a bag, places and bags for a move, no carton among them."""
    assert [one.value for one in offered(CODE, "expansion_runs")["bag"]] == ["B-3", "B-2", "B-1"]
    assert offered(CODE, "expansion_runs")["bag"][0].name == "F1"
    assert {one.value for one in offered(CODE, "silo_moves")["to"]} == {"S1", "S2", "H1"}
    assert "C-1" not in {one.value for one in offered(CODE, "silo_moves")["from"]}
    assert [one.value for one in offered(CODE, "mould_open")["ties"]] == ["C-1"]


@pytest.mark.usefixtures("yard")
def test_what_is_held_is_offered_to_be_looked_at_and_not_to_be_used() -> None:
    """A held bag is weighed back or scrapped; it is not opened."""
    hold = Hold("h-1", now_ms(), "H-1", "smell", ("B-2",), by="P-13")
    door_of(CODE).post(hold, ENGINEER)

    assert "B-2" not in {one.value for one in offered(CODE, "bag_opened")["bag"]}
    assert "B-2" in {one.value for one in offered(CODE, "bag_off")["bag"]}


@pytest.mark.usefixtures("yard")
def test_a_field_offers_what_is_set_up_and_what_was_keyed_before() -> None:
    """Grades of beads for beads, presses for a press, the supplier of the last bags."""
    assert [one.value for one in offered(CODE, "bead_receipts")["grade"]] == ["F1", "PK1"]
    assert [one.value for one in offered(CODE, "tie_receipts")["grade"]] == ["T6"]
    assert [one.value for one in offered(CODE, "mould_open")["press"]] == ["FP1"]
    assert [one.value for one in offered(CODE, "bead_receipts")["supplier"]] == ["Pellmere Resins"]


@pytest.mark.parametrize("kind", FORMS)
def test_no_field_offers_more_than_is_read(kind: str, yard: Plant) -> None:
    """Every offer is of a field of its form."""
    assert yard is not None
    fields = {one.name for one in fields_of(kind)}
    found = offered(CODE, kind)

    assert set(found) <= fields
    assert all(len(some) <= MOST for some in found.values())


@pytest.mark.usefixtures("yard")
def test_a_scan_alone_says_what_it_was_found_by() -> None:
    """Part, label or code."""
    assert [(one.code, one.by_label, one.part) for one in scanned(CODE, "90-")] == [
        ("B-3", True, True)
    ]
    assert [(one.code, one.by_label, one.part) for one in scanned(CODE, "90-C")] == [
        ("B-3", True, False)
    ]
    assert scanned(CODE, "C-") == ()
