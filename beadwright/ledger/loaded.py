"""When lots were loaded: the first time and the last, of many at once.

Read :func:`loaded`.
"""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from beadwright.ledger.columns import Where, columns

__all__ = ["loaded"]

_STEP = "ledger_step s ON s.p=t.p AND s.no=t.step"


def loaded(plant: int, numbers: Collection[int]) -> dict[int, tuple[int, int]]:
    """Give by the number of a lot when something was first and last loaded into it, in UTC ms."""
    where = Where("ledger_touch", "lot", numbers, "t.sign > 0 AND s.kind='ship'", joined=_STEP)
    (lot, at_ms), _ = columns(plant, ("t.lot", "s.at_ms"), (), where)
    order = np.lexsort((at_ms, lot))
    lot, at_ms = lot[order], at_ms[order]
    found, first, many = np.unique(lot, return_index=True, return_counts=True)
    spans = zip(at_ms[first].tolist(), at_ms[first + many - 1].tolist(), strict=True)
    return dict(zip(found.tolist(), spans, strict=True))
