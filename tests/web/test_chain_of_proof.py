"""From a reading to what it rests on: instrument, calibration, study, method, limit; and back."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from beadwright.ledger.draft import Decision, Reading
from beadwright.plant import attached
from beadwright.plant.access import Role
from beadwright.plant.gauge_studies.recorded import studies
from beadwright.quality.readings import of_lots
from tests.plant.asking import block
from tests.plant.test_recorded_studies import weighing
from tests.plant.yard import Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture
def weighed(yard: Yard, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A lot, a block of which a calibrated and studied balance weighed, under a limit."""
    monkeypatch.setenv(attached.FOLDER, str(tmp_path))
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("instrument", "BAL-2", what="balance", every="year", u="0.026 kg")
    yard.set("repeatability", "block_mass_24h", study=True)
    body = {"done": "2026-09-01", "result": "pass", "certificate": "C-1"}
    yard.post(Decision("cal/1", ms(50), "calibration", "BAL-2", body, by="P-13"))
    weighing()
    yard.block_lot("L7")
    yard.read([
        Reading("block_mass_24h", f"{block(23.0):.6f}", "kg", lot="L7", specimen="D1",
                instrument="BAL-2", facts={"state": "24h", "age_h": "26"})
    ])  # fmt: skip
    return yard


def page(browser: object, address: str) -> str:
    """What a page says, with its links."""
    answer = browser.get(address)  # type: ignore[attr-defined]
    assert answer.status_code == 200, address
    return html.unescape(answer.content.decode())


def entry_of(yard: Yard) -> int:
    """The entry of the lot's reading."""
    return of_lots(yard.no, ["L7"])["L7"][0].seq


def links(text: str, words: str) -> list[str]:
    """Addresses that stand after some words, to the end of their line."""
    (part,) = re.findall(rf"<dt>{words}</dt><dd>(.*?)</dd>", text, re.DOTALL)
    return re.findall(r'href="([^"]+)"', part)


def test_a_reading_leads_to_what_it_rests_on(weighed: Yard, as_: SignIn) -> None:
    """Each link leads on; an auditor may follow all of them."""
    auditor = as_(Role.AUDITOR)
    shown = page(auditor, f"/entries/{entry_of(weighed)}/")
    (study,) = studies(weighed.no)
    tool, calibration = links(shown, "Instrument")
    (studied,) = links(shown, "Standard uncertainty")
    lot, limit = links(shown, "Judged by")

    assert tool == "/instruments/BAL-2/"
    assert "calibrated 2026-09-01, holds until 2027-09-01" in shown
    assert studied == f"/instruments/BAL-2/studies/{study.seq}/"
    assert "0.0717 lb" in shown  # the root of 26² and 19.5² is 32.5 g
    assert "density, each: min 22.0 kg/m3: <b>met, found 23" in shown
    assert "C-1" in page(auditor, calibration)
    assert "Limit DEN" in page(auditor, limit)
    assert lot == "/lots/L7/"
    assert limit in page(auditor, lot)  # and the lot's table of limits leads there too


def test_a_lot_leads_to_its_recall(weighed: Yard, as_: SignIn) -> None:
    """From its page, and from a search for its code."""
    auditor = as_(Role.AUDITOR)
    assert 'href="/recalls/?lots=L7"' in page(auditor, "/lots/L7/")
    found = auditor.get("/search/", {"q": "L7"}, headers={"HX-Request": "true"}).content.decode()
    assert 'href="/recalls/?lots=L7"' in found
    part = auditor.get("/search/", {"q": "L"}, headers={"HX-Request": "true"}).content.decode()
    assert "/recalls/" not in part
    assert weighed.no


def test_a_reading_that_names_nothing_says_so(weighed: Yard, as_: SignIn) -> None:
    """No instrument, no uncertainty, no limit that rests on it: none is left blank."""
    weighed.read([Reading("length", "1.2", "m", lot="L7", specimen="D2")], at=61)
    seq = max(one.seq for one in of_lots(weighed.no, ["L7"])["L7"])
    shown = page(as_(Role.AUDITOR), f"/entries/{seq}/")

    assert "nobody says with what" in shown
    assert "not known" in shown
    assert "no limit rests on it now" in shown
