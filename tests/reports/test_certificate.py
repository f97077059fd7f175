"""A certificate says what the record says, for a released lot only, and always in the same bytes.

Whether the page shows it is read by another program: see test_read.
"""

import hashlib
import json
import re
import zlib

import pytest

from beadwright.errors import Misuse, Refusal
from beadwright.ledger.chain import canonical
from beadwright.ledger.decided import of_kinds
from beadwright.ledger.draft import Decision, Reading, Release
from beadwright.ledger.holds import nonconformities
from beadwright.plant.access import Role, Who
from beadwright.plant.opening import rebuild_plant
from beadwright.reports.certificate import render
from beadwright.reports.issued import issued
from beadwright.reports.issuing import again
from beadwright.reports.setting import SETTER
from tests.plant.asking import GOOD, block, the_lot
from tests.plant.planning import decide
from tests.plant.yard import ms
from tests.reports.issuing import Office

pytestmark = pytest.mark.django_db


def test_the_content_is_what_the_assessment_says() -> None:
    """Limit, result, number of pieces and evidence are those that the release rests on."""
    office = Office()
    office.released()

    told = the_lot(office.yard)
    (one,) = issued(office.plant.no)
    said = one.content
    (line,), (result,) = said["limits"], told.limits
    assert (line["result"], line["n"], line["finding"]) == (result.value, 3, "met")
    assert line["limit"] == "at least 22.0 kg/m3, each piece"
    assert float(line["result_si"]) == result.value_si
    assert (
        line["status"]
        == "the plant's own, as its setting says; nobody is named, keyed by account install"
    )
    assert said["evidence"] == told.evidence
    assert (said["lot"], said["product"], said["pieces"]) == ("L1", "FB6", 40)
    assert [one["by"] for one in said["released"]] == ["P-13"]


def test_the_content_names_what_the_lot_was_made_of() -> None:
    """One bag, one silo, one carton, one run; shares by arithmetic on what was moulded."""
    office = Office()
    office.released()
    origin = issued(office.plant.no)[0].content["origin"]
    foam = 1.495 / (1.495 + 6 * 0.27)

    assert [(one["lot"], one["grades"]) for one in origin["bags"]] == [("B-1", "F1")]
    assert [(one["lot"], one["share"]) for one in origin["places"]] == [
        ("S1", f"{foam:.1%}"[:-1] + " %")
    ]
    assert [(one["lot"], one["share"]) for one in origin["ties"]] == [
        ("T-1", f"{1 - foam:.1%}"[:-1] + " %")
    ]
    assert [(one["place"], one["pieces"]) for one in origin["runs"]] == [("FP1", 40)]
    assert origin["others"] == []


def test_the_head_is_the_entry_before_its_own() -> None:
    """The paper states the record it was set from; its issue is the next entry."""
    office = Office()
    office.release()
    seq, own = office.plant.head
    paper = office.issue()

    assert issued(office.plant.no)[0].content["head"] == f"{seq}:{own}"
    assert (paper.seq, office.plant.head[0]) == (seq + 1, seq + 1)


def test_the_record_keeps_the_content_and_the_hash_of_the_file() -> None:
    """From the entry alone the file can be set again, and told from any other."""
    office = Office()
    paper = office.released()
    (entry,) = of_kinds(office.plant.no, "certificate")
    body = entry.body

    assert (entry.about, entry.seq, entry.by) == ("C-L1-1", paper.seq, "P-13")
    assert body["sha256"] == paper.sha256 == hashlib.sha256(paper.pdf).hexdigest()
    assert body["set_by"] == SETTER
    assert canonical(json.loads(str(body["content"]))) == body["content"]
    assert render(str(body["content"])) == paper.pdf


def test_the_bytes_are_the_same_after_a_rebuild() -> None:
    """Projections are made anew; the file is set from the record, to the byte."""
    office = Office()
    paper = office.released()

    rebuild_plant("P1")

    assert again(office.plant, paper.number).pdf == paper.pdf


def test_the_content_gathered_after_a_rebuild_is_the_same() -> None:
    """All that a certificate gathers is in the record, nothing only in the projections."""
    office = Office()
    before = json.loads(issued_text(office))
    rebuild_plant("P1")
    after = json.loads(issued_text(office, release=False))
    for name in ("number", "issued", "issued_at", "head"):
        before.pop(name), after.pop(name)

    assert before == after


def issued_text(office: Office, *, release: bool = True) -> str:
    """Issue a certificate; gives its content."""
    if release:
        office.release()
    office.issue()
    return issued(office.plant.no)[-1].text


