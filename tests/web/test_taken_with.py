"""With what a result was taken: proposed where the record says it, asked where it is not known."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from django.test import Client

from beadwright.interop import keyed
from beadwright.ledger.draft import Reading
from beadwright.plant import attached
from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn
from tests.web.test_curve_page import export
from tests.web.test_kept_curves import FORM, TEST, kept, recorded, strengths
from tests.web.test_kept_curves import keyed as filled_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def frames(yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A plant whose readings count only where they name a listed instrument; two load frames."""
    monkeypatch.setenv(attached.FOLDER, str(tmp_path))
    yard.set("reading", "rule", {"instrument": "listed"})
    for name in ("LF-1", "LF-2"):
        yard.set("instrument", name, what="load frame", every="365 days")
    return yard


@pytest.fixture
def technician(frames: Yard, as_: SignIn) -> Client:
    """The browser of a technician who reads SI."""
    assert frames.no
    browser = as_(Role.TECHNICIAN)
    browser.post("/choices/", {"units": "si", "light": "auto"})
    return browser


def broken(yard: Yard, instrument: str) -> None:
    """A strength that an instrument read before."""
    conditioned = {"conditioned_h": "48"}
    one = Reading("flexural_strength", "200", "kPa", lot="L1", specimen="F1",
                  instrument=instrument, facts=conditioned)  # fmt: skip
    yard.read([one])


def box(page: str) -> tuple[str, str]:
    """What the form holds of its instrument, and whether the field is folded away."""
    before, _, rest = page.partition('name="instrument"')
    value = re.search(r'value="([^"]*)"', rest.partition(">")[0])
    folded = before.count("<details") > before.count("</details>")
    return (value[1] if value else "", "folded" if folded else "open")


def test_the_frame_that_took_every_strength_is_proposed_for_a_curve(
    frames: Yard, technician: Client
) -> None:
    """There is but one: it stands in the form, and what is recorded names it."""
    broken(frames, "LF-1")
    sent = filled_in(technician, kept(technician, export()))

    assert sent["instrument"] == "LF-1"
    assert "The result is in the record." in recorded(technician, sent)
    assert strengths(frames)[0].instrument == "LF-1"


def test_where_several_took_strengths_it_is_asked_before_it_is_recorded(
    frames: Yard, technician: Client
) -> None:
    """The field stands open; without it the form says what would come of it, and takes a yes."""
    broken(frames, "LF-1")
    broken(frames, "LF-2")
    where = kept(technician, export())
    sent = filled_in(technician, where)
    page = technician.get(f"{FORM}?test={TEST}&curve={where.split('/')[-2]}&lot=L1")
    assert box(unescape(page.content.decode())) == ("", "open")

    asked = unescape(technician.post(FORM, sent).content.decode())

    assert "it would be no evidence" in asked
    assert "Listed are LF-1, LF-2." in asked
    assert strengths(frames) == []

    assert "in the record" in recorded(technician, {**sent, "kept": "instrument="})
    assert [one.instrument for one in strengths(frames)] == [""]


@pytest.mark.parametrize(
    ("named", "asked"), [("", ["no_instrument"]), ("LF-9", ["no_instrument"]), ("LF-1", [])]
)
def test_a_weighing_is_asked_with_what_too(frames: Yard, named: str, asked: list[str]) -> None:
    """By whatever door it is keyed; a count is not, for nobody weighs it."""
    texts = {"lot": "L1", "specimen": "D1", "mass": "3.2", "state": "24h", "age": "25",
             "instrument": named, "at": "2026-09-03 12:00"}  # fmt: skip
    read = keyed.read(
        "P1", "inspections", texts, units={"mass": "kg", "age": "h"}, key="w1", by="P-20"
    )
    seen = {"lot": "L1", "checked": "20", "at": "2026-09-03 12:00"}
    looked = keyed.read("P1", "inspections", seen, units={}, key="w2", by="P-20")

    assert not read.faults
    assert [one.code for one in read.questions] == asked
    wet = {**texts, "state": "press", "age": "0.2"}
    units = {"mass": "kg", "age": "h"}
    screened = keyed.read("P1", "inspections", wet, units=units, key="w3", by="P-20")
    assert "no_instrument" not in {one.code for one in screened.questions}
    assert looked.questions == ()
    assert frames.no
