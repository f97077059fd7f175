"""A certificate's file is told true from altered, foreign, superseded and overtaken."""

import json
from dataclasses import replace

import pytest
from django.db import connection

from beadwright.errors import RecordBroken, Refusal
from beadwright.ledger.chain import canonical
from beadwright.plant.access import Role, Who
from beadwright.reports.certificate import content, render
from beadwright.reports.checking import check
from beadwright.reports.issued import issued
from tests.plant.asking import GOOD, block, the_lot
from tests.reports.issuing import Office

pytestmark = pytest.mark.django_db

REGIONS = 48


def test_the_file_as_issued_is_true() -> None:
    """Its bytes are in the record, the record verifies, and nothing has changed since."""
    office = Office()
    paper = office.released()
    found = office.check(paper.pdf)

    assert (found.verdict, found.good, found.set_again) == ("true", True, True)
    assert (found.number, found.lot, found.seq) == ("C-L1-1", "L1", paper.seq)
    assert found.reasons == ()


def test_what_does_not_touch_the_lot_leaves_it_true() -> None:
    """The record goes on; a certificate does not age by that."""
    office = Office()
    paper = office.released()
    office.yard.block_lot("L2")
    office.yard.weigh("L2", "24h", GOOD)
    office.yard.hold("H-1", "L2")

    assert office.check(paper.pdf).good


def test_one_byte_anywhere_is_seen() -> None:
    """In each of 48 regions from the first byte to the last, one changed bit is enough."""
    office = Office()
    pdf = office.released().pdf
    places = [round(i * (len(pdf) - 1) / (REGIONS - 1)) for i in range(REGIONS)]
    seen = set()
    for place in places:
        altered = bytearray(pdf)
        altered[place] ^= 1
        seen.add(office.check(bytes(altered)).verdict)

    assert places[0] == 0
    assert places[-1] == len(pdf) - 1
    assert seen == {"altered"}