def test_the_file_says_what_it_is() -> None:
    """Archivable and accessible by its own claim, with language, title and one attachment.

    The claims are those of ISO 19005-3 (level A) and ISO 14289-1; no validator of them is at hand.
    """
    office = Office()
    pdf = office.released().pdf

    assert b"<pdfaid:part>3</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance>" in pdf
    assert b"<pdfuaid:part>1</pdfuaid:part>" in pdf
    assert b"/Lang(en-GB)" in pdf
    assert b"/MarkInfo<</Marked true" in pdf
    assert b"Certificate C-L1-1: lot L1, FB6" in pdf


def test_the_content_is_attached_whole() -> None:
    """Whoever has the file has the figures as data."""
    office = Office()
    pdf = office.released().pdf
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)

    assert issued(office.plant.no)[0].text.encode() in {_inflated(one) for one in streams}


def _inflated(stream: bytes) -> bytes:
    try:
        return zlib.decompress(stream)
    except zlib.error:
        return stream


def test_a_lot_that_is_not_released_gets_none() -> None:
    """Neither a file nor an entry."""
    office = Office()

    with pytest.raises(Refusal, match="it is not released"):
        office.issue()
    assert issued(office.plant.no) == ()


def test_a_lot_whose_release_no_longer_stands_gets_none() -> None:
    """A hold on what it was made of suspends the release, and with it the paper."""
    office = Office()
    office.release()
    office.yard.hold("H-1", "B-1")

    with pytest.raises(Refusal) as refused:
        office.issue()
    assert refused.value.codes == ("not_certifiable",)
    (fault,) = refused.value.faults
    assert fault.what.startswith("no certificate for L1: hold H-1 on B-1, placed ")
    assert (fault.where, "releases it" in fault.remedy) == ("", False)
    assert str(fault).count("hold H-1") == 1
    assert issued(office.plant.no) == ()


def test_a_concession_and_a_defect_are_told_in_one_word_each() -> None:
    """What was conceded once, and one piece in the singular."""
    office = Office()
    office.yard.expand("B-1", "S2", at=26)
    office.yard.mould("L2", "S2", at=28)
    office.yard.weigh("L2", "24h", [block(23.4)] * 4, at=70)
    office.yard.look_over("L2", 40, ties=1)
    office.yard.concede(*_open_cause(office))
    office.release("L2")
    office.issue("L2")

    notes = json.loads(issued(office.plant.no)[0].text)["notes"]
    assert [one for one in notes if one.startswith("conceded: strength tested. It was: ")]
    assert not [one for one in notes if "conceded: conceded" in one]
    assert [one for one in notes if "1 of 40 looked at is defective: ties 1" in one]


def _open_cause(office: Office) -> tuple[str, list[str]]:
    found = [one for one in nonconformities(office.yard.no) if one.code == "too_fresh"]
    return found[0].cause, [one.mark for one in found]


def test_a_lot_with_evidence_that_its_releaser_has_not_seen_gets_none() -> None:
    """A paper shows what was approved: new readings are approved first, good as they are."""
    office = Office()
    office.release()
    office.yard.weigh("L1", "24h", [block(23.4)], at=70)

    with pytest.raises(Refusal, match="evidence has changed since P-13 released it"):
        office.issue()
    office.release()
    assert office.issue().number == "C-L1-1"


def test_a_lot_that_waits_for_a_second_person_gets_none() -> None:
    """Where the plant asks for two."""
    office = Office()
    office.yard.set("release", "rule", persons=2, since=1)
    office.release()

    with pytest.raises(Refusal, match="1 of 2 people"):
        office.issue()


def test_both_people_stand_on_it_where_two_released() -> None:
    """With when, and at which entry each."""
    office = Office()
    office.yard.set("release", "rule", persons=2, since=1)
    office.yard.set("role", "P-12", role="engineer")
    office.release()
    evidence = the_lot(office.yard).evidence
    office.yard.post(Release("second", ms(80), "L1", evidence, by="P-12"))
    office.issue()

    said = issued(office.plant.no)[0].content["released"]
    assert [one["by"] for one in said] == ["P-13", "P-12"]
    assert {one["how"] for one in said} == {"typed at the shell, account install"}


def test_how_each_signed_stands_on_it() -> None:
    """Of whoever signed in the entry's account is their own."""
    office = Office()
    evidence = the_lot(office.yard).evidence
    office.yard.door.post(
        Release("at-a-page", ms(78), "L1", evidence, by="P-13"), Who("P-13", Role.ENGINEER)
    )
    office.issue()

    (said,) = issued(office.plant.no)[0].content["released"]
    assert said["how"] == "signed in as P-13"


def test_what_the_releaser_wrote_stands_on_it() -> None:
    """The page set without it is another one; a paper from before it was told can still be set."""
    office = Office()
    evidence, note = the_lot(office.yard).evidence, "weighed again on BAL-1: 3.2 kg"
    office.yard.post(Release("noted", ms(78), "L1", evidence, by="P-13", note=note))
    office.issue()
    one = issued(office.plant.no)[0]
    (said,) = one.content["released"]
    assert said["note"] == note
    before = json.loads(one.text)
    for name in ("", None):
        older = json.loads(one.text)
        older["released"][0]["note"] = name
        if name is None:
            del older["released"][0]["note"]
        assert render(canonical(older)) != render(canonical(before))


