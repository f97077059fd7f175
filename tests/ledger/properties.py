"""What must be true of any record, whatever was posted: one function for each fact.

Read :data:`PROPERTIES` first. Each takes a plant's code and fails with the first thing that does
not hold.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from beadwright.errors import Refusal
from beadwright.ledger import lots, rebuild
from beadwright.ledger.borne_out import decided_differing, steps_differing
from beadwright.ledger.draft import Draft, StepDraft
from beadwright.plant.door import Door
from beadwright.plant.judge import judge
from beadwright.plant.opening import rebuild_plant
from beadwright.quality.borne_out import differs
from tests.ledger import orders
from tests.ledger.history import NOW
from tests.ledger.player import FOLDED, WHO
from tests.ledger.projections import as_stored, by_name, drafts, rows, said
from tests.ledger.rules import rules
from tests.ledger.traced import accounts_close, bounds_hold, inverse, reaches
from tests.ledger.twin import Picture, twin
from tests.strategies import Choice

__all__ = ["PROPERTIES", "Property", "balances", "check", "commutes"]

Property = Callable[[str], None]

_SOME = 8
"""Lots that are each compared by themselves, of all that a history made."""


def differences(
    first: Mapping[str, Iterable[object]], second: Mapping[str, Iterable[object]]
) -> str:
    """What one has and the other has not, a few rows of each."""
    told: list[str] = []
    for name in first:
        a, b = [repr(r) for r in first[name]], [repr(r) for r in second[name]]
        if sorted(a) != sorted(b):
            told += [f"{name}:", *(f"  - {r}" for r in a if r not in b)][:8]
            told += [f"  + {r}" for r in b if r not in a][:8]
            told += ["  (equal but for how often)"] if set(a) == set(b) else []
    return "\n".join(told)


def balances(plant: str) -> None:
    """Stock is what came in less what left and what statements changed, to the milligram."""
    no = lots.plant_number(plant)
    sql = (
        "SELECT l.code, l.mg, l.pieces, coalesce(sum(t.sign * t.moved_mg + t.differ_mg), 0),"
        " coalesce(sum(t.sign * t.moved_pieces + t.differ_pieces), 0) FROM ledger_lot l"
        " LEFT JOIN ledger_touch t ON t.p=l.p AND t.lot=l.no WHERE l.p=%s"
        " GROUP BY l.code, l.mg, l.pieces"
    )
    for code, mg, pieces, sum_mg, sum_pieces in rows(sql, [no]):
        assert (code, mg, pieces) == (code, int(sum_mg), int(sum_pieces))
    (low,) = rows("SELECT count(*) FROM ledger_touch WHERE p=%s AND (mg < 0 OR pieces < 0)", [no])

    assert low == (0,), "a lot holds less than nothing"


def balances_as_a_plant(plant: str) -> None:
    """What came through the gate is in stock, lost, unaccounted, or a difference counted."""
    no = lots.plant_number(plant)
    picture = twin(said(plant), rules)
    (stock,) = rows("SELECT coalesce(sum(mg), 0) FROM ledger_lot WHERE p=%s", [no])
    (differ,) = rows("SELECT coalesce(sum(differ_mg), 0) FROM ledger_touch WHERE p=%s", [no])

    assert int(stock[0]) == picture.received - picture.lost + int(differ[0])


def rebuilt_equal(plant: str) -> None:
    """The projections are what a rebuild makes of the record."""
    no = lots.plant_number(plant)
    kept = as_stored(no)
    rebuild_plant(plant)
    again = as_stored(no)

    assert kept == again, differences(kept, again)


def borne_out(plant: str) -> None:
    """What a lot rests on, compared by itself, differs nowhere from the record."""
    no = lots.plant_number(plant)
    every = [row[0] for row in rows("SELECT code FROM ledger_lot WHERE p=%s ORDER BY no", [no])]
    codes = every[:: max(1, len(every) // _SOME)]

    assert decided_differing(plant, no) == set()
    assert not differs(plant, no, codes, ["density"])
    assert {
        code: found for code in codes if (found := steps_differing(plant, no, code, judge))
    } == {}


def equal_their_twin(plant: str) -> None:
    """States, nonconformities and causes are what the naive twin finds."""
    no = lots.plant_number(plant)
    kept, wanted = _kept(no), _wanted(twin(said(plant), rules))

    assert kept == wanted, differences(kept, wanted)


def _kept(no: int) -> dict[str, list[Any]]:
    state = "mg, t.pieces, t.in_mg, t.first, t.last, t.grades, t.causes, t.place, t.reclaim"
    touches = rows(
        "SELECT s.key, l.code, t.sign, t.moved_mg, t.moved_pieces, t.differ_mg, t.differ_pieces,"
        f" t.{state} FROM ledger_touch t JOIN ledger_step s ON s.p=t.p AND s.no=t.step"
        " JOIN ledger_lot l ON l.p=t.p AND l.no=t.lot WHERE t.p=%s",
        [no],
    )
    ends = rows(f"SELECT t.code, t.{state} FROM ledger_lot t WHERE t.p=%s", [no])
    found = rows(
        "SELECT s.key, f.code, coalesce(l.code, ''), f.cause FROM ledger_finding f"
        " JOIN ledger_step s ON s.p=f.p AND s.no=f.step"
        " LEFT JOIN ledger_lot l ON l.p=f.p AND l.no=f.lot WHERE f.p=%s",
        [no],
    )
    return {
        "lots": sorted((row[0], _state(row[1:])) for row in ends),
        "touches": sorted(((*row[:7], _state(row[7:])) for row in touches), key=repr),
        "findings": sorted(found),
    }


def _state(row: tuple[object, ...]) -> tuple[object, ...]:
    marks = [tuple(str(m).split("|")) if m else () for m in row[5:7]]
    return (*row[:5], *marks, *row[7:])


def _wanted(picture: Picture) -> dict[str, list[Any]]:
    return {
        "lots": sorted((code, lot.shown()) for code, lot in picture.lots.items()),
        "touches": sorted(picture.touches, key=repr),
        "findings": sorted(picture.findings),
    }


def verifies(plant: str) -> None:
    """The chain holds from the first entry to the head."""
    head = rebuild.head(plant)

    assert rebuild.broken(plant, head) == []


def commutes(plant: str, pick: Choice, other: str) -> None:
    """The same entries in another order, each lot before its use, give equal projections."""
    sent = [replace(d, planned=False) if isinstance(d, StepDraft) else d for d in drafts(plant)]
    order = orders.another(sent, pick)
    door = Door(other, FOLDED, clock=lambda: NOW)
    while order:
        number = pick.whole(1, 6)
        refused = _refused(door, [sent[i] for i in order[:number]])
        order = order[number:]
        if refused:
            # A concession before its nonconformity is none: such an order cannot be.
            assert refused == {"unknown_cause"}
            return
    kept, again = (by_name(lots.plant_number(one)) for one in (plant, other))
    # Digests hold what a planned step said of being planned, which the copy does not say.
    del kept["ledger_posted"], again["ledger_posted"]

    assert kept == again, differences(kept, again)


def _refused(door: Door, sent: list[Draft]) -> set[str]:
    try:
        door.post_many(sent, WHO)
    except Refusal as refusal:
        return set(refusal.codes)
    return set()


PROPERTIES: tuple[Property, ...] = (
    balances,
    balances_as_a_plant,
    verifies,
    equal_their_twin,
    borne_out,
    inverse,
    reaches,
    bounds_hold,
    accounts_close,
    rebuilt_equal,
)
"""What holds of one record."""


def check(plant: str, pick: Choice) -> None:
    """Everything above, and the same entries in one other order."""
    for holds in PROPERTIES:
        holds(plant)
    commutes(plant, pick, f"{plant}-B")
