"""Runs rules by their published definitions, as sets with names, and where they signal.

Read :class:`Rule`, then :func:`found`. "The rules" do not exist: the sets differ in their counts
(seven, eight or nine on one side), and each rule that is added costs false alarms;
:func:`beadwright.statistics.charts.rule_chain.rule_run_length` tells how many.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least
from beadwright.statistics.requirements import refuse

__all__ = [
    "ISO_7870_2",
    "LIMITS",
    "NELSON",
    "RULE_SETS",
    "WESTERN_ELECTRIC",
    "Rule",
    "RuleForm",
    "RuleSet",
    "Signal",
    "found",
    "signals",
]

RuleForm = Literal["beyond", "within", "outside", "trend", "alternating", "step"]
"""Beyond a distance on one side; within it; outside it on either side; rising or falling; up and
down by turns; a step, which the whole series is asked for (``lasting``)."""

_ALIKE = 1e-9
"""Two standardised values that differ by less are equal: sums of decimals end in such rests."""

_Marks = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: so many of so many points in a row, in one form."""

    name: str
    """The set and its number there: ``Nelson 2``."""
    words: str
    form: RuleForm
    count: int
    of: int
    width: float = 0.0
    """Distance from the centre line, in standard deviations of a point."""

    @property
    def of_limits(self) -> bool:
        """Whether it is the rule of one point beyond the limits."""
        return self.form == "beyond" and self.of == 1


@dataclass(frozen=True, slots=True)
class RuleSet:
    """Rules that were published together."""

    name: str
    rules: tuple[Rule, ...]
    source: str
    verified: bool
    """Whether its counts were read in a source, not taken from memory alone."""

    def only(self, *numbers: int) -> RuleSet:
        """Give the set with these of its rules, counted from 1.

        >>> NELSON.only(1, 2).name
        'Nelson 1984, rules 1, 2'
        """
        words = ", ".join(map(str, numbers))
        kept = tuple(self.rules[number - 1] for number in numbers)
        return replace(self, name=f"{self.name}, rules {words}", rules=kept)

    def scaled(self, factor: float) -> RuleSet:
        """Give the set with all its distances multiplied."""
        rules = tuple(replace(rule, width=rule.width * factor) for rule in self.rules)
        return replace(self, name=f"{self.name}, distances times {factor:.4g}", rules=rules)


@dataclass(frozen=True, slots=True)
class Signal:
    """Where a rule signals."""

    rule: Rule
    at: int
    """Index of the point that completes it."""
    points: tuple[int, ...]
    """Indices of the points that make it up; of a run that goes on, all of them."""
    side: Literal["above", "below", ""]
    """Of a trend: above where it rises. Empty where the rule has no side."""

    def __str__(self) -> str:
        """Return ``Nelson 2 at point 14 (points 6 to 14): nine in a row …, below``."""
        first, last = self.points[0] + 1, self.points[-1] + 1
        some = f" (points {first} to {last})" if first != last else ""
        side = f", {self.side}" if self.side and self.rule.form != "trend" else ""
        return f"{self.rule.name} at point {self.at + 1}{some}: {self.rule.words}{side}"


def _one(name: str) -> Rule:
    return Rule(name, "one point beyond the control limits", "beyond", 1, 1, 3.0)


def _side(name: str, count: int, number: str) -> Rule:
    words = f"{number} points in a row on one side of the centre line"
    return Rule(name, words, "beyond", count, count)


def _trend(name: str, count: int, number: str) -> Rule:
    return Rule(name, f"{number} points in a row rising, or falling", "trend", count, count)


def _two_of_three(name: str) -> Rule:
    return Rule(name, "two of three points beyond two sigma on one side", "beyond", 2, 3, 2.0)


def _four_of_five(name: str) -> Rule:
    return Rule(name, "four of five points beyond one sigma on one side", "beyond", 4, 5, 1.0)


LIMITS = RuleSet("Beyond the limits", (_one("Limits"),), "W. A. Shewhart, 1931", verified=True)
"""One point beyond the control limits, and nothing more."""

