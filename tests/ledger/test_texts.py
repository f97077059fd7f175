"""Texts and times that the record cannot keep are refused alike on both stores, before posting."""

from __future__ import annotations

from dataclasses import replace

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import rebuild
from beadwright.ledger.draft import (
    Decision,
    Draft,
    Hold,
    Label,
    Line,
    Loss,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    SettingDraft,
    StepDraft,
)
from beadwright.ledger.texts import unreadable, visible
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000
BAG = NewLot("B-7", Material.BEAD, "bag", grades=("F1",))
RECEIPT = StepDraft("in", "receipt", ms(1), (Line("B-7", 1, KG),), new_lots=(BAG,))


def received(**lot: object) -> StepDraft:
    """A receipt of a bag that is described otherwise."""
    return replace(RECEIPT, new_lots=(replace(BAG, **lot),))  # type: ignore[arg-type]


def read(**reading: str) -> ReadingsDraft:
    """A reading of a mass that is described otherwise."""
    mass = Reading("block_mass_24h", "3.2", "kg", lot="S1")
    return ReadingsDraft("r", ms(1), (replace(mass, **reading),))  # type: ignore[arg-type]


REPORT = {
    "products": ["FB6"], "characteristic": "density", "result": "23 kg/m3", "sampled": "2026-09-01"
}  # fmt: skip

BAD: dict[str, Draft] = {
    "product of 41": replace(RECEIPT, product="x" * 41),
    "place of 41": replace(RECEIPT, place="x" * 41),
    "run of 41": replace(RECEIPT, run="x" * 41),
    "person of 41": replace(RECEIPT, by="x" * 41),
    "sort of lot of 41": received(what="x" * 41),
    "label of 121": received(labels=(Label("maker", "x" * 121),)),
    "label's issuer of 81": replace(RECEIPT, labels={"B-7": (Label("x" * 81, "1"),)}),
    "loss of 61": replace(RECEIPT, losses=(Loss("x" * 61, 0),)),
    "grade with a bar": received(grades=("F1|F2",)),
    "grade of nothing": received(grades=("",)),
    "topic of 41": SettingDraft("s", ms(1), "x" * 41, "a", {}),
    "name of 81": SettingDraft("s", ms(1), "limit", "x" * 81, {}),
    "hold of 41": Hold("h", ms(1), "x" * 41, "smell", ("S1",)),
    "hold with a bar": Hold("h", ms(1), "H|1", "smell", ("S1",)),
    "decision about 201": Decision("d", ms(1), "signature", "x" * 201, {}),
    "specimen with a mark that turns it around": read(specimen="D\u202e1"),
    "specimen with a picture": read(specimen="D\U0001f600"),
    "instrument with a control": read(instrument="BAL\x07"),
    "label with a mark that shows as nothing": received(labels=(Label("maker", "88\u200b1"),)),
    "product of two lines": replace(RECEIPT, product="FB6\nS"),
    "report of a laboratory nobody can read": Decision(
        "d", ms(1), "report", "R-1", REPORT | {"laboratory": "Brook\u202etest"}, by="P-13"
    ),
    "note of a file with a picture": Decision(
        "d", ms(1), "nc_open", "NC-1", {"title": "torn \U0001f44d", "origin": "found"}, by="P-13"
    ),
    "NUL in a text": replace(RECEIPT, facts={"note": "a\x00b"}),
    "half a character": replace(RECEIPT, facts={"note": "\ud800"}),
    "name of a fact that is not ASCII": replace(RECEIPT, facts={"Prüfer": "EI"}),
    "number beyond 2^53": replace(RECEIPT, remainder_mg=2**53),
}


@pytest.mark.parametrize("name", BAD)
def test_a_text_that_cannot_be_kept_is_refused(name: str) -> None:
    """One code says so on both stores, and nothing is written."""
    yard = Yard.open()
    before = rebuild.head("P1")
    with pytest.raises(Refusal) as refused:
        yard.post(BAD[name])

    assert set(refused.value.codes) == {"bad_text"}
    assert rebuild.head("P1") == before


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Bau & Söhne GmbH, Überlingen", "Bau & Söhne GmbH, Überlingen"),
        ("1\u00a0234 °C ± 2 µm, ✓", "1\u00a0234 °C ± 2 µm, ✓"),
        ("東京 №7 “left”", "東京 №7 “left”"),
        ("D\u202e1", "D\\u202e1"),
        ("a\u200bb", "a\\u200bb"),
        ("a\x07b", "a\\x07b"),
        ("a\nb", "a\\nb"),
        ("ok \U0001f600", "ok \\U0001f600"),
        ("\ue000", "\\ue000"),
    ],
)
def test_what_nobody_can_read_is_written_out(text: str, shown: str) -> None:
    """Letters of every language, signs of the trade and hard blanks are read by somebody."""
    assert visible(text) == shown
    assert bool(unreadable(text)) == (text != shown)
    assert unreadable("a\n\tb", lines=True) == []


def test_texts_as_long_as_they_may_be_are_kept() -> None:
    """The widths that are refused begin just beyond those that are taken."""
    yard = Yard.open()
    new = replace(BAG, what="x" * 40, product="x" * 40, labels=(Label("i" * 80, "t" * 120),))
    draft = StepDraft(
        "k" * 160, "receipt", ms(1), (Line("B-7", 1, KG, place="p" * 500),), (Loss("l" * 60, 0),),
        0, (new,), product="x" * 40, place="x" * 40, run="x" * 40, by="x" * 40,
        facts={"note": "n" * 5000},
    )  # fmt: skip

    assert yard.post(draft).found == ()


def test_a_cause_of_the_longest_key_can_be_conceded() -> None:
    """A cause names its step by the client key: the longest one still fits."""
    yard = Yard.open()
    yard.post(RECEIPT)
    lines = (Line("B-7", -1, KG), Line("S1", 1, 0))
    wrong = StepDraft("k" * 160, "expand", ms(2), lines, remainder_mg=KG)
    yard.set("tolerance", "expand", remainder="0", remainder_floor="0 kg")
    (found,) = yard.post(wrong).found

    assert yard.concede(found.cause, []).seq


EARLY: dict[str, Draft] = {
    "step": replace(RECEIPT, happened_at=-1),
    "hold since": Hold("h", ms(1), "H1", "smell", ("S1",), since=-1),
}


@pytest.mark.parametrize("name", EARLY)
def test_a_time_before_such_records_is_refused(name: str) -> None:
    """A year mistyped as 202 is no time of a plant."""
    with pytest.raises(Refusal) as refused:
        Yard.open().post(EARLY[name])

    assert refused.value.codes == ("time_early",)


def test_a_hold_counts_from_no_time_to_come() -> None:
    """A hold on a place since tomorrow would move every planned step behind tomorrow."""
    with pytest.raises(Refusal) as refused:
        Yard.open().post(Hold("h", ms(1), "H1", "smell", ("S1",), since=ms(24 * 90)))

    assert refused.value.codes == ("time_ahead",)


def test_a_place_that_holds_beads_has_a_code_of_its_own() -> None:
    """It is a lot: its name is a lot's code, and no other lot's."""
    yard = Yard.open()
    yard.post(RECEIPT)
    for name, code in (("silo 4", "bad_code"), ("B-7", "lot_exists")):
        with pytest.raises(Refusal) as refused:
            yard.set("place", name, kind="silo", content=True)
        assert refused.value.codes == (code,)
    assert yard.set("place", "press 4", kind="press").seq
    assert yard.set("place", "S1", kind="silo", content=True, accepts=["F1"]).seq
