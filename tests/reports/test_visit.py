"""The visit file says what was entered since a day, late entries included, and traces a lot."""

import json
from datetime import date

import pytest

from beadwright.errors import Misuse, RecordBroken, Refusal
from beadwright.ledger.draft import Decision
from beadwright.ledger.trace import trace
from beadwright.plant.access import Role, Who
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES, open_plant, rebuild_plant
from beadwright.plant.recall.on_record import recalls
from beadwright.reports.visit.content import Visit, content, render
from beadwright.reports.visit.parts import Part, Table
from tests.plant.asking import GOOD, good_yard, the_lot
from tests.plant.yard import DAY, T0, Yard, ms
from tests.reports.issuing import AUDITOR, Office

pytestmark = pytest.mark.django_db

NOW = T0 + 60 * DAY


def visited(since: str, lot: str = "L1", who: Who = AUDITOR, at: int = NOW) -> Visit:
    """Gather a visit file at the yard's now, or another time."""
    return content(open_plant("P1"), date.fromisoformat(since), (lot,), who, (at, "a4"))


def part(visit: Visit, title: str) -> Part:
    """One part."""
    (found,) = [one for one in visit.parts if one.title.startswith(title)]
    return found


def rows(visit: Visit, title: str, of: str) -> list[tuple[str, ...]]:
    """Rows of one table."""
    tables: list[Table] = [one for one in part(visit, title).tables if one.title.startswith(of)]
    assert len(tables) == 1
    return list(tables[0].rows)


def keyed_at(yard: Yard, hours: float) -> None:
    """From here on, the yard's door stands at that hour: what is posted is recorded then."""
    yard.door = Door("P1", RULES, clock=lambda: ms(hours))


