"""Tie lots, cavities, bead lots, shifts: which has more bad pieces than chance would give it.

Read :func:`over_represented` first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri
from scipy.stats import binom, false_discovery_control, hypergeom

from beadwright.errors import require_between
from beadwright.statistics.defects.corrected import holm
from beadwright.statistics.proportions import proportion
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Group", "Standing", "over_represented", "standing_out"]

_LEAST_GROUPS = 2


@dataclass(frozen=True, slots=True)
class Group:
    """A tie lot, a mould cavity, a bead lot, a shift: bad pieces of so many."""

    name: str
    bad: int
    of: int


@dataclass(frozen=True, slots=True)
class Standing:
    """How a group stands against all the others together."""

    name: str
    bad: int
    of: int
    share: float
    lower: float
    upper: float
    """Interval of its own share."""
    others: float
    """Share of all the others."""
    ratio: float
    """Its share over theirs; infinite where they have none."""
    probability: float
    """How often chance alone would give it at least so many."""
    holm: float
    """The same, corrected for having looked at all: below 0.05 hardly one of all is a mistake."""
    discovery: float
    """The same by Benjamini and Hochberg: of those below 0.05 some 5 in 100 are mistakes."""
    stands_out: bool
    """Whether Holm's is below what the confidence leaves."""
    worth_a_look: bool
    """Whether only Benjamini and Hochberg's is."""


def over_represented(
    groups: Sequence[Group], *, pieces: bool = True, confidence: float = 0.95
) -> tuple[Standing, ...]:
    r"""Each group against all the others, by exact tests, corrected for having looked at all.

    .. math:: P(X \ge x), \quad X \sim \text{Hypergeom}(N, D, n)

    of bad pieces: n of N pieces are the group's, and D of all are bad. Of defects, several of
    which may be on one piece, X is binomial of all defects with the group's part of the pieces.

    Parameters
    ----------
    groups : sequence of Group
        At least two.
    pieces : bool, optional
        Whether bad *pieces* are counted, or defects.
    confidence : float, optional
        Of the intervals, and of what stands out. [1]

    Returns
    -------
    standings : tuple of Standing
        The least likely first.

    Raises
    ------
    OutOfRange
        If there are fewer than two groups, two of one name, or a number is out of range.

    Notes
    -----
    What stands out is not yet the cause: a tie lot that ran on one shift only cannot be told from
    the shift. Look at what else goes with it.

    References
    ----------
    .. [1] R. A. Fisher, "The design of experiments", 1935: the exact test. [from memory]
    .. [2] S. Holm, "A simple sequentially rejective multiple test procedure", Scand. J. Statist.
       6 (1979) 65-70. [from memory]
    .. [3] Y. Benjamini and Y. Hochberg, "Controlling the false discovery rate", J. R. Statist.
       Soc. B 57 (1995) 289-300. [read in: a second source that cites it]

    Examples
    --------
    >>> lots = [Group("T-01", 2, 300), Group("T-02", 14, 310), Group("T-03", 3, 290)]
    >>> [(one.name, round(one.holm, 4)) for one in over_represented(lots) if one.stands_out]
    [('T-02', 0.0015)]
    """
    require_between(0, 1, strict=True, confidence=confidence)
    if len(groups) < _LEAST_GROUPS:
        refuse("groups", f"{len(groups)} of them", f"at least {_LEAST_GROUPS}")
    names = [one.name for one in groups]
    if len(set(names)) < len(names):
        double = next(name for name in names if names.count(name) > 1)
        refuse("groups", f"{double} twice", "groups of different names")
    for one in groups:
        require_whole(0, bad=one.bad)
        require_whole(1, of=one.of)
        if pieces and one.bad > one.of:
            refuse("bad", one.bad, f"at most {one.of}, as there were in {one.name}")
    return _standings(groups, _chances(groups, pieces=pieces), (pieces, confidence))


