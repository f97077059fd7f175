"""The walk forward: how much of a lot is inside every lot made of it, as the steps go by."""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field

from beadwright.ledger.traced import COUNTS, RESIDUE_MG, Reach, Trace, TraceLot
from beadwright.ledger.walk import QUIET, Line, Lines, LotFacts, Walk

__all__ = ["Forward", "forward"]

_START = (-1, -1)


@dataclass(slots=True)
class _Content:
    """What a lot holds of the lot asked about: expected mass, and the range of any part's share."""

    mg: float = 0.0
    least: float = 0.0
    most: float = 0.0
    share: float = 0.0


@dataclass(slots=True)
class Forward:
    """A walk forward: what is inside each lot as the steps go by."""

    walk: Walk
    lot: LotFacts
    cut: float
    only: frozenset[int] | None = None
    """Steps to stay within (the bounds of a trace back)."""
    inside: dict[int, _Content] = field(default_factory=dict)
    reach: dict[int, Reach] = field(default_factory=dict)
    heap: list[tuple[int, int, int]] = field(default_factory=list)
    done: set[int] = field(default_factory=set)
    used: dict[int, None] = field(default_factory=dict)
    """Steps that brought something of the lot asked about into another, in their order."""
    fractions: dict[int, float] = field(default_factory=dict)
    """For each step walked, the share of what went in that is of the lot asked about."""
    unnamed: float = 0.0
    """Mass that statements of stock did not find again, less what was drawn beyond the books."""
    books: bool = False
    """Whether a place that is empty by the books is taken to be empty, as an account takes it."""
    left: dict[int, float] = field(default_factory=dict)
    """The most of the lot asked about that may lie in places emptied and not swept since."""
    returned: float = 0.0
    """Mass of the lot asked about that came back into it; it is not followed a second time."""
    cut_off: float = 0.0

    def run(self, mass: int) -> Trace:
        """Walk to the end, and list what was reached."""
        self._follow(self.lot.no, _START)
        while self.heap:
            mark = heapq.heappop(self.heap)
            if mark[2] not in self.done:
                self.done.add(mark[2])
                self.step(mark[2], mark[:2])
        lots = tuple(self._listed(no, r) for no, r in self.reach.items())
        facts = tuple(self.walk.steps[no] for no in self.used)
        return Trace(self.lot, "forward", mass, lots, facts, self.cut_off)

    def _listed(self, no: int, r: Reach) -> TraceLot:
        step = self.walk.steps[r.step]
        share = min(1.0, r.mg / r.total) if r.total else 0.0
        return TraceLot(
            self.walk.lots[no], step.key, step.at_ms, r.mg, share,
            min(share, r.least), max(share, min(r.most, 1.0)),
        )  # fmt: skip

    def _follow(self, lot: int, order: tuple[int, int]) -> None:
        mark = self.walk.next(lot, order)
        if mark is not None:
            heapq.heappush(self.heap, mark)

    def step(self, no: int, order: tuple[int, int]) -> None:
        """Carry what is inside the step's lots across it."""
        lines = self.walk.lines[no]
        flow = self._went_in(lines)
        self.fractions[no] = flow[0] / flow[3] if flow[3] else 0.0
        own = self.lot.no
        for line in lines:
            if line[1] == 0:
                self._stated(line, self.walk.steps[no].kind)
        for line in lines:
            if line[1] > 0 and line[0] != own:
                self._came_in(no, line, flow)
            elif line[1] > 0:
                self.returned += line[2] * self.fractions[no]
        if self.only is None:
            for lot in {line[0] for line in lines}:
                if lot in self.inside or lot == own:
                    self._follow(lot, order)

    def _went_in(self, lines: Lines) -> tuple[float, float, float, int]:
        """Give what went in of the lot asked about: expected, least, most; and the whole input."""
        came = 0
        mg = least = most = 0.0
        for lot, sign, moved, after, differ in lines:
            if sign >= 0:
                continue
            came += moved
            if lot == self.lot.no:
                self.unnamed -= differ
                if not after and self._is_place(lot):
                    self._stays(lot, moved - differ)
                mg += moved
                least += moved
                most += moved
            elif (content := self.inside.get(lot)) is not None:
                held, before = content.mg, after + moved - differ
                out = _drawn(content, moved, before)
                if moved >= before > 0 and self._is_place(lot):
                    # Empty by the books is not swept empty; no more stays than there was.
                    content.mg = self._stays(lot, min(held, content.share * RESIDUE_MG))
                self.unnamed += held - content.mg - out
                mg += out
                least += moved * content.least
                most += moved * content.most
        return mg, least, most, came

    def _stated(self, line: Line, kind: str) -> None:
        """Follow a statement of stock: what it says is gone is gone, and stays unnamed."""
        lot, _, _, after, differ = line
        if kind == "swept_empty":
            self.left.pop(lot, None)
        if lot == self.lot.no:
            self.unnamed -= differ
            if kind == "ran_empty":
                self._stays(lot, after - differ)
        content = self.inside.get(lot)
        if content is None:
            return
        held, before = content.mg, after - differ
        if kind == "swept_empty":
            del self.inside[lot]
            self.unnamed += held
            return
        if before > 0:
            content.share = held / before
        if kind == "ran_empty":
            # Where the books held nothing already, what stayed behind is there as it was.
            content.mg = self._stays(lot, min(held, content.share * RESIDUE_MG))
        elif kind in COUNTS:
            content.mg = content.share * after
        self.unnamed += held - content.mg

    def _is_place(self, lot: int) -> bool:
        return self.walk.lots[lot].what == "content"

    def _stays(self, lot: int, mg: float) -> float:
        """Note what may stay behind in an emptied place; give what is taken to be there."""
        self.left[lot] = min(RESIDUE_MG, self.left.get(lot, 0.0) + mg)
        return 0.0 if self.books else mg

    def _came_in(self, no: int, line: Line, flow: tuple[float, float, float, int]) -> None:
        mg, least, most, came = flow
        lot, _, out, after, _ = line
        expected = out * mg / came if came else 0.0
        content = self.inside.get(lot)
        if content is None and (expected < self.cut or not expected):
            self.cut_off += expected
            return
        floor = least / came if came else 0.0
        roof = min(1.0, most / came) if came else 0.0
        before = max(0, after - out)
        if content is None:
            # Other material may be in there already: in a lot's stock, or unswept in a place.
            if before or self.walk.lots[lot].kind not in QUIET:
                floor = 0.0
            content = self.inside[lot] = _Content(least=floor, most=roof)
        else:
            content.least = min(content.least, floor)
            content.most = max(content.most, roof)
        content.mg += expected
        r = self.reach.get(lot)
        if r is None:
            r = self.reach[lot] = Reach(no, total=before)
        self.used[no] = None
        r.mg += expected
        r.total += out
        r.least = min(r.least, floor)
        r.most = max(r.most, roof)


def _drawn(content: _Content, mg: int, before: int) -> float:
    """Take a draw's well-mixed part out of a lot's content.

    What is drawn beyond the books is taken to be like the last that the books knew.
    """
    if before > 0:
        content.share = content.mg / before
    content.mg -= content.share * min(mg, max(before, 0))
    return content.share * mg


def forward(plant: int, lot: LotFacts, cut_mg: float) -> Forward:
    """Give a walk forward, ready to run; the closing account looks into it afterwards."""
    walk = Walk(plant, forward=True)
    walk.know([lot.no])
    return Forward(walk, lot, cut_mg)
