"""An assessment says which readings it rests on were restated, by whom and from what."""

import json
from dataclasses import replace

import pytest

from beadwright.ledger import said
from beadwright.ledger.draft import ReadingsDraft, Void
from beadwright.plant.release import as_json, assess
from tests.plant import planning
from tests.plant.asking import GOOD, coded, good_yard, the_lot
from tests.plant.restating import REASON, read_by, restate, taken_out, weighed
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

LIGHT, MENDED = "2.90", f"{GOOD[0]:.2f}"


def light() -> tuple[Yard, str]:
    """A plant with a lot that one light block stops."""
    yard = good_yard()
    return yard, read_by(yard, "inspections/152/readings", weighed(LIGHT, first=9))


def test_a_lot_that_ships_by_a_correction_says_so() -> None:
    """The light block is gone from its figures, and from no answer."""
    yard, key = light()
    before = the_lot(yard)
    later = restate(yard, key, weighed(MENDED, first=9))
    after = the_lot(yard)
    (reason,) = coded(after, "readings_restated")

    assert later.endswith("/2")
    assert (before.answer, after.answer) == ("may_not_ship", "may_ship")
    assert coded(before, "readings_restated") == []
    assert reason.weight == "notes"
    assert reason.sentence == (
        "1 reading restated by P-13, entered 2026-10-31, dated 2026-09-03:"
        f' block mass 24h {LIGHT} → {MENDED} kg (D9); "{REASON}"'
    )
    assert reason.source == f"entry {after.restated[0].void}"


def test_a_reading_taken_out_stays_in_the_answer() -> None:
    """What is judged no longer has it; whoever reads the answer does."""
    yard, key = light()
    taken_out(yard, key)

    assert the_lot(yard).answer == "may_ship"
    assert [one.did for one in the_lot(yard).restated] == ["taken out"]
    (reason,) = coded(the_lot(yard), "readings_restated")
    assert f"block mass 24h {LIGHT} kg (D9)" in reason.sentence


def test_the_json_says_what_each_restatement_replaced() -> None:
    """Entries, who, when and why, field by field."""
    yard, key = light()
    restate(yard, key, weighed(MENDED, first=9))
    (lot,) = json.loads(json.dumps(as_json(assess(yard.no, ["L1"]))))["lots"]
    (one,) = lot["restated"]

    assert (one["did"], one["by"], one["reason"]) == ("restated", "P-13", REASON)
    assert one["replaces"] < one["void"] < one["entry"]
    assert (one["dated"][:10], one["entered_at"][:10]) == ("2026-09-03", "2026-10-31")
    assert one["changes"] == [
        {"field": "block mass 24h", "before": f"{LIGHT} kg", "after": f"{MENDED} kg"}
    ]


def test_every_lot_is_told_its_own() -> None:
    """Of a whole plant too."""
    yard = good_yard("L1", "L2")
    key = read_by(yard, "inspections/152/readings", weighed(LIGHT, first=9))
    restate(yard, key, weighed(MENDED, first=9))
    found = {one.lot: one for one in assess(yard.no).lots}

    assert len(found["L1"].restated) == 1
    assert found["L2"].restated == ()


def test_a_test_of_another_lot_that_was_restated_is_told() -> None:
    """A week's strength, read of one lot, answers for the others: restated, it says so to each."""
    yard = planning.plant()
    for code, day in (("L1", 7), ("L2", 9)):
        planning.lot(yard, code, day)
    first = planning.strengths(yard, "L1", *[10.0] * 5)
    old = said.readings("P1", yard.no, first)
    assert old is not None
    yard.post(Void("corrections/7/void", ms(90), first, REASON, "P-13"))
    mended = [replace(one, value="17.4") for one in old.readings]
    mended[0] = replace(mended[0], facts={**mended[0].facts, "correction": "corrections/7"})
    yard.post(ReadingsDraft(f"{first}/2", ms(planning.LATE), tuple(mended)))

    assert the_lot(yard, "L2").answer == "may_ship"
    (reason,) = coded(the_lot(yard, "L2"), "readings_restated")
    assert "5 readings restated by P-13" in reason.sentence
