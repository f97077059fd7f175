"""Periodic and type tests on papers: by reference, with report, dates, limit, source, status."""

from datetime import date, datetime, timedelta

import pytest

from beadwright.ledger.draft import Decision
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES, open_plant
from beadwright.reports.certificate import Certificate, content
from beadwright.reports.visit.content import content as visit_content
from tests.plant.asking import the_lot
from tests.plant.planning import LATE, decide, lot, plant, report, strengths
from tests.plant.yard import DAY, T0, Yard, ms
from tests.reports.issuing import AUDITOR, Office
from tests.reports.planned import well_tested

pytestmark = pytest.mark.django_db

NOW = T0 + 60 * DAY


def said(yard: Yard, code: str = "L1") -> Certificate:
    """What a certificate of the lot would say."""
    told = the_lot(yard, code)
    return content(open_plant("P1"), told, f"C-{code}-1", (NOW, "P-13", "a4"))


def test_a_periodic_test_stands_with_report_dates_and_limit() -> None:
    """Who, which method, on how many, when sampled and tested, until when it covers, the limit."""
    (one,) = [t for t in said(well_tested()).tests if t.characteristic == "compressive resistance"]

    assert (one.kind, one.every) == ("periodic test", "week")
    assert one.source == "report R-41, Northgate Testing"
    assert (one.method, one.specimens, one.result) == ("ASTM D1621-16", 5, "17.4 psi")
    assert one.dates[:3] == (
        ("sampled", "2026-09-07"), ("tested", "2026-09-10"), ("issued", "2026-09-11")
    )  # fmt: skip
    assert one.dates[3][0] == "covers lots made until"
    assert one.finding == "covers the lot"
    (limit,) = one.limits
    assert limit.limit == "at least 15.0 psi, mean"
    assert (
        limit.status
        == "the plant's own, as its setting says; nobody is named, keyed by account install"
    )


def test_a_type_test_is_referenced_with_its_expiry() -> None:
    """The report is named, never repeated."""
    (one,) = [t for t in said(well_tested()).tests if t.characteristic == "oxygen index"]

    assert (one.kind, one.source) == ("type test", "report T-9, Northgate Testing")
    assert ("expires", "2028-01-15") in one.dates
    assert one.limits[0].source == "sheet 7"
    assert one.limits[0].status == (
        "the plant's own, as its setting says; nobody is named, keyed by account install"
    )


def test_readings_of_another_lot_are_named_as_such() -> None:
    """A periodic test may be the plant's own, on another lot of the week."""
    yard = plant()
    lot(yard, "L1", 9)
    strengths(yard, "L1", 17.0, 17.1, 17.2, 17.3, 17.4)
    lot(yard, "L2", 10)
    (one,) = said(yard, "L2").tests

    assert one.source == "readings of lot L1"
    assert one.specimens == 5


def test_no_limit_is_lost_between_lot_tests_and_references() -> None:
    """Each limit in force is judged on the lot, answered by a reference, or named as neither."""
    yard = well_tested()
    yard.limit("CUP", "cup_weight_hopper", "max", "250 g")
    told, one = the_lot(yard), said(yard)

    names = {line.name for line in one.limits} | {"STR", "OXY"} | set(one.elsewhere)
    assert names == {"DEN", "STR", "OXY", "CUP"}
    assert one.elsewhere == ("CUP",)
    assert set(told.elsewhere) == {"STR", "OXY", "CUP"}


def test_without_a_plan_none_is_referenced() -> None:
    """And that is said on the page, not left out."""
    office = Office()
    assert said(office.yard).tests == ()


def test_a_lot_under_a_failed_test_gets_no_certificate_and_a_report_since_is_seen() -> None:
    """The paper issued before is told by the check as no longer standing."""
    office = Office(well_tested())
    paper = office.released()
    assert office.check(paper.pdf).good

    report(office.yard, "R-42", 8, "11.0 psi")
    found = office.check(paper.pdf)

    assert found.verdict == "on_hold"
    assert "11.0 psi" in found.reasons[0]


def table(title: str, of: str, since: date = date(2026, 9, 1)) -> list[tuple[str, ...]]:
    """Rows of one table of the visit file."""
    visit = visit_content(open_plant("P1"), since, ("L1",), AUDITOR, (NOW, "a4"))
    (part,) = [one for one in visit.parts if one.title == title]
    (found,) = [one for one in part.tables if one.title.startswith(of)]
    return list(found.rows)


def test_the_visit_file_tells_required_from_done() -> None:
    """What is overdue stands first, with the last sample and when the next was due."""
    well_tested()
    rows = {row[2]: row for row in table("Tests required and done", "Periodic")}

    strength = rows["compressive resistance"]
    assert strength[0] == "overdue"
    assert strength[5] == "2026-09-07, report R-41, Northgate Testing"
    assert rows["oxygen index"][0] == "in time"


