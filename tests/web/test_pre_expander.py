"""The pre-expander: how it stands, forms of a field or two, refused, happened, corrected, held."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.test import Client

from beadwright.ledger import lots
from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

AT = "/stations/pre-expander/E1/"
TARGET = {"hot": "23.4 kg/m3", "dried": "22.2 kg/m3", "band": "0.6 kg/m3"}


@pytest.fixture
def yard(yard: Yard) -> Yard:
    """Two expanders, bags of each grade, silos of form beads, a target for FB6."""
    for silo in ("S1", "S2"):
        yard.set("place", silo, kind="silo", content=True, accepts=["F1"], capacity="450 kg")
    yard.set("place", "E1", kind="expander", feeds=["S1", "S2"], cup_volume="10 L")
    yard.set("place", "E2", kind="expander", feeds=["S1", "S2"])
    yard.set("cup", "FB6", TARGET)
    yard.set("grade", "F1", title="form beads", flame_retardant="yes")
    yard.set("grade", "PK1", title="packaging beads", flame_retardant="no")
    yard.bag("B-2", kg=400)
    yard.bag("PK-1", kg=400, grade="PK1")
    return yard


@pytest.fixture
def operator(as_: SignIn, yard: Yard) -> Client:
    """Give the browser of an operator who reads SI."""
    assert yard.no
    return in_si(as_(Role.OPERATOR))


def in_si(browser: Client) -> Client:
    """Choose SI."""
    browser.post("/choices/", {"units": "si", "light": "auto"})
    return browser


def look(browser: Client, form: str = "", at: str = AT) -> str:
    """The page, with one of its forms."""
    answer = browser.get(f"{at}?form={form}" if form else at)
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def shown(page: str) -> dict[str, str]:
    """What the form of a page would send as it stands."""
    form = page[page.index('<form method="post" action="/stations') :]
    form = form[: form.index("</form>")]
    sent = {}
    for tag in re.findall(r"<input[^>]*>", form):
        said = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if said.get("type") != "radio" or "checked" in tag:
            sent[said["name"]] = said.get("value", "")
    for name, options in re.findall(r'<select name="([\w-]+)".*?>(.*?)</select>', form):
        (sent[name],) = re.findall(r"<option selected>([^<]*)", options)
    del sent["csrfmiddlewaretoken"]
    return sent


def tell(browser: Client, form: str, status: int = 200, do: str = "post", **keyed: str) -> str:
    """Open a form, key a field or two, and send it."""
    answer = browser.post(AT, {**shown(look(browser, form)), "do": do, **keyed})
    text = unescape(answer.content.decode())
    assert answer.status_code == status, re.findall(r"<p>.*?</p>|<strong>.*?</strong>", text)
    return text


def opened(browser: Client, **keyed: str) -> None:
    """A run of form beads into S2, with bag B-2 in it."""
    given = {"run": "X-1", "silo": "S2", "grade": "F1", "product": "FB6"}
    tell(browser, "expansion_open", 200, "post", **{**given, **keyed})
    tell(browser, "bag_opened", bag="B-2")


def weigh(browser: Client, *grams: str, where: str = "hot") -> str:
    """Weigh cups one after the other; gives the page after the last."""
    return [tell(browser, "cups", mass=one, where=where) for one in grams][-1]


def holds(yard: Yard, code: str) -> float:
    """Kilograms that a lot holds."""
    view = lots.get(yard.no, code)
    assert view is not None
    return view.mg / 1e6


def words(page: str) -> str:
    """The page's words without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))


def test_where_no_run_is_open_the_next_one_stands_filled(operator: Client) -> None:
    """One large Start; whether it may be is said before it is pressed."""
    page = look(operator)
    form = shown(page)

    assert "No run is open" in page
    assert "Start a run" in page
    assert (form["expander"], form["silo"], form["kind"]) == ("E1", "S2", "expansion_open")
    assert "S2: it is free: empty." in page
    assert "New bag" not in page
    filled = operator.post(AT, {**form, "run": "X-1", "do": "ask"}).content.decode()
    assert "Nothing forbids it. Nothing is recorded yet." in filled


