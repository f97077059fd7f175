"""How soon control charts signal, beside theory, and how fast ten thousand of them are read.

Ten thousand charts of a thousand points are read by three sets of rules, beside the same as a
numerical programmer would write it with sliding windows. Then false alarms and delays of every
kind of chart are simulated on planted steps, drifts and correlations, and stand beside the run
lengths that the program works out.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray
from scipy.signal import lfilter
from scipy.special import ndtr

from beadwright.statistics.charts import (
    ISO_7870_2,
    LIMITS,
    NELSON,
    WESTERN_ELECTRIC,
    Cusum,
    Ewma,
    Rule,
    RuleSet,
    RunLength,
    Series,
    choose,
    cusum_run_length,
    ewma_run_length,
    fitted,
    individuals,
    many_individuals,
    rule_run_length,
    wandering_run_length,
)
from beadwright.statistics.charts.autocorrelation import residual_run_length, wandering_width
from beadwright.statistics.charts.cusum import sums
from beadwright.statistics.charts.ewma import averages
from beadwright.statistics.charts.rules import found
from beadwright.statistics.charts.wandering import residuals, widened
from benchmarks import Result

__all__ = ["run"]

_Floats = NDArray[np.float64]
_Marks = NDArray[np.bool_]

_CHARTS, _POINTS = 10_000, 1_000
_TARGET_S = 5.0
_ALL = RuleSet("all", (*NELSON.rules, *WESTERN_ELECTRIC.rules, *ISO_7870_2.rules), "", True)

_SERIES = 20_000
_QUIET, _MOVED = 1_000, 400
"""Points of a series with nothing wrong, and of one in which something is."""
_BLOCK = 2_000
_TARGET = 10.0
"""Per cent off theory that are allowed."""

_LEARNT, _WATCHED, _ESTIMATED = 300, 100, 10_000
_DESIGN = 370.4


def run() -> list[Result]:
    """Measure speed, then false alarms and delays."""
    return [*_speed(), *_apart(), *_together(), *_estimated(), *_chosen()]


# -- speed -------------------------------------------------------------------------------------


def _speed() -> Iterator[Result]:
    values = 12 + 0.3 * np.random.default_rng(1956).standard_normal((_CHARTS, _POINTS))
    one, two = (_best(partial(many_individuals, values, _ALL, workers)) for workers in (1, 2))
    start = time.perf_counter()
    plain = _plain(values)
    floor = time.perf_counter() - start
    ours = many_individuals(values, _ALL, 2)
    theirs = {(int(c), int(r), int(p)) for r, c, p in zip(*plain, strict=True) if c < 200}
    mine = zip(ours.chart.tolist(), ours.rule.tolist(), ours.at.tolist(), strict=True)
    assert {one for one in mine if one[0] < 200} == theirs
    name = f"read {_CHARTS:,} charts of {_POINTS:,} points by {len(_ALL.rules)} rules"
    note = "floor: sliding windows, one thread, the same signals"
    yield Result(name, two, "s", target=_TARGET_S, baseline=floor, better="lower", note=note)
    yield Result("the same in one thread", one, "s", target=_TARGET_S, baseline=floor,
                 better="lower")  # fmt: skip


def _best(call: Callable[[], object], times: int = 3) -> float:
    took = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        took.append(time.perf_counter() - start)
    return min(took)


def _plain(values: _Floats) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Rule, chart and point of every signal, by windows over the whole table, a part at a time."""
    rule, chart, point = [], [], []
    for start in range(0, len(values), 250):
        x = values[start : start + 250]
        spread = np.abs(np.diff(x)).mean(axis=1) / 1.1283791670955126
        z = (x - x.mean(axis=1)[:, None]) / spread[:, None]
        for number, one in enumerate(_ALL.rules):
            row, at = np.nonzero(_windows(z, one))
            rule.append(np.full(len(row), number))
            chart.append(row + start)
            point.append(at + (0 if one.form == "beyond" else one.of - 1))
    return np.concatenate(rule), np.concatenate(chart), np.concatenate(point)


def _windows(z: _Floats, rule: Rule) -> _Marks:
    if rule.form == "beyond":
        before = ((0, 0), (rule.of - 1, 0))
        up, down = (
            sliding_window_view(np.pad(side * z > rule.width, before), rule.of, axis=1)
            for side in (1, -1)
        )
        above = (up.sum(axis=2) >= rule.count) & up[:, :, -1]
        return np.asarray(above | ((down.sum(axis=2) >= rule.count) & down[:, :, -1]))
    if rule.form in {"within", "outside"}:
        inside = np.abs(z) <= rule.width
        marks = inside if rule.form == "within" else ~inside
        return np.asarray(sliding_window_view(marks, rule.of, axis=1).all(axis=2))
    rising = np.diff(z) > 0
    if rule.form == "trend":
        ways = sliding_window_view(rising, rule.of - 1, axis=1)
        return np.asarray(ways.all(axis=2) | ~ways.any(axis=2))
    turned = rising[:, 1:] != rising[:, :-1]
    return np.asarray(sliding_window_view(turned, rule.of - 2, axis=1).all(axis=2))


