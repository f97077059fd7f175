"""Charts on their pages: signals first, one chart with its reasons, and a hold a click further."""

from __future__ import annotations

import re

import numpy as np
import pytest

from beadwright.plant.access import Role
from beadwright.plant.held import holds_of
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

LOTS, TRUE = 30, 22
KEY = "/charts/length_24h.FB6/"


@pytest.fixture
def shifted(yard: Yard) -> Yard:
    """A plant whose blocks are 3 mm longer from one lot on; their width is as it was."""
    rng = np.random.default_rng(4)
    yard.carton("T-2", 5000)
    for number in range(1, LOTS + 1):
        lot = f"B{number:02d}"
        yard.mould(lot, carton="T-2", good=2, at=30 + 10 * number)
        for name, mean in (("length", 1220.0 + 3 * (number >= TRUE)), ("width", 300.0)):
            some = [f"{mean + one:.2f} mm" for one in rng.normal(0, 0.3, 3)]
            yard.gauge(lot, name, some, at=60 + 10 * number)
    return yard


def words(html: str) -> str:
    """A page's text in one line."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def test_the_list_begins_with_what_signals(shifted: Yard, as_: SignIn) -> None:
    """The length stands above, the width among the quiet ones; both lead to their charts."""
    assert shifted.no
    html = as_(Role.TECHNICIAN).get("/charts/").content.decode()
    loud, _, quiet = html.partition('<h2 id="quiet">')

    assert f'href="{KEY}"' in loud
    assert 'href="/charts/width_24h.FB6/"' in quiet
    assert "chance alone gives" in words(loud)
    newest = r"the newest of [-0-9: ]+, (above|below), most likely since [A-Z]\d+, [-0-9]{10}"
    assert re.search(newest, words(loud))


def test_charts_of_one_product_machine_or_lot(shifted: Yard, as_: SignIn) -> None:
    """Those of it alone; a lot has the charts on which it is a point, and its page leads there."""
    assert shifted.no
    browser = as_(Role.TECHNICIAN)
    of_lot = browser.get("/charts/", {"of": "B07"}).content.decode()

    assert "Charts of B07" in words(of_lot)
    assert 'href="/charts/width_24h.FB6/"' in of_lot
    assert (
        'href="/charts/width_24h.FB6/"' in browser.get("/charts/", {"of": "FB6"}).content.decode()
    )
    assert 'href="/charts/width' not in browser.get("/charts/", {"of": "FP9"}).content.decode()
    assert 'href="/charts/?of=B07"' in browser.get("/lots/B07/").content.decode()
    assert 'href="/charts/?of=FB6"' in browser.get("/products/FB6/").content.decode()
    shifted.set("place", "FP1", kind="press")
    assert 'href="/charts/?of=FP1"' in browser.get("/stations/press/FP1/").content.decode()


def test_a_chart_says_why_and_since_when(shifted: Yard, as_: SignIn) -> None:
    """In the units of who reads, with links to every lot since."""
    assert shifted.no
    html = as_(Role.ENGINEER).get(KEY).content.decode()
    page = words(html)

    assert "Why this chart" in page
    assert "Asked: Nelson 1, one point beyond the control limits" in page
    assert "<details" in as_(Role.ENGINEER).get("/charts/").content.decode()
    assert f"at B{TRUE} (" in page
    for number in range(TRUE, LOTS + 1):
        assert f'href="/lots/B{number:02d}/"' in html
    assert 'href="/lots/B10/"' not in html


def test_another_kind_is_shown_and_one_that_cannot_be_is_said(shifted: Yard, as_: SignIn) -> None:
    """The page stays, with the chart that the data ask for."""
    assert shifted.no
    browser = as_(Role.AUDITOR)
    other = words(browser.get(KEY, {"kind": "individuals"}).content.decode())
    wrong = words(browser.get(KEY, {"kind": "p"}).content.decode())

    assert "Asked for, instead of" in other
    assert "cannot be charted as p" in wrong
    assert browser.get("/charts/length_24h.FB9/").status_code == 404


def test_the_lots_since_are_put_on_one_hold(shifted: Yard, as_: SignIn) -> None:
    """Those that were shown, once; without a reason nothing is held, and an auditor may not."""
    browser = as_(Role.ENGINEER)
    html = browser.get(KEY).content.decode()
    (lots,) = re.findall(r'name="lots" value="([^"]+)"', html)
    none = browser.post(f"{KEY}hold/", {"lots": lots, "key": "k0", "reason": " "})
    assert none.status_code == 422
    assert "a hold needs a reason" in words(none.content.decode())
    assert holds_of(shifted.no) == ()

    for _ in range(2):
        answer = browser.post(f"{KEY}hold/", {"lots": lots, "key": "k1", "reason": "too long"})
        assert answer["Location"] == "/holds/H-01/"
    (hold,) = holds_of(shifted.no)
    assert set(hold.named) == set(lots.split())
    assert {f"B{number:02d}" for number in range(TRUE, LOTS + 1)} <= set(hold.named)

    again = browser.get(KEY).content.decode()
    assert "On hold already: H-01 (all of them)." in again
    assert "<summary>Hold these lots all the same</summary>" in again

    auditor = as_(Role.AUDITOR)
    assert "on hold</button>" not in auditor.get(KEY).content.decode()
    assert auditor.post(f"{KEY}hold/", {"lots": lots, "reason": "x"}).status_code == 403
