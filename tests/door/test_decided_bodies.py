"""A decision that could not be read later is refused at the door, each wrong part by name."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import decided
from beadwright.ledger.draft import Decision, SettingDraft
from tests.plant.yard import Yard, ms

REPORT: dict[str, Any] = {
    "laboratory": "Northgate Testing",
    "products": ["FB6"],
    "characteristic": "compressive_resistance",
    "method": "ASTM D1621",
    "specimens": 5,
    "result": "17.4 psi",
    "sampled": "2026-09-01",
    "tested": "2026-09-04",
    "issued": "2026-09-05",
    "expires": "",
    "file": "",
}
CALIBRATION = {"done": "2026-09-01", "result": "pass", "certificate": "C-88", "due": "2027-09-01"}

WRONG: list[tuple[str, dict[str, Any], str]] = [
    ("report", {"laboratory": ""}, "laboratory must be text"),
    ("report", {"products": []}, "products must be a list of names"),
    ("report", {"characteristic": 3}, "characteristic must be text"),
    ("report", {"sampled": "01.09.2026"}, "sampled must be a day"),
    ("report", {"sampled": "2026-02-30"}, "sampled must be a day"),
    ("report", {"sampled": ""}, "sampled must be a day"),
    ("report", {"specimens": -1}, "specimens must be a whole number"),
    ("report", {"specimens": True}, "specimens must be a whole number"),
    ("report", {"conditioned_h": "two days"}, "conditioned_h must be hours in digits"),
    ("report", {"conditioned_h": 48}, "conditioned_h must be hours in digits"),
    ("report", {"conditioned_h": "-1"}, "conditioned_h must be hours in digits"),
    ("report", {"tested": "2026-08-31"}, "tested is before sampled"),
    ("report", {"tested": "", "issued": "2026-08-31"}, "issued is before sampled"),
    ("report", {"expires": "2026-09-04"}, "expires is before issued"),
    ("report", {"file": "abc"}, "file must be a SHA-256"),
    ("report", {"result": "17.4"}, "result must be a number and a unit of pressure"),
    ("report", {"result": "17.4 lb/ft3"}, "result must be a number and a unit of pressure"),
    ("report", {"result": "-1 psi"}, "result must not be below zero"),
    ("report", {"result": "well"}, "result must be a number and a unit of pressure"),
    ("report", {"characteristic": "flame spread", "result": "15"}, "result must be pass or fail"),
    ("report", {"colour": "white"}, "it knows no 'colour'"),
    ("report_withdrawn", {"reason": ""}, "reason must be text"),
    ("calibration", {"done": "yesterday"}, "done must be a day"),
    ("calibration", {"result": "ok"}, "result must be pass or fail"),
    ("calibration", {"due": "2026-08-01"}, "due is before done"),
    ("calibration", {"due": "soon"}, "due must be a day"),
    ("calibration", {"certificate": ""}, "certificate is not stated: a calibration that passed"),
    ("calibration", {"certificate": " "}, "certificate is not stated"),
    (
        "calibration",
        {"done": "2016-09-20", "due": ""},
        "done is more than 10 years before it was entered",
    ),
    (
        "calibration",
        {"done": "0001-01-01", "due": ""},
        "done is more than 10 years before it was entered",
    ),
    ("calibration", {"due": "2036-09-02"}, "due is more than 10 years after done, 2026-09-01"),
    ("calibration", {"due": "9999-12-31"}, "due is more than 10 years after done"),
]
SOUND = {"report": REPORT, "report_withdrawn": {"reason": "mixed up"}, "calibration": CALIBRATION}


def draft(kind: str, changes: dict[str, Any], about: str = "R-1") -> Decision:
    """A decision, with changes to a body that nothing is wrong with."""
    return Decision("x", ms(20 * 24), kind, about, {**SOUND[kind], **changes}, by="P-13")


@pytest.mark.django_db
@pytest.mark.parametrize(("kind", "changes", "what"), WRONG)
def test_a_wrong_part_is_refused_and_named(kind: str, changes: dict[str, Any], what: str) -> None:
    """One fault, that says which part, what it must be, and where to read on."""
    yard = Yard.open()

    with pytest.raises(Refusal) as refused:
        yard.post(draft(kind, changes))

    (fault,) = refused.value.faults
    assert fault.code == "bad_decision"
    assert what in fault.what
    assert fault.remedy
    assert decided.of_kinds(yard.no, kind) == ()


AHEAD: list[tuple[str, dict[str, Any], str]] = [
    ("report", {"sampled": "2026-09-21", "tested": "", "issued": ""}, "sampled"),
    ("report", {"tested": "2026-09-21", "issued": ""}, "tested"),
    ("report", {"issued": "2026-10-01"}, "issued"),
    ("calibration", {"done": "2026-09-21"}, "done"),
]


@pytest.mark.django_db
@pytest.mark.parametrize(("kind", "changes", "name"), AHEAD)
def test_a_day_that_has_not_come_is_refused(kind: str, changes: dict[str, Any], name: str) -> None:
    """By the plant's calendar: at 23:00 there, it is tomorrow in UTC already."""
    yard, late = Yard.open(), ms(20 * 24 - 1)

    with pytest.raises(Refusal) as refused:
        yard.post(replace(draft(kind, changes), happened_at=late))

    (fault,) = refused.value.faults
    assert fault.code == "time_ahead"
    assert f"{name} lies in the future; it was entered on 2026-09-20" in fault.what
    assert decided.of_kinds(yard.no, kind) == ()


