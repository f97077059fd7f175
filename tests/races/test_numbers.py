"""Two people open a nonconformity file under one number at once: one of them has it."""

from __future__ import annotations

import threading
from typing import Any

from django.db import connections

from beadwright.errors import Refusal
from beadwright.ledger import rebuild
from beadwright.plant import nc_entry
from beadwright.plant.nonconforming import folded
from tests.conftest import FreshStore
from tests.door.filed import entry
from tests.plant.yard import Yard

TRIES = 8


def test_of_several_who_take_one_number_one_has_it(
    fresh_store: FreshStore, monkeypatch: Any
) -> None:
    """All look, and only then may write: without the lock each would see the number free."""
    del fresh_store
    yard = Yard.open()
    told: list[tuple[str, ...]] = []
    together = threading.Barrier(TRIES)
    look = nc_entry.entry_faults

    def slowly(plant: str, drafts: Any) -> Any:
        found = look(plant, drafts)
        threading.Event().wait(0.05)
        return found

    monkeypatch.setattr(nc_entry, "entry_faults", slowly)

    def take(name: str) -> None:
        together.wait()
        try:
            yard.door.post(entry("open", key=name, title=name, origin="found"), yard.who)
            told.append(())
        except Refusal as refusal:
            told.append(refusal.codes)
        finally:
            connections["default"].close()

    threads = [threading.Thread(target=take, args=(f"t{n}",)) for n in range(TRIES)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(told) == [(), *[("number_used",)] * (TRIES - 1)]
    assert list(folded(yard.no)) == ["NC-0001"]
    assert rebuild.broken("P1") == []
