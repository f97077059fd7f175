"""Another program reads the papers: every figure of a certificate is there, and none besides.

The reader is poppler (``pdftotext``, ``pdfinfo``, ``pdfdetach``; Debian package poppler-utils),
which shares nothing with what sets the pages. What is expected is built from the assessment and
the trace, not from the paper's own content.
"""

import json
import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from beadwright.ledger import lots, releases
from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.trace import trace
from beadwright.plant.opening import open_plant
from beadwright.plant.release import assess
from beadwright.reports.issued import issued
from beadwright.reports.issuing import Paper
from tests.plant.asking import the_lot
from tests.plant.restating import REASON, read_by, restate, weighed
from tests.plant.yard import Yard, ms
from tests.reports.issuing import Office
from tests.reports.planned import well_tested
from tests.reports.poppler import INDEPENDENT, pages, ran, text_of

pytestmark = INDEPENDENT

_NUMBER = re.compile(r"\d+(?:[.,:-]\d+)*")

Read = Callable[[bytes], str]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    """What poppler reads in a file, in the order of its content, blanks as one."""
    return lambda pdf: text_of(pdf, tmp_path)


def yard_of_many() -> Yard:
    """A plant whose lot is judged by several limits, own and printed, with and without U."""
    yard = Yard.open()
    yard.limit("D-EACH", "density", "min", "22.0 kg/m3", specimens="3")
    yard.limit("D-MEAN", "density", "max", "1.55 lb/ft3", statistic="mean")
    yard.limit("LEN", "length", "max", "48.125 in")
    yard.limit("TIES", "defective_ties", "max", "2 pcs")
    yard.set(
        "standard", "FB6", standard="ASTM C578", edition="10", type="II",
        characteristics=["density"],
    )  # fmt: skip
    yard.block_lot("L1", good=137)
    yard.weigh("L1", "24h", [3.1451, 3.1288, 3.1377])
    yard.gauge("L1", "length", ["48.02 in", "47.99 in", "48.11 in"])
    yard.look_over("L1", 31, ties=1)
    return yard


@pytest.fixture
def office() -> Office:
    """Papers of that plant."""
    return Office(yard_of_many())


def test_every_result_stands_beside_its_limit(office: Office, read: Read) -> None:
    """Row by row: characteristic, limit, result, U, number of pieces, finding."""
    text = read(office.released().pdf)
    results = the_lot(office.yard).limits

    assert len(results) == 5
    for one in results:
        limit = one.limit
        bound = {"min": "at least", "max": "at most"}[limit.bound]
        of_what = {"each": "each piece", "mean": "mean"}[limit.statistic]
        of_how_many = f"{one.n} {one.finding}"
        row = (
            rf"{limit.characteristic.replace('_', ' ')}[a-z0-9 ,]*? {bound} {limit.value}"
            rf" {re.escape(limit.unit)}, {of_what} {re.escape(one.value)}"
            rf" (not known|(at least )?\S+ {re.escape(limit.unit)}) {of_how_many}"
        )
        assert re.search(row, text), row


def test_every_limit_has_its_source_and_status(office: Office, read: Read) -> None:
    """Standard, edition, clause; whether anybody has verified it, and how it was read."""
    text = read(office.released().pdf)

    for one in the_lot(office.yard).limits:
        assert one.limit.source in text
        if one.limit.printed is not None:
            assert "ASTM C578-10, Table 1, type II" in text
            assert f"unverified: {one.limit.how_read}" in text
    assert "the plant's own, as its setting says" in text


def test_uncertainty_is_twice_the_standard_one(office: Office, read: Read) -> None:
    """U with k = 2, of what was stated, to two figures, in the limit's unit; else "not known"."""
    text = read(office.released().pdf)
    known = [one for one in the_lot(office.yard).limits if one.u_si is not None]

    assert known
    for one in known:
        assert one.u_si is not None
        factor = 16.018463373960138 if one.limit.unit == "lb/ft3" else 1  # 0.45359237 / 0.3048**3
        assert f"{2 * one.u_si / factor:.2g} {one.limit.unit}" in text
    assert "not known" in text


def test_who_what_when(office: Office, read: Read) -> None:
    """Product, lot, quantity, release, issue, head, evidence, cautions."""
    paper = office.released()
    text, told, plant = read(paper.pdf), the_lot(office.yard), open_plant("P1")
    approval = releases.approval(plant.no, "L1")
    said = issued(plant.no)[0].content

    assert approval is not None
    assert "Certificate for lot L1" in text
    assert f"{told.product}, {told.title}" in text
    assert "137 pieces moulded" in text
    when = datetime.fromtimestamp(approval.at_ms / 1000, plant.zone)
    assert f"by P-13, {when:%Y-%m-%d %H:%M}, entry {approval.seq}" in text
    assert f"{paper.number}, issued {said['issued_at']} by P-13" in text
    assert told.evidence in text
    assert str(said["head"]) in text
    assert "Maker's record, not third-party certification" in text
    assert "type tests are referenced, not repeated" in text
    assert "Local code and licensed practice govern" in text
    assert "absolute method of ASTM E29" in text
    assert "DEMONSTRATION" not in text


