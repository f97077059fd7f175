"""Steps that were corrected and still stand, as far as lots rest on them.

Read :func:`bearing_on`.
"""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.ledger import store
from beadwright.ledger.indexes import RESTATED
from beadwright.ledger.way_back import way_back

__all__ = ["bearing_on"]


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
