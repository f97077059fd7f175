"""The walk forward: how much of a lot is inside every lot made of it, as the steps go by."""

from __future__ import annotations

from dataclasses import dataclass, field

from beadwright.ledger.ahead import Ahead, Knot
from beadwright.ledger.settled import Flow, Held, Settled
from beadwright.ledger.traced import COUNTS, RESIDUE_MG
from beadwright.ledger.unlike import EXACT, Off, Outputs, unlike
from beadwright.ledger.walk import Line, LotFacts, Reads, Walk

__all__ = ["Forward", "How", "Inside", "forward"]

_ALIKE = Outputs(0, 0.0)


@dataclass(frozen=True, slots=True)
class How:
    """How to walk."""

    cut_mg: float
    """Expected mass below which a lot is not entered."""
    off: Off = EXACT
    """How far masses may be off, for the bounds."""
    books: bool = False
    """Whether a place that is empty by the books is taken to be empty, as an account takes it."""


@dataclass(slots=True)
class Inside:
    """What a lot holds of the lot asked about, and what of it came in over the whole trace."""

    step: int
    """The first step that brought something of it."""
    line: int
    mg: float
    """Expected mass of it there now."""
    least: float
    """Smallest share of it that any part of what is there may have."""
    most: float
    after: int
    """The lot's whole stock after the last step walked."""
    came: float
    """Mass of it that ever came in."""
    total: int
    """What was there when the first of it came in, and all that has come in since."""
    low: float
    """Smallest share of it that anything coming in may have had."""
    high: float
    share: float = 0.0
    """Expected share of it in what was last drawn."""


