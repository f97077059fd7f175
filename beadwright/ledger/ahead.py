"""The walk forward, which reads whole columns of lots that one step filled.

Read :class:`Ahead` first. Most of what a lot leads to are blocks and what is packed of them. One
step fills such a lot, and nothing else ever comes in: what any part of it holds is *settled* by
that step. So the walk does not stop at it. It goes on to the steps that matter to a lot of which
the content changes, and :mod:`beadwright.ledger.settled` works out all the others afterwards.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from functools import partial

import numpy as np

from beadwright.ledger import store
from beadwright.ledger.columns import Columns, Ints, Where, columns, distinct
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.outputs import BUSY, LAST, OFF, WHOLE, Draws, Fillings
from beadwright.ledger.settled import Settled
from beadwright.ledger.unlike import Off
from beadwright.ledger.walk import Mark, Order, Reads, Walk

__all__ = ["Ahead", "Knot"]

_QUIET = ", ".join(f"'{kind}'" for kind in MOULDED)
_OF_LOT = "ledger_lot l ON l.p=t.p AND l.no=t.lot"
_BEGINS = (
    f"CASE WHEN l.kind NOT IN ({_QUIET}) THEN {BUSY} WHEN moved_mg <= 0 OR t.mg <> moved_mg THEN 1"
    f" WHEN l.last_k=t.k AND l.last_tie=t.tie THEN {LAST} ELSE {WHOLE} END"
)
_OUT = ("step", "line", "lot", "moved_mg", "l.mg", _BEGINS)
_LOT = ("code", "l.kind", "what", "product", "l.place")
_DRAW = ("step", "lot", f"CASE WHEN sign < 0 AND differ_mg=0 THEN moved_mg ELSE {OFF} END")
_TOLD = "(sign < 0 OR differ_mg <> 0)"
"""A statement that the books were right changes nothing."""
_LINE = "-k, -tie, step, line, lot, sign, moved_mg, mg, differ_mg, moved_pieces FROM ledger_touch"
_END: Order = (-(2**62), -(2**62))


class Knot(Exception):
    """Something came into a lot that was taken to be settled: nothing, by its mass."""


class Ahead(Walk):
    """A walk forward of which the lots that one step filled are read in columns."""

    def __init__(self, plant: int, off: Off, reads: Reads | None = None) -> None:
        """Walk towards what was made of a lot; ``off`` is how far masses may be off."""
        super().__init__(plant, forward=True, reads=reads)
        self.settled = Settled(off)

    def _follow(self, lot: int, order: Order) -> None:
        self._read(lot, order)  # the lot asked about too, whatever it is
        self._queue.sort()

    def _read_on(self, marks: Iterable[Mark], rows: Iterable[store.Row], order: Order) -> None:
        """Read all that steps of a lot lead to, and part what is settled from what is walked."""
        own = list(rows)
        places = {row[2]: row[:3] for row in own} | {mark[2]: mark for mark in marks}
        outs: list[Fillings] = []
        draws: list[Draws] = []
        lots: list[int] = []
        seen: set[int] = set()
        steps = self._unread(places, seen)
        while steps:
            outs.append(self._outs(steps))
            new, drawn = self._new(outs[-1])
            draws.append(self._draws(drawn, order))
            lots += new
            steps = self._unread(draws[-1].step.tolist(), seen)
        found = Fillings.joined(outs), Draws.joined(draws)
        self._part(*found, np.array(lots, np.int64), (order, places))
        self._keep_own(own)

    def _unread(self, steps: Iterable[int], seen: set[int]) -> list[int]:
        """Give steps of which the outputs are not read yet, and count them as seen."""
        whole, settled = self._whole, self.settled.steps
        new = [no for no in set(steps) if not (no in seen or no in whole or no in settled)]
        seen.update(new)
        return new

    def _new(self, outs: Fillings) -> tuple[list[int], list[int]]:
        """Give the quiet lots that are new, and which were touched after; take them as read."""
        read = self._read_to
        new = [no for no in set(outs.lot[outs.begins != BUSY].tolist()) if no not in read]
        read.update(dict.fromkeys(new, _END))
        last = set(outs.lot[outs.begins == LAST].tolist())
        return new, [no for no in new if no not in last]

    def _outs(self, steps: Collection[int]) -> Fillings:
        """Outputs of steps, each with what is said of its lot."""
        where = Where("ledger_touch", "step", steps, "sign > 0", joined=_OF_LOT)
        return Fillings(*self._columns(_OUT, _LOT, where))

    def _draws(self, lots: Collection[int], order: Order) -> Draws:
        also = f"{self._past}{self._drawn} AND {_TOLD}"
        where = Where("ledger_touch", "lot", lots, also, self._place(order))
        return Draws(*self._columns(_DRAW, (), where))

    def _columns(self, numbers: tuple[str, ...], texts: tuple[str, ...], where: Where) -> Columns:
        key = ("columns", numbers, frozenset(where.values), where.args)
        return self._once(key, partial(columns, self._plant, numbers, texts, where))

    def _part(
        self, outs: Fillings, draws: Draws, lots: Ints, at: tuple[Order, Mapping[int, Mark]]
    ) -> None:
        """Queue the steps that are walked; keep all others for afterwards."""
        if not self.settled.lots.isdisjoint(outs.lot.tolist()):
            raise Knot
        lots = np.sort(lots)
        plain = _filled_once(outs, draws, lots)
        knotted = lots[~np.isin(lots, plain)].tolist()
        whole = set(outs.step[~np.isin(outs.lot, plain)].tolist())
        steps, outputs = np.unique(outs.step, return_counts=True)
        whole |= set(steps[outputs > 1].tolist())  # they may be unlike
        gone = distinct(draws.step)
        whole |= set(gone[~np.isin(gone, outs.step)].tolist()) - self.settled.steps
        light = ~np.isin(outs.step, np.array(list(whole), np.int64))
        fillings = outs.those(light)
        self.settled.add(plain, fillings, draws.those(np.isin(draws.lot, plain)))
        self._note_came(fillings)
        order, marked = at
        marks = self._chosen("-k, -tie, no FROM ledger_step", "no", whole - marked.keys())
        self._read_lines([*(marked[no] for no in whole & marked.keys()), *marks])
        also = f"{self._past}{self._drawn}"
        self._keep_own(self._chosen(_LINE, "lot", knotted, also, *self._place(order)))

    def _note_came(self, fillings: Fillings) -> None:
        """Note what went into each step of which more than one line stands before its outputs."""
        several = distinct(fillings.step[fillings.line > 1])
        several = several[~np.isin(several, fillings.step[fillings.line == 1])]
        where = Where("ledger_touch", "step", several.tolist(), "sign < 0")
        (step, moved), _ = self._columns(("step", "moved_mg"), (), where)
        self.settled.note_came(step, moved)


def _filled_once(outs: Fillings, draws: Draws, lots: Ints) -> Ints:
    """Give the lots that one output filled, when they held nothing, and nothing else.

    What came in of others, or was stated otherwise than the books had it, shows in the stock: what
    was drawn, and what is left, is then not what came in.
    """
    into = np.isin(outs.lot, lots)
    at = np.searchsorted(lots, outs.lot[into])
    odd = np.bincount(at, minlength=len(lots)) != 1
    odd[at[outs.begins[into] < WHOLE]] = True
    left = np.zeros(len(lots), np.int64)
    left[at] = (outs.out - outs.stock)[
        into
    ]  # of lots with several outputs it is wrong, and does not matter
    drawn = np.searchsorted(lots, draws.lot)
    odd[drawn[draws.moved == OFF]] = True
    np.subtract.at(left, drawn, draws.moved)
    once: Ints = lots[~odd & (left == 0)]
    return once