@pytest.mark.django_db
@pytest.mark.parametrize(("kind", "changes"), [
    ("report", {"sampled": "2026-09-20", "tested": "2026-09-20", "issued": "2026-09-20"}),
    ("report", {"expires": "2031-09-20"}),
    ("calibration", {"done": "2026-09-20", "due": "2027-09-20"}),
])  # fmt: skip
def test_today_is_taken_and_what_is_due_may_lie_ahead(kind: str, changes: dict[str, Any]) -> None:
    """Until midnight at the plant; an end of validity is in the future by nature."""
    yard = Yard.open()

    yard.post(replace(draft(kind, changes), happened_at=ms(20 * 24 - 1)))

    assert len(decided.of_kinds(yard.no, kind)) == 1


@pytest.mark.django_db
@pytest.mark.parametrize("kind", SOUND)
def test_a_decision_about_nothing_is_refused(kind: str) -> None:
    """A report has a number, an instrument a name."""
    yard = Yard.open()

    with pytest.raises(Refusal, match="nothing says what it is about"):
        yard.post(draft(kind, {}, about=" "))


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("kind", "changes"),
    [
        ("report", {}),
        ("report", {"result": "pass", "characteristic": "flame spread"}),
        ("report", {"sampled": "2026-09-21", "tested": "", "issued": ""}),  # posted on the 21st
        ("report", {"expires": "2031-09-01"}),
        ("report", {"result": "-0.4 %", "characteristic": "dimensional_stability"}),
        ("report_withdrawn", {"characteristic": "compressive_resistance"}),
        ("calibration", {}),
        ("calibration", {"due": "", "result": "fail"}),
        ("calibration", {"result": "fail", "certificate": ""}),
        ("calibration", {"done": "2016-09-21", "due": ""}),
        ("calibration", {"due": "2036-09-01"}),
    ],
)
def test_a_sound_one_is_kept_and_found_by_its_kind(kind: str, changes: dict[str, Any]) -> None:
    """As it was posted, with who decided."""
    yard = Yard.open()
    yard.post(draft(kind, changes))

    (found,) = decided.of_kinds(yard.no, kind, "another")

    assert (found.kind, found.about, found.by) == (kind, "R-1", "P-13")
    assert found.body == {**SOUND[kind], **changes}
    assert decided.of_kinds(yard.no) == ()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("every", "last"),
    [("30 days", "2026-11-30"), ("365 days", "2029-08-31"), ("year", "2029-09-01")],
)
def test_a_calibration_holds_for_three_periods_of_its_instrument_at_most(
    every: str, last: str
) -> None:
    """Counted on a calendar from 1 September 2026, of which 2028 has a day more."""
    yard = Yard.open()
    yard.set("instrument", "R-1", what="balance", every=every)
    after = (date.fromisoformat(last) + timedelta(days=1)).isoformat()

    with pytest.raises(Refusal, match=f"3 times {every} after done, 2026-09-01: {last} at most"):
        yard.post(draft("calibration", {"due": after}))
    yard.post(draft("calibration", {"due": last}))