def test_a_run_start_to_silo_full(operator: Client, yard: Yard) -> None:
    """Started, the bag is asked for; cups; the silo takes all that the run holds; closed."""
    bag = tell(operator, "expansion_open", run="X-1", silo="S2", grade="F1", product="FB6")
    assert shown(bag)["kind"] == "bag_opened"
    assert shown(bag)["bag"] == "B-1"

    page = words(tell(operator, "bag_opened", bag="B-2"))
    assert "Run X-1 for FB6 into S2, since" in page
    assert "400.0 kg of beads in it" in page
    assert "No cup yet" in page

    page = words(weigh(operator, "233.1", "234.9", "236.0"))
    assert "Hot cup 236.0 g in 10 L: 23.6 g/L. It is in the record." in page
    assert "Leave 23.6 g/L within 23.4 ± 0.6, 3 hot cups." in page

    full = tell(operator, "silo_filled")
    assert "S2 holds 400.0 kg" in full
    assert holds(yard, "S2") == pytest.approx(400)
    assert shown(full)["kind"] == "expansion_close"
    closed = tell(operator, "expansion_close")
    assert "No run is open. Last: X-1 for FB6 into S2" in words(closed)
    assert shown(closed)["kind"] == "expansion_open"


@pytest.mark.parametrize(
    ("grams", "word", "why"),
    [
        (("240.0",), "Leave", "24.0 g/L within 23.4 ± 0.6, 1 hot cup."),
        (("241.0",), "Leave, and take a second cup", "One hot cup above 23.4 ± 0.6 g/L"),
        (("241.0", "242.0"), "Change: expand more", "Two hot cups in a row above 23.4 ± 0.6 g/L."),
        (("226", "225", "224"), "Change: expand less", "Three hot cups in a row below 23.4 ± 0.6"),
    ],
)
def test_leave_or_change_and_why(
    operator: Client, grams: tuple[str, ...], word: str, why: str
) -> None:
    """By a plain dead-band; nothing is written to a machine."""
    opened(operator)
    page = words(weigh(operator, *grams))

    assert f" {word} {why}" in page
    assert ("This page sets nothing on the machine" in page) is word.startswith("Change")


def test_the_last_cup_is_marked_with_its_place(operator: Client) -> None:
    """A dried cup is held against the target of dried cups alone."""
    opened(operator)
    weigh(operator, "241.0")
    page = words(weigh(operator, "229.0", where="dried"))

    assert "Last cup, dried" in page
    assert "Leave, and take a second cup" in page
    assert "1 hot cup, 0 within, 1 not within 23.4 ± 0.6 g/L" in page
    assert "1 dried cup, 0 within, 1 not within 22.2 ± 0.6 g/L" in page


def test_in_us_units_a_cup_is_told_in_pounds_a_cubic_foot(as_: SignIn, yard: Yard) -> None:
    """The scale shows grams whoever reads; targets and cups are shown by choice."""
    assert yard.no
    browser = as_(Role.OPERATOR)
    browser.post("/choices/", {"units": "us", "light": "auto"})
    opened(browser)
    page = words(weigh(browser, "234.0"))

    assert "1.46 lb/ft³ within 1.46 ± 0.04, 1 hot cup." in page


def test_a_cup_is_one_figure_with_its_place_filled_in(operator: Client) -> None:
    """The mass of the cup that is set for the machine; the rest folds away; it is now."""
    opened(operator)
    page = look(operator, "cups")
    form = page[page.index('class="keyed"') :]
    form = form[: form.index("</form>")]
    open_, _, folded = form.partition("<details")

    assert re.findall(r'name="(\w+)" type="text"', open_) == ["mass"]
    assert re.search(r'name="mass"[^>]* autofocus', open_)
    assert re.search(r'name="where" value="hot" checked', open_)
    assert 'name="unit-mass" value="g"' in open_
    assert re.search(r'name="volume"[^>]*value="10"', folded)
    assert re.search(r'name="taken"[^>]*value=""', folded)


def test_a_balance_that_shows_density_is_keyed_as_it_shows(operator: Client, yard: Yard) -> None:
    """23.4 g/L are 23.4 g in 1 L."""
    yard.set("place", "E1", kind="expander", feeds=["S1", "S2"], cup_shows="density", since=1)
    opened(operator)
    form = shown(look(operator, "cups"))
    page = words(tell(operator, "cups", mass="23.4"))

    assert (form["volume"], form["unit-volume"], form["unit-mass"]) == ("1", "L", "g")
    assert "Density of the beads" in look(operator, "cups")
    assert "Leave 23.4 g/L within 23.4 ± 0.6, 1 hot cup." in page


