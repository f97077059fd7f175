"""A stranger's shift in the real browser: from three bulk bags to a bundle that leaves.

What reaches a page is a tap, a figure that was measured or read off a clock, words that are no
code, a choice out of what a field offers, or a scan of a label that was printed before. No way of
:class:`Hands` takes a code that somebody would have to know and type.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import CHROMIUM, ENVIRONMENT, PICTURES, SIZES, Served

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")

FIGURES = re.compile("[0-9][0-9 .:-]*")
WORDS = re.compile("[A-Za-z][a-z ,;]*")
SUPPLIERS_LABEL = "SL-90871"
"""A supplier's own lot, as it is printed on the bags that come."""
CLOCK = "%Y-%m-%d %H:%M"


@dataclass
class Hands:
    """What a stranger does at a tablet, and all that was ever typed by it."""

    page: Page
    keyed: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    labels: list[str] = field(default_factory=list)
    """Codes that are printed on something in the plant."""
    scanned: list[str] = field(default_factory=list)
    taps: int = 0

    def tap(self, role: str, words: str, *, within: str = "body", exact: bool = True) -> None:
        """Tap a button, a link or a choice by its words, and wait for what comes."""
        self.touch(self.page.locator(within).get_by_role(role, name=words, exact=exact).first)  # type: ignore[arg-type]

    def touch(self, what: Locator) -> None:
        """Tap what is seen."""
        what.click()
        self.taps += 1
        self.page.wait_for_load_state()

    def key(self, name: str, figures: str) -> None:
        """Key what was measured, counted or read off a clock: figures, and nothing else."""
        assert FIGURES.fullmatch(figures), f"{figures} is no figure"
        self._type(name, figures)
        self.keyed.append(figures)

    def say(self, name: str, words: str) -> None:
        """Key words of one's own, a reason or a note: without a figure, so no code."""
        assert WORDS.fullmatch(words), f"{words} are no plain words"
        self._type(name, words)
        self.said.append(words)

    def scan(self, name: str, label: str) -> None:
        """Scan what a label says: a scanner types it and ends with Enter."""
        assert label in self.labels, f"{label} is printed on nothing"
        self._type(name, label)
        self.page.keyboard.press("Enter")
        self.scanned.append(label)

    def _type(self, name: str, text: str) -> None:
        self._open(name)
        self.page.locator(f"#{name}").click()
        self.taps += 1
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)

    def _open(self, name: str) -> None:
        """Unfold what a field is folded away in."""
        field_ = self.page.locator(f"#{name}")
        if not field_.is_visible():
            self.touch(self.page.locator("details", has=field_).locator("summary"))

    def choose(self, name: str, fits: Callable[[str], bool]) -> str:
        """Choose the first that a field offers of which what is said beside it fits."""
        self._open(name)
        some = self.page.locator(f"datalist#{name}-fits option").all()
        codes = [one.get_attribute("value") or "" for one in some]
        said = [f"{code} {one.text_content()}" for code, one in zip(codes, some, strict=True)]
        values = [code for code, words in zip(codes, said, strict=True) if fits(words)]
        assert values, f"{name} offers nothing that fits: {said}"
        # What a browser does once something is tapped in its own list.
        self.page.fill(f"#{name}", values[0])
        self.page.locator(f"#{name}").dispatch_event("change")
        self.taps += 2
        return values[0]

    def unit(self, name: str, unit: str) -> None:
        """Choose the unit that the scale shows."""
        self.page.locator(f"select[name=unit-{name}]").select_option(unit)
        self.taps += 2

    def holds(self, name: str) -> str:
        """What a field holds."""
        return self.page.input_value(f"#{name}")

    def record(self, words: str = "Record") -> str:
        """Press the button at a form's end; give what is said to be done."""
        self.tap("button", words)
        said = self.page.locator(".notice.done")
        expect(said).to_be_visible()
        return said.inner_text()

    def station(self, words: str) -> None:
        """Go to a station by taps."""
        self.tap("link", "Stations")
        self.touch(self.page.get_by_role("main").locator("a", has_text=words).first)

    def be(self, name: str) -> None:
        """Be somebody else on this tablet."""
        if self.page.get_by_role("button", name="Somebody else").count():
            self.tap("button", "Somebody else")
        self.touch(self.page.get_by_role("button", name=name))

    def keep(self, name: str) -> None:
        """Keep a picture of what is seen."""
        PICTURES.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=PICTURES / f"shift-{name}.png", full_page=True)


