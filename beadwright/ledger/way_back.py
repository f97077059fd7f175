"""The steps that a lot's state rests on: back through its inputs, to where places were swept empty.

Read :func:`way_back`.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush

from beadwright.ledger import store

__all__ = ["MOST", "Order", "Window", "way_back"]

MOST = 4000
"""Steps looked at, the nearest first: a place that is never swept holds something of everything."""

Order = tuple[int, int]
_END: Order = (2**62, 2**62)
_START: Order = (-1, -1)


@dataclass(frozen=True, slots=True)
class Window:
    """From after one place in the fold's order to another, that one included."""

    after: Order
    upto: Order

    def holds(self, order: Order) -> bool:
        """Whether a place in the order lies within."""
        return self.after < order <= self.upto


def way_back(plant: int, lot: int) -> tuple[set[int], dict[int, list[Window]]]:
    """Give the steps, and for each lot on the way the times within which its steps count."""
    steps: set[int] = set()
    windows: dict[int, list[Window]] = {}
    # The latest first, over all lots: what comes of a lot later on lies within the window that was
    # opened for its latest, so each window is read once.
    ask = [_latest(lot, _END)]
    seen = {*ask}
    while ask and len(steps) < MOST:
        k, tie, number = heappop(ask)
        upto = (-k, -tie)
        if any(one.holds(upto) for one in windows.get(number, ())):
            continue
        window, made = _touches(plant, (number, upto), steps)
        windows.setdefault(number, []).append(window)
        orders = dict(made)
        for batch in store.parts(orders):
            marks = ",".join(["%s"] * len(batch))
            sql = (
                f"SELECT step, lot FROM ledger_touch WHERE p=%s AND step IN ({marks}) AND sign < 0"
            )
            for step, source in store.select(sql, [plant, *batch]):
                more = _latest(source, orders[step])
                if more not in seen:
                    seen.add(more)
                    heappush(ask, more)
    return steps, windows


def _latest(lot: int, upto: Order) -> tuple[int, int, int]:
    """Give a lot and a time so that a heap has the latest first."""
    return -upto[0], -upto[1], lot


def _touches(
    plant: int, of: tuple[int, Order], steps: set[int]
) -> tuple[Window, list[tuple[int, Order]]]:
    """Add the steps of a lot back to its last swept empty; give the window, and what made it."""
    lot, upto = of
    rows = store.select(
        "SELECT t.k, t.tie, t.step, t.sign, s.kind FROM ledger_touch t"
        " LEFT JOIN ledger_step s ON s.p=t.p AND s.no=t.step"
        " WHERE t.p=%s AND t.lot=%s AND (t.k, t.tie) <= (%s, %s)"
        " ORDER BY t.k DESC, t.tie DESC LIMIT %s",
        [plant, lot, *upto, MOST],
    )
    made: list[tuple[int, Order]] = []
    for k, tie, step, sign, kind in rows:
        steps.add(step)
        if sign > 0:
            made.append((step, (k, tie)))
        if kind == "swept_empty":
            return Window((k, tie), upto), made
    after = (rows[-1][0], rows[-1][1]) if len(rows) == MOST else _START
    return Window(after, upto), made