def test_an_unusual_cup_is_asked_about_once(operator: Client) -> None:
    """Ten times too heavy: asked with the value in large; kept, it is recorded."""
    opened(operator)
    weigh(operator, *(f"23{one}.0" for one in range(1, 9)))
    page = tell(operator, "cups", 422, mass="2340")
    assert "Yes, as keyed: 2340 g" in page

    (yes,) = re.findall(r'name="kept" value="([^"]*)"[^>]*>Yes, as keyed', page)
    kept = operator.post(AT, {**shown(page), "kept": yes})
    assert kept.status_code == 200
    assert "Hot cup 2340 g" in kept.content.decode()


def test_a_forbidden_bag_is_told_before_and_can_have_happened(operator: Client, yard: Yard) -> None:
    """Packaging beads into a silo of form beads: asked, refused, then recorded as it happened."""
    opened(operator)
    asked = tell(operator, "bag_opened", do="ask", bag="PK-1")
    assert "May not" in asked
    refused = tell(operator, "bag_opened", 422, bag="PK-1")
    assert "It has happened already: record it" in refused
    assert shown(refused)["bag"] == "PK-1"
    assert holds(yard, "PK-1") == pytest.approx(400)

    done = tell(operator, "bag_opened", do="happened", bag="PK-1")
    assert "It is in the record." in done
    assert holds(yard, "PK-1") == 0


def test_a_start_that_may_not_be_is_told_before(operator: Client) -> None:
    """A grade that the silo's plate does not take."""
    page = tell(operator, "expansion_open", 422, run="X-1", silo="S2", grade="PK1")

    assert "May not" in page
    assert "wrong_grade_in_place" in page
    assert "No run is open" in look(operator)


def test_a_form_sent_twice_posts_once(operator: Client, yard: Yard) -> None:
    """Its key is given when it is shown."""
    opened(operator)
    sent = {**shown(look(operator, "silo_filled")), "do": "post"}
    first, second = (operator.post(AT, sent).content.decode() for _ in range(2))

    assert "It is in the record." in first
    assert "It was in the record already." in second
    assert holds(yard, "S2") == pytest.approx(400)


def test_a_faulty_form_comes_back_filled(operator: Client) -> None:
    """A mass that is no number is told at its field."""
    opened(operator)
    page = tell(operator, "cups", 422, mass="two")

    assert 'aria-invalid="true"' in page
    assert shown(page)["mass"] == "two"


def test_the_silo_is_full_after_so_many_batches(operator: Client, yard: Yard) -> None:
    """By the charge that was set last at this machine, and not at another; the rest stays."""
    opened(operator)
    assert shown(look(operator, "silo_filled"))["charge"] == ""
    refused = tell(operator, "silo_filled", 422, batches="10")
    assert "State the charge" in refused

    given = {"batches": "10", "charge": "8", "unit-charge": "kg"}
    page = tell(operator, "silo_filled", 200, "post", **given)
    assert holds(yard, "S2") == pytest.approx(80)
    assert "320.0 kg of beads in it" in words(page)
    again = shown(look(operator, "silo_filled"))
    assert (again["charge"], again["unit-charge"]) == ("8", "kg")


def test_trouble_keeps_how_long_it_stood_and_why(operator: Client) -> None:
    """By a tap each, or the cause in own words; without one it is not taken."""
    opened(operator)
    page = look(operator, "downtime")
    since = re.findall(r'name="started" value="([^"]*)"', page)
    assert len(since) == 6
    refused = tell(operator, "downtime", 422, started=since[0])
    assert re.search(rf'name="started" value="{since[0]}" checked', refused)

    own = tell(operator, "downtime", started=since[0], own_cause="lamp out")
    assert "stood: lamp out" in words(own)
    tapped = tell(operator, "downtime", started=since[0], cause="no steam")
    assert "stood: no steam" in words(tapped)
    assert "Run X-1 for FB6 into S2" in words(tapped)