RECEIVER, EXPANDER, MOULDER, LEAD = (
    "Cass Underhay", "Asta Vellamy", "Mavra Tolliver-Ash", "Nils Farrowmere",
)  # fmt: skip
TECHNICIAN, ENGINEER, SECOND = "Tamsin Corvedale", "Edda Ivesworth", "Orrin Baskerhythe"


def receive(hands: Hands) -> list[str]:
    """Three bags of one supplier's lot; each gets a label with the code that is proposed."""
    hands.be(RECEIVER)
    hands.station("Receiving")
    hands.tap("link", "F1", within="nav.of", exact=False)
    hands.labels.append(SUPPLIERS_LABEL)
    bags = []
    for mass in ("1988.4", "2001.6", "1957.2"):
        bag = hands.holds("bag")
        assert bag.startswith("F1-")
        hands.scan("supplier_lot", SUPPLIERS_LABEL)
        hands.key("mass", mass)
        assert f"{bag} holds {mass} lb" in hands.record()
        bags.append(bag)
    hands.labels += bags
    return bags


def correct(hands: Hands, bag: str) -> None:
    """The third bag was written down with two figures swapped: put right where it stands."""
    hands.be(LEAD)
    hands.station("Receiving")
    hands.tap("link", f"Correct {bag}", exact=False)
    hands.key("mass", "1975.2")
    hands.say("reason", "two figures swapped")
    hands.record("Record the correction")
    main = hands.page.locator("main")
    first = hands.page.get_by_role("link", name="corrected").inner_text()
    hands.tap("link", first)
    expect(main).to_contain_text("1957.2 lb")
    expect(main).to_contain_text("Restated by")
    hands.tap("link", "Entry", within="main p:has-text('Restated by')", exact=False)
    hands.keep("corrected")
    expect(main).to_contain_text("1975.2 lb")
    expect(main).to_contain_text("two figures swapped")


def expand(hands: Hands, bags: list[str]) -> str:
    """Two runs into the silo that is proposed: two bags, then the third; cups of each."""
    hands.be(EXPANDER)
    hands.station("Pre-expander E1")
    silo = hands.holds("silo")
    for run in (bags[:2], bags[2:]):
        assert hands.holds("silo") == silo
        hands.tap("button", "Start")
        for bag, left in zip(run, ("1626.2", "1730.4"), strict=False):
            if bag is not run[0]:
                hands.tap("link", "New bag")
            hands.scan("bag", bag)
            hands.record()
            for grams in ("233.6", "234.1"):
                hands.tap("link", "Cup")
                hands.key("mass", grams)
                assert f"{grams} g" in hands.record()
            hands.tap("link", "Take the bag off")
            hands.key("mass", left)
            hands.record()
            hands.tap("link", "Silo full")
            if bag is not run[-1]:
                hands.key("batches", "20")
            hands.record()
        hands.record("Close the run")
    return silo


def ready(hands: Hands, silo: str) -> datetime:
    """When a silo is ready, as its plate says."""
    hands.tap("link", "Silos")
    plate = hands.page.locator("main").inner_text()
    found = re.search(rf"{silo}\b.*?Ready from\s+([0-9-]+ [0-9:]+)", plate, re.DOTALL)
    assert found is not None
    return datetime.strptime(found[1], CLOCK)  # noqa: DTZ007 - the plant's clock, as shown


def first_piece(hands: Hands) -> None:
    """The lead looks at the first piece and signs; then the operator is there again."""
    hands.be(LEAD)
    hands.station("Press FP2")
    hands.tap("link", "First piece", exact=False)
    for what in ("Mass", "Ties", "Fusion", "Size", "Code"):
        group = hands.page.get_by_role("group", name=what)
        hands.touch(group.get_by_label("ok", exact=True))
    hands.record("Sign")
    expect(hands.page.locator("#press")).to_contain_text("First piece signed")
    hands.be(MOULDER)
    hands.station("Press FP2")


def count(hands: Hands, figures: dict[str, str]) -> None:
    """Blocks counted since the last count; none to be counted twice."""
    hands.tap("link", "Count", exact=False)
    for name, text in figures.items():
        hands.key(name, text)
    if figures["scrap"] != "0":
        hands.touch(hands.page.get_by_role("group", name="Why scrapped").get_by_role("radio").first)
    hands.record("Record the count")


def weigh(hands: Hands, pounds: str) -> None:
    """A wet block on the scale."""
    hands.tap("link", "Weigh", exact=False)
    hands.key("mass", pounds)
    assert "Dry foam of" in hands.record("Record the weight")


