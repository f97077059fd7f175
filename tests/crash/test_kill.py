"""SIGKILL at any moment of a post, a batch or an import: nothing acknowledged lost, nothing half.

``--hypothesis-profile=long`` (`./check --long`) kills 50 times, else 8 times.
"""

from __future__ import annotations

import json
import random
import shutil
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from django.db import connection

from beadwright.demo import write_plant
from beadwright.interop.importing import import_files
from beadwright.ledger import heads, lots, rebuild, triggers
from beadwright.ledger.chain import Chained
from beadwright.plant.opening import rebuild_plant
from tests.crash.killing import Killed, Work
from tests.crash.worker import BATCH
from tests.door.snapshot import Tables, everything, projections
from tests.plant.yard import Yard

SEED = 11


def said(entries: Sequence[Chained]) -> list[tuple[int, str, str, Any]]:
    """What a record says, but for when each entry was recorded."""
    bodies = [json.loads(entry.body) for entry in entries]
    return [
        (entry.seq, entry.kind, body["account"], body["draft"])
        for entry, body in zip(entries, bodies, strict=True)
    ]


def whole(plant: str) -> list[Chained]:
    """The record after a crash, looked at as a new start would: whole, and its books right."""
    connection.close()
    assert triggers.missing() == ()
    assert rebuild.broken(plant) == []
    entries = list(rebuild.entries(plant))
    kept = everything()
    if entries:
        head = heads.look(plant)
        assert head is not None
        assert (head.seq, head.hash) == (entries[-1].seq, entries[-1].hash)
        rebuild_plant(plant)
        assert everything() == kept
    connection.close()
    return entries


def moments(count: int, within_s: float) -> list[float]:
    """Moments spread over a time, each at random in its part of it."""
    pick = random.Random(SEED)
    return [within_s * (n + pick.random()) / count for n in range(count)]


def kills(config: pytest.Config, ordinary: int, long: int) -> int:
    """How often to kill in this run."""
    return long if config.getoption("--hypothesis-profile") == "long" else ordinary


def only_sqlite() -> None:
    """Skip elsewhere."""
    if connection.vendor != "sqlite":
        pytest.skip("a PostgreSQL is a program of its own, which a kill of ours does not end")


def look(what: str, turn: int, end: Killed) -> None:
    """What was acknowledged is there, batches are whole, and at most one more than was said."""
    entries = whole("P1")
    by_seq = {entry.seq: json.loads(entry.body)["draft"]["key"] for entry in entries}
    for answer in end.told:
        assert [by_seq.get(seq) for seq in answer["seqs"]] == answer["keys"]
    mine = [key for key in by_seq.values() if key.startswith(f"{what}/{turn}/")]
    size = 1 if what == "post" else BATCH
    assert set(Counter(key.rsplit("/", 1)[0] for key in mine).values()) <= {size}
    assert len(mine) - size * len(end.told) in {0, size}


@pytest.mark.parametrize("what", ["post", "many"])
def test_killed_while_posting(
    what: str, fresh_store: Any, tmp_path: Path, pytestconfig: pytest.Config
) -> None:
    """Whatever was acknowledged stands in the record, batches whole, and the next start goes on."""
    only_sqlite()
    Yard.open()
    connection.close()
    work = Work(fresh_store.environ, tmp_path)

    for turn, moment in enumerate(moments(kills(pytestconfig, 3, 18), 0.6)):
        end = work.run(what, str(turn), kill_after_s=moment)

        assert end.killed
        look(what, turn, end)


def test_without_the_transaction_a_kill_leaves_a_half_step(
    fresh_store: Any, tmp_path: Path
) -> None:
    """The control: the transaction taken out, the same looking finds a half step soon."""
    only_sqlite()
    Yard.open()
    store, work = _Store(fresh_store.path), Work(fresh_store.environ, tmp_path)

    for moment in moments(10, 0.5):
        store.put_back()
        end = work.run("torn", "0", kill_after_s=moment)
        try:
            look("torn", 0, end)
        except AssertionError:
            return
    pytest.fail("ten kills without a transaction, and nothing half was seen")


class _Store:
    """The file of a store, put back to how it was kept."""

    def __init__(self, path: Path) -> None:
        connection.close()
        self.path = path
        self.kept = path.with_name("kept.sqlite3")
        shutil.copy(path, self.kept)

    def put_back(self) -> None:
        """As it was, with nothing in its log."""
        connection.close()
        for end in ("", "-wal", "-shm"):
            self.path.with_name(self.path.name + end).unlink(missing_ok=True)
        shutil.copy(self.kept, self.path)


def outcome(plant: str) -> tuple[list[tuple[int, str, str, Any]], Tables]:
    """What the record says, and its projections."""
    return said(list(rebuild.entries(plant))), projections()


def test_killed_while_importing(
    fresh_store: Any, tmp_path: Path, pytestconfig: pytest.Config
) -> None:
    """A cut-off import resumes, and ends in the record and projections of one never disturbed."""
    only_sqlite()
    folder = tmp_path / "plant"
    write_plant(SEED, folder)
    store, work = _Store(fresh_store.path), Work(fresh_store.environ, tmp_path)
    undisturbed = work.run("import", str(folder))
    (plant,) = lots.plants()
    wanted = outcome(plant)
    count = undisturbed.told[-1]["posted"]
    assert len(wanted[0]) == count

    for moment in moments(kills(pytestconfig, 2, 14), 0.95 * undisturbed.seconds):
        store.put_back()
        end = work.run("import", str(folder), kill_after_s=moment)
        entries = whole(plant)

        acknowledged = max((answer.get("done", 0) for answer in end.told), default=0)
        assert len(entries) >= acknowledged
        assert said(entries) == wanted[0][: len(entries)]
        report = import_files([folder])
        assert (report.faults, report.questions, report.changed) == ((), (), ())
        assert (report.posted, report.repeated) == (count - len(entries), len(entries))
        assert outcome(plant) == wanted
        assert rebuild.broken(plant) == []
