"""Run lengths of runs rules, by a chain that is made from the rules themselves.

Read :func:`rule_run_length`. Every rule becomes a machine that reads one point after the other: in
which zone it lies, and whether it lies above or below the one before. The machines of a set are
put together, states that cannot be told apart are merged, and the chance of each state is carried
on from point to point.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.sparse import csr_array
from scipy.special import ndtr

from beadwright.errors import require_at_least
from beadwright.statistics.charts.rules import Rule, RuleSet
from beadwright.statistics.charts.run_length import RunLength, gathered, profile
from beadwright.statistics.requirements import refuse

__all__ = ["Machine", "machine", "rule_run_length", "rules_for"]

_SIGNAL = -1
_BINS = 64
"""In all zones together, of the coarser of the two ways."""

_State = tuple[int, ...]
_Steps = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Machine:
    """Rules put together: states, and where each leads at every kind of point."""

    edges: tuple[float, ...]
    """Where zones meet, in standard deviations."""
    steps: _Steps
    """Next state by state and by point (zone times two, plus one where it lies above the one
    before); -1 is a signal. State 0 is before the first point."""
    turns: bool
    """Whether a rule asks for the order of two points."""

    @property
    def states(self) -> int:
        """How many states there are."""
        return len(self.steps)


def rule_run_length(rules: RuleSet, shift: ArrayLike = 0.0, spread: float = 1.0) -> RunLength:
    """Run length of a chart of independent normal values with a set of rules.

    Parameters
    ----------
    rules : RuleSet
        Any rules.
    shift : array_like, shape (...), optional
        Of the mean, in standard deviations of a point: one number, or one for each point of which
        the last holds on. [1]
    spread : float, optional
        Standard deviation of the points by the one the limits were made for, > 0. [1]

    Returns
    -------
    length : RunLength
        Its mean, spread and percentiles.

    Raises
    ------
    OutOfRange
        If the shift is not finite, the spread not above 0, or there is no rule.

    Notes
    -----
    Rules of zones and sides are exact. Those of rising, falling and alternating points need the
    value of the last point, which is kept in bins; the order of two points of one bin is even. The
    remaining error falls with the square of the bins, and two widths are combined to cancel it.

    References
    ----------
    .. [1] C. W. Champ and W. H. Woodall, "Exact results for Shewhart control charts with
       supplementary runs rules", Technometrics 29 (1987) 393-399. [read in: a second source that
       cites it]

    Examples
    --------
    >>> from beadwright.statistics.charts.rules import WESTERN_ELECTRIC
    >>> round(rule_run_length(WESTERN_ELECTRIC).mean, 2)
    91.75
    """
    require_at_least(0, strict=True, spread=spread)
    return _length(rules, tuple(profile(shift).tolist()), spread)


@lru_cache(maxsize=256)
def _length(rules: RuleSet, given: tuple[float, ...], spread: float) -> RunLength:
    """Work it out once: all eight of Nelson's tests together take some seconds."""
    shifts = np.array(given)
    made = machine(rules)
    # Before a run can be complete, nothing signals, and nothing has settled.
    least = len(shifts) + 2 * max(rule.of for rule in rules.rules)
    if not made.turns:
        return gathered(_zoned(made, shifts, spread), least)
    bins = max(8, _BINS // (len(made.edges) + 1))
    coarse = _ordered(made, bins, shifts, spread)
    fine = _ordered(made, 2 * bins, shifts, spread)
    return gathered(((4 * f - c) / 3 for c, f in zip(coarse, fine, strict=True)), least)


def rules_for(rules: RuleSet, in_control: float) -> RuleSet:
    """Give the rules with their distances stretched, so that they run so long in control.

    Parameters
    ----------
    rules : RuleSet
        Of which one at least has a distance.
    in_control : float
        Average run length that is wanted, > 1. [1]

    Returns
    -------
    rules : RuleSet
        All distances multiplied by one factor.

    Raises
    ------
    OutOfRange
        If no factor from 0.2 to 3 reaches it: runs on one side alone may signal sooner.

    References
    ----------
    .. [1] As of :func:`rule_run_length`. [read in: a second source that cites it]

    Examples
    --------
    >>> from beadwright.statistics.charts.rules import WESTERN_ELECTRIC
    >>> [round(rule.width, 3) for rule in rules_for(WESTERN_ELECTRIC.only(1, 2), 370.4).rules]
    [3.155, 2.104]
    """
    require_at_least(1, strict=True, in_control=in_control)

    def off(factor: float) -> float:
        return rule_run_length(rules.scaled(factor)).mean / in_control - 1

    low, high = 0.2, 3.0
    if off(low) > 0 or off(high) < 0:
        refuse("in_control", in_control, "a run length that these rules can have")
    return rules.scaled(float(brentq(off, low, high, xtol=1e-6)))


@lru_cache(maxsize=64)
def machine(rules: RuleSet) -> Machine:
    """Put the rules of a set together into one machine of as few states as there can be.

    Parameters
    ----------
    rules : RuleSet
        At least one rule.

    Returns
    -------
    machine : Machine
        State 0 is before the first point.

    Raises
    ------
    OutOfRange
        If there is no rule.
    """
    if not rules.rules:
        refuse("rules", "none", "one rule at least")
    turns = any(rule.form in {"trend", "alternating"} for rule in rules.rules)
    placed = [rule for rule in rules.rules if rule.form not in {"trend", "alternating"}]
    edges = sorted({side * rule.width for rule in placed for side in (-1.0, 1.0)})
    middles = _middles(edges)
    together: _Steps | None = None
    for rule in rules.rules:
        one = _smallest(_alone(rule, middles))
        together = one if together is None else _smallest(_product(together, one))
    assert together is not None  # noqa: S101 - there is a rule
    return Machine(tuple(edges), together, turns)


def _middles(edges: list[float]) -> list[float]:
    """A value inside each zone, lowest first."""
    if not edges:
        return [0.0]
    inner = [(a + b) / 2 for a, b in pairwise(edges)]
    return [edges[0] - 1, *inner, edges[-1] + 1]


def _alone(rule: Rule, middles: list[float]) -> _Steps:
    """One rule's machine: its states are found from the first on, as points lead to them."""
    first: _State = ()
    number, rows = {first: 0}, []
    waiting = [first]
    while waiting:
        state = waiting.pop(0)
        row = []
        for middle in middles:
            for above in (False, True):
                after = _AFTER[rule.form](rule, state, middle, above)
                if after is not None and after not in number:
                    number[after] = len(number)
                    waiting.append(after)
                row.append(_SIGNAL if after is None else number[after])
        rows.append(row)
    return np.array(rows, dtype=np.int64)


def _after_beyond(rule: Rule, state: _State, z: float, _: bool) -> _State | None:  # noqa: FBT001
    """Sides of the last points that lay beyond, newest last."""
    side = 1 if z > rule.width else -1 if z < -rule.width else 0
    sides = (*state, side)[-rule.of :]
    if side and sides.count(side) >= rule.count:
        return None
    sides = sides[1:] if len(sides) == rule.of else sides
    # Sides that can never be part of a signal any more are forgotten.
    return () if not any(sides) else tuple(sides)


def _after_within(rule: Rule, state: _State, z: float, _: bool) -> _State | None:  # noqa: FBT001
    return _counted(rule, state, inside=abs(z) <= rule.width)


def _after_outside(rule: Rule, state: _State, z: float, _: bool) -> _State | None:  # noqa: FBT001
    return _counted(rule, state, inside=abs(z) > rule.width)


def _counted(rule: Rule, state: _State, *, inside: bool) -> _State | None:
    run = (state[0] if state else 0) + 1 if inside else 0
    return None if run >= rule.of else (run,) if run else ()


def _after_trend(rule: Rule, state: _State, _: float, above: bool) -> _State | None:  # noqa: FBT001
    """Way of the last step, and how many points rise or fall with it."""
    if not state:
        return (0, 1)
    way = 1 if above else -1
    run = state[1] + 1 if state[0] == way else 2
    return None if run >= rule.of else (way, run)


def _after_turn(rule: Rule, state: _State, _: float, above: bool) -> _State | None:  # noqa: FBT001
    """Way of the last step, and how many points go up and down by turns."""
    if not state:
        return (0, 1)
    way = 1 if above else -1
    run = state[1] + 1 if state[0] == -way else 2
    return None if run >= rule.of else (way, run)


_AFTER: dict[str, Callable[[Rule, _State, float, bool], _State | None]] = {
    "beyond": _after_beyond,
    "within": _after_within,
    "outside": _after_outside,
    "trend": _after_trend,
    "alternating": _after_turn,
}


def _product(one: _Steps, other: _Steps) -> _Steps:
    """Both machines side by side, of the pairs of states that can be reached."""
    wide = len(other)
    number = np.full(len(one) * wide, _SIGNAL, dtype=np.int64)
    number[0] = 0
    rows, front, count = [], np.zeros(1, dtype=np.int64), 1
    while len(front):
        a, b = one[front // wide], other[front % wide]
        after = np.where((a < 0) | (b < 0), _SIGNAL, a * wide + b)
        new = np.unique(after[after >= 0])
        new = new[number[new] == _SIGNAL]
        number[new] = np.arange(count, count + len(new))
        count += len(new)
        rows.append(after)
        front = new
    steps = np.concatenate(rows)
    return np.where(steps < 0, _SIGNAL, number[steps])


def _smallest(steps: _Steps) -> _Steps:
    """Merge states that no points to come can tell apart; state 0 stays the first."""
    label = np.zeros(len(steps), dtype=np.int64)
    count = 1
    mix = np.random.default_rng(1956).integers(1, 2**62, steps.shape[1] + 1)
    while True:
        seen = np.where(steps < 0, _SIGNAL, label[steps]) + 1
        marks = (seen * mix[1:]).sum(axis=1) + label * mix[0]  # wraps round: a hash
        _, first, label = np.unique(marks, return_index=True, return_inverse=True)
        if len(first) == count:
            break
        count = len(first)
    order = np.argsort(first)
    rank = np.empty(len(order), dtype=np.int64)
    rank[order] = np.arange(len(order))
    of = steps[first[order]]
    return np.where(of < 0, _SIGNAL, rank[label[of]])


def _shares(edges: NDArray[np.float64], shift: float, spread: float) -> NDArray[np.float64]:
    bounds = np.concatenate(([-np.inf], edges, [np.inf]))
    return np.diff(ndtr((bounds - shift) / spread))


def _zoned(made: Machine, shifts: NDArray[np.float64], spread: float) -> Iterator[float]:
    """Chance of no signal, point by point, where only zones count."""
    edges = np.array(made.edges)
    after = [_matrix(made.steps[:, 2 * zone]) for zone in range(len(edges) + 1)]
    state = np.zeros(made.states)
    state[0] = 1.0
    step = csr_array((1, 1))
    for point in range(10**9):
        if point < len(shifts):
            shares = _shares(edges, float(shifts[point]), spread)
            step = sum(share * one for share, one in zip(shares.tolist(), after, strict=True))
        state = step @ state
        yield float(state.sum())


def _matrix(after: _Steps) -> csr_array:
    """What puts the chance of each state where it leads; a signal's is lost."""
    stays = np.flatnonzero(after >= 0)
    shape = (len(after), len(after))
    return csr_array((np.ones(len(stays)), (after[stays], stays)), shape=shape)


def _ordered(
    made: Machine, bins: int, shifts: NDArray[np.float64], spread: float
) -> Iterator[float]:
    """Chance of no signal, point by point, where the order of two points counts too.

    Every zone is cut into bins of one chance each. What comes from another zone lies evenly over
    the bins; only what stays in its zone has to be followed bin by bin.
    """
    edges = np.array(made.edges)
    steps, zone = _placed(made)
    rows = np.arange(1, len(steps))
    stay = [_matrix(np.maximum(steps[rows, 2 * zone[1:] + up] - 1, _SIGNAL)) for up in (0, 1)]
    leave = [_matrix(_from_elsewhere(steps, zone, to)) for to in range(len(edges) + 1)]
    held = np.zeros((len(steps) - 1, bins))
    shares, across = np.empty(0), csr_array((1, 1))
    for point in range(10**9):
        if point < len(shifts):
            shares = _shares(edges, float(shifts[point]), spread)
            across = sum(p * one for p, one in zip(shares.tolist(), leave, strict=True))
        if point == 0:
            for to, chance in enumerate(shares.tolist()):
                after = steps[0, 2 * to] - 1
                held[after] += chance / bins if after >= 0 else 0.0
        else:
            total = held.sum(axis=1)
            lower = np.cumsum(held, axis=1) - held / 2
            own = (shares[zone[1:]] / bins)[:, None]
            held = stay[1] @ (own * lower) + stay[0] @ (own * (total[:, None] - lower))
            held += (across @ total)[:, None] / bins
        yield float(held.sum())


def _placed(made: Machine) -> tuple[_Steps, _Steps]:
    """The machine with states that know the zone of the last point, and that zone of each."""
    zones = len(made.edges) + 1
    memory = np.repeat(np.arange(1, zones + 1), 2)[None, :].repeat(zones + 1, axis=0)
    steps = _product(made.steps, memory)
    zone = np.zeros(len(steps), dtype=np.int64)
    for symbol in range(2 * zones):
        after = steps[:, symbol]
        zone[after[after >= 0]] = symbol // 2
    return steps, zone


def _from_elsewhere(steps: _Steps, zone: _Steps, to: int) -> _Steps:
    """Where each state but the first leads by a point of this zone, if it is of another."""
    above = (to > zone[1:]).astype(np.int64)
    after = steps[np.arange(1, len(steps)), 2 * to + above] - 1
    return np.where(zone[1:] == to, _SIGNAL, np.where(after < 0, _SIGNAL, after))
