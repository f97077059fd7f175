"""A load frame's file on a page: read, asked about, drawn; nothing is recorded."""

from __future__ import annotations

import re
import zlib
from base64 import b64encode
from html import unescape

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from beadwright.ledger import rebuild
from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

AT = "/laboratory/curve/"
SIZES = {"length": "100 mm", "width": "100 mm", "height": "50 mm"}


@pytest.fixture
def technician(as_: SignIn, yard: Yard) -> Client:
    """Give the browser of a technician who reads SI."""
    assert yard.no
    browser = as_(Role.TECHNICIAN)
    browser.post("/choices/", {"units": "si", "light": "auto"})
    return browser


def export(unit: str = "N") -> bytes:
    """A specimen of 100 mm square and 50 mm high that carries 1,000 N at 10 % after its knee."""
    travel = np.linspace(0, 6, 301)
    force = 1000 * np.minimum(travel / 0.5, 0.9 + 0.1 * travel / 5)
    rows = "\n".join(f"{x:.4f},{f:.3f}" for x, f in zip(travel, force, strict=True))
    return f"Travel [mm],Force [{unit}]\n{rows}\n".encode()


def put(browser: Client, raw: bytes, status: int = 200, **said: str) -> str:
    """Put a file in."""
    file = SimpleUploadedFile("press.csv", raw)
    answer = browser.post(AT, {"file": file, **SIZES, **said})
    assert answer.status_code == status, answer.content.decode()[-2000:]
    return unescape(answer.content.decode())


def test_a_curve_is_read_drawn_and_reduced(technician: Client) -> None:
    """100 kPa at 10 %, with the construction on the picture and why each column was taken so."""
    head = rebuild.head("P1")
    page = put(technician, export())

    assert "100.0 kPa" in page
    assert "Specimen" in page
    assert "<figure" in page
    assert re.search(r"<td>force</td>", page)
    assert "Nothing is recorded" in page
    assert rebuild.head("P1") == head


def test_what_is_not_sure_is_asked_and_answered_without_the_file(technician: Client) -> None:
    """Without a unit there is no number; the answer goes with what the form carries."""
    page = put(technician, export().replace(b" [N]", b""))
    asked = re.findall(r'name="(answer-[^"]+)" value="([^"]*)"', page)
    assert asked
    assert " kPa" not in page
    (field,) = {name for name, _ in asked}
    assert "N" in {value for _, value in asked}
    packed = re.search(r'name="packed" value="([^"]+)"', page)
    assert packed is not None
    said = {**SIZES, "packed": packed[1], "name": "press.csv", field: "N"}
    answer = technician.post(AT, said)
    assert "100.0 kPa" in answer.content.decode()


@pytest.mark.parametrize(
    ("raw", "said"),
    [(b"", {}), (b"PK\x03\x04 not a workbook", {}), (b"\x00" * 5000, {}),
     (export(), {"height": "50 stone"}), (export(), {"height": "0 mm"}),
     (export(), {"method": "ASTM D9999"})],
)  # fmt: skip
def test_what_is_no_export_or_no_size_is_refused_in_words(
    technician: Client, raw: bytes, said: dict[str, str]
) -> None:
    """Empty, damaged, zeros; a size without a length; a method that nobody knows."""
    page = put(technician, raw, 422, **said)
    assert "Not read" in page
    assert " kPa" not in page
    assert "<figure" not in page


def test_a_form_that_carries_nonsense_or_a_bomb_is_refused(technician: Client) -> None:
    """What comes back packed is never opened beyond what a page takes."""
    bomb = b64encode(zlib.compress(bytes(50_000_000), 9)).decode()
    assert len(bomb) < 100_000
    for packed in ("", "no base64!", "eJwBAAD//wAAAAE=", bomb):
        assert technician.post(AT, {"packed": packed, **SIZES}).status_code == 422


def test_a_list_of_things_by_name_is_no_curve(technician: Client) -> None:
    """A table of lots and shares is refused, and nothing of it is asked."""
    rows = "\n".join(f"L1-{n:03},{n},0.3,0,{n}" for n in range(20))
    page = put(technician, f"lot,pieces,share,least,most\n{rows}\n".encode(), 422)

    assert "its tables list things by name, and no column speaks of force, stress or travel" in page
    assert "answer-" not in page
