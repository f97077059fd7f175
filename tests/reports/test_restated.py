"""Papers say which readings were restated: by whom, entered when, from what to what."""

from datetime import date

import pytest

from beadwright.plant.opening import open_plant, rebuild_plant
from beadwright.reports.certificate import render
from beadwright.reports.issued import issued
from beadwright.reports.visit import content as visit
from tests.plant.asking import GOOD
from tests.plant.restating import REASON, read_by, restate, taken_out, weighed
from tests.plant.yard import DAY, T0
from tests.reports.issuing import AUDITOR, Office

pytestmark = pytest.mark.django_db

LIGHT, MENDED = "2.90", f"{GOOD[0]:.2f}"
TOLD = (
    "1 reading restated by P-13, entered 2026-10-31, dated 2026-09-03:"
    f' block mass 24h {LIGHT} → {MENDED} kg (D9); "{REASON}"'
)


@pytest.fixture
def office() -> Office:
    """A lot that was stopped by one light block, until that reading was restated."""
    office = Office()
    key = read_by(office.yard, "inspections/152/readings", weighed(LIGHT, first=9))
    restate(office.yard, key, weighed(MENDED, first=9))
    return office


def table_of(since: str, part: str, begins: str) -> list[tuple[str, ...]]:
    """A table of a visit file since a day."""
    made = (T0 + 60 * DAY, "a4")
    found = visit.content(open_plant("P1"), date.fromisoformat(since), ("L1",), AUDITOR, made)
    (there,) = [one for one in found.parts if one.title.startswith(part)]
    (table,) = [one for one in there.tables if one.title.startswith(begins)]
    return list(table.rows)


def corrections(since: str) -> list[tuple[str, ...]]:
    """What a visit file lists as corrected since a day."""
    return table_of(since, "Decisions since", "Corrections")


def test_a_certificate_tells_the_receiver(office: Office) -> None:
    """Among what is to be known, with the entry."""
    paper = office.released()
    (one,) = issued(open_plant("P1").no)

    assert any(note.startswith(f"{TOLD} (entry ") for note in one.content["notes"])
    assert office.check(paper.pdf).verdict == "true"


def test_the_paper_is_the_same_bytes_after_a_rebuild(office: Office) -> None:
    """What was restated comes from the record."""
    paper = office.released()
    rebuild_plant("P1")

    assert render(issued(open_plant("P1").no)[0].text) == paper.pdf
    assert office.check(paper.pdf).verdict == "true"


def test_a_certificate_issued_before_is_out_of_date(office: Office) -> None:
    """Who holds it learns that a figure was restated since."""
    paper = office.released()
    key = read_by(office.yard, "inspections/153/readings", weighed(MENDED, first=10))
    restate(office.yard, key, weighed("3.15", first=10), own="61")

    assert office.check(paper.pdf).verdict == "out_of_date"


def test_a_visit_file_says_what_replaced_what_was_taken_out(office: Office) -> None:
    """The entry that stands since, with the values before and after."""
    ((_, dated, recorded, by, what, why),) = corrections("2026-10-01")
    new = open_plant("P1").head[0]

    assert (dated[:10], recorded[:10], by, why) == ("2026-09-03", "2026-10-31", "P-13", REASON)
    assert what == (
        f"readings inspections/152/readings taken out; entry {new} in place of entry {new - 2}:"
        f" block mass 24h {LIGHT} → {MENDED} kg (D9)"
    )
    taken_out(office.yard, "inspections/152/readings/2")
    assert corrections("2026-10-01")[1][4] == (
        f"readings inspections/152/readings/2 taken out: block mass 24h {MENDED} kg (D9)"
    )


def test_a_visit_file_says_what_a_correction_changed_in_a_step() -> None:
    """Field by field."""
    office = Office()
    key = next(one for one, step in office.yard.steps.items() if step.kind == "mould")
    office.yard.correct(key, facts={"shots": "41"})

    (row,) = corrections("2026-10-01")
    assert row[4] == f"step {key} restated: shots nothing → 41"
    kinds = [row[0] for row in table_of("2026-10-01", "The record", "Recorded since")]
    assert "correction" in kinds
    assert "correct" not in kinds