def test_the_bag_is_put_on_hold_by_whoever_may(as_: SignIn, operator: Client, yard: Yard) -> None:
    """A shift lead does it on the page; an operator is told who may."""
    opened(operator)
    told = words(look(operator, "downtime"))
    assert "may put it on hold" in told
    assert "Put B-2 on hold" not in told

    lead = in_si(as_(Role.SHIFT_LEAD))
    page = look(lead, "downtime")
    assert "Put B-2 on hold" in page
    hold = {"hold": "B-2", "reason": "smell of fuel", "key": "k1"}
    first, second = (words(lead.post(AT, hold).content.decode()) for _ in range(2))
    assert "B-2 is on hold as H-01, and all that is made of it: smell of fuel." in first
    assert "B-2 was on hold already as H-01" in second
    view = lots.get(yard.no, "X-1")
    assert view is not None
    assert view.causes

    empty = lead.post(AT, {**hold, "key": "k2", "reason": " "})
    assert empty.status_code == 422
    assert "a hold needs a reason" in words(empty.content.decode())
    refused = operator.post(AT, {**hold, "key": "k3"})
    assert refused.status_code == 422
    assert "not_allowed" in refused.content.decode()


def test_each_expander_knows_its_own_run(operator: Client) -> None:
    """A run that is open at one is none of the other."""
    opened(operator)
    other = look(operator, at="/stations/pre-expander/E2/")

    assert "No run is open, and none was recorded here for two weeks" in other
    assert "X-1 into" not in other


def test_the_part_that_lives_comes_anew_only_where_something_is(operator: Client) -> None:
    """Nothing new: no content; a cup: the part alone; a run closed elsewhere: the whole page."""
    opened(operator)
    (seen,) = re.findall(r'hx-get="([^"]*)"', look(operator)[: look(operator).index("every 10s")])
    fragment = {"HX-Request": "true"}
    assert operator.get(seen, headers=fragment).status_code == 204
    weigh(operator, "234.0")
    anew = operator.get(seen, headers=fragment).content.decode()
    assert anew.startswith('<div id="stand"')
    tell(operator, "silo_filled")
    tell(operator, "expansion_close")
    assert operator.get(seen, headers=fragment).headers["HX-Refresh"] == "true"


def test_what_was_told_is_corrected_from_the_page(operator: Client, as_: SignIn) -> None:
    """By whoever corrects; a cup, which is taken back and given anew, by an engineer."""
    opened(operator)
    weigh(operator, "213.4")
    assert "/correct/" not in look(operator)
    lead, engineer = in_si(as_(Role.SHIFT_LEAD)), in_si(as_(Role.ENGINEER))
    assert not re.search(
        r'213\.4 g[^/]*</span>[^/]*</span> <a href="/entries/\d+/correct/"', look(lead)
    )
    (to,) = re.findall(r'>hot cup 213\.4 g.*?href="(/entries/\d+/correct/)"', look(engineer))
    page = engineer.get(to).content.decode()
    sent = re.findall(r'name="([\w-]+)"[^>]*value="([^"]*)"', page[page.index('class="keyed"') :])
    changed = {"where": "hot", "mass": "233.4", "reason": "swapped digits"}
    answer = engineer.post(to, {**dict(sent), **changed})
    assert answer.status_code == 200
    after = words(look(engineer))

    assert "hot cup 233.4 g in 10 L" in after
    assert "213.4" not in after


def test_what_was_told_is_said_as_whoever_told_it_means_it(operator: Client) -> None:
    """A run that was started is no empty lot, and a bag that was just put in is not empty."""
    started = words(tell(operator, "expansion_open", run="X-1", silo="S2", product="FB6"))
    bag = words(tell(operator, "bag_opened", bag="B-2"))

    assert re.search(r"Done Run X-1 for FB6 into S2, since [^.]*\. It is in the record\. ", started)
    assert "Bag B-2 is in. It is in the record. X-1 holds 400.0 kg." in bag
    assert "counted as all in the run until it comes off" in bag
    assert "is empty" not in started + bag


def test_a_target_is_told_as_the_balance_shows_it(operator: Client, yard: Yard) -> None:
    """In grams of the cup that is set there; not where no cup is set, or it shows density."""
    opened(operator)
    assert "234.0 ± 6.0 g in 10 L" in look(operator)
    assert "± 6.0 g" not in look(operator, at="/stations/pre-expander/E2/")
    body = {"kind": "expander", "feeds": ["S1"], "cup_volume": "10 L", "cup_shows": "density"}
    yard.set("place", "E1", body)
    assert "± 6.0 g" not in look(operator)


def test_a_place_that_is_no_expander_is_refused_in_words(operator: Client) -> None:
    """With those there are."""
    answer = operator.get("/stations/pre-expander/S1/")

    assert answer.status_code == 422
    assert "S1 is no expander of this plant: there are E1, E2" in answer.content.decode()