@pytest.mark.parametrize(
    "edit",
    [
        lambda pdf: pdf[:-1],
        lambda pdf: pdf + b"\n",
        lambda pdf: pdf + b"1 0 obj\n<</Type/Page>>\nendobj\n",
        lambda pdf: pdf[: len(pdf) // 2],
        lambda pdf: pdf.replace(b"lot L1", b"lot L9"),
    ],
    ids=["cut by a byte", "a line more", "an update appended", "half", "another lot in the title"],
)
def test_an_edited_file_is_altered(edit: object) -> None:
    """Cut, grown or written over: it is named with the number whose file it is not."""
    office = Office()
    pdf = office.released().pdf
    found = office.check(edit(pdf))  # type: ignore[operator]

    assert edit(pdf) != pdf  # type: ignore[operator]
    assert found.verdict in {"altered", "not_ours"}
    assert not found.good
    if b"C-L1-1" in edit(pdf):  # type: ignore[operator]
        assert (found.verdict, found.number) == ("altered", "C-L1-1")


def test_a_file_whose_title_was_taken_off_is_known_by_what_is_attached() -> None:
    """Its own number is blotted out wherever it stands plain; the data inside still name it."""
    office = Office()
    pdf = office.released().pdf
    blotted = pdf.replace(b"C-L1-1", b"XXXXXX")

    found = office.check(blotted)

    assert b"C-L1-1" not in blotted
    assert (found.verdict, found.number) == ("altered", "C-L1-1")


@pytest.mark.parametrize(
    ("field", "value"),
    [("pieces", 400), ("lot", "L2"), ("title", "Better block"), ("evidence", "0" * 64)],
)
def test_a_paper_set_from_other_content_is_altered(field: str, value: object) -> None:
    """Our own typesetter and template, with one figure bettered: the bytes were never issued."""
    office = Office()
    office.released()
    said = dict(issued(office.plant.no)[0].content)
    assert said[field] != value
    said[field] = value

    found = office.check(render(canonical(said)))

    assert (found.verdict, found.number) == ("altered", "C-L1-1")


def test_another_file_is_not_ours() -> None:
    """It names no certificate, or one that was never issued."""
    office = Office()
    office.released()

    assert office.check(b"%PDF-1.7 an invoice").verdict == "not_ours"
    assert office.check(b"").verdict == "not_ours"
    found = office.check(b"%PDF-1.7 certificate C-L9-1")
    assert found.verdict == "not_ours"
    assert "C-L9-1, which was never issued" in found.reasons[0]


def test_a_lot_held_later_is_said_to_be_so() -> None:
    """The file is as issued; the reason of the hold stands beside it."""
    office = Office()
    paper = office.released()
    office.yard.hold("H-1", "B-1", reason="wrong blowing agent")
    found = office.check(paper.pdf)

    assert (found.verdict, found.good, found.set_again) == ("on_hold", False, True)
    assert "wrong blowing agent" in found.reasons[0]


def test_a_hold_lifted_makes_it_true_again() -> None:
    """What was lifted no longer stands in the way."""
    office = Office()
    paper = office.released()
    office.yard.hold("H-1", "L1")
    assert office.check(paper.pdf).verdict == "on_hold"
    office.yard.lift("H-1", "L1")

    found = office.check(paper.pdf)
    assert found.good
    (told,) = found.reasons
    assert told.startswith("not on the paper: hold H-1 on L1, placed ")


def test_a_shipment_on_hold_is_said_though_the_lot_is_not() -> None:
    """The paper went with those very pieces: it is not simply true."""
    office = Office()
    paper = office.released()
    office.yard.ship("SH-1", "L1", 20)
    assert office.check(paper.pdf).good
    office.yard.hold("H-9", "SH-1", reason="wet wrap", at=90)

    found = office.check(paper.pdf)
    assert (found.verdict, found.good) == ("pieces_held", False)
    assert found.reasons[0].startswith("SH-1 (shipment), with a receiver, holds pieces of it: ")
    assert "wet wrap" in found.reasons[0]
    assert "QUARRY LANE" not in found.reasons[0]

    office.yard.lift("H-9", "SH-1", at=91)
    assert office.check(paper.pdf).good


def test_a_paper_of_before_is_not_held_to_what_papers_tell_since() -> None:
    """It names neither what its notes would tell nor holds lifted; it stays what it was."""
    office = Office()
    office.release()
    office.yard.hold("H-1", "L1")
    office.yard.lift("H-1", "L1")
    told = json.loads(content(office.plant, the_lot(office.yard), "C-L1-1", (0, "", "a4")).text)
    assert told.pop("lifted")
    assert "set_up_by_other" in told.pop("tells")
    assert told["released"][0].pop("how")
    text = canonical(told)
    office.enter("C-L1-1", text, render(text))

    found = office.check(render(text))
    assert found.verdict == "true"
    assert found.reasons[0].startswith("not on the paper: hold H-1")


def test_a_limit_missed_by_later_readings_is_said() -> None:
    """A release that the evidence no longer carries takes the paper with it."""
    office = Office()
    paper = office.released()
    office.yard.weigh("L1", "24h", [block(21.5)], at=70)
    found = office.check(paper.pdf)

    assert found.verdict == "on_hold"
    assert "21.50 kg/m3" in found.reasons[0]


def test_evidence_that_changed_without_harm_is_said() -> None:
    """Figures on the paper are no longer those of the record, though the lot may still ship."""
    office = Office()
    paper = office.released()
    office.yard.weigh("L1", "24h", [block(23.4)], at=70, first=4)
    found = office.check(paper.pdf)

    assert found.verdict == "out_of_date"
    assert found.reasons[0] == "limits 1 (density), n: 3 on the paper, 4 in the record now"
    assert found.reasons[-1].startswith("evidence: ")


def test_a_rule_that_asks_for_another_person_is_said() -> None:
    """Where the plant asks for two since, one approval no longer releases."""
    office = Office()
    paper = office.released()
    office.yard.set("release", "rule", persons=2, since=1)
    found = office.check(paper.pdf)

    assert found.verdict == "on_hold"
    assert "1 of 2 people" in found.reasons[0]


def test_a_newer_certificate_supersedes() -> None:
    """The older file says which one took its place; the newer is true."""
    office = Office()
    first, second = office.released(), office.issue()
    found = office.check(first.pdf)

    assert (found.verdict, found.good) == ("superseded", False)
    assert second.number in found.reasons[0]
    assert office.check(second.pdf).good


def test_held_and_superseded_are_both_said() -> None:
    """The worse is the verdict, the other stands beside it."""
    office = Office()
    first = office.released()
    office.issue()
    office.yard.hold("H-1", "L1")
    found = office.check(first.pdf)

    assert found.verdict == "on_hold"
    assert len(found.reasons) == 2


def test_an_entry_whose_content_gives_other_bytes_is_not_believed() -> None:
    """Who has the door can name any file in an entry; the content still gives it away."""
    office = Office()
    office.released()
    said = dict(issued(office.plant.no)[0].content)
    text = canonical(said)
    forged = render(canonical({**said, "pieces": 400}))
    office.enter("C-L1-2", text, forged)

    found = office.check(forged)

    assert not found.good
    assert found.verdict == "altered"


@pytest.mark.parametrize(
    ("field", "value"), [("pieces", 400), ("title", "Better block"), ("released", [])]
)
def test_an_entry_whose_content_is_not_the_records_is_not_believed(
    field: str, value: object
) -> None:
    """Content and file made up together still meet the record itself."""
    office = Office()
    office.released()
    text = canonical({**issued(office.plant.no)[0].content, field: value})
    pdf = render(text)
    office.enter("C-L1-2", text, pdf)

    found = office.check(pdf)

    assert found.verdict == "out_of_date"
    assert any(field in reason for reason in found.reasons)


def test_a_result_made_up_is_told_with_both_figures() -> None:
    """The paper's figure and the record's stand side by side."""
    office = Office()
    office.released()
    said = json.loads(issued(office.plant.no)[0].text)
    said["limits"][0]["result"] = "29.90 kg/m3"
    office.enter("C-L1-2", canonical(said), render(canonical(said)))

    (reason, *_) = office.check(render(canonical(said))).reasons

    told = "29.90 kg/m3 on the paper, 22.90 kg/m3 in the record now"
    assert reason == f"limits 1 (density), result: {told}"


def test_a_record_changed_behind_the_door_is_no_witness() -> None:
    """The chain is verified before any answer."""
    office = Office()
    paper = office.released()
    _untie()
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE ledger_entry SET body = replace(body, '1000 kg', '1001 kg')"
            " WHERE body LIKE '%1000 kg%'"
        )

    with pytest.raises(RecordBroken):
        office.check(paper.pdf)


