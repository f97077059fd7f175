"""People with a go/no-go gauge, against pieces of which the truth is known.

Read :func:`attribute_study` first.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_between
from beadwright.statistics.agreement.kappa import Kappa, cohen_kappa, fleiss_kappa
from beadwright.statistics.proportions import Proportion, proportion
from beadwright.statistics.requirements import refuse, require_where

__all__ = ["AttributeStudy", "Judge", "Pair", "attribute_study"]


@dataclass(frozen=True, slots=True)
class Judge:
    """One person's judgements, against themselves and against the truth."""

    consistent: Proportion
    """Pieces judged alike every time."""
    effective: Proportion
    """Pieces judged rightly every time."""
    miss: Proportion
    """Bad pieces accepted, of all judgements of bad pieces."""
    false_alarm: Proportion
    """Good pieces rejected, of all judgements of good pieces."""
    with_truth: Kappa
    """Agreement with the truth beyond chance."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two people against each other, trial by trial."""

    first: int
    second: int
    kappa: Kappa | None
    """None where both put every piece into one and the same class."""


@dataclass(frozen=True, slots=True)
class AttributeStudy:
    """What a study of a go/no-go gauge says of people and gauge."""

    judges: tuple[Judge, ...]
    pairs: tuple[Pair, ...]
    all_alike: Proportion
    """Pieces that everybody judged alike every time."""
    all_right: Proportion
    """Pieces that everybody judged rightly every time: the effectiveness of the whole."""
    miss: Proportion
    false_alarm: Proportion
    among_all: Kappa | None
    """Agreement of all judgements of a piece beyond chance; None where one class alone was used."""


def attribute_study(
    accepted: ArrayLike, good: ArrayLike, confidence: float = 0.95
) -> AttributeStudy:
    """Agreement of people with a go/no-go gauge, and their misses and false alarms.

    Parameters
    ----------
    accepted : array_like, shape (pieces, people, trials)
        1 where the piece was accepted, 0 where not; at least two trials. [1]
    good : array_like, shape (pieces,)
        1 where the piece is good by a reference, 0 where not; some of each. [1]
    confidence : float, optional
        Of all intervals. [1]

    Returns
    -------
    study : AttributeStudy
        People in the order given.

    Raises
    ------
    OutOfRange
        If a judgement or a truth is neither 0 nor 1, the shapes do not fit, there are fewer than
        two trials, or no good or no bad piece.

    Notes
    -----
    A miss ships a bad piece; it is the figure to look at first. Intervals of misses and false
    alarms take every judgement as one by itself. Repeated judgements of a piece are alike, so
    that the true intervals are wider: many pieces near the limit tell more than many trials.

    References
    ----------
    .. [1] AIAG, "Measurement Systems Analysis", 4th ed., 2010, attribute studies: effectiveness,
       miss rate, false alarm rate, kappa. [read in: a second source that cites it]

    Examples
    --------
    >>> judged = [[[1, 1]], [[1, 0]], [[0, 0]], [[0, 0]], [[1, 1]], [[1, 1]]]
    >>> judge = attribute_study(judged, [1, 1, 0, 0, 0, 1]).judges[0]
    >>> (judge.miss.share, judge.false_alarm.share, judge.effective.count)
    (0.3333, 0.1667, 4)
    """
    calls, truth = _checked(accepted, good)
    require_between(0, 1, strict=True, confidence=confidence)
    _, people, trials = calls.shape
    right = calls == truth[:, None, None]
    judges = tuple(_judge(calls[:, i], truth, confidence) for i in range(people))
    pairs = tuple(
        Pair(i, j, _agreement(calls[:, i].ravel(), calls[:, j].ravel(), confidence))
        for i, j in combinations(range(people), 2)
    )
    times = calls.sum(axis=(1, 2))
    among = None
    if 0 < times.sum() < calls.size:
        counts = np.stack([times, people * trials - times], axis=1)
        among = fleiss_kappa(counts, confidence)
    alike = (calls == calls[:, :1, :1]).all(axis=(1, 2))
    miss, alarm = _errors(calls, truth, confidence)
    return AttributeStudy(
        judges,
        pairs,
        all_alike=_share(alike, confidence),
        all_right=_share(right.all(axis=(1, 2)), confidence),
        miss=miss,
        false_alarm=alarm,
        among_all=among,
    )


def _checked(accepted: ArrayLike, good: ArrayLike) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    (calls,) = require_arrays(accepted=accepted)
    (truth,) = require_arrays(good=good)
    if calls.ndim != 3 or calls.shape[2] < 2:  # noqa: PLR2004 - see the docstring
        wanted = "of pieces by people by trials, two trials at least"
        refuse("accepted", f"of shape {calls.shape}", wanted)
    if truth.shape != calls.shape[:1]:
        refuse("good", f"of shape {truth.shape}", f"of shape {calls.shape[:1]}: one a piece")
    require_where(np.isin(calls, (0, 1)), "0 or 1", accepted=calls)
    require_where(np.isin(truth, (0, 1)), "0 or 1", good=truth)
    if truth.all() or not truth.any():
        said = "1 of every piece" if truth.all() else "0 of every piece"
        refuse("good", said, "1 of some pieces and 0 of others")
    return calls.astype(bool), truth.astype(bool)


def _judge(calls: NDArray[np.bool_], truth: NDArray[np.bool_], confidence: float) -> Judge:
    """One person's figures; ``calls`` are pieces by trials."""
    miss, alarm = _errors(calls, truth, confidence)
    return Judge(
        consistent=_share((calls == calls[:, :1]).all(axis=1), confidence),
        effective=_share((calls == truth[:, None]).all(axis=1), confidence),
        miss=miss,
        false_alarm=alarm,
        with_truth=cohen_kappa(_table(calls.ravel(), np.repeat(truth, calls.shape[1])), confidence),
    )


def _errors(
    calls: NDArray[np.bool_], truth: NDArray[np.bool_], confidence: float
) -> tuple[Proportion, Proportion]:
    """Bad pieces accepted, and good ones rejected, of their opportunities."""
    return _share(calls[~truth].ravel(), confidence), _share(~calls[truth].ravel(), confidence)


def _share(marks: NDArray[np.bool_], confidence: float) -> Proportion:
    return proportion(int(marks.sum()), len(marks), confidence)


def _agreement(one: NDArray[np.bool_], other: NDArray[np.bool_], confidence: float) -> Kappa | None:
    """Two rows of judgements; None where both are of one and the same class only."""
    table = _table(one, other)
    if len(one) in (table[0][0], table[1][1]):
        return None
    return cohen_kappa(table, confidence)


def _table(one: NDArray[np.bool_], other: NDArray[np.bool_]) -> list[list[int]]:
    return [
        [int((one & other).sum()), int((one & ~other).sum())],
        [int((~one & other).sum()), int((~one & ~other).sum())],
    ]