# -- values that stand apart -------------------------------------------------------------------

_Beyond = Callable[[_Floats], _Marks]
_Theory = Callable[[_Floats | float], RunLength]


def _kinds() -> list[tuple[str, _Beyond, _Theory]]:
    """Each kind of chart: where it signals, and its run length."""
    kinds: list[tuple[str, _Beyond, _Theory]] = []
    for rules in (LIMITS, WESTERN_ELECTRIC, NELSON):
        name = rules.name if rules is not LIMITS else "limits alone"
        kinds.append((name, partial(_by_rules, rules), partial(rule_run_length, rules)))
    for ewma in (Ewma(0.1, 2.814), Ewma(0.2, 2.962, exact=False)):
        limits = "exact limits" if ewma.exact else "limits of the long run"
        name = f"averages, weight {ewma.weight:g}, {limits}"
        kinds.append((name, partial(_by_averages, ewma), partial(ewma_run_length, ewma)))
    for cusum in (Cusum(), Cusum(0.5, 5.0, 0.5)):
        name = "sums" + (", head start" if cusum.head_start else "")
        kinds.append((name, partial(_by_sums, cusum), partial(cusum_run_length, cusum)))
    return kinds


def _by_rules(rules: RuleSet, z: _Floats) -> _Marks:
    return np.asarray(found(z, rules).any(axis=0))


def _by_averages(design: Ewma, z: _Floats) -> _Marks:
    return np.asarray(np.abs(averages(z, design.weight, 0.0)) > design.half(z.shape[1]))


def _by_sums(design: Cusum, z: _Floats) -> _Marks:
    return np.asarray(np.maximum(*sums(z, design)) > design.bound)


def _plain_series(rng: np.random.Generator, move: _Floats, count: int) -> _Floats:
    return rng.standard_normal((count, len(move))) + move


def _alike(rng: np.random.Generator, correlation: float, move: _Floats, count: int) -> _Floats:
    return _ar1(rng, correlation, (count, len(move))) + move


def _apart() -> Iterator[Result]:
    rng = np.random.default_rng(1984)
    moves = [np.full(_MOVED, step) for step in (0.5, 1.0, 2.0)]
    moves += [rate * np.arange(1, _MOVED + 1) for rate in (0.02, 0.1)]
    for name, beyond, theory in _kinds():
        quiet = theory(0.0)
        lengths = _lengths(beyond, partial(_plain_series, rng, np.zeros(_QUIET)))
        yield _alarms(name, lengths, quiet, _QUIET)
        off, worst = 0.0, ""
        for move in moves:
            lengths = _lengths(beyond, partial(_plain_series, rng, move))
            expected = theory(float(move[0]) if move[0] == move[1] else move)
            # Runs longer than the series count as its length, in both.
            mean = float(np.minimum(lengths, _MOVED).mean())
            limited = float(_survival(expected, _MOVED).sum())
            this = 100 * abs(mean / limited - 1)
            if this >= off:
                off, worst = this, f"worst: {mean:.2f} points for {limited:.2f}"
        yield Result(f"delay off theory: {name}", off, "%", target=_TARGET, better="lower",
                     note=f"{_SERIES:,} series each of 3 steps, 2 drifts; {worst}")  # fmt: skip


