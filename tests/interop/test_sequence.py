"""Drafts are handed over by time, and none before what it stands on."""

from hypothesis import given
from hypothesis import strategies as st

from beadwright.interop.sheets.sequence import Placed, in_order
from beadwright.ledger.draft import (
    Draft,
    Line,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    StepDraft,
)
from tests.interop.plant import Plant, codes


def step(key: str, at: int, kind: str = "move", *, new: str = "", used: str = "") -> StepDraft:
    """A step that brings some lots and uses others."""
    lots = tuple(NewLot(code, Material.SCRAP) for code in new.split())
    lines = tuple(Line(code, 1, 1) for code in f"{new} {used}".split())
    return StepDraft(key, kind, at, lines, new_lots=lots)


def keys(drafts: list[Draft]) -> list[str]:
    """Keys in order."""
    return [draft.key for draft in drafts]


def test_time_then_rank_then_file_then_row() -> None:
    """As the fold will take them."""
    placed = [
        Placed(step("ship", 5, "ship"), 0, 9),
        Placed(step("receipt", 5, "receipt"), 1, 1),
        Placed(step("b", 3), 1, 2),
        Placed(step("a", 3), 1, 1),
        Placed(step("c", 3), 0, 7),
    ]

    assert keys(in_order(placed, [])[0]) == ["c", "a", "b", "receipt", "ship"]


def test_a_use_that_is_stamped_early_waits() -> None:
    """A bundle two minutes before its mould run, by two clocks on two walls."""
    placed = [
        Placed(step("ship", 1, used="U"), 0, 1),
        Placed(step("bundle", 2, new="U", used="L"), 0, 2),
        Placed(step("mould", 4, new="L"), 0, 3),
        Placed(step("other", 3), 0, 4),
    ]

    assert keys(in_order(placed, [])[0]) == ["other", "mould", "bundle", "ship"]


def test_readings_follow_the_step_they_name() -> None:
    """A cup is taken during the run, whose step is timed at its end."""
    cup = ReadingsDraft("cup", 1, (Reading("cup_weight", "221", "g", step="expand"),))
    placed = [Placed(cup, 0, 1), Placed(step("expand", 9), 1, 1)]

    assert keys(in_order(placed, [])[0]) == ["expand", "cup"]


def test_lots_made_of_each_other_are_named(ground: Plant) -> None:
    """Two bins that are each stripped out of the other."""
    assert in_order([Placed(step("a", 1, new="A", used="B"), 0, 1)], []) == (
        [step("a", 1, new="A", used="B")],
        [],
    )
    ground.add(
        "reclaim",
        "1,2026-09-03 08:00,strip,W-1,W-2,4,,KR",
        "2,2026-09-03 09:00,strip,W-2,W-1,4,,KR",
    )

    assert codes(ground.read()) == ["lots_in_a_circle", "lots_in_a_circle"]


LOTS = [f"L{n}" for n in range(6)]


@given(st.data())
def test_nothing_is_lost_and_nothing_comes_before_its_lots(data: st.DataObject) -> None:
    """For any times, and any uses of lots that some step brings (none in a circle)."""
    placed = []
    for number, lot in enumerate(LOTS):
        used = data.draw(st.sets(st.sampled_from(LOTS[:number]))) if number else set()
        at = data.draw(st.integers(0, 3))
        placed.append(Placed(step(lot, at, new=lot, used=" ".join(sorted(used))), 0, number))
    for number in range(data.draw(st.integers(0, 8))):
        used = data.draw(st.sets(st.sampled_from([*LOTS, "ELSEWHERE"])))
        at = data.draw(st.integers(0, 3))
        placed.append(Placed(step(f"s{number}", at, used=" ".join(sorted(used))), 1, number))
    shuffled = data.draw(st.permutations(placed))
    drafts, stuck = in_order(shuffled, [])

    assert not stuck
    assert sorted(keys(drafts)) == sorted(one.draft.key for one in placed)
    assert drafts == in_order(placed, [])[0]
    known = {"ELSEWHERE"}
    for draft in drafts:
        assert isinstance(draft, StepDraft)
        known |= {lot.code for lot in draft.new_lots}
        assert {line.lot for line in draft.lines} <= known