WESTERN_ELECTRIC = RuleSet(
    "Western Electric 1956",
    (
        _one("Western Electric 1"),
        _two_of_three("Western Electric 2"),
        _four_of_five("Western Electric 3"),
        _side("Western Electric 4", 8, "eight"),
    ),
    "Western Electric, Statistical Quality Control Handbook, 1956",
    verified=True,
)

NELSON = RuleSet(
    "Nelson 1984",
    (
        _one("Nelson 1"),
        _side("Nelson 2", 9, "nine"),
        _trend("Nelson 3", 6, "six"),
        Rule("Nelson 4", "fourteen points in a row up and down by turns", "alternating", 14, 14),
        _two_of_three("Nelson 5"),
        _four_of_five("Nelson 6"),
        Rule("Nelson 7", "fifteen points in a row within one sigma", "within", 15, 15, 1.0),
        Rule(
            "Nelson 8", "eight points in a row beyond one sigma, either side", "outside", 8, 8, 1.0
        ),
    ),
    "L. S. Nelson, The Shewhart control chart: tests for special causes, J. Qual. Technol. 16"
    " (1984) 237-239",
    verified=True,
)

ISO_7870_2 = RuleSet(
    "ISO 7870-2",
    (
        _one("ISO 7870-2 1"),
        _side("ISO 7870-2 2", 7, "seven"),
        _trend("ISO 7870-2 3", 7, "seven"),
    ),
    "ISO 7870-2, Control charts: Shewhart control charts; the rules that can be counted. From"
    " memory: compare the counts with the paid text before relying on them",
    verified=False,
)

RULE_SETS: tuple[RuleSet, ...] = (LIMITS, WESTERN_ELECTRIC, NELSON, ISO_7870_2)


def found(scores: ArrayLike, rules: RuleSet, outside: ArrayLike | None = None) -> NDArray[np.int8]:
    """Where each rule is completed, of one series or of many at once.

    Parameters
    ----------
    scores : array_like, shape (..., n)
        Points less their centre line, in standard deviations of a point, in the order in which
        they came; NaN where a point is missing, which ends every run. [1]
    rules : RuleSet
        The rules that are asked.
    outside : array_like, shape (..., n), optional
        Side on which a point lies beyond its own limits: 1 above, -1 below, 0 inside. Where it is
        given, the rule of one point goes by it, for limits that are no multiple of a standard
        deviation. [1]

    Returns
    -------
    sides : ndarray, shape (rules, ..., n)
        0 where the rule is not completed at this point, 1 or -1 where it is, by its side; 1 of a
        rule that has none. [1]

    Notes
    -----
    A rule of m points out of k is completed by a point that lies beyond itself. Where a run goes
    on, every further point completes it again; :func:`signals` puts these together.

    References
    ----------
    .. [1] Each set's own, see ``RuleSet.source``. [read in: a second source that cites it]

    Examples
    --------
    >>> found([2.5, 0.1, 2.2], WESTERN_ELECTRIC)[1].tolist()
    [0, 0, 1]
    """
    z = np.asarray(scores, dtype=np.float64)
    sides = np.zeros((len(rules.rules), *z.shape), dtype=np.int8)
    marks = _Marked(z)
    for row, rule in zip(sides, rules.rules, strict=True):
        if rule.of_limits and outside is not None:
            row[...] = np.asarray(outside, dtype=np.int8)
            continue
        above, below = marks.completed(rule)
        row[above] = 1
        if below is not None:
            row[below] = -1
    return sides


