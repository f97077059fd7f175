"""A specimen of a load frame's file gives each result once, and what gave none is listed."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from django.test import Client

from beadwright.interop.importing import import_files
from beadwright.ledger.entered import by_number
from beadwright.plant.kept_curves import waiting
from tests.plant.yard import Yard
from tests.web.test_curve_page import export
from tests.web.test_kept_curves import (
    FORM,
    files,
    kept,
    keyed,
    noisy,
    recorded,
    strengths,
    technician,
)

__all__ = ["files", "technician"]

pytestmark = pytest.mark.django_db


def test_the_same_curve_counts_once(technician: Client, yard: Yard) -> None:
    """Put in again under another name, with other sizes: told, with the entry; voided, it may.

    Another result of the same specimen may be read from it; the form sent twice posts once.
    """
    where = kept(technician, export())
    sent = keyed(technician, where)
    recorded(technician, sent)
    assert "It was in the record already." in recorded(technician, sent)
    (first,) = strengths(yard)

    again_ = kept(technician, export(), length="101 mm")
    assert again_ != where
    page = unescape(technician.get(again_).content.decode())
    assert f"Compressive stress 10 of L1, entry {first.seq}" in page
    assert re.findall(r"/laboratory/result/\?test=(\w+)", page) == ["compressive_resistance"]
    told = unescape(technician.post(FORM, keyed(technician, again_)).content.decode())
    assert f"is in the record: entry {first.seq}, of L1" in told
    assert len(strengths(yard)) == 1

    yard.void(by_number("P1", [first.seq])[first.seq].draft.key)
    assert "is in the record: entry" not in recorded(technician, keyed(technician, again_))
    assert len(strengths(yard)) == 1


def test_a_curve_that_gave_no_result_is_listed(technician: Client, yard: Yard) -> None:
    """On the laboratory's page until it is keyed; not those of another plant."""
    where = kept(technician, export())
    title = "Kept, and not keyed yet"
    page = unescape(technician.get("/laboratory/").content.decode())
    assert title in page
    assert where in page

    recorded(technician, keyed(technician, where))
    assert len(strengths(yard)) == 1
    assert title not in unescape(technician.get("/laboratory/").content.decode())
    kept(technician, export(), specimen="1", height="51 mm")
    assert waiting("P1") == ()  # the same test, of other sizes

    kept(technician, noisy())
    assert Yard.open("P2").no
    assert [one.specimen for one in waiting("P1")] == ["1"]
    assert waiting("P2") == ()


LAYOUT = """
sheet = "results"
encoding = "utf-8"
delimiter = ","
decimal = "."
thousands = ""
dates = "YYYY-MM-DD hh:mm"
zone = "America/Chicago"
row = "row"
[columns]
at = "tested"
lot = "lot"
specimen = "specimen"
compressive_stress_10 = "stress"
curve = "curve"
"""


def test_a_sheet_gives_a_curve_once_too(technician: Client, yard: Yard, tmp_path: Path) -> None:
    """Two rows of one curve are refused; one is taken, and the same sheet again posts nothing."""
    sha256 = kept(technician, export()).split("/")[-2]
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "results.layout.toml").write_text(LAYOUT, "utf-8")
    rows = [f"{n},2026-09-02 08:00,L1,{n},100.0,{sha256}" for n in (1, 2)]
    sheet = folder / "results.csv"
    head = "row,tested,lot,specimen,stress [kPa],curve"
    sheet.write_text("\n".join([head, *rows]), "utf-8")
    refused = import_files([folder], plant="P1").faults
    assert {one.code for one in refused} == {"curve_read_already"}, refused
    assert strengths(yard) == []

    sheet.write_text("\n".join([head, rows[0]]), "utf-8")
    assert import_files([folder], plant="P1").posted == 1
    assert import_files([folder], plant="P1").posted == 0
    assert len(strengths(yard)) == 1
