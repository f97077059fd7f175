"""Trace: everything a lot was made of, everything made of it, with masses, shares and bounds.

Read :func:`trace` first. A place is no pipe: what a draw may contain lies between the smallest and
the largest share that came in since the place was swept empty; the well-mixed share is the
estimate. Both directions use the same linear rule, so a lot is in the trace forward of another
where that one is in its trace back.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from beadwright.errors import Misuse
from beadwright.ledger import store
from beadwright.ledger.undisturbed import undisturbed
from beadwright.ledger.walk import QUIET, Line, Lines, LotFacts, StepFacts, Walk

__all__ = [
    "BEAD_MG",
    "RESIDUE_MG",
    "Direction",
    "Forward",
    "Trace",
    "TraceLot",
    "asked",
    "forward",
    "trace",
]

Direction = Literal["back", "forward"]

BEAD_MG = 0.4
"""Mass of one raw bead, 0.9 mm of polystyrene at 1.03 g/cm³ (arithmetic): a smaller expected mass
ends the listed trace."""

RESIDUE_MG = 1_000_000
"""What stays behind in a place that ran empty and was not swept: 1 kg, common practice, no source.
"""

_COUNTS = frozenset({"weigh", "stocktake"})

_START = (-1, -1)
_END = (2**62, 2**62)


class TraceLot(NamedTuple):
    """One lot of a trace: how much it has to do with the lot asked about.

    Forward: mass of the lot asked about that came into this one, and its share of what came in;
    what leaves a place and comes back (regrind, a silo blown over) counts each time it comes in.
    Back: mass of this lot that went into the lot asked about, and its share of that lot.
    """

    lot: LotFacts
    step: str
    """The first step, in the fold's order, that joins them."""
    at_ms: int
    mg: float
    share: float
    least: float
    """Smallest share it can be, with the record true."""
    most: float


@dataclass(frozen=True, slots=True)
class Trace:
    """The whole trace of one lot in one direction."""

    lot: LotFacts
    direction: Direction
    mg: int
    """Mass of the lot asked about: what ever came into it."""
    lots: tuple[TraceLot, ...]
    steps: tuple[StepFacts, ...]
    cut_mg: float
    """Sum of expected masses below one bead, at which the list was ended."""


@dataclass(slots=True)
class _Content:
    """What a lot holds of the lot asked about: expected mass, and the range of any part's share."""

    mg: float = 0.0
    least: float = 0.0
    most: float = 0.0
    share: float = 0.0


@dataclass(slots=True)
class _Reach:
    """What came into a lot over the whole trace."""

    step: int
    mg: float = 0.0
    total: int = 0
    least: float = 1.0
    most: float = 0.0


