"""What sampling does over many lots, by simulation with a fixed seed.

The published plans with their rules: how much passes at the AQL and beyond it, how soon a bad
process is stopped. And how often a search among lots names one by mistake.
"""

from __future__ import annotations

import time

import numpy as np

from beadwright.statistics.defects import Group, over_represented
from beadwright.statistics.sampling import (
    LotResult,
    Model,
    Severity,
    SwitchingState,
    TwoPoints,
    after_lot,
    design_single,
    published_plan,
)
from beadwright.statistics.sampling.published import tighter_aql
from beadwright.statistics.sampling.switching import resume
from benchmarks import Result

__all__ = ["run"]

_LOT, _AQL = 1000, 1.0
_RUNS, _LOTS = 2000, 100
_PLANTS = 4000


def run() -> list[Result]:
    """Measure the rules, the search, and how long a plan takes to find."""
    random = np.random.default_rng(61)
    found = []
    for times, least, most in ((1.0, 94.0, None), (2.0, None, 80.0), (4.0, None, 40.0)):
        passed, stopped = _over_lots(random, times * _AQL / 100)
        name = f"lots of {_LOT:,}, AQL {_AQL:g} %, process at {times:g} times the AQL: accepted"
        note = f"inspection stopped in {100 * stopped:.0f} of 100 runs of {_LOTS} lots"
        target = least if most is None else most
        better = "higher" if most is None else "lower"
        found.append(Result(name, round(100 * passed, 1), "%", target, None, better, note))
    return [*found, _named(random), _designed()]


def _over_lots(random: np.random.Generator, share: float) -> tuple[float, float]:
    """Share of lots accepted by the rules, and of runs in which inspection was stopped."""
    plans = {one: published_plan(_LOT, _AQL, severity=one).plan for one in list(Severity)[:3]}
    step = tighter_aql(_AQL)
    tighter = published_plan(_LOT, step or _AQL).plan.accept
    passed = stopped = 0
    for _ in range(_RUNS):
        state, was_stopped = SwitchingState(), False
        for _ in range(_LOTS):
            plan = plans[state.severity]
            lot = LotResult(int(random.binomial(plan.size, share)), plan, tighter)
            passed += lot.accepted
            state = after_lot(state, lot, reduced_allowed=True).state
            if state.severity is Severity.DISCONTINUED:
                was_stopped, state = True, resume(state).state
        stopped += was_stopped
    return passed / (_RUNS * _LOTS), stopped / _RUNS


def _named(random: np.random.Generator) -> Result:
    """Plants of twelve lots with nothing wrong: how often one is named."""
    named = 0
    for _ in range(_PLANTS):
        of = random.integers(50, 400, 12)
        bad = random.binomial(of, 0.03)
        groups = [
            Group(str(n), int(one), int(every))
            for n, (one, every) in enumerate(zip(bad, of, strict=True))
        ]
        named += any(one.stands_out for one in over_represented(groups))
    note = f"{_PLANTS:,} plants; never above 5 %"
    figure = round(100 * named / _PLANTS, 2)
    return Result(
        "twelve lots with nothing wrong: one is named", figure, "%", 5.0, None, "lower", note
    )


def _designed() -> Result:
    """How long it takes to find the smallest plan for one lot."""
    begun = time.perf_counter()
    for lot in range(200, 400):
        design_single(TwoPoints(0.01, 0.06), Model.LOT, lot)
    each = 1000 * (time.perf_counter() - begun) / 200
    return Result(
        "smallest plan for one lot from two points", round(each, 2), "ms", 50.0, None, "lower"
    )
