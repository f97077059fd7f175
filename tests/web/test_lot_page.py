"""The page of a lot says in words and pictures what its story says, in units of choice."""

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.flowing import flowing
from beadwright.plant.history import entry
from beadwright.plant.opening import open_plant
from beadwright.plant.search import search
from beadwright.plant.story import story
from beadwright.units import System
from beadwright.web.entries.page import EntryPage
from beadwright.web.entries.page import page as entry_page
from beadwright.web.lots.page import LotPage
from beadwright.web.lots.page import page as lot_page
from beadwright.web.lots.trace_page import TracePage
from beadwright.web.lots.trace_page import page as trace_page
from beadwright.web.search.page import LIMIT
from beadwright.web.search.page import page as search_page
from tests.plant.restating import REASON, read_by, restate, weighed
from tests.plant.test_conditioning import put_by
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A block lot weighed a day old, a bundle of it, half of that shipped."""
    yard = Yard.open()
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [3.13, 3.135, 3.14], at=46)
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 10)
    return yard


def shown(yard: Yard, code: str = "L1", units: System = "si") -> LotPage:
    """The page of a lot."""
    del yard
    plant = open_plant()
    return lot_page(plant, story(plant, code, units=units), units)


def traced(yard: Yard, code: str, units: System = "si", opened: tuple[int, ...] = ()) -> TracePage:
    """The page of its trace."""
    del yard
    plant = open_plant()
    return trace_page(plant, flowing(plant, code), units, "/lots/{}/trace/".format, opened)


def told(yard: Yard, key: str) -> EntryPage:
    """The page of an entry."""
    del yard
    plant = open_plant()
    return entry_page(plant, entry(plant, key), "si")


def test_the_answer_comes_first_with_one_reason(yard: Yard) -> None:
    """A sentence that begins as one and ends as one."""
    answer = shown(yard).answer

    assert answer is not None
    assert (answer.words, answer.sort, answer.lead) == ("may ship", "good", "Because")
    assert answer.first.sentence.startswith("The limit is met, narrowest: density")
    assert answer.first.sentence.endswith(".")
    assert not answer.lots


def test_of_a_bundle_the_lots_are_named_with_their_own_answers(yard: Yard) -> None:
    """Its answer is the worst of theirs."""
    answer = shown(yard, "BU-1").answer

    assert answer is not None
    assert answer.lots == (("L1", "may ship"),)


def test_units_are_a_persons_choice_everywhere(yard: Yard) -> None:
    """Stock, sources, limits, pictures and sentences; what was keyed stays as keyed."""
    si, us = shown(yard), shown(yard, units="us")

    assert si.stock == "20 pieces, 62.3 kg left by the books"
    assert us.stock == "20 pieces, 137.3 lb left by the books"
    assert [one.mass.split()[1] for one in us.sources] == ["lb"] * len(us.sources)
    assert us.limits[0].limit.endswith("lb/ft³")
    assert us.answer is not None
    assert us.answer.first.sentence.endswith(f"at least {us.limits[0].limit.removeprefix('min ')}.")
    assert "lb/ft³" in us.pictures[0].words
    assert "lb" in us.days[0].lines[0].sentence
    assert "kg/m³" in si.pictures[0].words


def test_a_picture_is_drawn_for_each_characteristic(yard: Yard) -> None:
    """The first two stand open; of the others those whose limits are all met are folded."""
    for name in ("length", "width", "height"):
        yard.gauge("L1", name, ["1.2 m"] * 3)
        yard.limit(name.upper(), name, "max", "1.1 m" if name == "width" else "1.3 m")

    found = shown(yard)

    assert len(found.pictures) + len(found.folded) == 4
    assert any(one.title.startswith("Width") for one in found.pictures)
    assert {one.svg.split('id="', 1)[1].split('"')[0] for one in found.pictures + found.folded} == {
        f"measured-{n}-title" for n in range(4)
    }


def test_where_pieces_are_is_said_with_what_they_are_in(yard: Yard) -> None:
    """Loose ones in the plant, those in a bundle, those with a receiver."""
    found = [(one.pieces, one.where, one.lot) for one in shown(yard).places]

    assert found == [
        ("20", "in the plant", "L1"), ("10", "in the plant", "BU-1"),
        ("10", "with QUARRY LANE", "SH-1"),
    ]  # fmt: skip


def test_the_story_stands_day_by_day(yard: Yard) -> None:
    """By the plant's clock; each line leads to its entry."""
    days = shown(yard).days

    assert [one.day for one in days] == ["2026-09-01", "2026-09-02", "2026-09-03"]
    assert [len(one.lines) for one in days] == [1, 1, 1]
    assert days[0].lines[0].time == "20:00"
    assert days[0].lines[0].may_be_corrected
    assert not days[1].lines[0].may_be_corrected


