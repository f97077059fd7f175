"""Each page, at both sizes, light and dark: a picture, no violation, everything by keyboard."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.conftest import PICTURES, SEEN, SIZES, Visit

pytestmark = pytest.mark.browser

PAGES = {
    "sign-in": "/in/",
    "floor": "/",
    "silos": "/silos/",
    "ageing": "/ageing/",
    "ageing-all": "/ageing/?all",
    "air": "/air/",
    "air-all": "/air/?all",
    "lot": "/lots/L2-008/",
    "trace": "/lots/L2-008/trace/",
    "search": "/search/?q=L2-00",
    "held": "/holds/",
    "put-on-hold": "/lots/L2-008/hold/",
    "nonconformity": "/nonconformities/too_fresh:S4/",
    "release": "/release/",
    "release-lot": "/release/L1-005/",
    "stations": "/stations/",
    "study": "/instruments/study/",
    "calibration": "/instruments/BAL-Q1/calibration/",
    "bundling": "/stations/bundling/",
    "receiving": "/stations/receiving/",
    "silo-form": "/stations/silos/",
    "inspection": "/stations/inspection/",
    "inspection-lot": "/stations/inspection/?lot=L2-001",
    "inspection-block": "/stations/inspection/?lot=L1-073&do=block",
    "inspection-look": "/stations/inspection/?lot=L1-073&do=look",
    "bench": "/stations/bench/",
    "stocktake": "/stations/stocktake/",
    "stocktake-bags": "/stations/stocktake/?of=bags",
    "pre-expander": "/stations/pre-expander/E1/",
    "pre-expander-cup": "/stations/pre-expander/E1/?form=cups",
    "pre-expander-adjusted": "/stations/pre-expander/E1/?form=adjustments",
    "pre-expander-trouble": "/stations/pre-expander/E1/?form=downtime",
    "press": "/stations/press/FP1/",
    "press-weigh": "/stations/press/FP1/?do=weigh",
    "entry": "/entries/900/",
    "correct": "/entries/900/correct/",
    "parts": "/parts/",
    "record": "/record/?walk=1&head=512:000000000000",
    "visit-file": "/record/visit/",
    "products": "/products/",
    "limits": "/limits/?of=FB6S",
    "set-up": "/products/FB6S/",
    "set-up-open": "/products/FB6S/?all",
    "inspection-plan": "/products/FB6S/inspection/",
    "conformity": "/products/FB6S/conformity/",
    "pour": "/products/FB6S/pour/",
    "pour-said": (
        "/products/FB6S/pour/?height=9+ft&rate=5+ft/h&factor=1.5&density=150+lb/ft3&slump=6+in"
        "&temperature=60+%C2%B0F&vibration=3+ft&binder=plain&retarder=no&unbroken=yes&placed=top"
    ),
    "pour-open": "/products/FB6S/pour/?height=9+ft&rate=5+ft/h&factor=2&all",
    "pour-lots": "/products/FB6S/pour/?height=9+ft&rate=5+ft/h&factor=two&lots=L1-001+L1-002",
    "laboratory": "/laboratory/",
    "cutting": "/laboratory/cutting/?n-C=5&n-F=3&n-K=3&n-D=2&n-T=1",
    "laboratory-water": "/laboratory/result/?test=water_absorption&lot=L1-073",
    "laboratory-heat": "/laboratory/result/?test=thermal_resistance&lot=L1-073",
    "curve": "/laboratory/curve/",
    "proof": "/laboratory/proof/?span=10+in&width=3+in&depth=1+in&carried=12.5+lb&limit=35+psi",
    "defects": "/defects/",
    "recalls": "/recalls/?lots=F2-D1-03",
    "costs": "/costs/",
    "costs-press": "/costs/?by=press&since=2025-09-08&until=2025-09-26",
    "charts": "/charts/",
    "chart": "/charts/density_24h.FB8S/",
    "chart-lasting": "/charts/density_24h.FB8L/",
    "chart-asked": "/charts/cup_dried.E1/?kind=individuals",
    "instruments": "/instruments/",
    "instrument": "/instruments/BAL-Q1/?error=%2B40+g",
    "wall": "/products/FB6S/wall/",
    "wall-cut": "/products/FB6S/wall/?storey=9&unit-storey=ft&all",
    "choices": "/choices/",
    "nothing": "/there-is-no-such-page/",
}
_RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
_FIRST_KB, _LATER_KB = 300, 60


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Take the sizes and lights that a run looks at."""
    if "scheme" in metafunc.fixturenames:
        long = metafunc.config.getoption("--hypothesis-profile") == "long"
        every = tuple((size, scheme) for size in SIZES for scheme in ("light", "dark"))
        metafunc.parametrize(("size", "scheme"), every if long else SEEN)


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_as_it_should_be(name: str, size: str, scheme: str, visit: Visit) -> None:
    """WCAG 2.2 AA and good practice, as axe-core sees them; nothing sticks out sideways."""
    page = visit(PAGES[name], by="" if name == "sign-in" else "EI", size=size, scheme=scheme)
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=PICTURES / f"{name}-{size}-{scheme}.png", full_page=True)

    status = page.request.get(PAGES[name]).status
    assert status == (404 if name == "nothing" else 200)
    found = Axe().run(page, options=_RULES).response["violations"]
    said = [(one["id"], [node["html"][:160] for node in one["nodes"][:3]]) for one in found]
    wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert said == []
    assert wide <= 0


@pytest.mark.parametrize("name", PAGES)
def test_everything_is_reached_by_keyboard(name: str, visit: Visit) -> None:
    """Tab comes to each thing that can be pressed, and it is seen to be there."""
    page = visit(PAGES[name], by="" if name == "sign-in" else "EI")
    page.evaluate("document.body.focus()")
    wanted = page.evaluate(
        "[...document.querySelectorAll('a[href], button, input:not([type=hidden]), summary')]"
        ".filter(one => one.checkVisibility() && !one.disabled"
        " && !(one.type === 'radio' && !one.checked)).length"
    )
    reached = set()
    for _ in range(wanted + 40):
        page.keyboard.press("Tab")
        reached.add(page.evaluate(_WHICH))
    reached.discard(-1)
    assert len(reached) >= wanted


_WHICH = """() => {
  const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), summary')];
  const here = document.activeElement;
  const ring = here && getComputedStyle(here).outlineStyle;
  return ring && ring !== 'none' ? all.indexOf(here) : -1;
}"""


def test_a_first_load_is_small_and_a_later_one_smaller(visit: Visit) -> None:
    """Bytes that came over the line: below 300 kB with fonts and script, then below 60 kB."""
    page = visit("/in/", by="")
    came: list[float] = []
    line = page.context.new_cdp_session(page)
    line.send("Network.enable")
    line.send("Network.clearBrowserCache")
    line.on("Network.loadingFinished", lambda told: came.append(told["encodedDataLength"]))
    page.goto("/in/?to=/silos/")
    page.fill("#named", "EI")
    page.fill("#code", "invented")
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_load_state("networkidle")
    first = sum(came)
    later = {}
    for name, path in PAGES.items():
        came.clear()
        page.goto(path)
        later[name] = sum(came)

    assert 50_000 < first < _FIRST_KB * 1000
    assert min(later.values()) > 500
    assert {name: size for name, size in later.items() if size >= _LATER_KB * 1000} == {}