@dataclass(slots=True)
class Forward:
    """A walk forward: what is inside each lot as the steps go by."""

    walk: Walk
    lot: LotFacts
    how: How
    inside: dict[int, Inside] = field(default_factory=dict)
    reach: dict[int, Inside] = field(default_factory=dict)
    """The same, with those that were swept empty since."""
    fresh: list[int] = field(default_factory=list)
    """Lots into which the last step brought the first of it."""
    used: dict[int, None] = field(default_factory=dict)
    """Steps that brought something of the lot asked about into another, in their order."""
    fractions: dict[int, float] = field(default_factory=dict)
    """For each of those steps, the share of what went in that is of the lot asked about."""
    unnamed: float = 0.0
    """Mass that statements of stock did not find again, less what was drawn beyond the books."""
    left: dict[int, float] = field(default_factory=dict)
    """The most of the lot asked about that may lie in places emptied and not swept since."""
    returned: float = 0.0
    """Mass of the lot asked about that came back into it; it is not followed a second time."""
    cut_off: float = 0.0
    links: dict[tuple[int, int], float] | None = None
    """Mass of ours that went from one lot into another; None where nobody asks."""
    settled: Settled = field(default_factory=Settled)
    """Lots that are not walked, for one step filled them."""
    parts: list[tuple[int, float]] = field(default_factory=list)
    """Lots that the last step drew on, each with what of ours was drawn."""
    outs: Outputs = _ALIKE
    """How far the outputs of the last step may be unlike."""

    def run(self) -> None:
        """Walk to the end."""
        self.walk.go(self.lot.no, self.inside, self.step)

    def step(self, no: int) -> list[int]:
        """Carry what is inside the step's lots across it; give the lots where it is new."""
        lines = self.walk.lines[no]
        flow = self._went_in(lines)
        part = 0.0
        if flow[0]:
            if no in self.settled.steps:
                self.settled.flows[no] = flow
                if lines[-1][3] < 0:
                    return []
            else:
                part = self.fractions[no] = flow[0] / flow[3]
                flow = self._widened(flow, lines)
        own = self.lot.no
        fresh: list[int] = []
        self.fresh = fresh
        for line in lines:  # inputs first, then statements of stock, then outputs
            sign = line[3]
            if sign > 0:
                if line[2] != own:
                    self._came_in(no, line, flow)
                else:
                    self.returned += line[4] * part
            elif not sign:
                self._stated(line, self.walk.steps[no].kind)
        return fresh

    def _widened(self, flow: Flow, lines: list[Line]) -> Flow:
        """Widen the bounds of what went in by what the masses of a mixture may be off."""
        self.outs = _ALIKE
        if len(lines) <= 2:  # noqa: PLR2004 - one in, one out: no mixture, and nothing beside it
            return flow
        self.outs = unlike(lines)
        mg, least, most, came = flow
        off = self.how.off
        if not off.share or lines[1][3] >= 0:
            return flow
        least, most = min(1.0, least / came), min(1.0, most / came)
        return mg, came * off.least(least), came * off.most(most), came

    def _went_in(self, lines: list[Line]) -> Flow:
        came = 0
        mg = least = most = 0.0
        own, inside, settled = self.lot.no, self.inside, self.settled
        self.parts = parts = []
        for line in lines:
            _, _, lot, sign, moved, after, differ, _ = line
            if sign >= 0:
                break
            came += moved
            if lot == own:
                self.unnamed -= differ
                if not after and lot in self.walk.places:
                    self._stays(lot, moved - differ)
                mg += moved
                least += moved
                most += moved
                parts.append((lot, float(moved)))
            elif (content := inside.get(lot)) is not None:
                drawn = self._drawn(content, line)
                mg += drawn
                parts.append((lot, drawn))
                least += moved * content.least
                most += moved * content.most
            elif lot in settled.lots and (held := settled.of(lot, self.how.cut_mg)) is not None:
                mg += moved * held.share
                least += moved * held.least
                most += moved * held.most
        return mg, least, most, came

    def _drawn(self, content: Inside, line: Line) -> float:
        """Take a draw's well-mixed part out of a lot's content.

        What is drawn beyond the books is taken to be like the last that the books knew.
        """
        _, _, lot, _, moved, after, differ, _ = line
        before = after + moved - differ
        if before > content.after:
            self.count_others(lot, content, before)
        content.after = after
        held = content.mg
        if before > 0:
            content.share = held / before
        out = content.share * moved
        if moved < before:
            content.mg = held - out
            return out
        if before > 0:
            # Empty by the books is not swept empty; no more stays than there was.
            stays = min(held, content.share * RESIDUE_MG) if lot in self.walk.places else 0.0
            content.mg = self._stays(lot, stays) if stays else 0.0
        self.unnamed += held - content.mg - out
        return out

    def count_others(self, lot: int, content: Inside, now: int) -> None:
        """Count what others have brought into a quiet lot: it is known by the lot's stock."""
        if lot in self.walk.quiet:
            content.total += now - content.after
            content.least = content.low = 0.0

    def _stated(self, line: Line, kind: str) -> None:
        """Follow a statement of stock: what it says is gone is gone, and stays unnamed."""
        _, _, lot, _, _, after, differ, _ = line
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
        if before > content.after:
            self.count_others(lot, content, before)
        content.after = after
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

    def _stays(self, lot: int, mg: float) -> float:
        """Note what may stay behind in an emptied place; give what is taken to be there."""
        self.left[lot] = min(RESIDUE_MG, self.left.get(lot, 0.0) + mg)
        return 0.0 if self.how.books else mg

    def _came_in(self, no: int, line: Line, flow: Flow) -> None:
        _, _, lot, _, out, after, _, _ = line
        mg, least, most, came = flow
        expected = out * mg / came if mg else 0.0
        content = self.inside.get(lot)
        if content is None and (expected < self.how.cut_mg or not expected):
            self.cut_off += expected
            return
        if self.links is not None:
            self._link(self.links, lot, out / came if came else 0.0)
        if content is None:
            self._enters(no, line, expected, flow)
            return
        if not expected and lot not in self.walk.quiet:
            return  # as all else that comes into a busy lot: known by its stock, not walked
        if after - out > content.after:
            self.count_others(lot, content, after - out)
        content.after = after
        content.mg += expected
        content.came += expected
        content.total += out
        floor = self.outs.least(least / came, out) if expected else 0.0
        content.least = min(content.least, floor)
        content.low = min(content.low, floor)
        if expected:
            roof = self.outs.most(most / came, out) if most < came else 1.0
            content.most = max(content.most, roof)
            content.high = max(content.high, roof)
            self.used[no] = None

    def _link(self, links: dict[tuple[int, int], float], into: int, share: float) -> None:
        """Note from which lots an output came, each by what was drawn of it."""
        for lot, drawn in self.parts:
            if drawn:
                links[lot, into] = links.get((lot, into), 0.0) + drawn * share

    def _enters(self, no: int, line: Line, mg: float, flow: Flow) -> None:
        """Note the first of the lot asked about in a lot, or the first since it was swept empty."""
        _, place, lot, _, out, after, _, _ = line
        _, least, most, came = flow
        before = after - out if after > out else 0
        # Other material may be in there already: in a lot's stock, or unswept in a place.
        floor = 0.0
        if not before and lot in self.walk.quiet:
            floor = self.outs.least(least / came, out)
        roof = self.outs.most(most / came, out) if most < came else 1.0
        r = self.reach.get(lot)
        if r is None:
            total = before + out
            r = self.reach[lot] = Inside(no, place, mg, floor, roof, after, mg, total, floor, roof)
        else:
            r.mg, r.least, r.most, r.after, r.share = mg, floor, roof, after, 0.0
            r.came += mg
            r.total += out
            r.low, r.high = min(r.low, floor), max(r.high, roof)
        self.used[no] = None
        if lot in self.settled.lots:
            self.settled.held[lot] = Held(mg / out, floor, roof)
            return
        self.inside[lot] = r
        self.fresh.append(lot)


def forward(
    plant: int,
    lot: LotFacts,
    how: How,
    reads: Reads | None = None,
    links: dict[tuple[int, int], float] | None = None,
) -> Forward:
    """Walk forward to the end.

    With ``links``, and with ``reads`` of such a walk, every step is walked.
    """
    if links is not None and reads is not None:
        reads.stepwise = True
    if links is None and not (reads and reads.stepwise):
        ahead = Ahead(plant, how.off, reads)
        try:
            return _walked(Forward(ahead, lot, how, settled=ahead.settled))
        except Knot:
            pass
    walk = Walk(plant, forward=True, reads=reads)
    return _walked(Forward(walk, lot, how, links=links))


def _walked(walk: Forward) -> Forward:
    walk.walk.know([walk.lot.no])
    walk.run()
    return walk
