"""The walk back: which share of every lot before it ended in a lot."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from beadwright.ledger.bounding import Bounds, bounds
from beadwright.ledger.forward import Forward, How
from beadwright.ledger.traced import COUNTS, RESIDUE_MG, Reach, Trace, TraceLot
from beadwright.ledger.unlike import EXACT, Off
from beadwright.ledger.walk import Line, LotFacts, Walk
from beadwright.ledger.ways import Seen, Ways

__all__ = ["Back", "back"]


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
    path: dict[int, bool] = field(default_factory=dict)
    """Steps that brought material nearer to ours, going back; and whether they are listed."""
    fresh: list[int] = field(default_factory=list)
    """Lots of which the last step was the first, going back, to draw something for ours."""
    cut_off: float = 0.0
    cut_draws: set[tuple[int, int]] = field(default_factory=set)
    """Steps and lots from which too little was drawn to be followed."""
    crossed: list[int] = field(default_factory=list)
    """All steps of the walk, the last one first."""
    links: dict[tuple[int, int], float] | None = None
    """Mass that went from one lot into another and ended in ours; None where nobody asks."""
    off: Off = EXACT
    """How far masses may be off, for the bounds."""
    parts: list[tuple[int, float]] = field(default_factory=list)
    """Lots that the last step's outputs went into, each with what of it ended in ours."""

    def run(self) -> None:
        """Walk to the beginning."""
        self.walk.go(self.lot.no, self.weight, self._step)

    def trace(self, mass: int) -> Trace:
        """List what was reached."""
        walk = self.walk
        steps = [no for no, listed in reversed(self.path.items()) if listed]
        walk.know_steps(steps)
        found = self._bounds(mass)
        place = {no: i for i, no in enumerate(steps)}
        lots = []
        for no, r in sorted(self.ends.items(), key=lambda item: place[item[1].step]):
            bound = found.get(no, Bounds())
            mg = self._once(no) if bound.round else r.mg
            share = min(1.0, mg / mass) if mass else 0.0
            step = walk.steps[r.step]
            lots.append(
                TraceLot(
                    walk.lots[no], step.key, step.at_ms, mg, share,
                    min(share, bound.least), max(share, bound.most),
                )
            )  # fmt: skip
        facts = tuple(walk.steps[no] for no in steps)
        return Trace(self.lot, "back", mass, tuple(lots), facts, self.cut_off)

    def shares(self, mass: int) -> list[tuple[LotFacts, float]]:
        """List what was reached with its share alone; what came back counts each time."""
        self.walk.know(self.ends)
        whole = mass or math.inf
        return [(self.walk.lots[no], min(1.0, r.mg / whole)) for no, r in self.ends.items()]

    def _bounds(self, mass: int) -> dict[int, Bounds]:
        """Bounds of each source's share in all that came into ours."""
        walk = self.walk
        steps = self.crossed[::-1]
        walk.know({line[2] for step in self.path for line in walk.lines[step]})
        seen = Seen(walk, self.lot.no, steps, self.path, self.ends, self.cut_draws)
        return bounds(Ways(seen, self.off), {no: r.total for no, r in self.ends.items()}, mass)

    def _once(self, lot: int) -> float:
        """Give the mass of a lot that ended in ours, each part of it once, however often drawn."""
        again = Forward(self.walk, self.walk.lots[lot], How(0.0))
        for step in reversed(self.crossed):
            again.step(step)
        came = again.reach.get(self.lot.no)
        return came.came if came is not None else 0.0

    def _step(self, no: int) -> list[int]:
        self.crossed.append(no)
        lines = self.walk.lines[no]
        came, left, ended, gain = 0, 0, 0.0, 1.0
        self.fresh, self.parts = [], []
        # Back through the step as well: a lot may be touched by several of its lines.
        for line in reversed(lines):
            _, _, lot, sign, mg, _, _, _ = line
            if sign > 0:
                left += mg
                if lot == self.lot.no:
                    ended += mg
                    self.parts.append((lot, mg))
                elif lot in self.weight:
                    ended += mg * self.weight[lot]
                    self.parts.append((lot, mg * self.weight[lot]))
                    gain = max(gain, self.gain.get(lot, 1.0))
            elif sign < 0:
                came += mg
            elif lot in self.weight:
                self._stated(line, self.walk.steps[no].kind)
        if ended and (came or any(line[2] in self.walk.quiet for line in lines)):
            self.path[no] = False
        if came:
            self._spread(no, ended / came, gain * max(1.0, left / came))
        return self.fresh

    def _stated(self, line: Line, kind: str) -> None:
        _, _, lot, _, _, after, differ, _ = line
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
            return min(1.0, RESIDUE_MG / before) if lot in self.walk.places else 0.0
        return 1 - moved / before

    def _spread(self, no: int, weight: float, gain: float) -> None:
        for _, _, lot, sign, moved, after, differ, _ in reversed(self.walk.lines[no]):
            if sign >= 0 or lot == self.lot.no:
                continue
            mg = moved * weight
            old = self.weight.get(lot)
            if old is None and (mg < self.cut or not mg):
                self.cut_off += mg
                self.cut_draws.add((no, lot))
                continue
            if old is None:
                self.fresh.append(lot)
            before = after + moved - differ
            # What is drawn for others is content that does not end in ours.
            kept = (old or 0.0) * self._left(lot, moved, before)
            self._owe(lot, self.owed.pop(lot, 0.0) + mg, before, kept=kept)
            if not mg:
                continue
            r = self.ends.get(lot)
            if r is None:
                r = self.ends[lot] = Reach(no)
            self.path[no] = True
            if self.links is not None:
                self._link(self.links, lot, mg)
            r.step = no
            r.mg += mg
            r.total += math.ceil(moved * gain)
            self.gain[lot] = max(gain, self.gain.get(lot, 1.0))

    def _link(self, links: dict[tuple[int, int], float], lot: int, mg: float) -> None:
        """Note into which lots a draw went, each by its part of what the step gave ours."""
        whole = math.fsum(part for _, part in self.parts)
        for into, part in self.parts:
            links[lot, into] = links.get((lot, into), 0.0) + mg * part / whole


def back(plant: int, lot: LotFacts, cut_mg: float) -> Back:
    """Give a walk back, ready to run."""
    walk = Walk(plant, forward=False)
    walk.know([lot.no])
    return Back(walk, lot, cut_mg)