def test_a_bundle_is_answered_with_the_lots_it_holds() -> None:
    """A certificate is of a mould lot: the question names it."""
    office = Office()
    office.release()
    office.yard.bundle("U-1", "L1", 20)

    with pytest.raises(Misuse, match="packed of L1"):
        office.issue("U-1")


@pytest.mark.parametrize("role", [role for role in Role if role is not Role.ENGINEER] + [None])
def test_only_an_engineer_issues(role: Role | None) -> None:
    """The door refuses whoever may not decide, and nothing stays behind."""
    office = Office()
    office.release()
    head = office.plant.head

    with pytest.raises(Refusal) as refused:
        office.issue(who=Who("somebody", role))
    assert refused.value.codes == ("not_allowed",)
    assert office.plant.head == head


def test_numbers_run_on_by_lot() -> None:
    """A second certificate of a lot has the next number, another lot begins at 1."""
    office = Office()
    office.yard.block_lot("L2")
    office.yard.weigh("L2", "24h", GOOD)
    office.release("L2")

    assert office.released().number == "C-L1-1"
    assert office.issue().number == "C-L1-2"
    assert office.issue("L2").number == "C-L2-1"


def test_a_correction_that_changes_nothing_else_is_on_the_next_certificate() -> None:
    """New readings are in the next paper; the one issued before stays as it was."""
    office = Office()
    first = office.released()
    office.yard.weigh("L1", "24h", [block(22.5)], at=70)
    office.release()
    second = office.issue()

    one, other = issued(office.plant.no)
    assert one.content["limits"][0]["n"] == 3
    assert other.content["limits"][0]["result"] == "22.50 kg/m3"
    assert again(office.plant, first.number).pdf == first.pdf != second.pdf


def test_a_demonstration_says_so() -> None:
    """The banner is in the content of an invented plant, and only there."""
    office = Office()
    office.released()
    office.yard.set("plant", "P1", name="Yard", zone="America/Chicago", invented=True, since=1)
    office.issue()

    real, invented = issued(office.plant.no)
    assert real.content["banner"] == ""
    assert invented.content["banner"].startswith("DEMONSTRATION")


def test_an_unknown_number_is_misuse() -> None:
    """What was never issued is not set."""
    office = Office()
    office.release()

    with pytest.raises(Misuse, match="C-L1-7"):
        again(office.plant, "C-L1-7")


@pytest.mark.parametrize(
    "wrong", [{"sha256": ""}, {"sha256": "abc"}, {"content": ""}, {"lot": 3}, {"more": "x"}]
)
def test_an_entry_that_could_not_be_checked_later_is_refused(wrong: dict[str, object]) -> None:
    """The door takes a certificate only with lot, content, hash and setter."""
    office = Office()
    body: dict[str, object] = {
        "lot": "L1", "content": "{}", "sha256": "0" * 64, "set_by": "a hand"
    }  # fmt: skip
    draft = Decision("c", ms(90), "certificate", "C-L1-1", {**body, **wrong})

    with pytest.raises(Refusal) as refused:
        office.yard.post(draft)
    assert refused.value.codes == ("bad_decision",)


def test_an_instrument_found_wrong_since_stands_on_it() -> None:
    """Which, when, how far off, and what the look back says: released with a reason all the same.

    A balance that showed 1 kg too much: the heaviest of its blocks would be 1 kg lighter.
    """
    office = Office()
    office.yard.set("instrument", "BAL-2", what="balance", every="365 days")
    for done, result in (("2026-09-01", "pass"), ("2026-09-04", "fail")):
        body = {"done": done, "result": result, "certificate": done, "as_found": "+1 kg"}
        decide(office.yard, "calibration", "BAL-2", body if result == "fail" else {
            **body, "as_found": "+0 kg"})  # fmt: skip
    one = Reading("block_mass_24h", f"{GOOD[0]:.4f}", "kg", lot="L1", specimen="D-9",
                  instrument="BAL-2", facts={"state": "24h", "age_h": "26"})  # fmt: skip
    office.yard.read([one], at=61)
    evidence = the_lot(office.yard, "L1").evidence
    draft = Release("r", ms(79), "L1", evidence, by="P-13", note="weighed again")
    office.yard.post(draft)
    (note,) = [n for n in json.loads(issued_text(office, release=False))["notes"] if "BAL-2" in n]
    assert "failed its calibration and was found with an error of +1 kg on 2026-09-04" in note
    assert "by the look back it would not have passed without the error" in note
    assert "not met" in note
    assert "(entry " in note