def test_a_head_that_the_record_never_had_is_no_witness() -> None:
    """A certificate states its head; a record rewritten since then does not hold it."""
    office = Office()
    office.released()
    said = dict(issued(office.plant.no)[0].content)
    seq = str(said["head"]).partition(":")[0]
    text = canonical({**said, "head": f"{seq}:{'0' * 64}"})
    pdf = render(text)
    office.enter("C-L1-2", text, pdf)

    with pytest.raises(RecordBroken, match="rewritten"):
        office.check(pdf)


def test_a_machine_may_not_ask() -> None:
    """Roles are asked before anything is read."""
    office = Office()
    paper = office.released()

    for who in (Who("scale", Role.MACHINE), Who("nobody", None)):
        with pytest.raises(Refusal) as refused:
            check(office.plant, paper.pdf, who)
        assert refused.value.codes == ("not_allowed",)


def test_the_answer_does_not_change_the_record() -> None:
    """Asking is free."""
    office = Office()
    paper = office.released()
    before = office.plant
    office.check(paper.pdf)

    assert replace(before) == office.plant
    assert json.loads(issued(office.plant.no)[0].text)["number"] == paper.number


def _untie() -> None:
    """Take the triggers off, as somebody at the file itself would."""
    of = " ON ledger_entry" if connection.vendor == "postgresql" else ""
    with connection.cursor() as cursor:
        for name in ("entry_next", "entry_no_update", "entry_no_delete"):
            cursor.execute(f"DROP TRIGGER {name}{of}")


def test_figures_changed_in_the_tables_alone_are_no_witness() -> None:
    """The chain still verifies; but what the page is set from does not say what the record says."""
    office = Office()
    paper = office.released()
    with connection.cursor() as cursor:
        cursor.execute("UPDATE quality_reading SET si = si + 1 WHERE si IS NOT NULL")

    with pytest.raises(RecordBroken, match="do not say what the record says"):
        office.check(paper.pdf)