def _lengths(beyond: _Beyond, make: Callable[[int], _Floats]) -> NDArray[np.int64]:
    """Points until the first signal; one more than there are where there is none."""
    parts = []
    for _ in range(_SERIES // _BLOCK):
        marks = beyond(make(_BLOCK))
        first = marks.argmax(axis=1) + 1
        parts.append(np.where(marks.any(axis=1), first, marks.shape[1] + 1))
    return np.concatenate(parts)


def _survival(length: RunLength, points: int) -> _Floats:
    """Chance of no signal in the first 0 to points - 1."""
    return 1 - np.array([length.chance_by(point) for point in range(points)])


def _alarms(name: str, lengths: NDArray[np.int64], theory: RunLength, points: int) -> Result:
    """False alarms by point watched, beside those that theory has in the same span."""
    seen = float((lengths <= points).sum() / np.minimum(lengths, points).sum())
    expected = theory.chance_by(points) / float(_survival(theory, points).sum())
    note = f"{_SERIES:,} series: one in {1 / seen:.1f} points for {1 / expected:.1f}"
    off = 100 * abs(seen / expected - 1)
    return Result(f"false alarms off design: {name}", off, "%", target=_TARGET, better="lower",
                  note=note)  # fmt: skip


# -- values that hang together -----------------------------------------------------------------


def _ar1(rng: np.random.Generator, correlation: float, shape: tuple[int, int]) -> _Floats:
    """AR(1) series of variance 1."""
    own = (1 - correlation**2) ** 0.5
    shocks = rng.standard_normal(shape)
    shocks[:, 1:] *= own
    return np.asarray(lfilter([1.0], [1.0, -correlation], shocks, axis=1))


def _together() -> Iterator[Result]:
    rng = np.random.default_rng(1995)
    for correlation in (0.5, 0.8, -0.5):
        width = wandering_width(correlation, _DESIGN)

        def wide(x: _Floats, limit: float = width) -> _Marks:
            return np.asarray(np.abs(x) > limit)

        def left(x: _Floats, phi: float = correlation) -> _Marks:
            rest = (x[:, 1:] - phi * x[:, :-1]) / (1 - phi**2) ** 0.5
            return np.asarray(np.abs(rest) > 3)

        ways = (
            ("wider limits", wide, partial(wandering_run_length, correlation, width)),
            ("residuals", left, partial(residual_run_length, correlation, 3.0)),
        )
        for name, beyond, theory in ways:
            what = f"{name}, correlation {correlation:g}"
            before = [0.0] if beyond is left else []  # a residual needs the value before
            lengths = _lengths(
                beyond, partial(_alike, rng, correlation, np.zeros(len(before) + _QUIET))
            )
            yield _alarms(what, lengths, theory(0.0), _QUIET)
            move = np.array(before + [2.0] * _MOVED)
            lengths = _lengths(beyond, partial(_alike, rng, correlation, move))
            expected = float(_survival(theory(2.0), _MOVED).sum())
            mean = float(np.minimum(lengths, _MOVED).mean())
            off = 100 * abs(mean / expected - 1)
            note = f"step of two sigma: {mean:.2f} points for {expected:.2f}"
            yield Result(
                f"delay off theory: {what}", off, "%", target=_TARGET, better="lower", note=note
            )


# -- limits that were estimated ----------------------------------------------------------------


def _estimated() -> Iterator[Result]:
    """Points beyond limits whose model was fitted to 300 values, and beyond plain ones."""
    workers = os.cpu_count() or 1
    for correlation in (0.5, 0.8, -0.5):
        parts = [(correlation, seed, _ESTIMATED // 20) for seed in range(20)]
        with ProcessPoolExecutor(workers) as pool:
            alarms = np.sum(list(pool.map(_watched, parts)), axis=0)
        rates = alarms / (_ESTIMATED * _WATCHED)
        names = ("wider limits", "residuals", "limits of the moving range")
        # Points beyond wider limits come in flocks: there are more of them than of false alarms.
        designs = [1 / (2 * ndtr(-wandering_width(correlation, _DESIGN))), _DESIGN, _DESIGN]
        for name, rate, design in zip(names, rates.tolist(), designs, strict=True):
            off = 100 * abs(float(rate * design) - 1)
            of_range = name.startswith("limits")
            yield Result(
                f"points beyond off design: {name}, correlation {correlation:g}, estimated",
                off, "%", target=None if of_range else _TARGET, better="lower",
                note=f"{_ESTIMATED:,} series, {_LEARNT} values learnt from: one in"
                f" {1 / rate:.0f} points for {design:.0f}",
            )  # fmt: skip


def _watched(part: tuple[float, int, int]) -> NDArray[np.int64]:
    """Signals of each way in the points after those that were learnt from."""
    correlation, seed, count = part
    rng = np.random.default_rng([1969, seed])
    series = _ar1(rng, correlation, (count, _LEARNT + _WATCHED))
    alarms = np.zeros(3, dtype=np.int64)
    for x in series:
        model = fitted(x[:_LEARNT], kinds=["AR(1)"])[0]
        later = x[_LEARNT:]
        alarms[0] += len(widened(later, model, known=True).signals)
        alarms[1] += sum(s.at >= _LEARNT for s in residuals(x, model, known=True).signals)
        alarms[2] += len(individuals(later, individuals(x[:_LEARNT]).process).signals)
    return alarms


# -- the choice --------------------------------------------------------------------------------


def _chosen() -> Iterator[Result]:
    """How often the choice is the right one, of a hundred values each."""
    rng = np.random.default_rng(2023)
    n, count = 100, 400
    step = np.where(np.arange(n) < 60, 0.0, 2.0)
    forms = (
        ("values apart", rng.standard_normal((count, n)), "individuals"),
        ("a step of two sigma", rng.standard_normal((count, n)) + step, "individuals"),
        ("correlation 0.6", _ar1(rng, 0.6, (count, n)), "wandering"),
        ("a wandering level", np.cumsum(rng.normal(0, 0.5, (count, n)), axis=1)
         + rng.standard_normal((count, n)), "wandering"),
    )  # fmt: skip
    for name, rows, right in forms:
        share = float(np.mean([choose(Series.of(row)).design == right for row in rows]))
        yield Result(f"right chart chosen: {name}", 100 * share, "%", target=85.0,
                     note=f"{count} series of {n} values: {right}")  # fmt: skip