def mould(hands: Hands, silo: str) -> tuple[str, datetime]:
    """A run of the part-used silo that is proposed, then of the one that was filled."""
    when = ready(hands, silo) + timedelta(minutes=20)
    hands.be(MOULDER)
    hands.station("Press FP2")
    lot = hands.holds("lot")
    hands.key("at", f"{when:{CLOCK}}")
    hands.record("Start the run")
    first_piece(hands)
    weigh(hands, "7.55")
    when += timedelta(hours=1)
    count(hands, {"shots": "30", "good": "29", "scrap": "1", "ended": f"{when:{CLOCK}}"})
    hands.tap("link", "Change carton", exact=False)
    hands.record("Go on with it")
    hands.tap("link", "Change silo", exact=False)
    hands.choose("from", lambda said: said.startswith(f"{silo} "))
    hands.record("Go on with it")
    weigh(hands, "7.52")
    when += timedelta(hours=2)
    count(hands, {"shots": "60", "good": "60", "scrap": "0", "ended": f"{when:{CLOCK}}"})
    hands.keep("press")
    hands.tap("link", "End run", exact=False)
    hands.record("End the run")
    return lot, when


def inspect(hands: Hands, lot: str, when: datetime) -> None:
    """A day later: three blocks weighed and measured; their code is scanned off them."""
    hands.labels.append(lot)
    hands.be(TECHNICIAN)
    hands.station("Inspection")
    hands.tap("link", "24h", within="nav.of")
    for pounds, at in (("7.46", 0), ("7.47", 4), ("7.45", 8)):
        hands.scan("lot", lot)
        hands.key("age", "24.5")
        hands.key("mass", pounds)
        hands.key("length", "48.00")
        hands.key("width", "13.25")
        hands.key("height", "16.00")
        hands.key("at", f"{when + timedelta(minutes=at):{CLOCK}}")
        hands.record()
    hands.keep("inspection")


def wrap(hands: Hands, lot: str) -> str:
    """A bundle of the lot, by the code that is stamped into its blocks."""
    hands.be(RECEIVER)
    hands.station("Bundling")
    bundle = hands.holds("bundle")
    hands.scan("lot", lot)
    hands.key("pieces", "18")
    assert f"{bundle} holds 18 pieces" in hands.record()
    hands.labels.append(bundle)
    return bundle


def release(hands: Hands, lot: str) -> None:
    """Two engineers sign, each from the queue."""
    for who in (ENGINEER, SECOND):
        hands.be(who)
        hands.tap("link", "Release")
        hands.tap("link", lot)
        hands.say("note", "figures looked at")
        hands.record("Release this lot")
    hands.keep("released")


def ship(hands: Hands, bundle: str) -> None:
    """The bundle leaves: its label is scanned as it is loaded."""
    hands.be(LEAD)
    hands.station("Dispatch")
    hands.choose("receiver", bool)
    hands.scan("what", bundle)
    hands.key("pieces", "18")
    assert f"{bundle} is empty" in hands.record()
    hands.keep("shipped")


def test_a_strangers_shift_ends_with_a_bundle_that_left(alone: Served, browser: Browser) -> None:
    """Three bags, two runs, a mould run, inspection, a bundle, a release, a shipment: no id."""
    context = browser.new_context(viewport=SIZES["tablet"], base_url=alone.address)
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.goto("/in/")
    hands = Hands(page)
    bags = receive(hands)
    correct(hands, bags[-1])
    silo = expand(hands, bags)
    lot, moulded = mould(hands, silo)
    inspect(hands, lot, moulded + timedelta(hours=24, minutes=30))
    bundle = wrap(hands, lot)
    release(hands, lot)
    ship(hands, bundle)

    page.goto(f"/lots/{bundle}/trace/")
    made_of = page.locator("table").first.inner_text()
    assert set(bags) <= {line.split("\t")[0] for line in made_of.splitlines()}
    page.goto(f"/lots/{lot}/")
    assert "18 with " in page.locator("main").inner_text()
    assert set(hands.scanned) <= set(hands.labels)
    assert not [text for text in hands.keyed + hands.said if text in {*bags, silo, lot, bundle}]
    context.close()
    program = Path(sys.executable).parent / "beadwright"
    told = subprocess.run(
        [str(program), "--store", str(alone.store), "verify"],
        capture_output=True, check=False, env=ENVIRONMENT, text=True,
    )  # fmt: skip
    assert told.returncode == 0, told.stdout + told.stderr