@pytest.mark.django_db
def test_decisions_come_in_the_order_of_the_record() -> None:
    """Whatever their kind and time."""
    yard = Yard.open()
    for number, at in enumerate((300, 200, 400)):
        kind = ("report", "calibration", "report")[number]
        yard.post(Decision(f"d{number}", ms(at), kind, f"A-{number}", SOUND[kind]))

    found = decided.of_kinds(yard.no, "calibration", "report")

    assert [one.about for one in found] == ["A-0", "A-1", "A-2"]


PLAN = {"product": "FB6", "characteristic": "compressive_resistance", "evidence": "periodic_test"}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("topic", "body", "key"),
    [
        ("plan", {**PLAN, "every": "week", "evidence": "sometimes"}, "evidence"),
        ("plan", {**PLAN, "every": "fortnight"}, "every"),
        ("plan", {**PLAN}, "every"),
        ("plan", {**PLAN, "every": "run"}, "every"),
        ("plan", {**PLAN, "every": "week", "evidence": "lot_test"}, "every"),
        ("plan", {**PLAN, "every": "week", "evidence": "type_test"}, "every"),
        ("plan", {**PLAN, "every": "0 days"}, "every"),
        ("plan", {**PLAN, "every": "week", "product": ""}, "product"),
        ("plan", {**PLAN, "every": "week", "specimens": "five"}, "specimens"),
        ("instrument", {"what": "balance", "every": "20 pieces"}, "every"),
        ("instrument", {"what": "balance", "every": "3661 days"}, "every"),
        ("instrument", {"what": "balance"}, "every"),
    ],
)
def test_a_plan_that_cannot_be_followed_is_refused(
    topic: str, body: dict[str, Any], key: str
) -> None:
    """How often, and of what kind, go together."""
    yard = Yard.open()

    with pytest.raises(Refusal, match=f"{key} cannot be read") as refused:
        yard.post(SettingDraft("x", ms(1), topic, "X", body, ms(1)))

    assert refused.value.codes == ("bad_setting",)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("evidence", "every", "said"),
    [
        ("periodic_test", "shift", "a periodic test is made every day, week, year or number of"),
        ("lot_test", "week", "a lot test is made every run, day, shift or number of pieces"),
        ("type_test", "year", "a type test is made once"),
    ],
)
def test_how_often_a_test_can_be_made_is_said(evidence: str, every: str, said: str) -> None:
    """By what kind of evidence it is."""
    with pytest.raises(Refusal, match=f"every cannot be read: {said}"):
        Yard.open().set("plan", "X", {**PLAN, "evidence": evidence, "every": every})


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("evidence", "every"),
    [
        ("lot_test", "run"), ("lot_test", "shift"), ("lot_test", "day"), ("lot_test", "20 pieces"),
        ("periodic_test", "day"), ("periodic_test", "week"), ("periodic_test", "90 days"),
        ("periodic_test", "year"), ("type_test", ""),
    ],
)  # fmt: skip
def test_a_plan_that_can_be_followed_is_taken(evidence: str, every: str) -> None:
    """Each kind of evidence with each frequency it can have."""
    yard = Yard.open()
    body = {**PLAN, "evidence": evidence, "specimens": 5} | ({"every": every} if every else {})

    assert yard.set("plan", "X", body).seq