def test_the_visit_file_lists_lots_that_lack_evidence() -> None:
    """A lot after the covered week, and what it lacks."""
    yard = well_tested()
    lot(yard, "L2", 25)
    rows = table("Tests required and done", "Gaps")

    assert [(row[0], row[3], row[4]) for row in rows] == [
        ("L2", "compressive resistance", "test lapsed")
    ]


def test_a_plan_that_still_asks_for_pieces_is_a_gap() -> None:
    """Beside what limits and tests lack, and with what left the plant already."""
    yard = well_tested()
    yard.limit("LEN", "length", "min", "1190 mm", statistic="each")
    yard.set("variables", "LENGTH", product="FB6", characteristic="length", good="1 %",
             bad="20 %", for_release=True, since=1)  # fmt: skip
    lot(yard, "L2", 25)
    yard.bundle("BU-1", "L2", 20, at=25 * 24 + 50)
    yard.ship("SH-1", "BU-1", 20, at=25 * 24 + 60)
    row = {row[0]: row for row in table("Tests required and done", "Gaps")}["L2"]

    assert row[3].endswith("compressive resistance, variables plan LENGTH of FB6")
    assert row[5] == "shipped"


def test_lots_moulded_before_are_not_counted_again() -> None:
    """The last visit has seen them."""
    yard = well_tested()
    lot(yard, "L2", 25)
    visit = visit_content(open_plant("P1"), date(2026, 9, 20), ("L1",), AUDITOR, (NOW, "a4"))
    (part,) = [one for one in visit.parts if one.title == "Tests required and done"]

    assert dict(part.facts)["Lots moulded since"] == "1"


def test_the_visit_file_lists_reports_and_calibrations_since(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By when the record took them, however old their days are; withdrawn ones say so."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(LATE))
    yard = well_tested()
    yard.door = Door("P1", RULES, clock=lambda: NOW)
    report(yard, "R-40", 2)
    decide(yard, "report_withdrawn", "R-40", {"reason": "wrong specimens"})
    body = {"done": "2026-09-02", "result": "fail", "due": "2027-01-01"}
    decide(yard, "calibration", "BAL-7", body)
    since = NOW // 1000 - 3600
    day = datetime.fromtimestamp(since, open_plant("P1").zone).date()

    reports = table("Tests required and done", "Test reports", day)
    assert [(row[0], row[5], row[7]) for row in reports] == [
        ("R-40", "2026-09-02", "withdrawn: wrong specimens")
    ]
    (done,) = table("Instruments and calibrations", "Calibrations entered since", day)
    assert done[:3] == ("BAL-7", "2026-09-02", "fail")
    assert "2027-01-01" in done
    assert {row[0] for row in table("Tests required and done", "Test reports")} == {
        "R-40", "R-41", "T-9"
    }  # fmt: skip


def test_what_is_entered_since_counts_as_dated_by_the_day_it_speaks_of(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A calibration by when it was done, a report by its sample, and not by when it was keyed."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(LATE))
    yard = well_tested()
    yard.door = Door("P1", RULES, clock=lambda: NOW)
    today = datetime.fromtimestamp(NOW / 1000, open_plant("P1").zone).date()
    before = today - timedelta(days=1)
    body = {"result": "pass", "certificate": "C-1"}
    for number, day in enumerate((today, before)):
        done = {**body, "done": day.isoformat()}
        yard.post(Decision(f"cal/{number}", NOW, "calibration", "BAL-7", done, by="P-13"))

    rows = table("The record", "Recorded since", today)
    assert [row for row in rows if row[0] == "decision"] == [("decision", "2", "1")]


def test_a_lot_whose_readings_are_set_aside_is_said_to_lack_them() -> None:
    """Of an instrument that was not fit: which readings they were."""
    yard = well_tested()
    yard.set("instrument", "BAL-3", what="balance", every="30 days")
    strengths(yard, "L1", 17.0, instrument="BAL-3")
    (row,) = [one for one in table("Tests required and done", "Gaps") if one[0] == "L1"]

    assert row[3:5] == ("compressive resistance", "out of calibration")


def test_the_visit_file_tells_instruments_out_of_calibration() -> None:
    """The unfit stand first."""
    yard = well_tested()
    yard.set("instrument", "BAL-1", what="balance", every="365 days", place="LAB")
    yard.set("instrument", "BAL-2", what="balance", every="30 days", place="LAB")
    for name in ("BAL-1", "BAL-2"):
        body = {"done": "2026-09-02", "result": "pass", "certificate": f"K-{name}"}
        decide(yard, "calibration", name, body)
    rows = table("Instruments and calibrations", "As they")

    assert [(row[1], row[0]) for row in rows] == [("BAL-2", "lapsed"), ("BAL-1", "fit")]
    assert rows[0][5:8] == ("2026-09-02", "2026-10-02", "K-BAL-2")
    assert ms(LATE) < NOW
