"""The walk back: which share of every lot before it ended in a lot."""

from __future__ import annotations

import heapq
import math
from dataclasses import dataclass, field

from beadwright.ledger.forward import Forward
from beadwright.ledger.traced import COUNTS, RESIDUE_MG, Reach, Trace, TraceLot
from beadwright.ledger.walk import Line, LotFacts, Walk

__all__ = ["Back"]

_END = (2**62, 2**62)


@dataclass(slots=True)
class Back:
    """A walk back: which share of each lot's content ends in ours."""

    walk: Walk
    lot: LotFacts
    cut: float
    weight: dict[int, float] = field(default_factory=dict)
    """For each lot, the share of its content (at this point, going back) that ends in ours."""
    owed: dict[int, float] = field(default_factory=dict)
    """Mass drawn when the books held nothing, until the walk meets what they last knew."""
    gain: dict[int, float] = field(default_factory=dict)
    """By how much at most a lot's mass grew on its way into ours: more came out than went in."""
    ends: dict[int, Reach] = field(default_factory=dict)
    heap: list[tuple[int, int, int]] = field(default_factory=list)
    done: set[int] = field(default_factory=set)
    used: set[int] = field(default_factory=set)
    """Steps by which something came nearer to the lot asked about."""
    cut_off: float = 0.0

    def run(self, mass: int) -> Trace:
        """Walk to the beginning, and list what was reached."""
        self._follow(self.lot.no, _END)
        while self.heap:
            k, tie, no = heapq.heappop(self.heap)
            if no not in self.done:
                self.done.add(no)
                self._step(no, (-k, -tie))
        walk = self.walk
        steps = sorted(self.used, key=lambda n: walk.steps[n][1:3])
        bounds = _bounds(walk, self.lot, list(self.ends), steps)
        lots = []
        for no, r in sorted(self.ends.items(), key=lambda item: walk.steps[item[1].step][1:3]):
            least, most = bounds.get(no, (0.0, 1.0))
            share = min(1.0, r.mg / mass) if mass else 0.0
            most = min(most, r.total / mass) if mass else most
            lots.append(
                TraceLot(
                    walk.lots[no], walk.steps[r.step].key, walk.steps[r.step].at_ms, r.mg, share,
                    min(share, least), max(share, most),
                )
            )  # fmt: skip
        facts = tuple(walk.steps[no] for no in steps)
        return Trace(self.lot, "back", mass, tuple(lots), facts, self.cut_off)

    def _follow(self, lot: int, order: tuple[int, int]) -> None:
        mark = self.walk.next(lot, order)
        if mark is not None:
            heapq.heappush(self.heap, (-mark[0], -mark[1], mark[2]))

    def _step(self, no: int, order: tuple[int, int]) -> None:
        lines = self.walk.lines[no]
        came, left, ended, gain = 0, 0, 0.0, 1.0
        for lot, sign, mg, _, _ in lines:
            if sign < 0:
                came += mg
            elif sign > 0:
                left += mg
                ended += mg * (1.0 if lot == self.lot.no else self.weight.get(lot, 0.0))
                gain = max(gain, self.gain.get(lot, 1.0))
        # Back through the step as well: a lot may be touched by several of its lines.
        for line in reversed(lines):
            if line[1] == 0 and line[0] in self.weight:
                self._stated(line, self.walk.steps[no].kind)
        if came:
            self._spread(no, ended / came, gain * max(1.0, left / came))
        for lot in {line[0] for line in lines}:
            if lot in self.weight or lot == self.lot.no:
                self._follow(lot, order)

    def _stated(self, line: Line, kind: str) -> None:
        lot, _, _, after, differ = line
        if kind == "swept_empty":
            del self.weight[lot]
            self.owed.pop(lot, None)
            return
        before = after - differ
        if kind == "ran_empty" and before <= 0:
            return  # what stayed behind is there as it was
        if kind == "ran_empty" or kind in COUNTS:
            left = min(RESIDUE_MG, before) if kind == "ran_empty" else after
            owed = self.owed.pop(lot, 0.0) + self.weight[lot] * left
            self._owe(lot, owed, before, kept=0.0)

    def _owe(self, lot: int, mg: float, before: int, *, kept: float) -> None:
        """Give a lot's content, going back, the weight of what came out of it.

        Where the books held nothing, it is owed to the last that they knew.
        """
        if before > 0:
            self.weight[lot] = kept + mg / before
        else:
            self.weight[lot] = kept
            self.owed[lot] = mg

    def _left(self, lot: int, moved: int, before: int) -> float:
        """Give the share of a lot's content that a draw leaves in it."""
        if before <= 0:
            return 1.0
        if moved >= before:
            place = self.walk.lots[lot].what == "content"
            return min(1.0, RESIDUE_MG / before) if place else 0.0
        return 1 - moved / before

    def _spread(self, no: int, weight: float, gain: float) -> None:
        for lot, sign, moved, after, differ in reversed(self.walk.lines[no]):
            if sign >= 0 or lot == self.lot.no:
                continue
            mg = moved * weight
            old = self.weight.get(lot)
            if old is None and (mg < self.cut or not mg):
                self.cut_off += mg
                continue
            before = after + moved - differ
            # What is drawn for others is content that does not end in ours.
            kept = (old or 0.0) * self._left(lot, moved, before)
            self._owe(lot, self.owed.pop(lot, 0.0) + mg, before, kept=kept)
            if not mg:
                continue
            r = self.ends.get(lot)
            if r is None:
                r = self.ends[lot] = Reach(no)
            self.used.add(no)
            r.step = no
            r.mg += mg
            r.total += math.ceil(moved * gain)
            self.gain[lot] = max(gain, self.gain.get(lot, 1.0))


_WORK = 200_000
"""Steps times lots beyond which the bounds of a trace back stay at 0 and all that went in."""


def _bounds(
    walk: Walk, lot: LotFacts, sources: list[int], steps: list[int]
) -> dict[int, tuple[float, float]]:
    """Bounds of each source's share: carried forward again over the steps of the trace alone."""
    if len(sources) * len(steps) > _WORK:
        return {}
    found: dict[int, tuple[float, float]] = {}
    for no in sources:
        again = Forward(walk, walk.lots[no], 0.0, only=frozenset(steps))
        for step in steps:
            again.step(step, walk.steps[step][1:3])
        r = again.reach.get(lot.no)
        if r is not None:
            found[no] = (r.least, r.most)
    return found
