"""The fold: what a lot's state is after a step. Pure; no store, no clock.

Read :func:`apply` first. Stock, clocks, grades and the causes of holds follow from the newest
version of every step, taken in the order ``(k, tie)``; so they do not depend on the order in which
the steps were posted; and so does the share that was moulded before, were a lot well mixed.
Shares of single lots are not here: they change with every gram (see ``trace``).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple, Protocol

from beadwright.ledger.draft import RECLAIM

__all__ = [
    "EMPTY",
    "NO_CONCESSIONS",
    "WHOLE",
    "Concessions",
    "Dated",
    "Flaw",
    "FoldLine",
    "FoldLot",
    "FoldStep",
    "Found",
    "Judge",
    "State",
    "Touched",
    "apply",
    "joined",
    "members",
    "moulded",
    "reaching",
]


class State(NamedTuple):
    """A lot after a touch: stock, what came in since it was last empty, two clocks, marks."""

    mg: int
    pieces: int
    in_mg: int
    first: int | None
    last: int | None
    grades: str
    causes: str
    place: str
    reclaim: int
    """Share of the mass that was moulded before, in parts of :data:`WHOLE`: were it well mixed."""


EMPTY = State(0, 0, 0, None, None, "", "", "", 0)

WHOLE = 1_000_000
"""A share of everything, in parts per million."""


class FoldLot(NamedTuple):
    """What the fold must know of a lot besides its state."""

    no: int
    code: str
    kind: str
    what: str
    product: str
    own: str
    unit_mg: int


class FoldLine(NamedTuple):
    """A line of a step as the fold reads it."""

    line: int
    lot: int
    sign: int
    mg: int
    pieces: int
    how: str
    goes: str


class Found(NamedTuple):
    """A nonconformity: step, code, offending lot or none, the cause its hold carries."""

    code: str
    lot: int | None
    cause: str
    detail: str


class Flaw(NamedTuple):
    """What the judge says of a step: a code, the offending lot or none, and a sentence."""

    code: str
    lot: int | None
    detail: str


class Touched(NamedTuple):
    """One line after the fold: by how much the books differed, and the state it leaves."""

    line: FoldLine
    differ_mg: int
    differ_pieces: int
    after: State


@dataclass(slots=True)
class FoldStep:
    """A step as the fold reads it: the newest version, with its place in the order."""

    no: int
    key: str
    kind: str
    k: int
    tie: int
    at_ms: int
    lines: list[FoldLine]
    product: str = ""
    place: str = ""
    run: str = ""
    """The run; of a hold or a lift, the id of the hold."""
    by: str = ""
    facts: Mapping[str, str] = field(default_factory=dict)
    remainder_mg: int = 0

    @property
    def order(self) -> tuple[int, int]:
        """Where the step stands in the fold."""
        return (self.k, self.tie)


class Dated(Protocol):
    """Dated settings: the only thing a judge may read besides the step."""

    def at(self, topic: str, name: str, at_ms: int) -> Mapping[str, object] | None:
        """Give the body in force at that time, or None."""
        ...


Judge = Callable[
    [FoldStep, Mapping[int, FoldLot], Mapping[int, State], Sequence[Touched], Dated],
    Sequence[Flaw],
]
"""``judge(step, lots, states before, drawn lines, settings)``: what is wrong with the step."""

Concessions = Mapping[str, Sequence[int]]
"""For each root of a cause, the ``k`` of the concessions given on it, ascending."""

NO_CONCESSIONS: Concessions = {}

_OF = "of:"
"""Mark of a block: the lot it was moulded into, carried on by whatever holds pieces of it."""

_CLOCK_STARTS = frozenset({"expand", "receipt", "mould", "produce", "grind", "densify"})
"""Steps that make something new; elsewhere a lot inherits the clocks of what it was made of."""

_DISPOSED = frozenset({"scrap", "regrind", "densified"})
"""Scrapping is the disposition of a nonconforming output, so its automatic hold ends there; grades
and people's holds go on, and no scrap can come back into a block unseen (mark ``reclaim``)."""


