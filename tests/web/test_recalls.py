"""Recalls on pages: a scope before anything is recorded, a rehearsal, its stages and papers."""

from __future__ import annotations

import io
import re
from html import unescape

import openpyxl  # type: ignore[import-untyped]
import pytest
from django.test import Client

from beadwright.ledger import holds
from beadwright.plant.access import Role
from beadwright.plant.recall.on_record import recalls
from beadwright.reports.recall import workbook
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture
def engineer(as_: SignIn, yard: Yard) -> Client:
    """Give the browser of an engineer, in a plant that has sent twenty blocks of L1."""
    yard.block_lot("L1", good=40)
    yard.ship("SH-1", "L1", 20, "=NORTH YARD")
    return as_(Role.ENGINEER)


def text_of(answer: object) -> str:
    """What a page says."""
    return unescape(getattr(answer, "content", b"").decode())


def begun(engineer: Client, real: str) -> str:
    """Start one from B-1, and give its address."""
    page = text_of(engineer.get("/recalls/?lots=B-1"))
    assert "To tell" in page
    assert "=NORTH YARD: 20 pieces" in page
    form = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    sent = {**form, "reason": "smell of solvent", "real": real}
    answer = engineer.post("/recalls/begin/", sent)
    assert answer.status_code == 302
    assert engineer.post("/recalls/begin/", sent)["Location"] == answer["Location"]
    return str(answer["Location"])


def done(engineer: Client, where: str, stage: str, **more: str) -> int:
    """Record a stage."""
    sent = {"stage": stage, "key": stage, **more}
    return int(engineer.post(f"{where}stage/", sent).status_code)


def test_a_rehearsal_from_start_to_close(engineer: Client, yard: Yard) -> None:
    """Stages in their order, no hold, and a letter that says it is a rehearsal."""
    where = begun(engineer, "no")
    assert done(engineer, where, "account closed") == 422
    for stage in ("scope known", "stock held", "receivers ready", "account closed"):
        assert done(engineer, where, stage) == 302
    page = text_of(engineer.get(where))

    assert "a rehearsal" in page
    assert re.search(r"after \d+ s", page)
    assert "not yet" not in page
    assert not holds.placed(yard.no)
    (way,) = re.findall(r'href="([^"]+papers/[^"]+\.pdf)"', page)
    letter = engineer.get(way)
    assert letter.content.startswith(b"%PDF")
    assert "FB6, Straight block: 20 pieces in SH-1, left 2026-09-03; holds" in page
    assert "fill in on the letter who answers" in page
    assert engineer.get(f"{where}papers/nobody.pdf").status_code == 404
    book = openpyxl.load_workbook(io.BytesIO(engineer.get(f"{where}papers/scope.xlsx").content))
    rows = [[cell.value for cell in row] for row in book.active.iter_rows()]
    assert {"B-1", "L1", "S1"} <= {row[0] for row in rows}


def test_a_scope_is_narrowed_on_the_page_and_stays_so(engineer: Client, yard: Yard) -> None:
    """What it assumes and what it leaves out are shown, before it is started and after."""
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.weigh("L1", "24h", [3.2])
    asked = {"lots": "B-1", "tested": "density"}
    page = text_of(engineer.get("/recalls/", asked))
    assert '<option value="density" selected>' in page
    assert "1 block lot left out" in page
    assert "That assumes that what is wrong shows there" in page
    assert "Nobody: none of what is left in scope has left." in page
    assert "left out by evidence, told nothing: =NORTH YARD (20 pieces)." in page
    assert "Of all that was started from, lots left out included." in page

    form = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))
    where = engineer.post("/recalls/begin/", {**form, "reason": "soft", "real": "no"})["Location"]
    assert "1 block lot left out" in text_of(engineer.get(where))
    assert ".pdf" not in text_of(engineer.get(where))
    assert engineer.get("/recalls/", {"lots": "B-1", "below": "100"}).status_code == 422


def test_a_recall_holds_what_it_starts_from(engineer: Client, yard: Yard) -> None:
    """With one hold, named in its stage; twice pressed, held once."""
    where = begun(engineer, "yes")
    assert done(engineer, where, "scope known") == 302
    said = text_of(engineer.post(f"{where}stage/", {"stage": "stock held", "hold": "no"}))
    assert 'data-code="stock_not_held"' in said
    assert "L1" in said.partition("not on hold: ")[2].partition("</p>")[0]
    assert "now, with one hold" in said
    assert not holds.placed(yard.no)
    for _ in range(2):
        assert done(engineer, where, "stock held", hold="yes") == 302
    (hold,) = holds.placed(yard.no)
    assert hold.lots == ("B-1",)
    stages = {one.name: one.note for one in recalls(yard.no)[0].stages}
    assert stages["stock held"] == hold.hold


def test_a_workbook_holds_no_formula_whatever_a_name_is() -> None:
    """What begins like one is text; a title's signs and control characters are left out."""
    raw = workbook("A/B [YARD]: *?", [("lot",), ("=1+1",), ("@SUM(1)\x07",), (3,)])
    sheet = openpyxl.load_workbook(io.BytesIO(raw)).active
    cells = [row[0] for row in sheet.iter_rows()]
    assert [(cell.value, cell.data_type) for cell in cells] == [
        ("lot", "s"), ("=1+1", "s"), ("@SUM(1)", "s"), (3, "n"),
    ]  # fmt: skip
    assert sheet.title.startswith("A B")


def test_what_cannot_be_is_said(engineer: Client, as_: SignIn) -> None:
    """No such lot, no reason, and nobody but an engineer starts one."""
    assert engineer.get("/recalls/?lots=NONE").status_code == 422
    sent = {"begins": "B-1", "reason": " ", "key": "k"}
    assert engineer.post("/recalls/begin/", sent).status_code == 422
    assert as_(Role.OPERATOR).post("/recalls/begin/", sent).status_code == 403
    assert engineer.get("/recalls/R-9/").status_code == 404
