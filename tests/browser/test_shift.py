"""A stranger's shift in the real browser: from three bulk bags to a bundle that leaves.

What reaches a page is a tap, a figure that was measured or read off a clock, words that are no
code, a choice out of what a field offers, or a scan of a label that was printed before.

An invented plant's time goes on by minutes after each entry. What takes hours (beads that age, a
day until blocks are measured) is told by the first entry after it, whose time is read off a clock.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.conftest import SIZES, Served
from tests.browser.hands import Hands

pytestmark = pytest.mark.browser

SUPPLIERS_LABEL = "SL-90871"
"""A supplier's own lot, as it is printed on the bags that come."""
CLOCK = "%Y-%m-%d %H:%M"
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
    plate = hands.page.locator(f"[id='{silo}']").inner_text()
    found = re.search(r"Ready from\s+([0-9-]+ [0-9:]+)", plate)
    assert found is not None
    return datetime.strptime(found[1], CLOCK)  # noqa: DTZ007 - a clock on the wall


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


def mould(hands: Hands, silo: str) -> tuple[str, str, datetime]:
    """A run of the part-used silo that is proposed, then of the one that was filled."""
    when = ready(hands, silo) + timedelta(minutes=20)
    hands.be(MOULDER)
    hands.station("Press FP2")
    lot, part_used = hands.holds("lot"), hands.holds("from")
    assert part_used != silo
    hands.key("at", f"{when:{CLOCK}}")
    hands.record("Start the run")
    first_piece(hands)
    weigh(hands, "7.55")
    when += timedelta(hours=1)
    count(hands, {"shots": "30", "good": "29", "scrap": "1", "ended": f"{when:{CLOCK}}"})
    hands.tap("link", "Change carton", exact=False)
    hands.record("Go on with it")
    hands.tap("link", "Change silo", exact=False)
    hands.choose("from", f"{silo} ")
    hands.record("Go on with it")
    weigh(hands, "7.52")
    when += timedelta(hours=2)
    count(hands, {"shots": "60", "good": "60", "scrap": "0", "ended": f"{when:{CLOCK}}"})
    hands.keep("press")
    hands.tap("link", "End run", exact=False)
    hands.record("End the run")
    return lot, part_used, when


def inspect(hands: Hands, lot: str, when: datetime) -> None:
    """A day later: three blocks weighed and measured; their code is scanned off them."""
    hands.labels.append(lot)
    hands.be(TECHNICIAN)
    hands.station("Inspection")
    hands.scan("scan", lot)
    hands.tap("link", "Weigh, gauge", exact=False)
    for number, (pounds, at) in enumerate((("7.46", 0), ("7.47", 4), ("7.45", 8)), start=1):
        # First when: the age that is proposed follows it, and one that is keyed after stands.
        hands.key("at", f"{when + timedelta(minutes=at):{CLOCK}}")
        hands.tap("radio", "a day old")
        hands.key("age", "24.6" if at else "24.5")
        hands.key("mass", pounds)
        hands.key("length", "48.00")
        hands.key("width", "13.25")
        hands.key("height", "16.00")
        more = 3 - number
        said = f"Still: weigh {more}, gauge {more}." if more else "owes it nothing more"
        assert said in hands.record("Record the block")
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
    hands.choose("receiver")
    hands.scan("what", bundle)
    hands.key("pieces", "18")
    assert f"{bundle} is empty" in hands.record()
    hands.keep("shipped")


@pytest.fixture(params=[("tablet", "light"), ("desk", "dark")], ids="-".join)
def hands(request: pytest.FixtureRequest, alone: Served, browser: Browser) -> Iterator[Hands]:
    """A stranger's, at the sign-in page of a demonstration that nobody else is in."""
    size, scheme = request.param
    context = browser.new_context(viewport=SIZES[size], color_scheme=scheme, base_url=alone.address)
    yield Hands.at(context, "/in/")
    context.close()


def test_a_strangers_shift_ends_with_a_bundle_that_left(alone: Served, hands: Hands) -> None:
    """Three bags, two runs, a mould run, inspection, a bundle, a release, a shipment: no id."""
    before = forbidden(alone)
    bags = receive(hands)
    correct(hands, bags[-1])
    silo = expand(hands, bags)
    lot, part_used, moulded = mould(hands, silo)
    inspect(hands, lot, moulded + timedelta(hours=24, minutes=30))
    bundle = wrap(hands, lot)
    release(hands, lot)
    ship(hands, bundle)

    assert "".join(hands.pressed) == "".join(hands.typed)
    assert_left(hands, lot, bundle)
    back = json.loads(alone.asked("trace", bundle, "--back", "--json"))
    assert {*bags, silo, part_used, lot} <= {one["lot"] for one in back["lots"]}
    assert forbidden(alone) == before
    assert "the record verifies" in alone.asked("verify")


def test_hands_key_no_code(hands: Hands) -> None:
    """A code is refused as a figure and a word, and as a label that is printed on nothing."""
    for refuses in (hands.key, hands.say, hands.scan):
        with pytest.raises(AssertionError):
            refuses("code", "F1-D5-08")
    hands.page.locator("#code").focus()
    hands.page.keyboard.type("F1")
    hands.key("named", "7.5")
    expect(hands.page.locator("#named")).to_have_value("7.5")

    assert "".join(hands.pressed) == "F17.5"
    assert "".join(hands.typed) == "7.5"


def assert_left(hands: Hands, lot: str, bundle: str) -> None:
    """The bundle's page says that it was shipped, and the lot's that a part of it was."""
    main = hands.page.locator("main")
    answers = {bundle: "Shipped, nothing stands against it", lot: "May ship"}
    for code, answer in answers.items():
        hands.page.goto(f"/lots/{code}/")
        expect(main).to_contain_text(re.compile("18 with .*, in shipment SH-[0-9]+"))
        expect(main.get_by_text(answer, exact=True).first).to_be_visible()
    expect(main).to_contain_text(re.compile("Released by P-13 .* by P-14"))
    hands.keep("lot")


def forbidden(alone: Served) -> list[object]:
    """What was forbidden and happened, by cause."""
    told = json.loads(alone.asked("nonconformities", "--json"))
    return [one["cause"] for one in told["causes"]]
