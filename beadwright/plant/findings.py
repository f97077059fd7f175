"""What the record shows without being asked: scales that drift, pieces that lack ties.

Read :func:`findings` first. Each finding is proposed to the engineer with its figures; none holds
a lot, refuses or releases anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from beadwright.ledger import weighed
from beadwright.plant.release import assess
from beadwright.plant.weighings import TieQuestion
from beadwright.statistics import first_signal, run_length, scores
from beadwright.statistics.changepoint import Start, start_of

__all__ = [
    "BOUND",
    "OUTLYING",
    "SLACK",
    "Drift",
    "Finding",
    "Series",
    "Source",
    "drift_of",
    "findings",
]

SLACK = 0.5
"""Of the cumulative sum, in standard deviations: a shift of one is found soonest."""

BOUND = 8.0
"""Of the cumulative sum: without a drift it is passed once in some 9,500 weighings."""

OUTLYING = 4.0
"""Standard deviations from which a single weighing is an event of its own, and no drift."""

_ALIKE = 6.0
"""Twice the log of twenty: between a step and a drift that differ by less nobody can tell, and
the earlier of both is taken."""

_FIRST = 2  # values that have no score yet
_FEWEST = 5  # values of which a drift can be told
_DAY_MS = 86_400_000
_SOURCES = ("remainder", "emptied")

Source = Literal["remainder", "emptied"]


@dataclass(frozen=True, slots=True)
class Series:
    """What one scale showed too much, by one way to see it, in order of happening."""

    scale: str
    source: Source
    what: str
    """Kind of step, or ``ran_empty``."""
    at_ms: tuple[int, ...]
    share: tuple[float, ...]
    """Mass that the scale showed and nothing else did, of what was weighed."""
    kg: tuple[float, ...]
    """Weighed."""


@dataclass(frozen=True, slots=True)
class Drift:
    """Where a series left what it was before."""

    series: Series
    since_ms: int
    """When it most likely began."""
    not_before_ms: int
    """Before this it began only with what the confidence of its start leaves."""
    signal_ms: int
    start: Start
    """Of the share, by the day."""
    height: float
    """Of the cumulative sum when it signalled, in standard deviations."""
    weighed_since: int
    """Weighings from ``not_before_ms`` on, and their mass."""
    kg_since: float


@dataclass(frozen=True, slots=True)
class Finding:
    """Something to look at."""

    kind: Literal["scale_drifts", "ties_short"]
    about: str
    """A scale, or a lot."""
    since_ms: int | None
    what: str
    why: str
    do: str
    drifts: tuple[Drift, ...] = ()
    ties: tuple[TieQuestion, ...] = ()


def findings(plant_no: int) -> tuple[Finding, ...]:
    """Give what the record shows of scales and of pieces that lack ties."""
    return (*_of_scales(_series(plant_no)), *_of_ties(plant_no))


class _Value(NamedTuple):
    at_ms: int
    share: float
    kg: float


def _series(plant_no: int) -> list[Series]:
    values: dict[tuple[str, Source, str], list[_Value]] = {}
    for step in weighed.weighed(plant_no):
        if step.mg:
            value = _Value(step.at_ms, -step.remainder_mg / step.mg, step.mg / 1e6)
            values.setdefault((step.scale, "remainder", step.kind), []).append(value)
    for end in weighed.emptied(plant_no):
        value = _Value(end.at_ms, -end.short_mg / end.mg, end.mg / 1e6)
        values.setdefault((end.scale, "emptied", "ran_empty"), []).append(value)
    return [
        Series(*name, *map(tuple, zip(*rows, strict=True))) for name, rows in sorted(values.items())
    ]


def drift_of(series: Series) -> Drift | None:
    """Give the drift of a series: its own noise is what it is compared with."""
    score = scores(series.share, OUTLYING)
    signal = first_signal(score, SLACK, BOUND)
    if signal is None:
        return None
    # Single events are in no fit: they have no score.
    told = [i for i, one in enumerate(score.tolist()) if one or i < _FIRST]
    start, contain = _start(series, told, told.index(signal.at))
    since, first = told[start.first], told[contain]
    return Drift(
        series,
        series.at_ms[since],
        series.at_ms[first],
        series.at_ms[signal.at],
        start,
        signal.height if signal.upward else -signal.height,
        len(series.share) - first,
        float(sum(series.kg[first:])),
    )


def _start(series: Series, told: Sequence[int], signal: int) -> tuple[Start, int]:
    """Give the likeliest start up to the signal, and from where on it may have begun.

    What came after the signal is looked at too, unless a later change would then be taken for
    what signalled.
    """
    share = np.array(series.share)[told]
    days = (np.array(series.at_ms)[told] - series.at_ms[0]) / _DAY_MS
    days += np.arange(len(days)) * 1e-6  # a tenth of a second: files give several one minute
    start, other = start_of(share, days)
    if start.first > signal and signal + 1 >= _FEWEST:
        start, other = start_of(share[: signal + 1], days[: signal + 1])
    alike = start.gain - other.gain < _ALIKE
    return start, min(start.contain_from, other.contain_from if alike else start.contain_from)


def _of_scales(every: Iterable[Series]) -> Iterable[Finding]:
    by_scale: dict[str, list[Drift]] = {}
    for series in every:
        drift = drift_of(series)
        if drift is not None:
            by_scale.setdefault(series.scale, []).append(drift)
    for scale, drifts in sorted(by_scale.items()):
        yield _scale(scale, sorted(drifts, key=lambda one: _SOURCES.index(one.series.source)))


def _scale(scale: str, drifts: Sequence[Drift]) -> Finding:
    first = drifts[0]
    more = "more" if first.height > 0 else "less"
    a_day = f", {abs(first.start.rate) * 1000:.1f} ‰ {more} each day" if first.start.rate else ""
    apart = (first.start.after - first.start.before) * 1000
    what = f"scale {scale} shows {abs(apart):.1f} ‰ {more} than it did{a_day}"
    why = "; ".join(map(_why, drifts))
    do = (
        f"Check {scale} with a test weight. {first.weighed_since} weighings,"
        f" {first.kg_since:,.0f} kg, rest on it since it may have begun; set right what is wrong"
        " by corrections."
    )
    return Finding("scale_drifts", scale, first.since_ms, what, why, do, tuple(drifts))


def _why(drift: Drift) -> str:
    whose = {
        "remainder": f"what its {drift.series.what} steps leave unaccounted",
        "emptied": "what the books still hold when the places it filled run empty",
    }
    before, after, spread = (
        f"{1000 * one:+.1f} ‰"
        for one in (drift.start.before, drift.start.after, drift.start.spread or 0.0)
    )
    leans = (
        f"; neighbours lean on each other ({drift.start.lean:.2f}), so it may have begun from"
        " further back"
        if drift.start.lean is not None
        else ""
    )
    return (
        f"{whose[drift.series.source]} went from {before} to {after}, where single weighings"
        f" spread by {spread[1:]}; its cumulative sum passed {BOUND:g} standard deviations, which"
        f" chance does once in {round(run_length(SLACK, BOUND), -2):,.0f} weighings{leans}"
    )


def _of_ties(plant_no: int) -> Iterable[Finding]:
    for lot in assess(plant_no).lots:
        some = tuple(one for one in lot.ties if one.pieces)
        if some:
            yield _ties(lot.lot, lot.made_at_ms, some)


def _ties(lot: str, made_ms: int | None, some: tuple[TieQuestion, ...]) -> Finding:
    told = "; ".join(
        f"{', '.join(one.pieces)} ({one.state}) short by {one.shortfall_kg:.2f} kg,"
        f" {one.short} tie{'s' if one.short > 1 else ''} each"
        for one in some
    )
    what = f"pieces of {lot} seem to lack ties: {told}"
    why = (
        "against the other pieces of the lot they are too light by whole ties,"
        " within twice the uncertainty"
    )
    do = f"Open the pieces and count; sort {lot} if ties are missing. Foam is not judged by them."
    return Finding("ties_short", lot, made_ms, what, why, do, (), some)
