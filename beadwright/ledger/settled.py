"""Lots that one step filled, and nothing else: what any part of them holds is settled by it.

Read :class:`Settled`. Blocks, and what is packed of them, are filled once and drawn from after:
each draw has of the lot asked about what the whole had. So they need no walk. Their steps and
lines stand in columns, and are worked out when the walk has come to its end: first what was made of
lots that the walk knows, then what was made of those, until nothing is left.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beadwright.ledger.columns import Floats, Ints, distinct
from beadwright.ledger.outputs import Draws, Fillings
from beadwright.ledger.unlike import EXACT, Off

__all__ = ["Flow", "Held", "Settled", "WorkedOut"]

_Bools = NDArray[np.bool_]


Flow = tuple[float, float, float, int]
"""What went into a step of the lot asked about: expected, least, most, mg; and the whole input."""


class Held(NamedTuple):
    """Of what share any part of a lot is of the lot asked about."""

    share: float
    least: float
    most: float


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """The lots into which something of the lot asked about came, and the steps that brought it."""

    fillings: Fillings
    mg: Floats
    """Of each, the mass of the lot asked about that came into it."""
    share: Floats
    least: Floats
    most: Floats
    steps: Ints
    """Steps into which something of the lot asked about went."""
    fractions: Floats
    """Of those, which part of what went in that was."""
    cut_off: float


@dataclass(slots=True)
class Settled:
    """Lots that are settled, and the steps that lead to nothing else."""

    off: Off = EXACT
    """How far masses may be off, for the bounds."""
    lots: set[int] = field(default_factory=set)
    steps: set[int] = field(default_factory=set)
    flows: dict[int, Flow] = field(default_factory=dict)
    """What the walk brought into those steps, out of lots that are not settled."""
    held: dict[int, Held | None] = field(default_factory=dict)
    """What settled lots hold, as far as it was asked for, or a step of the walk filled them."""
    _came: dict[int, float] = field(default_factory=dict)
    """All that went into a step, of those with several lines before their output."""
    _mixed: set[int] = field(default_factory=set)
    """Steps with several inputs."""
    _fillings: list[Fillings] = field(default_factory=list)
    _draws: list[Draws] = field(default_factory=list)
    _filled_by: dict[int, tuple[int, int]] = field(default_factory=dict)
    _drawn_by: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    _looked_up: int = 0

    def add(self, lots: Ints, fillings: Fillings, draws: Draws) -> None:
        """Add lots, the outputs that fill them where no step of the walk does, and their draws."""
        self.lots.update(lots.tolist())
        self.steps.update(fillings.step.tolist())
        self._fillings.append(fillings)
        self._draws.append(draws)

    def note_came(self, step: Ints, moved: Ints) -> None:
        """Note the inputs of steps, each line of them."""
        steps, at, inputs = np.unique(step, return_inverse=True, return_counts=True)
        came = np.bincount(at, moved, len(steps))
        self._came.update(zip(steps.tolist(), came.tolist(), strict=True))
        self._mixed.update(steps[inputs > 1].tolist())

    def of(self, lot: int, cut: float) -> Held | None:
        """Give what a settled lot holds; None where nothing of the lot asked about came into it."""
        if lot not in self.held:
            self._look_up()
            self.held[lot] = self._of(lot, cut) if lot in self._filled_by else None
        return self.held[lot]

    def _look_up(self) -> None:
        for i in range(self._looked_up, len(self._fillings)):
            rows, draws = self._fillings[i], self._draws[i]
            by = zip(rows.step.tolist(), rows.out.tolist(), strict=True)
            self._filled_by.update(zip(rows.lot.tolist(), by, strict=True))
            drawn = (draws.step.tolist(), draws.lot.tolist(), draws.moved.tolist())
            for step, lot, moved in zip(*drawn, strict=True):
                self._drawn_by.setdefault(step, []).append((lot, moved))
        self._looked_up = len(self._fillings)

    def _of(self, lot: int, cut: float) -> Held | None:
        step, out = self._filled_by[lot]
        *whole, flowed = self.flows.get(step, (0.0, 0.0, 0.0, 0))
        came = float(flowed)
        for source, moved in self._drawn_by.get(step, ()):
            came += moved
            for i, share in enumerate(self.of(source, cut) or ()):
                whole[i] += share * moved
        came = self._came.get(step, came)
        mg, least, most = whole
        if not mg or out * mg / came < cut:
            return None
        low, high = min(1.0, least / came), min(1.0, most / came)
        if step in self._mixed:
            low, high = self.off.least(low), self.off.most(high)
        return Held(mg / came, low, high)

    def work_out(self, cut: float) -> WorkedOut:
        """Work out all settled lots that a settled step filled."""
        fillings, draws = Fillings.joined(self._fillings), Draws.joined(self._draws)
        begun = {no: one for no, one in self.held.items() if one is not None}
        levels = _Levels(fillings, draws, begun, (self.flows, self._came))
        return levels.run(cut, self.off, self._mixed)


class _Levels:
    """The same in columns: steps and lots by their place in two sorted lists of numbers."""

    def __init__(
        self,
        fillings: Fillings,
        draws: Draws,
        begun: dict[int, Held],
        known: tuple[dict[int, Flow], dict[int, float]],
    ) -> None:
        self.fillings = fillings
        self.steps = distinct(fillings.step)
        self.into = np.searchsorted(self.steps, fillings.step)
        others = _numbers(begun)
        self.lots = distinct(np.concatenate([fillings.lot, others]))
        self.of = np.searchsorted(self.lots, fillings.lot)
        into, of = _places(self.steps, draws.step), _places(self.lots, draws.lot)
        ours = (into >= 0) & (of >= 0)
        self.drawn = draws.moved[ours].astype(np.float64)
        self.drawn_into, self.drawn_of = into[ours], of[ours]
        self.held = np.zeros((3, len(self.lots)))
        self.waits = np.zeros(len(self.lots), bool)
        self.waits[self.of] = True
        if begun:
            at = np.searchsorted(self.lots, others)
            self.held[:, at] = np.array(list(begun.values())).T
            self.waits[at] = False
        self._begin(*known)

    def _begin(self, flows: dict[int, Flow], came: dict[int, float]) -> None:
        """Put in what the walk brought, and the whole of what went into each step."""
        self.flow = np.zeros((3, len(self.steps)))
        drawn = np.bincount(self.drawn_into, self.drawn, len(self.steps))
        self.came = drawn.astype(np.float64)  # of none, they are whole numbers
        if flows:
            at = np.searchsorted(self.steps, _numbers(flows))
            brought = np.array(list(flows.values()), np.float64).T
            self.flow[:, at] = brought[:3]
            self.came[at] += brought[3]
        if came:
            at = np.searchsorted(self.steps, _numbers(came))
            self.came[at] = np.fromiter(came.values(), np.float64, len(came))

    def run(self, cut: float, off: Off, mixed: Collection[int]) -> WorkedOut:
        """Work out level by level; shares in a mixture are as wide as masses may be off."""
        self.off = off
        self.mixed = np.isin(self.steps, _numbers(mixed)) if off.share else self.came < 0
        mg, cut_off = np.zeros(len(self.into)), 0.0
        there = np.zeros(len(self.into), bool)
        done = np.zeros(len(self.steps), bool)
        while True:
            waits = np.zeros(len(self.steps), bool)
            waits[self.drawn_into[self.waits[self.drawn_of]]] = True
            ready = ~(done | waits)
            if not ready.any():
                break
            done |= ready
            cut_off += self._fill(ready, (mg, there), cut)
        _, least, most = self.held[:, self.of[there]]
        found = self.fillings.those(there)
        share = np.minimum(mg[there] / found.out, 1.0)
        used = self.flow[0] > 0
        return WorkedOut(
            found, mg[there], share, np.minimum(least, share), np.maximum(most, share),
            self.steps[used], self.flow[0][used] / self.came[used], cut_off,
        )  # fmt: skip

    def _fill(self, ready: _Bools, into: tuple[Floats, _Bools], cut: float) -> float:
        """Carry what is known into steps of which every input is, and on; give what is cut off."""
        mg, there = into
        drawn = ready[self.drawn_into]
        parts = self.held[:, self.drawn_of[drawn]] * self.drawn[drawn]
        for i, part in enumerate(parts):
            self.flow[i] += np.bincount(self.drawn_into[drawn], part, len(self.steps))
        filled = ready[self.into]
        step, lot = self.into[filled], self.of[filled]
        came = np.where(self.flow[0][step] > 0, self.came[step], 1.0)
        expected = self.fillings.out[filled] * self.flow[0][step] / came
        enters = (expected >= cut) & (expected > 0)
        mg[filled], there[filled] = expected, enters
        shares = self.flow[:, step] / came
        shares[1:] = np.minimum(shares[1:], 1.0)
        mixed = self.mixed[step]
        shares[1, mixed] = self.off.least(shares[1, mixed])
        shares[2, mixed] = self.off.most(shares[2, mixed])
        self.held[:, lot] = np.where(enters, shares, 0.0)
        self.waits[lot] = False
        return float(expected[~enters].sum())


def _places(sorted_: Ints, some: Ints) -> Ints:
    """Give where numbers stand in a sorted list; -1 for those that do not."""
    if not sorted_.size:  # nothing is left to be worked out, though lots were drawn of
        return np.full(len(some), -1)
    at = np.searchsorted(sorted_, some)
    return np.where(sorted_[np.minimum(at, len(sorted_) - 1)] == some, at, -1)


def _numbers(some: Collection[int]) -> Ints:
    return np.fromiter(some, np.int64, len(some))