@lru_cache(maxsize=65536)
def joined(a: str, b: str) -> str:
    """Union of two sets of marks, each written sorted and joined by a bar."""
    if not b or a == b:
        return a
    if not a:
        return b
    return "|".join(sorted(set(a.split("|")) | set(b.split("|"))))


@lru_cache(maxsize=65536)
def _without(a: str, start: str) -> str:
    return "|".join(m for m in a.split("|") if not m.startswith(start))


@lru_cache(maxsize=65536)
def _decided(causes: str) -> str:
    return "|".join(c for c in causes.split("|") if c.startswith("hold:"))


def members(marks: str) -> tuple[str, ...]:
    """Marks of a set, sorted."""
    return tuple(marks.split("|")) if marks else ()


def reaching(marks: str) -> tuple[str, ...]:
    """Causes among a lot's marks, sorted; not what it was moulded as."""
    return tuple(m for m in members(marks) if not m.startswith(_OF))


def moulded(marks: str) -> tuple[str, ...]:
    """Codes of the lots that a lot's blocks were moulded into, from its marks."""
    return tuple(m[len(_OF) :] for m in members(marks) if m.startswith(_OF))


def apply(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    rules: tuple[Judge, Dated, Concessions],
) -> tuple[list[Touched], list[Found]]:
    """Carry the states of a step's lots across it, and say what is wrong with it.

    ``before`` holds the state of every lot of the step just before it (EMPTY where it had none).
    Lines are taken inputs first, then statements of stock, then outputs.
    """
    now = dict(before)
    touched, flow = _went_in(step, lots, now)
    flaws = rules[0](step, lots, before, touched, rules[1])
    # One for each code and lot: a lot that is drawn in two lines is not wrong twice.
    once = {(flaw.code, flaw.lot): flaw for flaw in reversed(flaws)}
    found = [_found(step, lots, flaw, rules[2]) for flaw in reversed(once.values())]
    for one in found:
        flow.causes = joined(flow.causes, one.cause)
    for line in step.lines:
        if line.sign == 0:
            touched.append(_state_stock(step, line, now[line.lot]))
            now[line.lot] = touched[-1].after
    for line in step.lines:
        if line.sign > 0:
            touched.append(_come_in(step, line, lots[line.lot], (now[line.lot], flow)))
            now[line.lot] = touched[-1].after
    return touched, found


@dataclass(slots=True)
class _Flow:
    """What a step's inputs hand on to its outputs."""

    grades: str = ""
    causes: str = ""
    first: int | None = None
    last: int | None = None
    source: str = ""
    blocks: bool = False
    mg: int = 0
    """All that went in, less the ties that come out."""
    moulded: int = 0
    """What of it was moulded before, times WHOLE."""
    most: int = 0
    """The greatest share of what went in."""

    def reclaim(self) -> int:
        """Share of what comes out that was moulded before; ties are taken to be new."""
        return min(WHOLE, _nearest(self.moulded, self.mg)) if self.mg > 0 else self.most


def _nearest(part: int, whole: int) -> int:
    return (2 * part + whole) // (2 * whole)


def _went_in(
    step: FoldStep, lots: Mapping[int, FoldLot], now: dict[int, State]
) -> tuple[list[Touched], _Flow]:
    touched: list[Touched] = []
    flow = _Flow()
    for line in step.lines:
        if line.sign >= 0:
            continue
        state = now[line.lot]
        flow.causes = joined(flow.causes, state.causes)
        kind = lots[line.lot].kind
        flow.blocks = flow.blocks or kind == "block"
        if kind != "tie":  # a grade is the bead's; a tie's is judged where the tie goes in
            flow.grades = joined(flow.grades, state.grades)
            if state.first is not None:
                flow.source = kind
                flow.first = _least(flow.first, state.first)
                flow.last = _most(flow.last, state.last)
        flow.mg += line.mg
        flow.moulded += line.mg * state.reclaim
        flow.most = max(flow.most, state.reclaim)
        touched.append(_draw(line, state))
        now[line.lot] = touched[-1].after
    if flow.most:
        flow.mg -= sum(one.mg for one in step.lines if one.sign > 0 and lots[one.lot].kind == "tie")
    return touched, flow


