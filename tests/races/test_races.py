"""Several tablets at one door: real processes, a real store, and first the race itself."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from beadwright.ledger import lots, rebuild
from beadwright.ledger.draft import Line, StepDraft
from beadwright.plant.opening import rebuild_plant
from tests.door.snapshot import projections
from tests.plant.yard import Yard
from tests.races.tablet import BAGS

ROOT = Path(__file__).resolve().parents[2]


def race(store: Any, what: str, lock: str, names: Sequence[str]) -> dict[str, list[dict[str, Any]]]:
    """Start tablets, let them go at once when all are ready, and give what each was told."""
    program = [sys.executable, "-m", "tests.races.tablet"]
    pipes: dict[str, Any] = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    tablets = {
        name: subprocess.Popen([*program, name, what, lock], cwd=ROOT, env=store.environ, **pipes)
        for name in names
    }
    for tablet in tablets.values():
        assert tablet.stdout is not None
        assert json.loads(tablet.stdout.readline()) == {"ready": True}
    for tablet in tablets.values():
        assert tablet.stdin is not None
        tablet.stdin.write("go\n")
        tablet.stdin.flush()
    told = {}
    for name, tablet in tablets.items():
        out, _ = tablet.communicate(timeout=60)
        assert tablet.returncode == 0
        told[name] = [json.loads(line) for line in out.splitlines()]
    return told


def yard_with_forty_kilograms() -> Yard:
    """Bag B-1 holds 40 kg, and there is nothing else."""
    yard = Yard.open()
    yard.bag("B-1", 40)
    return yard


def stock(yard: Yard, code: str) -> int:
    """Milligrams of a lot by the books."""
    view = lots.get(yard.no, code)
    assert view is not None
    return view.mg


def test_without_the_lock_both_are_let_through_by_the_rules(fresh_store: Any) -> None:
    """The control: the lock taken out, neither is told no; the store's own guard breaks one.

    Both read the bag's 40 kg before either wrote, so no rule stopped the second: what stopped it
    was the store, which takes only the entry after its head, and the person sees a broken program
    where a sentence belongs.
    """
    yard_with_forty_kilograms()

    told = race(fresh_store, "draw", "nolock", "AB")

    answers = [answer for name in told for answer in told[name]]
    assert not any("refused" in answer for answer in answers)
    assert sorted("broke" if "broke" in answer else "posted" for answer in answers) == [
        "broke",
        "posted",
    ]
    assert rebuild.broken("P1") == []


def test_of_two_tablets_drawing_the_last_forty_kilograms_one_is_told_no(fresh_store: Any) -> None:
    """With the lock, and all else as in the control: one posts, one is told more_than_held."""
    yard = yard_with_forty_kilograms()

    told = race(fresh_store, "draw", "lock", "AB")

    answers = [answer for name in told for answer in told[name]]
    assert [answer["refused"] for answer in answers if "refused" in answer] == [["more_than_held"]]
    assert len([answer for answer in answers if "seq" in answer]) == 1
    assert (stock(yard, "B-1"), stock(yard, "S1")) == (0, 40_000_000)
    assert rebuild.broken("P1") == []


def test_of_many_tablets_nothing_is_lost(fresh_store: Any) -> None:
    """Four tablets at once: every answer given stands in the record, in one whole chain."""
    yard = yard_with_forty_kilograms()
    before, _ = rebuild.head("P1")

    told = race(fresh_store, "receive", "lock", "ABCD")

    answers = [answer for name in told for answer in told[name]]
    entries = {entry.seq: entry for entry in rebuild.entries("P1")}
    assert rebuild.broken("P1") == []
    assert [answer for answer in answers if "seq" not in answer] == []
    assert len(answers) == len({answer["seq"] for answer in answers})
    for answer in answers:
        entry = entries[answer["seq"]]
        assert entry.hash == answer["hash"]
        assert json.loads(entry.body)["draft"]["key"] == answer["key"]
    posted = 4 * (BAGS // 2 + 3 * (BAGS // 2))
    assert (len(answers), len(entries)) == (posted, before + posted)
    assert len(lots.of_kind(yard.no, "bead")) == 1 + posted


def test_what_many_tablets_left_is_what_a_rebuild_makes(fresh_store: Any) -> None:
    """Batches are not torn apart by others, and projections equal their rebuild."""
    yard_with_forty_kilograms()

    told = race(fresh_store, "receive", "lock", "AB")

    for answers in told.values():
        seqs = {answer["key"]: answer["seq"] for answer in answers}
        for first in (200, 400, 600):
            batch = [seqs[f"{answers[0]['key'][0]}/{first + i}"] for i in range(3)]
            assert batch == [batch[0], batch[0] + 1, batch[0] + 2]
    kept = projections()
    rebuild_plant("P1")
    assert projections() == kept


@pytest.mark.usefixtures("fresh_store")
def test_asking_takes_no_lock_and_writes_nothing() -> None:
    """To ask is free for everybody: two ask for the last 40 kg and both may."""
    yard = yard_with_forty_kilograms()
    kept = projections()
    for name in "AB":
        lines = (Line("B-1", -1, 40_000_000), Line("S1", 1, 40_000_000))
        draft = StepDraft(f"draw/{name}", "expand", None, lines, planned=True)
        assert yard.door.may(draft, yard.who).may
    assert projections() == kept


def test_tablets_that_begin_one_plant_at_once_share_it(fresh_store: Any) -> None:
    """A plant that is in no store yet has no row to lock: they wait for each other all the same."""
    told = race(fresh_store, "receive", "lock", "ABCD")

    answers = [answer for name in told for answer in told[name]]
    assert not [answer for answer in answers if "seq" not in answer]
    assert sorted(answer["seq"] for answer in answers) == list(range(1, len(answers) + 1))
    assert lots.plants() == ("P1",)
    assert rebuild.broken("P1") == []
