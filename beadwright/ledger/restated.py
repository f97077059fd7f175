"""Steps that were corrected and stand, and holds that were lifted, as far as lots rest on them.

Read :func:`bearing_on`, then :func:`lifted_on`.
"""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.ledger import store
from beadwright.ledger.indexes import RESTATED
from beadwright.ledger.way_back import Order, way_back

__all__ = ["bearing_on", "lifted_on"]


def bearing_on(plant: int, codes: Iterable[str]) -> dict[str, set[int]]:
    """Give, for each lot, the newest corrections of the steps on its way back, by their entry.

    The way back ends where places were last swept empty. A lot without any is left out.
    """
    sql = f"SELECT no, seq FROM ledger_step WHERE p=%s AND {RESTATED} AND NOT reversed"
    restated: dict[int, int] = dict(store.select(sql, [plant]))
    if not restated:
        return {}
    found: dict[str, set[int]] = {}
    for code, (lot, *_) in store.lots_by_code(plant, codes).items():
        steps, _windows = way_back(plant, lot.no)
        if bearing := {restated[step] for step in steps & restated.keys()}:
            found[code] = bearing
    return found


def lifted_on(plant: int, codes: Iterable[str]) -> dict[str, dict[int, tuple[str, ...]]]:
    """Give, for each lot, the lifts of holds on its way back, by entry, and what each cleared.

    Of the lots that a lift names, those that the lot rests on, itself included: one that was
    cleared only after it had been drawn for the lot clears nothing of it. A lot without any is
    left out.
    """
    lifts: dict[int, int] = dict(
        store.select("SELECT no, seq FROM ledger_step WHERE p=%s AND kind='lift'", [plant])
    )
    if not lifts:
        return {}
    named: dict[int, list[tuple[int, Order]]] = {}
    for batch in store.parts(lifts):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT step, lot, k, tie FROM ledger_touch WHERE p=%s AND step IN ({marks})"
        for step, number, k, tie in store.select(sql, [plant, *batch]):
            named.setdefault(step, []).append((number, (k, tie)))
    found: dict[str, dict[int, tuple[str, ...]]] = {}
    for code, (lot, *_) in store.lots_by_code(plant, codes).items():
        steps, windows = way_back(plant, lot.no)
        for step in sorted(steps & lifts.keys()):
            cleared = {
                number for number, order in named.get(step, ())
                if any(one.holds(order) for one in windows.get(number, ()))
            }  # fmt: skip
            of = store.lots_by_no(plant, cleared)
            names = tuple(sorted(of[number][0].code for number in cleared))
            found.setdefault(code, {})[lifts[step]] = names
    return found