def test_the_drawing_and_the_tables_have_the_same_figures(yard: Yard) -> None:
    """Every lot of the drawing is in a table, with its mass, and an estimate is one in both."""
    found = traced(yard, "L1")
    masses = {row.code: row for table in found.tables for row in table.rows}

    assert set(masses) == {"B-1", "S1", "T-1", "BU-1", "SH-1"}
    for code, row in masses.items():
        assert f"{code} {row.mass.replace('≈', 'about')} kg" in found.picture.words
        assert f">{row.mass} kg</text>" in found.picture.svg
    assert masses["B-1"].mass.startswith("≈ ")
    assert [(row[0], row[2]) for row in found.account][-1] == ("together", "100.0")


def test_a_layer_that_was_opened_shows_every_lot(yard: Yard) -> None:
    """Folded, the lesser bundles are one; opened, each is drawn. The address says what is open."""
    for n in range(12):
        yard.bundle(f"BX-{n}", "L1", 1)
    folded = traced(yard, "L1")
    layer = folded.layers.index("bundles")
    opened = traced(yard, "L1", opened=(layer, 77))

    assert "7 others" in folded.picture.words
    assert f'href="?open={layer}"' in folded.picture.svg
    assert "others" not in opened.picture.words
    assert opened.opened == (layer,)


def test_an_entry_shows_what_became_of_it(yard: Yard) -> None:
    """Of a correction, before and after; of what was corrected, by which entry."""
    key = next(key for key, step in yard.steps.items() if step.kind == "mould")
    yard.correct(key, place="FP2")
    old, new = told(yard, key), told(yard, str(open_plant().head[0]))

    assert [did for did, _ in old.after] == ["restated"]
    assert (old.stands, old.may_be_corrected) == (False, False)
    assert (new.about, new.may_be_corrected, new.next) == (old.seq, True, None)
    table = next(one for one in new.blocks if one.columns)
    assert [cell.text for cell in table.rows[0]] == ["place", "FP1", "FP2"]


def test_lots_of_an_entry_lead_to_their_pages(yard: Yard) -> None:
    """And columns in which nothing stands are left out."""
    key = next(key for key, step in yard.steps.items() if step.kind == "bundle")
    table = next(one for one in told(yard, key).blocks if one.columns)

    assert [one.title for one in table.columns] == ["way", "lot", "how much", "known by"]
    assert [[cell.text for cell in row if cell.lot] for row in table.rows] == [["L1"], ["BU-1"]]


def test_a_search_says_how_many_it_found(yard: Yard) -> None:
    """For whoever hears the page; a full answer says that there may be more."""
    for n in range(LIMIT + 5):
        yard.bag(f"BAG-{n}")
    plant = open_plant()

    full = search_page("BAG", search(plant, "BAG", LIMIT))
    none = search_page("nope", search(plant, "nope", LIMIT))

    assert (full.full, len(full.hits)) == (True, LIMIT)
    assert none.said == "Nothing found"
    assert search_page("", ()).said == ""


def test_a_code_that_was_scanned_opens_its_lot(yard: Yard) -> None:
    """A whole code, or a label that one lot has; not a part, nor a name that many share."""
    yard.bag("L10")
    plant = open_plant()

    only = {text: search_page(text, search(plant, text)).only for text in ("l1", "L", "P-13", "")}

    assert only == {"l1": "L1", "L": "", "P-13": "", "": ""}


def test_restated_readings_stand_where_it_says_what_was_measured(yard: Yard) -> None:
    """With who did, when, before and after; the old line of the story names the new one."""
    assert shown(yard).restated == ()
    key = read_by(yard, "inspections/152/readings", weighed("3.02", first=9))
    later = restate(yard, key, weighed("3.14", first=9))
    page = shown(yard)
    lines = {line.seq: line for day in page.days for line in day.lines}
    old, new = (entry(open_plant(), one).entered.seq for one in (key, later))

    (text,) = page.restated
    assert text == (
        "1 reading restated by P-13, entered 2026-10-31, dated 2026-09-03: block mass 24h"
        f' 3.02 → 3.14 kg (D9); "{REASON}" (entry {new - 1})'
    )
    assert [did for did, _ in lines[old].after] == ["voided", "restated"]
    assert lines[new].changes == (("block mass 24h", "3.02 kg", "3.14 kg"),)


def test_where_a_test_left_its_method_and_its_sample_are_told(yard: Yard) -> None:
    """What was otherwise in full, what nobody recorded apart, since when it is conditioned."""
    facts = {"conditioned_h": "48", "temperature": "29 °C"}
    yard.read(
        [Reading("compressive_resistance", "16", "psi", lot="L1", specimen="C1", facts=facts)]
    )
    put_by(yard, "SA-1", "L1", 62, since=63)
    page, sample = shown(yard), shown(yard, "SA-1")

    (otherwise,) = page.departed
    assert otherwise.startswith(
        "compressive resistance (C1): The temperature of conditioning was not as asked."
        " Was: 29 °C. Asked: 21 to 25 °C"
    )
    assert page.unrecorded == (
        "compressive resistance (ASTM D1621:16): the humidity of conditioning, the thickness",
    )
    ((code, pieces, words),) = page.samples
    assert (code, pieces) == ("SA-1", "2 pieces")
    assert words.startswith("in conditioning since ")
    assert sample.samples == page.samples
