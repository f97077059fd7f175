"""Fold again what a new, late, corrected or reversed step changes, and nothing else.

Read :meth:`Refold.settle` first: a heap of steps in the fold's order; each is applied once; a lot
whose new state equals the stored one is left alone from there on. A posting at the end of time is
the case in which no lot has later touches. The whole batch is written at the end, in the caller's
transaction.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping

from beadwright.ledger import store
from beadwright.ledger.fold import (
    EMPTY,
    Concessions,
    Dated,
    FoldLot,
    FoldStep,
    Found,
    Judge,
    State,
    Touched,
    apply,
)
from beadwright.ledger.undisturbed import undisturbed

__all__ = ["Order", "Refold"]

Order = tuple[int, int]

_AHEAD = 64
"""Later touches read at a time of a lot that has many; most changes die out long before."""

_SIDE_BY_SIDE = 400
"""Lots read together when one of them turns out to have changed: its sisters mostly have too."""


class Refold:
    """One refold of one plant, inside one transaction."""

    def __init__(self, plant: int, judge: Judge, settings: Dated, concessions: Concessions) -> None:
        """Begin; nothing is read before a step is added."""
        self._plant = plant
        self._rules = (judge, settings, concessions)
        self._lots: dict[int, FoldLot] = {}
        self._ends: dict[int, tuple[Order, State]] = {}
        self._now: dict[int, State] = {}
        self._steps: dict[int, FoldStep] = {}
        self._stored: dict[tuple[int, int], tuple[tuple[int, int], State]] = {}
        self._prior: dict[tuple[int, int], State] = {}
        self._later: dict[int, list[tuple[int, int, int]]] = {}
        self._whole: dict[int, bool] = {}
        self._width: dict[int, int] = {}
        self._heap: list[tuple[int, int, int]] = []
        self._queued: set[int] = set()
        self._gaps: dict[tuple[int, int, int], list[int]] = {}
        self._fresh: list[tuple[FoldStep, Touched]] = []
        self._changed: list[tuple[FoldStep, Touched]] = []
        self._left: dict[int, tuple[Order, State]] = {}
        self._old_findings: dict[int, list[Found]] = {}
        self.findings: dict[int, list[Found]] = {}

    def know(self, lots: Iterable[store.StoredLot]) -> None:
        """Give lots that the caller has read anyway, or has just made."""
        for lot, last, state in lots:
            self._lots[lot.no] = lot
            self._ends[lot.no] = (last, state)

    def add(self, step: FoldStep) -> None:
        """A step that is new to the fold (its lots must be known)."""
        self._steps[step.no] = step
        self._push(step)

    def remove(self, step: int) -> None:
        """Take the stored version of a step out; its lots are folded again from there."""
        old = store.steps_of(self._plant, [step])[step]
        touched = {line.lot for _, line, _, _ in store.lines_of(self._plant, [step])}
        store.delete_touches(self._plant, [step])
        store.delete_findings(self._plant, [step])
        self.know(store.lots_by_no(self._plant, touched).values())
        mark = (old.k, old.tie, -step)
        self._gaps[mark] = sorted(touched)
        heapq.heappush(self._heap, mark)

    def again(self, steps: Mapping[int, FoldStep]) -> None:
        """Judge stored steps anew, because a setting or a concession of their time has changed."""
        self._load(steps)
        for step in steps.values():
            self._push(self._steps[step.no])

    def settle(self) -> dict[int, list[Found]]:
        """Carry every change to its end, write it, and return what was found at each step."""
        with undisturbed():
            while self._heap:
                mark = heapq.heappop(self._heap)
                if mark[2] < 0:
                    self._open_gap(mark)
                else:
                    self._apply(self._steps[mark[2]])
            self._write()
        return self.findings

    def _push(self, step: FoldStep) -> None:
        if step.no not in self._queued:
            self._queued.add(step.no)
            heapq.heappush(self._heap, (step.k, step.tie, step.no))

    def _open_gap(self, mark: tuple[int, int, int]) -> None:
        order = mark[:2]
        for lot in self._gaps[mark]:
            if lot not in self._now:
                self._now[lot] = self._state(lot, order)
            self._follow(lot, order)

    def _apply(self, step: FoldStep) -> None:
        numbers = {line.lot for line in step.lines}
        before = self._before(numbers, step)
        touched, found = apply(step, self._lots, before, self._rules)
        changed: dict[int, bool] = {}
        after: dict[int, State] = {}
        for t in touched:
            old = self._stored.get((step.no, t.line.line))
            lot = t.line.lot
            after[lot] = t.after
            if old is None:
                self._fresh.append((step, t))
                changed[lot] = True
            elif old != ((t.differ_mg, t.differ_pieces), t.after):
                self._changed.append((step, t))
                changed[lot] = old[1] != t.after
            else:
                changed[lot] = False
        self.findings[step.no] = found
        for lot, dirty in changed.items():
            # The last of its lines says how the step leaves a lot, whichever line has changed.
            self._left[lot] = (step.order, after[lot])
            if dirty:
                self._now[lot] = after[lot]
                self._follow(lot, step.order)
            else:
                self._now.pop(lot, None)

    def _before(self, lots: Iterable[int], step: FoldStep) -> dict[int, State]:
        """States just before a step: carried from a change, else what is stored."""
        states: dict[int, State] = {}
        for lot in lots:
            state = self._now.get(lot)
            if state is None:
                # Stored steps bring what was stored before them: read with their lines.
                state = self._prior.get((step.no, lot))
            states[lot] = self._state(lot, step.order) if state is None else state
        return states

    def _state(self, lot: int, order: Order) -> State:
        last, end = self._ends[lot]
        if last < order:
            return end
        return store.states_before(self._plant, [lot], order).get(lot, EMPTY)

    def _follow(self, lot: int, order: Order) -> None:
        """Queue the next stored touch of a lot that has changed."""
        if self._ends[lot][0] <= order:
            return
        coming = self._later.get(lot)
        while True:
            if coming is None or (not coming and not self._whole[lot]):
                coming = self._read_ahead(lot, order)
            while coming and coming[-1][:2] <= order:
                coming.pop()
            if coming or self._whole[lot]:
                break
        if coming:
            self._push(self._steps[coming[-1][2]])

    def _read_ahead(self, lot: int, order: Order) -> list[tuple[int, int, int]]:
        """Read later touches: a window of a busy lot, or all of many quiet ones side by side."""
        known = lot in self._later
        width = self._width[lot] = 4 * self._width.get(lot, _AHEAD // 4)
        sisters = [] if known or self._lots[lot].what == "content" else self._sisters(lot)
        batch = [lot, *sisters]
        rows = store.touches_after(self._plant, batch, order, width)
        if len(batch) == 1:
            self._whole[lot] = len(rows) < width
        for one in batch:
            self._later[one] = []
            if len(batch) > 1:
                self._whole[one] = True
        for number, k, tie, step in reversed(rows):
            later = self._later[number]
            if not later or later[-1][2] != step:
                later.append((k, tie, step))
        self._load_numbers({row[3] for row in rows})
        return self._later[lot]

    def _sisters(self, lot: int) -> list[int]:
        """Other quiet lots that steps already read bring out, and that may change as well."""
        found: list[int] = []
        for number, known in self._lots.items():
            if number != lot and known.what != "content" and number not in self._later:
                last, _ = self._ends[number]
                if last > (0, 0):
                    found.append(number)
                    if len(found) >= _SIDE_BY_SIDE:
                        break
        return found

    def _load_numbers(self, numbers: set[int]) -> None:
        missing = numbers - self._steps.keys()
        if missing:
            self._load(store.steps_of(self._plant, missing))

    def _load(self, steps: Mapping[int, FoldStep]) -> None:
        """Read the lines of stored steps, what is stored of them, and their lots."""
        missing = {no: step for no, step in steps.items() if no not in self._steps}
        self._steps.update(missing)
        lots: set[int] = set()
        for no, line, differ, after in store.lines_of(self._plant, missing):
            missing[no].lines.append(line)
            lots.add(line.lot)
            self._stored[no, line.line] = (differ, after)
        self.know(store.lots_by_no(self._plant, lots - self._lots.keys()).values())
        self._prior.update(store.states_prior(self._plant, missing))
        self._old_findings.update(store.findings_of(self._plant, missing))

    def _write(self) -> None:
        store.write_touches(self._plant, self._fresh, self._changed)
        stale = [n for n, old in self._old_findings.items() if self.findings.get(n, old) != old]
        store.delete_findings(self._plant, stale)
        rows = [
            (self._plant, no, f.code, f.lot, f.cause, f.detail)
            for no, found in self.findings.items()
            if found != self._old_findings.get(no, [])
            for f in found
        ]
        store.insert("finding", "p, step, code, lot, cause, detail", rows)
        self._write_ends()

    def _write_ends(self) -> None:
        """Give every lot whose last touch may have changed its newest state."""
        ends = {lot: end for lot, end in self._left.items() if end[0] >= self._ends[lot][0]}
        shaken = {lot for lots in self._gaps.values() for lot in lots}
        for lot in shaken:
            ends[lot] = _end_in_store(self._plant, lot)
        came = self._came()
        columns = f"last_k, last_tie, {store.STATE}, came_mg"
        rows = [
            (*order, *state, came.pop(lot, 0), self._plant, lot)
            for lot, (order, state) in ends.items()
        ]
        store.update("lot", columns, "p, no", rows, plus="came_mg")
        late = [(mg, self._plant, lot) for lot, mg in came.items()]
        store.update("lot", "came_mg", "p, no", late, plus="came_mg")

    def _came(self) -> dict[int, int]:
        """Give what came into each lot anew."""
        came: dict[int, int] = {}
        for _, t in self._fresh:
            if t.line.sign > 0:
                came[t.line.lot] = came.get(t.line.lot, 0) + t.line.mg
        return came


def _end_in_store(plant: int, lot: int) -> tuple[Order, State]:
    last = store.last_touch(plant, lot)
    return ((0, 0), EMPTY) if last is None else ((last[0], last[1]), State(*last[2:]))
