"""Poppler reads the visit file: every cell is on a page, and the index tells which."""

import json
import re
from datetime import date
from pathlib import Path

import pytest

from beadwright.ledger.draft import Decision
from beadwright.ledger.trace import trace
from beadwright.plant.opening import open_plant
from beadwright.reports.visit.content import Visit, content, render
from tests.plant.asking import good_yard
from tests.plant.yard import DAY, T0, Yard
from tests.reports.issuing import AUDITOR, ENGINEER
from tests.reports.poppler import INDEPENDENT, pages, ran, text_of

pytestmark = INDEPENDENT

NOW = T0 + 60 * DAY


@pytest.fixture
def yard() -> Yard:
    """A demonstration with enough in it for several pages."""
    yard = good_yard("L1")
    yard.set("plant", "P1", name="Yard", zone="America/Chicago", invented=True, since=1)
    for i in range(40):
        yard.limit(f"X{i}", "density", "min", f"{i / 10 + 10:.1f} kg/m3", since=40)
    for i in range(12):
        yard.bundle(f"U-{i}", "L1", 2, at=50 + i)
    yard.hold("H-1", "U-3", reason="corner crushed; a reason of some length that runs on")
    return yard


@pytest.fixture
def visit(yard: Yard) -> Visit:
    """Its visit file."""
    del yard
    return content(open_plant("P1"), date(2026, 9, 2), ("L1",), AUDITOR, (NOW, "us-letter"))


def test_every_cell_is_on_the_page(visit: Visit, tmp_path: Path) -> None:
    """Of every table, and every fact, compared without the blanks that lines break at."""
    text = _bare(text_of(render(visit.text), tmp_path))

    cells = [
        cell
        for part in visit.parts
        for each in (*part.facts, *(row for one in part.tables for row in one.rows))
        for cell in each
    ]
    assert len(cells) > 300
    assert [cell for cell in cells if _bare(cell) not in text] == []


def _bare(text: str) -> str:
    return re.sub(r"\s", "", text)


def test_long_words_wrap_without_a_sign_between(yard: Yard, tmp_path: Path) -> None:
    """A hash, a long name: found and copied as they are, line by line, inside the page."""
    name = "FB6-BLOCK-MASS-24H-EACH-MIN"
    word = "Q" * 120
    yard.limit(name, "block_mass_24h", "min", "1.0 kg", since=40)
    yard.limit("LONG", "block_mass_24h", "min", "1.0 kg", source=word, since=41)
    own = "0123456789abcdef" * 4
    made = yard.door
    body = {"lot": "L1", "content": "{}", "sha256": own, "set_by": "hand"}
    made.post(Decision("forged", T0 + 3 * DAY, "certificate", "C-L1-9", body), ENGINEER)
    told = content(open_plant("P1"), date(2026, 8, 2), ("L1",), AUDITOR, (NOW, "a4"))
    pdf = render(told.text)
    (tmp_path / "paper.pdf").write_bytes(pdf)
    text = ran("pdftotext", "-raw", str(tmp_path / "paper.pdf"), "-")

    assert own in _bare(text)
    assert word in _bare(text)
    assert name in _bare(text)
    assert max(map(len, re.findall("Q+", text))) < 120
    assert not re.search("[\u00ad\u200b-\u200d\ufeff]", text)
    boxes = ran("pdftotext", "-bbox", str(tmp_path / "paper.pdf"), "-")
    ends = [float(one) for one in re.findall(r'xMax="([0-9.]+)" yMax="[0-9.]+">Q', boxes)]
    assert ends
    assert max(ends) < 595.3 - 20 / 25.4 * 72 + 1


def test_the_trace_on_the_page_is_that_of_the_record(yard: Yard, tmp_path: Path) -> None:
    """Asked of the ledger itself, not of the file's content."""
    made = content(open_plant("P1"), date(2026, 9, 2), ("L1",), AUDITOR, (NOW, "a4"))
    text = text_of(render(made.text), tmp_path)

    for one in (*trace(yard.no, "L1", "back").lots, *trace(yard.no, "L1", "forward").lots):
        assert f"{one.lot.code} {one.lot.what}" in text
        assert f"{one.mg / 1e6:.1f} {100 * one.share:.1f} %" in text


def test_the_index_names_the_right_pages(visit: Visit, tmp_path: Path) -> None:
    """Each part and table stands on the page that the index says."""
    read = pages(render(visit.text), tmp_path)
    index = read[0].partition("Index")[2]
    for n, part in enumerate(visit.parts, 1):
        titles = [(f"{n}", part.title)]
        titles += [(f"{n}.{m}", one.title) for m, one in enumerate(part.tables, 1)]
        for number, title in titles:
            entry = re.search(rf"{re.escape(number)} {re.escape(title)}[ .\u2060]+(\d+)", index)
            assert entry is not None, title
            page = read[int(entry[1]) - 1]
            assert f"{number} {title}" in page.replace(entry[0], ""), title


def test_each_page_says_that_it_is_a_demonstration(visit: Visit, tmp_path: Path) -> None:
    """However many there are; and each is numbered."""
    read = pages(render(visit.text), tmp_path)

    assert len(read) > 2
    assert all("DEMONSTRATION" in page for page in read)
    assert all(f"page {i} of {len(read)}" in page for i, page in enumerate(read, 1))


def test_the_file_is_letter_tagged_and_carries_its_content(visit: Visit, tmp_path: Path) -> None:
    """Paper as asked for; the data beside the page."""
    (tmp_path / "paper.pdf").write_bytes(render(visit.text))
    info = ran("pdfinfo", str(tmp_path / "paper.pdf"))
    ran("pdfdetach", "-saveall", "-o", str(tmp_path), str(tmp_path / "paper.pdf"))

    assert "612 x 792 pts (letter)" in info
    assert re.search(r"Tagged:\s+yes", info)
    (attached,) = tmp_path.glob("visit-*.json")
    assert json.loads(attached.read_text(encoding="utf-8")) == json.loads(visit.text)
