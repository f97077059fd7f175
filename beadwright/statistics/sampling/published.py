"""The published plans, found by lot size, inspection level and acceptance quality limit (AQL).

Read :func:`published_plan` first. The tables are built, not typed: sample sizes and limits are
steps of one geometric series, so that a plan depends only on the step of the letter plus the step
of the AQL. What stands in the printed cells was read, or remembered, as each table below says.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from enum import StrEnum

from beadwright.statistics.requirements import refuse, require_whole
from beadwright.statistics.sampling.attributes import SinglePlan

__all__ = [
    "AQLS",
    "LETTERS",
    "Level",
    "PublishedPlan",
    "Scheme",
    "Severity",
    "code_letter",
    "published_plan",
    "tighter_aql",
]


class Level(StrEnum):
    """How much is inspected for the size of the lot; II unless something else is agreed."""

    S1 = "S-1"
    S2 = "S-2"
    S3 = "S-3"
    S4 = "S-4"
    I = "I"  # noqa: E741 - the standards' own name
    II = "II"
    III = "III"


class Severity(StrEnum):
    """How strictly, by what lately happened."""

    NORMAL = "normal"
    TIGHTENED = "tightened"
    REDUCED = "reduced"
    DISCONTINUED = "discontinued"


class Scheme(StrEnum):
    """Whose reduced plans and whose rules; the normal and the tightened plans are the same."""

    ISO_2859_1 = "ISO 2859-1"
    MIL_STD_105E = "MIL-STD-105E"


LETTERS = "ABCDEFGHJKLMNPQR"
AQLS = (0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5, 10.0, 15.0)
"""In per cent of pieces; 15 only counts nonconformities per 100 pieces."""

_AQL_STEP = 4
"""Step of the first of them: the printed tables begin at 0.010."""

_LOTS = (8, 15, 25, 50, 90, 150, 280, 500, 1_200, 3_200, 10_000, 35_000, 150_000, 500_000)
_BY_LOT = {
    Level.S1: "AAAABBBBCCCCDDD",
    Level.S2: "AAABBBCCCDDDEEE",
    Level.S3: "AABBCCDDEEFFGGH",
    Level.S4: "AABCCDEEFGGHJJK",
    Level.I: "AABCCDEFGHJKLMN",
    Level.II: "ABCDEFGHJKLMNPQ",
    Level.III: "BCDEFGHJKLMNPQR",
}
"""Table I, read whole in a second source."""

_SIZES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000)
"""Read in the same source."""

_REDUCED_SIZES = (2, 2, 2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800)
"""Two fifths of the above, from memory; only 32 for J was read."""

_UP, _DOWN = "up", "down"
_Cell = tuple[int, int] | str

_NORMAL: tuple[int, tuple[_Cell, ...]] = (
    14,
    ((0, 1), _UP, _DOWN, (1, 2), (2, 3), (3, 4), (5, 6), (7, 8), (10, 11), (14, 15), (21, 22)),
)
"""Step at which the cells begin, and the cells; read, with their arrows, in a second source."""

_TIGHTENED: tuple[int, tuple[_Cell, ...]] = (
    15,
    ((0, 1), _DOWN, _DOWN, (1, 2), (2, 3), (3, 4), (5, 6), (8, 9), (12, 13), (18, 19)),
)
"""Likewise."""

_REDUCED_ISO: tuple[int, tuple[_Cell, ...]] = (
    14,
    ((0, 1), _UP, _DOWN, _DOWN, (1, 2), (2, 3), (3, 4), (5, 6), (6, 7), (8, 9), (10, 11)),
)
"""Numbers read in a second source. The directions of the three arrows were not: the first as in
the normal table, the others towards the larger sample."""

_REDUCED_MIL: tuple[int, tuple[_Cell, ...]] = (
    14,
    ((0, 1), _UP, _DOWN, (0, 2), (1, 3), (1, 4), (2, 5), (3, 6), (5, 8), (7, 10), (10, 13)),
)
"""From memory; the pairs, and the place of one of them (J, 1.5), were seen in second sources."""


@dataclass(frozen=True, slots=True)
class PublishedPlan:
    """A plan out of the tables, and how it was found."""

    scheme: Scheme
    severity: Severity
    level: Level
    lot: int
    aql: float
    letter: str
    """That the lot's size and the level ask for."""
    used: str
    """That the plan is of: another where the table has an arrow."""
    plan: SinglePlan
    every_piece: bool
    """Whether the sample is as large as the lot: then every piece is looked at."""
    read: str
    """How the table was read."""


def code_letter(lot: int, level: Level = Level.II) -> str:
    """Letter for a lot's size at an inspection level.

    Parameters
    ----------
    lot : int
        Pieces in the lot, at least 2. [1]
    level : Level, optional
        The inspection level.

    Returns
    -------
    letter : str
        From A to R, without I and O.

    Raises
    ------
    OutOfRange
        If the lot has fewer than two pieces.

    References
    ----------
    .. [1] MIL-STD-105E, 1989, table I; ISO 2859-1:1999, table 1. [read in: a second source that
       cites it]

    Examples
    --------
    >>> code_letter(270), code_letter(270, Level.S3)
    ('G', 'D')
    """
    require_whole(2, lot=lot)
    return _BY_LOT[level][bisect_left(_LOTS, lot)]