def signals(sides: ArrayLike, scores: ArrayLike, rules: RuleSet) -> tuple[Signal, ...]:
    """Signals of one series, each with the points that make it up.

    Parameters
    ----------
    sides : array_like, shape (rules, n)
        As :func:`found` gives them. [1]
    scores : array_like, shape (n,)
        The series. [1]
    rules : RuleSet
        The rules that were asked.

    Returns
    -------
    signals : tuple of Signal
        In the order in which they were completed.

    References
    ----------
    .. [1] As of :func:`found`. [read in: a second source that cites it]

    Examples
    --------
    >>> z = [2.5, 0.1, 2.2]
    >>> print(signals(found(z, WESTERN_ELECTRIC), z, WESTERN_ELECTRIC)[0])
    Western Electric 2 at point 3 (points 1 to 3): two of three points beyond two sigma on one \
side, above
    """
    z = np.asarray(scores, dtype=np.float64)
    seen: list[Signal] = []
    for row, rule in zip(np.asarray(sides), rules.rules, strict=True):
        ends = np.flatnonzero(row)
        # A run that goes on is one signal; single points beyond the limits are one each.
        parted = (np.diff(ends) > 1) | (np.diff(row[ends]) != 0) | (rule.of == 1)
        groups = np.split(ends, np.flatnonzero(parted) + 1) if len(ends) else []
        seen += [_signal(rule, group, int(row[group[0]]), z) for group in groups]
    return tuple(sorted(seen, key=lambda one: (one.at, one.points[0])))


def _signal(rule: Rule, ends: NDArray[np.int64], side: int, z: NDArray[np.float64]) -> Signal:
    first, last = max(0, int(ends[0]) - rule.of + 1), int(ends[-1])
    points: Sequence[int] = range(first, last + 1)
    if rule.form == "beyond" and rule.of > 1:
        points = [index for index in points if z[index] * side > rule.width]
    named = {1: "above", -1: "below"}[side] if rule.form in {"beyond", "trend"} else ""
    return Signal(rule, int(ends[0]), tuple(points), named)  # type: ignore[arg-type]


class _Marked:
    """Scores, and what several rules ask of them, worked out once."""

    def __init__(self, z: NDArray[np.float64]) -> None:
        self.z = z
        self._kept: dict[tuple[str, float], tuple[_Marks, _Marks]] = {}

    def completed(self, rule: Rule) -> tuple[_Marks, _Marks | None]:
        """Where a rule is completed above and below; no second where it has no side."""
        if rule.count < 1 or rule.of < rule.count:
            refuse("rule", f"{rule.count} of {rule.of}", "at least one, and not more than of")
        require_at_least(0, width=rule.width)
        if rule.form == "beyond":
            above, below = self._beyond(rule.width)
            return _of(above, rule.count, rule.of), _of(below, rule.count, rule.of)
        if rule.form == "within":
            return _run((self.z >= -rule.width) & (self.z <= rule.width), rule.of), None
        if rule.form == "outside":
            above, below = self._beyond(rule.width)
            return _run(above | below, rule.of), None
        rising, falling = self._turns()
        if rule.form == "trend":
            return _run(rising, rule.of - 1), _run(falling, rule.of - 1)
        turned = np.zeros_like(rising)
        turned[..., 1:] = rising[..., 1:] & falling[..., :-1]
        turned[..., 1:] |= falling[..., 1:] & rising[..., :-1]
        return _run(turned, rule.of - 2), None

    def _beyond(self, width: float) -> tuple[_Marks, _Marks]:
        key = ("beyond", width)
        if key not in self._kept:
            edge = max(width, _ALIKE)
            self._kept[key] = self.z > edge, self.z < -edge
        return self._kept[key]

    def _turns(self) -> tuple[_Marks, _Marks]:
        if ("turns", 0.0) not in self._kept:
            rising = np.zeros(self.z.shape, dtype=bool)
            falling = np.zeros(self.z.shape, dtype=bool)
            steps = np.diff(self.z, axis=-1)
            rising[..., 1:], falling[..., 1:] = steps > _ALIKE, steps < -_ALIKE
            self._kept["turns", 0.0] = rising, falling
        return self._kept["turns", 0.0]


def _run(marks: _Marks, length: int) -> _Marks:
    """Where so many in a row are marked, the last of them here; by doubling."""
    have = 1
    while have < length:
        step = min(have, length - have)
        longer = np.zeros_like(marks)
        np.logical_and(marks[..., step:], marks[..., :-step], out=longer[..., step:])
        marks, have = longer, have + step
    return marks


def _of(marks: _Marks, count: int, among: int) -> _Marks:
    """Where so many of the last few are marked, this one too."""
    if count == among:
        return _run(marks, count)
    bits = marks.view(np.uint8)
    total = bits.copy()
    for back in range(1, among):
        total[..., back:] += bits[..., :-back]
    return (total >= count) & marks