def trace(plant: int, code: str, direction: Direction, *, cut_mg: float = BEAD_MG) -> Trace:
    """Trace a lot back to what it was made of, or forward to what was made of it.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot, mass = asked(plant, code)
    with undisturbed():
        if direction == "forward":
            return forward(plant, lot, cut_mg).run(mass)
        walk = Walk(plant, forward=False)
        walk.know([lot.no])
        return _Back(walk, lot, cut_mg).run(mass)


def forward(plant: int, lot: LotFacts, cut_mg: float) -> Forward:
    """Give a walk forward, ready to run; the closing account looks into it afterwards."""
    walk = Walk(plant, forward=True)
    walk.know([lot.no])
    return Forward(walk, lot, cut_mg)


def asked(plant: int, code: str) -> tuple[LotFacts, int]:
    """Give a lot, and the mass that ever came into it; Misuse if it is not in the record."""
    row = store.one(
        "SELECT no, code, kind, what, product, place FROM ledger_lot WHERE p=%s AND code=%s",
        [plant, code],
    )
    if row is None:
        message = f"lot {code} is not in the record: check the code, or search by its label"
        raise Misuse(message)
    came = store.one(
        "SELECT coalesce(sum(moved_mg), 0) FROM ledger_touch WHERE p=%s AND lot=%s AND sign > 0",
        [plant, row[0]],
    )
    return LotFacts(*row), int(came[0]) if came else 0


@dataclass(slots=True)
class Forward:
    """A walk forward: what is inside each lot as the steps go by."""

    walk: Walk
    lot: LotFacts
    cut: float
    only: frozenset[int] | None = None
    """Steps to stay within (the bounds of a trace back)."""
    inside: dict[int, _Content] = field(default_factory=dict)
    reach: dict[int, _Reach] = field(default_factory=dict)
    heap: list[tuple[int, int, int]] = field(default_factory=list)
    done: set[int] = field(default_factory=set)
    used: dict[int, None] = field(default_factory=dict)
    """Steps that brought something of the lot asked about into another, in their order."""
    fractions: dict[int, float] = field(default_factory=dict)
    """For each step walked, the share of what went in that is of the lot asked about."""
    unnamed: float = 0.0
    """Mass that statements of stock did not find again, less what was drawn beyond the books."""
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

    def _listed(self, no: int, r: _Reach) -> TraceLot:
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
                mg += moved
                least += moved
                most += moved
            elif (content := self.inside.get(lot)) is not None:
                held = content.mg
                out = _drawn(content, moved, after + moved - differ)
                self.unnamed += held - content.mg - out
                mg += out
                least += moved * content.least
                most += moved * content.most
        return mg, least, most, came

    def _stated(self, line: Line, kind: str) -> None:
        """Follow a statement of stock: what it says is gone is gone, and stays unnamed."""
        lot, _, _, after, differ = line
        if lot == self.lot.no:
            self.unnamed -= differ
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
            content.mg = content.share * RESIDUE_MG
        elif kind in _COUNTS:
            content.mg = content.share * after
        self.unnamed += held - content.mg

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
            r = self.reach[lot] = _Reach(no, total=before)
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


@dataclass(slots=True)
class _Back:
    """A walk back: which share of each lot's content ends in ours."""

    walk: Walk
    lot: LotFacts
    cut: float
    weight: dict[int, float] = field(default_factory=dict)
    """For each lot, the share of its content (at this point, going back) that ends in ours."""
    owed: dict[int, float] = field(default_factory=dict)
    """Mass drawn when the books held nothing, until the walk meets what they last knew."""
    ends: dict[int, _Reach] = field(default_factory=dict)
    heap: list[tuple[int, int, int]] = field(default_factory=list)
    done: set[int] = field(default_factory=set)
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
        steps = sorted(
            {r.step for r in self.ends.values()} | self._used(), key=lambda n: walk.steps[n][1:3]
        )
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

    def _used(self) -> set[int]:
        return {
            no
            for no in self.done
            if any(line[1] > 0 and self._leads(line[0]) for line in self.walk.lines[no])
            and any(line[1] < 0 and line[0] in self.ends for line in self.walk.lines[no])
        }

    def _leads(self, lot: int) -> bool:
        return lot == self.lot.no or lot in self.ends

    def _follow(self, lot: int, order: tuple[int, int]) -> None:
        mark = self.walk.next(lot, order)
        if mark is not None:
            heapq.heappush(self.heap, (-mark[0], -mark[1], mark[2]))

    def _step(self, no: int, order: tuple[int, int]) -> None:
        lines = self.walk.lines[no]
        came, ended = 0, 0.0
        for lot, sign, mg, _, _ in lines:
            if sign < 0:
                came += mg
            elif sign > 0:
                ended += mg * (1.0 if lot == self.lot.no else self.weight.get(lot, 0.0))
        for line in lines:
            if line[1] == 0 and line[0] in self.weight:
                self._stated(line, self.walk.steps[no].kind)
        if came:
            self._spread(no, ended / came)
        for lot in {line[0] for line in lines}:
            if lot in self.weight or lot == self.lot.no:
                self._follow(lot, order)

    def _stated(self, line: Line, kind: str) -> None:
        lot, _, _, after, differ = line
        if kind == "swept_empty":
            del self.weight[lot]
            self.owed.pop(lot, None)
        elif kind == "ran_empty" or kind in _COUNTS:
            left = RESIDUE_MG if kind == "ran_empty" else after
            owed = self.owed.pop(lot, 0.0) + self.weight[lot] * left
            self._owe(lot, owed, after - differ, kept=0.0)

    def _owe(self, lot: int, mg: float, before: int, *, kept: float) -> None:
        """Give a lot's content, going back, the weight of what came out of it.

        Where the books held nothing, it is owed to the last that they knew.
        """
        if before > 0:
            self.weight[lot] = kept + mg / before
        else:
            self.weight[lot] = kept
            self.owed[lot] = mg

    def _spread(self, no: int, weight: float) -> None:
        for lot, sign, moved, after, differ in self.walk.lines[no]:
            if sign >= 0 or lot == self.lot.no:
                continue
            mg = moved * weight
            old = self.weight.get(lot)
            if old is None and (mg < self.cut or not mg):
                self.cut_off += mg
                continue
            before = after + moved - differ
            part = min(1.0, moved / before) if before > 0 else 0.0
            # What is drawn for others is content that does not end in ours.
            self._owe(lot, self.owed.pop(lot, 0.0) + mg, before, kept=(old or 0.0) * (1 - part))
            if not mg:
                continue
            r = self.ends.get(lot)
            if r is None:
                r = self.ends[lot] = _Reach(no)
            r.step = no
            r.mg += mg
            r.total += moved


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