def published_plan(
    lot: int,
    aql: float,
    level: Level = Level.II,
    severity: Severity = Severity.NORMAL,
    scheme: Scheme = Scheme.ISO_2859_1,
) -> PublishedPlan:
    """Single plan of the published tables.

    Parameters
    ----------
    lot : int
        Pieces in the lot, at least 2. [1]
    aql : float
        Acceptance quality limit in per cent of pieces: 0.065 0.1 0.15 0.25 0.4 0.65 1 1.5 2.5 4
        6.5 10, or 15 of nonconformities per 100 pieces. [percent]
    level : Level, optional
        Inspection level.
    severity : Severity, optional
        Normal, tightened or reduced.
    scheme : Scheme, optional
        Whose reduced plans.

    Returns
    -------
    plan : PublishedPlan
        Where an arrow leads to another letter, that letter's own sample size goes with it.

    Raises
    ------
    OutOfRange
        If the AQL is not one of these, or inspection is discontinued.

    Notes
    -----
    An AQL is no quality that is aimed at and no promise about a lot: it is the worst average of a
    process that the plan, *with its rules for changing over*, still accepts most of the time.
    What a plan by itself protects against is told by
    :func:`~beadwright.statistics.sampling.words.plan_words`.

    Where the printed table has an arrow upwards in a row with nothing above, the first plan below
    is taken.

    References
    ----------
    .. [1] MIL-STD-105E, 1989, tables II-A and II-B: letters A to Q, AQL 0.65 to 15, with arrows.
       [read in: a second source that cites it] Table II-C. [from memory]
    .. [2] ISO 2859-1:1999, tables 2-A to 2-C: numbers up to AQL 6.5. [read in: a second source
       that cites it]

    Examples
    --------
    >>> found = published_plan(270, 1.0)
    >>> (found.letter, found.used, found.plan.size, found.plan.accept)
    ('G', 'H', 50, 1)
    """
    letter = code_letter(lot, level)
    if aql not in AQLS:
        refuse("aql", aql, "one of " + ", ".join(f"{one:g}" for one in AQLS))
    if severity is Severity.DISCONTINUED:
        refuse("severity", severity.value, "normal, tightened or reduced: nothing is accepted")
    at, (accept, reject) = _followed(LETTERS.index(letter), AQLS.index(aql), (severity, scheme))
    sizes = _REDUCED_SIZES if severity is Severity.REDUCED else _SIZES
    every = sizes[at] >= lot
    plan = SinglePlan(min(sizes[at], lot), accept, None if reject == accept + 1 else reject)
    read = _read(severity, scheme)
    return PublishedPlan(scheme, severity, level, lot, aql, letter, LETTERS[at], plan, every, read)


def tighter_aql(aql: float) -> float | None:
    """Next AQL to the strict side, None below the first.

    Parameters
    ----------
    aql : float
        One of :data:`AQLS`. [percent]

    Returns
    -------
    tighter : float or None
        The next smaller. [percent]

    Raises
    ------
    OutOfRange
        If it is none of them.

    Examples
    --------
    >>> tighter_aql(1.0)
    0.65
    """
    if aql not in AQLS:
        refuse("aql", aql, "one of " + ", ".join(f"{one:g}" for one in AQLS))
    at = AQLS.index(aql)
    return AQLS[at - 1] if at else None


def _followed(letter: int, aql: int, table: tuple[Severity, Scheme]) -> tuple[int, tuple[int, int]]:
    """Follow the arrows from a letter in the column of an AQL to the first plan."""
    cell = _cell(letter, aql, table)
    step = -1 if cell == _UP else 1
    while isinstance(cell, str):
        letter += step
        cell = _cell(letter, aql, table)
        if cell == _UP and step > 0:
            cell = _DOWN  # an arrow up that was come to from above: nothing lies there
    return letter, cell


def _cell(letter: int, aql: int, table: tuple[Severity, Scheme]) -> _Cell:
    severity, scheme = table
    if severity is Severity.NORMAL:
        first, cells = _NORMAL
    elif severity is Severity.TIGHTENED:
        first, cells = _TIGHTENED
        if letter == 0:  # A has no plan of its own, whatever the AQL
            return _DOWN
    else:
        first, cells = _REDUCED_ISO if scheme is Scheme.ISO_2859_1 else _REDUCED_MIL
    step = letter + aql + _AQL_STEP - first
    if step < 0:
        return _DOWN
    if step >= len(cells):
        return _UP
    return _DOWN if cells[step] == _UP and letter == 0 else cells[step]


def _read(severity: Severity, scheme: Scheme) -> str:
    if severity is not Severity.REDUCED:
        return "read in second sources that cite MIL-STD-105E and ISO 2859-1"
    if scheme is Scheme.ISO_2859_1:
        return "numbers read in a second source; sample sizes and arrows from memory"
    return "from memory: compare with the standard before use"
