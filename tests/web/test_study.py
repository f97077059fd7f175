"""A study on its page: pasted or as a file, worked out and shown, and nothing is posted."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from beadwright.plant import attached
from beadwright.plant.access import Role
from beadwright.plant.gauge_studies.recorded import studies
from beadwright.plant.opening import open_plant
from tests.house.tree import ROOT
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

SAMPLES = ROOT / "docs" / "samples"
PASTED = (SAMPLES / "heights.csv").read_text("utf-8").replace(",", "\t")


def words(html: str) -> str:
    """A page's text in one line."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def test_a_pasted_sheet_is_worked_out(as_: SignIn) -> None:
    """With its verdict, its pictures, its tables; the record stays as it was."""
    head = open_plant("P1").head
    answer = as_(Role.TECHNICIAN).post(
        "/instruments/study/", {"sheet": PASTED, "tolerance": "405.4..407.4 mm"}
    )
    page = answer.content.decode()

    assert answer.status_code == 200
    assert "Measuring takes 21.1 % of the tolerance, 405.4 to 407.4 mm" in words(page)
    assert "Part 7, B, trial 2" in page
    assert page.count("<svg") == 3
    assert open_plant("P1").head == head


def test_a_file_is_worked_out_by_its_sort(yard: Yard, as_: SignIn) -> None:
    """A jig's; the same file as a gauge's is refused, and the form keeps what was keyed."""
    assert yard.no
    browser = as_(Role.ENGINEER)
    raw = (SAMPLES / "jig.csv").read_bytes()
    jig = browser.post(
        "/instruments/study/", {"sort": "jig", "file": SimpleUploadedFile("jig.csv", raw)}
    )
    gauge = browser.post(
        "/instruments/study/",
        {"sort": "gauge", "decimal": ".", "file": SimpleUploadedFile("jig.csv", raw)},
    )

    assert "Not fit in the hands of C" in words(jig.content.decode())
    assert gauge.status_code == 422
    assert "header_missing" in gauge.content.decode()


def test_a_tolerance_takes_a_decimal_comma(as_: SignIn) -> None:
    """And what it cannot be is said by the page's own field, not by an option of the shell."""
    browser = as_(Role.TECHNICIAN)
    at = "/instruments/study/"
    page = browser.post(at, {"sheet": PASTED, "tolerance": "405,4..407,4 mm"})
    assert "of the tolerance, 405.4 to 407.4 mm" in words(page.content.decode())
    for text in ("1,200..1,300 mm", "2 mm", "405.4.1..407 mm", "407..405 mm"):
        answer = browser.post(at, {"sheet": PASTED, "tolerance": text})
        said = unescape(words(answer.content.decode()))
        (wrong,) = re.findall(rf"olerance '{re.escape(text)}'[^<]{{,200}}", said)
        assert "--" not in wrong
        assert "layout" not in wrong


def test_the_limits_of_a_product_give_the_tolerance(yard: Yard, as_: SignIn) -> None:
    """By their names."""
    yard.limit("H-MIN", "height", "min", "405.4 mm")
    yard.limit("H-MAX", "height", "max", "407.4 mm")
    said = {"sheet": PASTED, "product": "FB6", "of": "height"}
    page = words(as_(Role.ENGINEER).post("/instruments/study/", said).content.decode())

    assert "(limits H-MIN and H-MAX)" in page


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ({}, "Put in a sheet"),
        ({"sheet": "part\tperson\n1\tA"}, "neither a column of values nor one of trials"),
        ({"sheet": PASTED, "tolerance": "2 mm"}, "LOW..HIGH UNIT"),
        ({"sheet": PASTED, "product": "FB6"}, "or neither"),
        ({"sheet": PASTED, "product": "FB6", "of": "height", "tolerance": "1..2 mm"}, "not both"),
    ],
)
def test_what_cannot_be_worked_out_is_said(
    said: dict[str, str], told: str, yard: Yard, as_: SignIn
) -> None:
    """And what was pasted still stands in the form."""
    assert yard.no
    answer = as_(Role.ENGINEER).post("/instruments/study/", said)
    page = answer.content.decode()

    assert answer.status_code == 422
    assert told.lower() in words(page).lower()
    assert said.get("sheet", "")[:10] in page


def test_it_is_given_as_a_paper_and_as_a_blank_sheet(yard: Yard, as_: SignIn) -> None:
    """Each to be kept."""
    assert yard.no
    browser = as_(Role.ENGINEER)
    paper = browser.post("/instruments/study/", {"sheet": PASTED, "paper": "1"})
    blank = browser.get("/instruments/study/", {"blank": "4x2x2", "seed": "9"})

    assert paper["Content-Type"] == "application/pdf"
    assert paper.content.startswith(b"%PDF")
    assert blank.content.decode().splitlines()[0] == "order,part,person,trial,value [mm]"
    assert len(blank.content.decode().splitlines()) == 17
    assert browser.get("/instruments/study/", {"blank": "lots"}).status_code == 422


def hidden(page: str) -> dict[str, str]:
    """What the form carries on."""
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))


@pytest.fixture
def kept_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, yard: Yard) -> Yard:
    """A plant with a rule in its register, whose files have a folder."""
    monkeypatch.setenv(attached.FOLDER, str(tmp_path))
    yard.set("instrument", "RULE-1", what="rule", every="year")
    return yard


def test_a_study_is_recorded_from_its_page(kept_there: Yard, as_: SignIn) -> None:
    """Sent twice once; it stands on the instrument's page, and is worked out again on its own."""
    browser = as_(Role.ENGINEER)
    raw = (SAMPLES / "heights.csv").read_bytes()
    said = {"tolerance": "405.4..407.4 mm", "of": "height"}
    page = browser.post(
        "/instruments/study/", {**said, "file": SimpleUploadedFile("heights.csv", raw)}
    ).content.decode()
    sent = {**said, **hidden(page), "instrument": "RULE-1", "done": "2026-10-01"}
    first, again = (browser.post("/instruments/study/record/", sent) for _ in range(2))
    (one,) = studies(kept_there.no)
    shown = words(browser.get(first["Location"]).content.decode())
    of_tool = words(browser.get("/instruments/RULE-1/").content.decode())

    assert first["Location"] == again["Location"] == f"/instruments/RULE-1/studies/{one.seq}/"
    assert "it gives the same figures" in shown
    assert "Part 7, B, trial 2" in shown
    assert "Height, 2026-10-01 fit for some uses" in of_tool
    assert "Measuring, together: 0.0704 mm (95 %: 0.0576 to 0.286 mm)" in of_tool
    assert browser.get("/instruments/RULE-1/studies/9999/").status_code == 404


def test_what_keeps_a_study_from_the_record_is_said_beside_it(
    kept_there: Yard, as_: SignIn
) -> None:
    """And the study still stands on the page; a technician may not record one."""
    said = {"sheet": PASTED, "of": "length of it", "instrument": "RULE-1", "done": "2026-10-01"}
    answer = as_(Role.ENGINEER).post("/instruments/study/record/", said)
    page = words(answer.content.decode())

    assert answer.status_code == 422
    assert "nothing is measured by the name" in page
    assert "Part 7, B, trial 2" in page
    technician = as_(Role.TECHNICIAN)
    assert technician.post("/instruments/study/record/", said).status_code == 403
    offered = technician.post("/instruments/study/", {"sheet": PASTED}).content.decode()
    assert "Record it for the instrument" not in offered
    assert not studies(kept_there.no)