def test_the_trace_is_that_of_the_record(office: Office, read: Read) -> None:
    """Bags, silos, cartons, runs, with the shares that a trace back gives."""
    text, no = read(office.released().pdf), open_plant("P1").no

    for one in trace(no, "L1", "back").lots:
        assert f"{one.lot.code} ({100 * one.share:.1f} %" in text
    for making in lots.makings(no, ["L1"])["L1"]:
        assert f"{making.step}, " in text
        assert f"{making.place}, {making.pieces} pieces" in text


def test_no_figure_stands_there_that_the_record_does_not_give(office: Office, read: Read) -> None:
    """Each number on the page is one of the content, of the page count, or of a fixed text."""
    text = read(office.released().pdf)
    content = issued(open_plant("P1").no)[0].text
    allowed = {*_NUMBER.findall(content), "1", "2", "100"}

    assert set(_NUMBER.findall(text)) <= allowed


def test_a_restated_reading_is_told_on_the_page(office: Office, read: Read) -> None:
    """Who did, when it was entered, before and after, and why."""
    key = read_by(office.yard, "inspections/152/readings", weighed("3.1300", first=9))
    restate(office.yard, key, weighed("3.1410", first=9))

    assert (
        "1 reading restated by P-13, entered 2026-10-31, dated 2026-09-03:"
        f' block mass 24h 3.1300 → 3.1410 kg (D9); "{REASON}"'
    ) in read(office.released().pdf)


def test_the_attachment_is_the_content(office: Office, tmp_path: Path) -> None:
    """The data a program reads are those that the page shows."""
    paper = office.released()
    (tmp_path / "paper.pdf").write_bytes(paper.pdf)
    ran("pdfdetach", "-saveall", "-o", str(tmp_path), str(tmp_path / "paper.pdf"))

    attached = (tmp_path / "C-L1-1.json").read_text(encoding="utf-8")
    assert attached == issued(open_plant("P1").no)[0].text
    assert json.loads(attached)["number"] == "C-L1-1"


def test_the_file_is_tagged_titled_and_carries_its_fonts(office: Office, tmp_path: Path) -> None:
    """As a reader for the blind and an archive need it."""
    (tmp_path / "paper.pdf").write_bytes(office.released().pdf)
    info = ran("pdfinfo", str(tmp_path / "paper.pdf"))
    fonts = ran("pdffonts", str(tmp_path / "paper.pdf")).splitlines()[2:]

    assert re.search(r"Tagged:\s+yes", info)
    assert re.search(r"Title:\s+Certificate C-L1-1: lot L1, FB6", info)
    assert fonts
    assert all(re.search(r" yes yes yes +\d+ +0$", font) for font in fonts)


@pytest.mark.parametrize(
    "title",
    ['#panic("no") $x^2$ *bold* _it_ `raw` <label> @ref', "Größe λ ≤ 0.034 m²·K/W", "\\ //"],
)
def test_texts_of_people_stay_texts(title: str, office: Office, read: Read) -> None:
    """What somebody has keyed is shown as it is: it is data, never markup."""
    body = dict(open_body(office.yard))
    body["title"] = title
    draft = SettingDraft("title", ms(1), "product", "FB6", body, ms(1))
    office.yard.post(draft)

    assert " ".join(title.split()) in read(office.released().pdf)


def open_body(yard: Yard) -> dict[str, object]:
    """The product as it was set up."""
    from beadwright.ledger import settings  # noqa: PLC0415 - a look of this test's own

    return dict(settings.load(yard.no).at("product", "FB6", ms(1)) or {})


def test_a_demonstration_says_so_on_each_page(office: Office, tmp_path: Path) -> None:
    """However many pages there are."""
    for i in range(60):
        office.yard.limit(f"X{i}", "density", "min", f"{i / 10 + 10:.1f} kg/m3")
    office.yard.set("plant", "P1", name="Yard", zone="America/Chicago", invented=True, since=1)
    paper: Paper = office.released()
    read = pages(paper.pdf, tmp_path)

    assert len(read) > 1
    assert all("DEMONSTRATION" in page for page in read)
    assert all("C-L1-1" in page for page in read)
    assert len(assess(office.yard.no, ["L1"]).lots[0].limits) == 65


def test_tests_by_reference_stand_with_report_dates_and_limit(read: Read) -> None:
    """Taken from the assessment's own proofs."""
    office = Office(well_tested())
    text = read(office.released().pdf)
    tests = the_lot(office.yard).tests

    assert len(tests) == 2
    for one in tests:
        assert one.proof is not None
        proof = one.proof
        words = f"{proof.source}, {proof.method}, n = {proof.specimens} {proof.result}"
        assert words in text
        for name, day in (("sampled", proof.sampled), ("tested", proof.tested),
                          ("issued", proof.issued), ("expires", proof.expires),
                          ("covers lots made until", one.until)):  # fmt: skip
            assert day is None or f"{name} {day.isoformat()}" in text
        for limit in one.limits:
            assert f"{limit.value} {limit.unit}" in text
            assert limit.source in text


def test_where_none_is_planned_that_is_said(office: Office, read: Read) -> None:
    """An empty section would leave the reader to guess."""
    assert "None planned: " in read(office.released().pdf)
