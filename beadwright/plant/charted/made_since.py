"""The block lots that were made since a change began, those that nobody measured among them.

Read :func:`lots_since`. A change may have begun right after the last unchanged point: what was made
between that one and the first changed one belongs to it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby

from beadwright.ledger import lots, onward
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.lots import Making
from beadwright.plant.block_age import runs_of, spanned
from beadwright.plant.charted.series import Watched
from beadwright.plant.charted.since import Since

__all__ = ["lots_since"]

_Span = tuple[int, int]
_SWEEP, _IN, _OUT = range(3)
"""Within one instant a place is swept before anything comes in, and filled before it is drawn."""


def lots_since(plant_no: int, series: Watched, since: Since, at_ms: int) -> tuple[str, ...]:
    """Give the lots, oldest first."""
    points, last = series.points, since.contain_to
    after = points[max(since.contain_from - 1, 0)].at_ms
    open_ = last is None or last + 1 >= len(points)
    before = at_ms if open_ or last is None else points[last + 1].at_ms
    views = [
        view
        for kind in MOULDED
        for view in lots.of_kind(plant_no, kind, "mould run")
        if series.product in {"", view.product}
    ]
    makings = lots.makings(plant_no, [view.code for view in views])
    if series.of == "beads":
        runs = _run_of(plant_no, series, since) if since.start.kind == "point" else frozenset()
        found = _drawn_from(plant_no, series.machine, makings, (after, before), runs)
    else:
        stop = len(points) if last is None else last + 1
        changed = {one.lot for one in points[since.contain_from : stop]}
        found = changed | _unmeasured(series, makings, (after, before))
    made = [view for view in views if view.code in found]
    return tuple(one.code for one in sorted(made, key=lambda one: (one.first or 0, one.no)))


def _unmeasured(series: Watched, makings: Mapping[str, Sequence[Making]], span: _Span) -> set[str]:
    """Lots without a point that were being moulded within a span."""
    known = {one.lot for one in series.points}
    return {
        code
        for code, steps in makings.items()
        if code not in known
        and series.machine in {"", *(one.place for one in steps)}
        and any(began <= span[1] and ended >= span[0] for began, ended in runs_of(steps))
    }


def _run_of(plant_no: int, series: Watched, since: Since) -> frozenset[str]:
    """Give the runs that a cup which stands alone may be of: those going on when it was taken."""
    at_ms = series.points[since.start.first].at_ms
    places = [view.code for view in lots.of_kind(plant_no, "prefoam", "content")]
    steps = [one for some in lots.makings(plant_no, places).values() for one in some]
    return frozenset(
        one.run
        for one in steps
        if one.run and one.place == series.machine and spanned(one)[0] <= at_ms <= spanned(one)[1]
    )


def _drawn_from(
    plant_no: int,
    machine: str,
    makings: Mapping[str, Sequence[Making]],
    span: _Span,
    runs: frozenset[str],
) -> set[str]:
    """Lots that may hold beads which a machine expanded within a span; of these runs, if any.

    They are followed from place to place; only what was swept empty holds none any more.
    """
    places = [view.code for view in lots.of_kind(plant_no, "prefoam", "content")]
    events: list[tuple[int, int, str, Making | None]] = [
        (at_ms, _SWEEP, place, None)
        for place, times in onward.sweeps(plant_no).items()
        for at_ms in times
    ]
    for place, steps in lots.makings(plant_no, places).items():
        events += [(spanned(one)[0], _IN, place, one) for one in steps]
    for code, made in makings.items():
        events += [(spanned(one)[1], _OUT, code, one) for one in made]
    changed: set[str] = set()
    found: set[str] = set()
    for _, some in groupby(sorted(events, key=lambda one: one[:3]), key=lambda one: one[0]):
        instant = [(what, into, step) for _, what, into, step in some]
        changed -= {into for what, into, _ in instant if what == _SWEEP}
        filled = [(into, step) for what, into, step in instant if what == _IN and step is not None]
        before = -1
        while before != len(changed):  # of one minute nobody knows which filling came first
            before = len(changed)
            changed |= {
                into for into, step in filled if _brings(step, changed, (machine, span), runs)
            }
        found |= {
            into
            for what, into, step in instant
            if what == _OUT and step is not None and any(one.lot in changed for one in step.inputs)
        }
    return found


def _brings(step: Making, changed: set[str], of: tuple[str, _Span], runs: frozenset[str]) -> bool:
    """Whether a step brings beads that were expanded at a machine within a span, or in a run."""
    (machine, (first, last)), (began, ended) = of, spanned(step)
    made = step.run in runs if runs else ended >= first and began <= last
    return any(one.lot in changed for one in step.inputs) or (step.place == machine and made)