def standing_out(
    table: Mapping[str, Mapping[str, int]],
    of: Mapping[str, int],
    *,
    among: Mapping[str, str] | None = None,
    able: Mapping[str, Mapping[str, int]] | None = None,
    confidence: float = 0.95,
) -> tuple[tuple[str, Standing], ...]:
    """Which kind of defect stands out at which station, lot or cavity, over the whole table.

    The correction is for all cells at once, so that a large table does not find by chance.

    Parameters
    ----------
    table : mapping
        Of each kind of defect, the bad pieces of each station; a station that is not named has
        none. [1]
    of : mapping
        Pieces of each station. [1]
    among : mapping, optional
        What each station is of, as a cavity of its mould: it is then set against the others of the
        same, and one that has none beside it is not tested. Without it, against all.
    able : mapping, optional
        Of a kind that not every piece can have, as one without ties has none out of place: the
        pieces of each station that can. A station that has none is not tested for it. [1]
    confidence : float, optional
        Of what stands out. [1]

    Returns
    -------
    cells : tuple
        Kind and standing of each cell that stands out or is worth a look, the least likely first.

    Raises
    ------
    OutOfRange
        If the table is empty, names a station without its pieces, or a number is out of range.

    Examples
    --------
    >>> table = {"dent": {"cut": 3, "pack": 19}, "short": {"cut": 4, "pack": 5}}
    >>> [(kind, one.name) for kind, one in standing_out(table, {"cut": 400, "pack": 420})]
    [('dent', 'pack')]
    """
    if not table:
        refuse("table", "empty", "at least one kind of defect")
    rows: list[tuple[str, list[Group], NDArray[np.float64]]] = []
    for kind, cells in table.items():
        pieces = {name: many for name, many in (able or {}).get(kind, of).items() if many}
        strange = set(cells) - set(pieces)
        if strange:
            refuse("of", f"without {min(strange)}", "the pieces of every station of the table")
        for part in _parts(pieces, among):
            groups = [Group(name, cells.get(name, 0), pieces[name]) for name in part]
            over_represented(groups, confidence=confidence)  # refuses what cannot be
            rows.append((kind, groups, _chances(groups, pieces=True)))
    if not rows:
        return ()
    every = np.concatenate([chances for *_, chances in rows])
    corrected, discovery = holm(every), false_discovery_control(every)
    found, at = [], 0
    for kind, row, chances in rows:
        end = at + len(row)
        three = (chances, corrected[at:end], discovery[at:end])
        found += [(kind, one) for one in _standing_of(row, three, (True, confidence))]
        at = end
    told = [one for one in found if one[1].stands_out or one[1].worth_a_look]
    return tuple(sorted(told, key=lambda one: one[1].probability))


def _parts(of: Mapping[str, int], among: Mapping[str, str] | None) -> list[list[str]]:
    """Stations that are set against each other; one that has none beside it is left out."""
    if among is None:
        return [list(of)] if len(of) >= _LEAST_GROUPS else []
    strange = set(of) - set(among)
    if strange:
        refuse("among", f"without {min(strange)}", "what every station is of")
    found: dict[str, list[str]] = {}
    for name in of:
        found.setdefault(among[name], []).append(name)
    return [part for part in found.values() if len(part) >= _LEAST_GROUPS]


def _chances(groups: Sequence[Group], *, pieces: bool) -> NDArray[np.float64]:
    """How often chance alone would give each group at least so many."""
    bad, of = (np.array([getattr(one, part) for one in groups]) for part in ("bad", "of"))
    if pieces:
        return np.asarray(hypergeom.sf(bad - 1, of.sum(), bad.sum(), of))
    return np.asarray(binom.sf(bad - 1, bad.sum(), of / of.sum()))


def _standings(
    groups: Sequence[Group], chances: NDArray[np.float64], asked: tuple[bool, float]
) -> tuple[Standing, ...]:
    clipped = np.clip(chances, 0.0, 1.0)
    three = (clipped, holm(clipped), false_discovery_control(clipped))
    found = _standing_of(groups, three, asked)
    return tuple(sorted(found, key=lambda one: (one.probability, one.name)))


def _standing_of(
    groups: Sequence[Group],
    three: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
    asked: tuple[bool, float],
) -> list[Standing]:
    """Put together what is known of each group; ``three`` are its probabilities."""
    pieces, confidence = asked
    bad, of = sum(one.bad for one in groups), sum(one.of for one in groups)
    found = []
    for one, alone, corrected, discovery in zip(groups, *three, strict=True):
        share, others = one.bad / one.of, (bad - one.bad) / (of - one.of)
        lower, upper = _interval(one, pieces=pieces, confidence=confidence)
        nothing = 1.0 if share == 0 else math.inf
        stands = bool(corrected < 1 - confidence)
        found.append(
            Standing(
                one.name, one.bad, one.of, share, lower, upper, others,
                share / others if others > 0 else nothing,
                float(alone), float(corrected), float(discovery),
                stands, not stands and bool(discovery < 1 - confidence),
            )
        )  # fmt: skip
    return found


def _interval(one: Group, *, pieces: bool, confidence: float) -> tuple[float, float]:
    """Clopper and Pearson's interval of a share; Garwood's of a rate."""
    if pieces:
        found = proportion(one.bad, one.of, confidence)
        return found.lower, found.upper
    tail = (1 - confidence) / 2
    lower = float(chdtri(2 * one.bad, 1 - tail)) / 2 if one.bad else 0.0
    return lower / one.of, float(chdtri(2 * one.bad + 2, tail)) / 2 / one.of