def _least(a: int | None, b: int | None) -> int | None:
    return a if b is None else b if a is None else min(a, b)


def _most(a: int | None, b: int | None) -> int | None:
    return a if b is None else b if a is None else max(a, b)


def _draw(line: FoldLine, state: State) -> Touched:
    """Take from a lot; stock stops at nothing, and what was missing is the shortage."""
    short = max(0, line.mg - state.mg)
    short_pieces = max(0, line.pieces - state.pieces)
    after = state._replace(
        mg=state.mg - line.mg + short,
        pieces=state.pieces - line.pieces + short_pieces,
        place=line.goes or state.place,
    )
    return Touched(line, short, short_pieces, after)


def _come_in(step: FoldStep, line: FoldLine, lot: FoldLot, into: tuple[State, _Flow]) -> Touched:
    state, flow = into
    first, last = flow.first, flow.last
    if step.kind in _CLOCK_STARTS or first is None or lot.kind != flow.source:
        first = last = step.at_ms
    if flow.source in _DISPOSED and lot.kind == "prefoam":
        first = last = None  # ground foam has no hours to age; the beads beside it keep theirs
    causes = _decided(flow.causes) if lot.kind in _DISPOSED else flow.causes
    if flow.blocks and lot.kind != "block":
        causes = _without(causes, _OF)
    elif lot.kind == "block" and not flow.blocks:
        causes = joined(causes, _OF + lot.code)
    after = State(
        state.mg + line.mg,
        state.pieces + line.pieces,
        state.in_mg + line.mg,
        _least(state.first, first),
        _most(state.last, last),
        joined(state.grades, joined(flow.grades, lot.own)),
        joined(state.causes, causes),
        line.goes or state.place,
        _mixed(line, lot, into),
    )
    return Touched(line, 0, 0, after)


def _mixed(line: FoldLine, lot: FoldLot, into: tuple[State, _Flow]) -> int:
    """Share of a lot that was moulded before, when it is mixed with what comes in."""
    if lot.own and RECLAIM in members(lot.own):
        return WHOLE
    state, flow = into
    new = 0 if lot.kind == "tie" or not flow.most else flow.reclaim()
    if new == state.reclaim:
        return new
    whole = state.mg + line.mg
    return _nearest(state.mg * state.reclaim + line.mg * new, whole) if state.mg and whole else new


def _state_stock(step: FoldStep, line: FoldLine, state: State) -> Touched:
    """Say what is there (or held, or where): the difference to the books is kept, not argued."""
    kind = step.kind
    after = state._replace(place=line.goes) if line.goes else state
    if kind == "swept_empty":
        # The only step that ends grades, holds and scope: nothing of the old content is left.
        after = EMPTY._replace(place=after.place)
    elif kind == "ran_empty":
        after = after._replace(mg=0, pieces=0, in_mg=0, first=None, last=None)
    elif kind in {"weigh", "stocktake"}:
        after = after._replace(mg=line.mg, pieces=line.pieces)
    elif kind == "hold":
        # The mark says when it was decided: using the lot before that broke no rule.
        mark = f"hold:{step.run}@{step.at_ms}"
        after = after._replace(causes=joined(after.causes, mark))
    elif kind == "lift":
        after = after._replace(causes=_without(after.causes, f"hold:{step.run}@"))
    return Touched(line, after.mg - state.mg, after.pieces - state.pieces, after)


_PLAIN = str.maketrans("|#", "~~")
"""A bar parts the causes of a lot, and a number sign the counting of concessions."""


def _found(
    step: FoldStep, lots: Mapping[int, FoldLot], flaw: Flaw, concessions: Concessions
) -> Found:
    """Name the cause. A concession closes what came before it; what comes after is a new cause."""
    about = f"step {step.key.translate(_PLAIN)}" if flaw.lot is None else lots[flaw.lot].code
    root = f"{flaw.code}:{about}"
    given = bisect_left(concessions.get(root, ()), step.k)
    return Found(flaw.code, flaw.lot, f"{root}#{given}" if given else root, flaw.detail)