@pytest.fixture
def eventful(monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A plant whose last visit was on day 10: something before it, something after, some late."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(72))  # its first days are keyed as they pass
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", GOOD)
    keyed_at(yard, 9 * 24)
    yard.hold("H-OLD", "L1", at=8 * 24, reason="before the visit")
    yard.lift("H-OLD", "L1", at=8 * 24 + 1)
    keyed_at(yard, 20 * 24)
    yard.hold("H-NEW", "B-1", at=15 * 24, reason="smell of solvent")
    yard.set("ageing", "F1", min_h="12", max_h="96", since=12 * 24)
    yard.set("place", "S3", kind="silo", content=True, since=3 * 24)
    yard.post(Decision("rem", ms(16 * 24), "remark", "press FP1", {"text": "new plate"}, by="P-09"))
    yard.door = Door("P1", RULES, clock=lambda: NOW)
    return yard


@pytest.mark.usefixtures("eventful")
def test_decisions_recorded_since_are_there_and_older_ones_are_not() -> None:
    """The day of the last visit parts them; the reason stands beside the decision."""
    visit = visited("2026-09-11")
    found = rows(visit, "Decisions", "Holds")

    assert [(row[3], row[4], row[5]) for row in found] == [
        ("P-13", "hold H-NEW on B-1", "smell of solvent")
    ]
    assert rows(visit, "Decisions", "Other")[0][3:] == (
        "P-09", "remark: press FP1", "text new plate"
    )  # fmt: skip


@pytest.mark.usefixtures("eventful")
def test_everything_since_the_beginning_is_there() -> None:
    """An earlier day takes in more."""
    found = rows(visited("2026-09-01"), "Decisions", "Holds")

    assert [row[4] for row in found] == [
        "hold H-OLD on L1", "hold H-OLD lifted from L1", "hold H-NEW on B-1"
    ]  # fmt: skip


@pytest.mark.usefixtures("eventful")
def test_a_changed_setting_shows_what_changed() -> None:
    """Key by key against the version before."""
    visit = visited("2026-09-11")
    (row,) = rows(visit, "Changes", "In force from a day since")

    assert row[4:] == ("ageing F1", "min h: 8, now 12")


@pytest.mark.usefixtures("eventful")
def test_a_setting_entered_since_for_a_day_before_is_not_hidden() -> None:
    """Back-dating is what an inspector looks for."""
    visit = visited("2026-09-11")
    (row,) = rows(visit, "Changes", "Entered since")

    assert row[1:3] == ("2026-09-21 00:00", "2026-09-04 00:00")
    assert row[4:] == ("place S3", "new: content true; kind silo")


def test_a_rule_loosened_for_a_day_before_is_told_key_by_key(eventful: Yard) -> None:
    """Against what stood on that day, though a stricter one that follows it still stands."""
    keyed_at(eventful, 9 * 24)
    eventful.set("release", "rule", persons=2, tester_apart=True, since=24)
    eventful.set("release", "rule", persons=2, since=200)
    keyed_at(eventful, 20 * 24)
    loosened = eventful.set("release", "rule", persons=1, tester_apart=False, since=48)
    eventful.set("role", "P-77", role="operator", since=1)
    eventful.set("role", "P-77", role="engineer", since=2)
    visit = visited("2026-09-11")
    late = {(row[4], row[5]) for row in rows(visit, "Changes", "Entered since")}

    facts = dict(part(visit, "Changes").facts)
    assert facts["Rule of release loosened"].endswith(
        f"entry {loosened.seq}; lots released under it: none"
    )
    assert ("release rule", "persons: 2, now 1; tester apart: true, now false") in late
    assert ("role P-77", "new: role operator") in late
    assert ("role P-77", "role: operator, now engineer") in late
    assert [row[4:] for row in rows(visit, "People", "Roles")] == [
        ("P-77", "operator"), ("P-77", "operator, now engineer")
    ]  # fmt: skip


def test_what_was_released_under_a_rule_loosened_afterwards_is_named(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With the change, and where the lot itself is told."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(10 * 24))
    yard = good_yard("L1")
    yard.set("release", "rule", persons=2, since=48)
    keyed_at(yard, 20 * 24)
    yard.set("release", "rule", persons=1, since=72)
    yard.release("L1", the_lot(yard).evidence, at=20 * 24 - 1)
    visit = visited("2026-09-15")

    told = dict(part(visit, "Changes").facts)["Rule of release loosened"]
    assert "persons: 2, now 1" in told
    assert told.endswith("lots released under it: L1")
    (row,) = [one for one in rows(visit, "Lot L1", "L1: reasons") if "rule of release" in one[1]]
    assert row[0] == "to note"
    typed = "typed at the shell, account install"
    assert typed in dict(part(visit, "Lot L1").facts)["Release"]
    said = rows(visit, "Decisions", "Releases")[0][4]
    assert " signed, over evidence " in said
    assert said.endswith(f", {typed}")


@pytest.mark.usefixtures("eventful")
def test_settings_that_the_record_begins_with_are_told_by_topic() -> None:
    """They changed nothing; a visit that goes back so far has them apart."""
    visit = visited("2026-08-01")
    first = {row[0]: row for row in rows(visit, "Changes", "Settings that the record begins with")}

    assert first["role"][4] == "P-01, P-09, P-13, P-14"
    assert first["limit"][4] == "LIM"
    told = [row[4] for row in rows(visit, "Changes", "In force")]
    assert told == ["ageing F1", "place S3"]


@pytest.mark.usefixtures("eventful")
def test_the_count_of_entries_tells_those_dated_before() -> None:
    """By kind: recorded since, and of these dated before the visit."""
    found = rows(visited("2026-09-11"), "The record", "Recorded since")

    by_kind = {row[0]: row[1:] for row in found}
    assert by_kind == {"decision": ("1", "0"), "hold": ("1", "0"), "setting": ("2", "1")}


@pytest.mark.usefixtures("eventful")
def test_people_are_told_new_from_known() -> None:
    """By what they did, and when; names stay out."""
    visit = visited("2026-09-11")
    found = {row[0]: row[1] for row in rows(visit, "People", "Who")}

    assert found == {"P-09": "new: did nothing before", "P-13": "active"}


def test_open_nonconformities_are_listed_whatever_their_age() -> None:
    """What happened before the visit and is still open stays in sight."""
    yard = Yard.open()
    yard.bag("B-PK", grade="PK1")
    yard.carton("T-1")
    yard.expand("B-PK", "S1")
    yard.mould("L1", good=40, at=20)
    found = rows(visited("2026-10-01"), "Nonconformities", "By cause")

    assert "wrong grade" in {row[0] for row in found}
    assert all(row[5] == "open" for row in found)


def test_a_nonconformity_names_what_it_reaches_and_who_has_pieces() -> None:
    """Lots and blocks in the plant on the one side, receivers on the other."""
    yard = Yard.open()
    yard.bag("B-PK", grade="PK1")
    yard.carton("T-1")
    yard.expand("B-PK", "S1")
    yard.mould("L1", good=40, at=20)
    yard.bundle("U-1", "L1", 20, at=30)
    yard.ship("SH-1", "U-1", 20, at=40)
    (row,) = [one for one in rows(visited("2026-09-01"), "Nonconformities", "By cause")
              if one[0] == "wrong grade"]  # fmt: skip

    assert "L1" in row[7].partition(";")[0].split(", ")
    assert row[7].endswith("; 20 blocks in the plant")
    assert row[8].endswith(": 20 blocks in SH-1")


def test_the_lot_is_traced_both_ways(eventful: Yard) -> None:
    """The very lots that a trace gives, back and forward; and the answer for it."""
    eventful.bundle("U-1", "L1", 20, at=16 * 24)
    visit = visited("2026-09-11")
    title = "Lot L1"

    for way, of in (("back", "Back"), ("forward", "Forward")):
        expected = [one.lot.code for one in trace(eventful.no, "L1", way).lots]  # type: ignore[arg-type]
        assert expected
        assert [row[0] for row in rows(visit, title, of)] == expected
    facts = dict(part(visit, title).facts)
    assert facts["Answer for L1"] == "may not ship"
    assert facts["Release"] == "not released"


@pytest.mark.usefixtures("eventful")
def test_a_bag_can_be_picked_too() -> None:
    """Any lot of the record, not only blocks."""
    visit = visited("2026-09-11", "B-1")

    assert "L1" in {row[0] for row in rows(visit, "Lot B-1", "Forward")}


@pytest.mark.usefixtures("eventful")
def test_the_record_is_verified_and_its_head_stated() -> None:
    """All entries, to the newest."""
    seq, own = open_plant("P1").head
    visit = visited("2026-09-11")

    assert visit.head == f"{seq}:{own}"
    assert dict(part(visit, "The record").facts)["Verified"].startswith(f"entries 1 to {seq}:")


@pytest.mark.usefixtures("eventful")
def test_a_record_that_does_not_verify_gives_no_file(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing that stands in it would be evidence."""
    from beadwright.ledger import rebuild  # noqa: PLC0415 - to be patched

    entries = list(rebuild.entries("P1"))
    entries[3] = entries[3]._replace(body=entries[3].body.replace("P1", "P2"))
    del entries[5]
    monkeypatch.setattr(rebuild, "entries", lambda _: iter(entries))

    with pytest.raises(RecordBroken):
        visited("2026-09-11")


@pytest.mark.usefixtures("eventful")
@pytest.mark.parametrize(
    ("since", "lot"), [("2026-12-24", "L1"), ("2026-09-11", "NO-SUCH")], ids=["to come", "no lot"]
)
def test_what_cannot_be_meant_is_misuse(since: str, lot: str) -> None:
    """A day to come, a lot that is not there."""
    with pytest.raises(Misuse):
        visited(since, lot)


@pytest.mark.usefixtures("eventful")
def test_a_machine_may_not_ask_for_it() -> None:
    """Roles are asked first."""
    with pytest.raises(Refusal):
        visited("2026-09-11", who=Who("scale", Role.MACHINE))


@pytest.mark.usefixtures("eventful")
def test_the_same_content_gives_the_same_bytes() -> None:
    """Gathered twice, after a rebuild in between, and set twice."""
    first = visited("2026-09-11").text
    rebuild_plant("P1")
    second = visited("2026-09-11").text

    assert first == second
    assert render(first) == render(second)


def test_certificates_are_among_the_decisions() -> None:
    """Number, lot and hash; their content is a paper of its own."""
    office = Office()
    paper = office.released()
    plant = open_plant("P1")
    visit = content(plant, date(2026, 9, 1), ("L1",), AUDITOR, (2 * NOW, "a4"))
    (row,) = rows(visit, "Decisions", "Other")

    assert row[4] == "certificate: C-L1-1"
    assert paper.sha256 in row[5]
    assert len(row[5]) < 200
    assert json.loads(visit.text)["banner"] == ""


def test_recalls_have_a_part_with_the_minutes_of_each_stage(eventful: Yard) -> None:
    """As the stages say, and as the record took them; none of it stands among other decisions."""
    begun = {"reason": "smell", "rehearsed": True, "starts": ["B-1"], "narrowed_below": "0.005"}
    stages: list[tuple[str, float, dict[str, object]]] = [
        ("started", 0.0, {**begun}),
        ("scope known", 3.0, {"found": "6 lots in scope"}),
    ]
    for number, (stage, minutes, more) in enumerate(stages):
        keyed_at(eventful, 17 * 24 + 10 * minutes / 60)
        at_ms = ms(16 * 24 + minutes / 60)
        body = {"stage": stage, **more}
        eventful.post(Decision(f"recall/R-01/{number}", at_ms, "recall", "R-01", body, by="P-13"))
    visit = visited("2026-09-11")

    recalled = part(visit, "Recalls and rehearsals")
    assert dict(recalled.facts) == {
        "Since": "0 carried out, 1 rehearsed", "Before": "0 in the record"
    }  # fmt: skip
    (told,) = recalled.tables
    assert told.title == (
        "R-01, a rehearsal: smell; from B-1; without lots that hold 0.5 % of it at most"
    )
    first, second = (one.seq for one in recalls(eventful.no)[0].stages)
    assert [(row[0], row[2], row[4]) for row in told.rows] == [
        (f"started (entry {first}, P-13)", "0.0", "0.0"),
        (f"scope known (entry {second}, P-13)", "3.0", "30.0"),
        ("not done: stock held, receivers ready, account closed", "", ""),
    ]
    assert told.rows[1][5] == "6 lots in scope"
    assert all("recall" not in row[4] for row in rows(visit, "Decisions", "Other"))
    assert dict(part(visited("2026-09-20"), "Recalls and").facts)["Before"] == "1 in the record"


def test_lots_that_wait_for_a_release_are_not_counted_among_those_that_may_ship(
    eventful: Yard,
) -> None:
    """Where the plant has a rule; before it had, they may."""
    keyed_at(eventful, 21 * 24)
    eventful.lift("H-NEW", "B-1", "L1", at=21 * 24 - 1)
    before = dict(part(visited("2026-09-01"), "Tests").facts)
    assert before["may ship, no rule asks for a release"] == "1"
    # In force now; the plant's own time, as of an invented one, stands still before it.
    keyed_at(eventful, 23 * 24)
    eventful.set("release", "rule", persons=2, since=22 * 24)
    told = dict(part(visited("2026-09-01", at=ms(21.5 * 24)), "Tests").facts)
    assert told["may ship, once released"] == "1"
    assert told["released"] == "0"
