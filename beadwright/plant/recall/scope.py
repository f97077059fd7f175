"""The scope of a recall: every lot that may hold any of what it starts from, and where it is now.

Read :func:`scope`. Lots come from the trace forward of each start, with shares and bounds as
:mod:`beadwright.ledger.traced` says; what one start has with another is added, for they are
different material. A start that another one's trace reaches is part of that one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.ledger import lots
from beadwright.ledger.account import OUTSIDE, Account, account
from beadwright.ledger.trace import trace
from beadwright.ledger.traced import Trace
from beadwright.ledger.walk import LotFacts
from beadwright.plant.opening import Plant
from beadwright.plant.whereabouts import Stand, Whereabouts, whereabouts

__all__ = ["InScope", "Scope", "Sent", "scope"]

_BLOCKS = frozenset({"block", "packaging"})
_MADE = "mould run"


@dataclass(frozen=True, slots=True)
class InScope:
    """One lot that may hold any of it."""

    lot: LotFacts
    share: float
    """As if each place had been well mixed."""
    least: float
    most: float
    mg: float
    """Expected mass of the starts in it."""


@dataclass(frozen=True, slots=True)
class Sent:
    """Pieces of one lot that a receiver has."""

    lot: str
    product: str
    stand: Stand
    share: float
    most: float


@dataclass(frozen=True, slots=True)
class Scope:
    """What a recall has to reach."""

    starts: tuple[str, ...]
    within: tuple[str, ...]
    """Starts that another one's trace reaches: not traced again."""
    lots: tuple[InScope, ...]
    """Most likely first; the starts are among them."""
    here: tuple[tuple[str, Stand], ...]
    """Pieces in the plant, by lot: to be held."""
    stock: tuple[InScope, ...]
    """Other lots of which there is stock: beads, prefoam, regrind, ties."""
    receivers: tuple[tuple[str, tuple[Sent, ...]], ...]
    """Who has what, by name."""
    gone: int
    """Pieces of lots in scope that are neither here nor sent: rejected, sampled, scrapped."""
    cut_mg: float
    """Expected mass in lots with less than one bead each, which are not listed."""
    accounts: tuple[Account, ...]
    """The closing account of each start."""


def scope(plant: Plant, starts: Sequence[str]) -> Scope:
    """Work out the scope.

    Raises
    ------
    Misuse
        If a lot is not in the record.
    """
    traces = [trace(plant.no, code, "forward") for code in dict.fromkeys(starts)]
    reached = {one.lot.code for found in traces for one in found.lots}
    own = [one for one in traces if one.lot.code not in reached] or traces
    every = _joined(own)
    views = lots.get_many(plant.no, [
        one.lot.code for one in every if one.lot.kind in _BLOCKS and one.lot.what == _MADE
    ])  # fmt: skip
    stands = whereabouts(plant.no, views, lots.makings(plant.no, views))
    by_code = {one.lot.code: one for one in every}
    return Scope(
        tuple(dict.fromkeys(starts)),
        tuple(one.lot.code for one in traces if one not in own),
        every,
        tuple((code, stand) for code in views for stand in stands[code].in_stock),
        tuple(one for one in every if _is_stock(one.lot)),
        _receivers(stands, by_code),
        sum(one.gone for one in stands.values()),
        sum(one.cut_mg for one in own),
        tuple(account(plant.no, one.lot.code) for one in own),
    )


def _joined(traces: Sequence[Trace]) -> tuple[InScope, ...]:
    found: dict[str, InScope] = {}
    for start in traces:
        found[start.lot.code] = InScope(start.lot, 1.0, 1.0, 1.0, float(start.mg))
    for start in traces:
        for one in start.lots:
            before = found.get(one.lot.code)
            if before is None:
                found[one.lot.code] = InScope(one.lot, one.share, one.least, one.most, one.mg)
            else:
                found[one.lot.code] = InScope(
                    one.lot, min(1.0, before.share + one.share),
                    min(1.0, before.least + one.least), min(1.0, before.most + one.most),
                    before.mg + one.mg,
                )  # fmt: skip
    return tuple(sorted(found.values(), key=lambda one: (-one.share, -one.mg, one.lot.code)))


def _is_stock(lot: LotFacts) -> bool:
    pieces = lot.kind in _BLOCKS
    return not pieces and lot.mg > 0 and not lot.place.startswith(OUTSIDE)


def _receivers(
    stands: dict[str, Whereabouts], by_code: dict[str, InScope]
) -> tuple[tuple[str, tuple[Sent, ...]], ...]:
    found: dict[str, list[Sent]] = {}
    for code, its in stands.items():
        one = by_code[code]
        for stand in its.shipped:
            sent = Sent(code, one.lot.product, stand, one.share, one.most)
            found.setdefault(stand.receiver, []).append(sent)
    return tuple((name, tuple(some)) for name, some in sorted(found.items()))
