"""What a walk forward comes to: all lots it reached, in columns; and as a list, with the steps.

Read :func:`reached` and :func:`listed`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

import numpy as np

from beadwright.ledger.came import came_into
from beadwright.ledger.columns import Ints, Where, columns
from beadwright.ledger.forward import Forward, Inside
from beadwright.ledger.traced import Now, Reached, Trace, TraceLot
from beadwright.ledger.walk import LotFacts, StepFacts

__all__ = ["listed", "reached"]

_TEXTS = slice(1, 6)
"""Of what is said of a lot: its code, kind, what it is, product and place."""


def reached(plant: int, walk: Forward, mass: int) -> Reached:
    """Give all that a walk reached, when it has come to its end."""
    found = walk.settled.work_out(walk.how.cut_mg)
    rows, own = found.fillings, list(walk.reach.values())
    lots = [walk.walk.lots[no] for no in walk.reach]
    texts = zip(*(lot[_TEXTS] for lot in lots), strict=True) if lots else [()] * 5
    said = ([*ours, *theirs] for ours, theirs in zip(texts, rows.texts, strict=True))
    code, kind, what, product, place = said
    figures = np.array(list(_figures(plant, walk))).reshape(-1, 4).T
    settled = (found.mg, found.share, found.least, found.most)
    whole = (
        _joined(some, of)
        for some, of in (
            ([lot.no for lot in lots], rows.lot), ([lot.mg for lot in lots], rows.stock),
            ([one.step for one in own], rows.step), ([one.line for one in own], rows.line),
        )
    )  # fmt: skip
    number, stock, step, line = whole
    came, share, least, most = map(np.concatenate, zip(figures, settled, strict=True))
    cut = walk.cut_off + found.cut_off
    return Reached(
        walk.lot, mass, number, code, kind, what, product, place, stock,
        came, share, least, most, step, line, cut, dict(_now(walk)),
    )  # fmt: skip


def _now(walk: Forward) -> Iterator[tuple[int, Now]]:
    for no, content in walk.inside.items():
        stock = walk.walk.lots[no].mg
        if stock > 0 and no not in walk.walk.quiet:
            yield no, Now(content.mg, min(1.0, content.mg / stock), content.most)


def _joined(ours: list[int], theirs: Ints) -> Ints:
    return np.concatenate([np.array(ours, np.int64), theirs])


def _figures(plant: int, walk: Forward) -> Iterator[tuple[float, float, float, float]]:
    """Give mass, share and bounds of the lots that were walked.

    The walk goes by the steps that have to do with the lot asked about alone. So a share in a place
    is given as one of all that ever came in, as its own trace back does.
    """
    busy = [no for no in walk.reach if no not in walk.walk.quiet]
    came = came_into(plant, busy)
    for no, one in walk.reach.items():
        share, low, high = _bounds(walk, one, walk.walk.lots[no])
        if came.get(no):
            share, low = min(share, one.came / came[no]), 0.0
        yield one.came, share, low, high


def _bounds(walk: Forward, one: Inside, lot: LotFacts) -> tuple[float, float, float]:
    if lot.mg > one.after and lot.no in walk.inside:
        walk.count_others(lot.no, one, lot.mg)
    share = one.came / one.total if one.came < one.total else 1.0
    # Where the books were off, the share may lie beyond its bounds.
    return share, min(one.low, share), max(one.high, share)


def listed(plant: int, found: Reached, used: Iterable[int]) -> Trace:
    """List what was reached in the order of the steps; ``used`` are those that brought more too."""
    number, steps = _steps(plant, {*used, *found.step.tolist()})
    sorted_ = np.argsort(number)
    place = sorted_[np.searchsorted(number, found.step, sorter=sorted_)]
    order = np.lexsort((found.line, place))
    facts, at = list(found.facts()), [steps[i] for i in place[order].tolist()]
    said = (map(facts.__getitem__, order.tolist()), (s.key for s in at), (s.at_ms for s in at))
    figures = (one[order].tolist() for one in (found.came, found.share, found.least, found.most))
    lots = tuple(map(partial(tuple.__new__, TraceLot), zip(*said, *figures, strict=True)))
    return Trace(found.lot, "forward", found.mg, lots, steps, found.cut_mg, found.now)


def _steps(plant: int, numbers: set[int]) -> tuple[Ints, tuple[StepFacts, ...]]:
    """Give steps in the fold's order, and their numbers."""
    where = Where("ledger_step", "no", numbers)
    texts = ("t.key", "kind", "product", "place")
    (no, at_ms, k, tie), said = columns(plant, ("no", "at_ms", "k", "tie"), texts, where)
    order = np.lexsort((tie, k))
    chosen = order.tolist()
    key, kind, product, place = ([text[i] for i in chosen] for text in said)
    rows = zip(no[order].tolist(), key, kind, at_ms[order].tolist(), product, place, strict=True)
    return no[order], tuple(map(partial(tuple.__new__, StepFacts), rows))
