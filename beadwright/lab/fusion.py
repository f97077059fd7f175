"""How well beads are fused: the share that broke through in a fracture face.

Break a piece. A bead that tore through held; one that came out whole did not. Read first:
:func:`fusion_of`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scipy.special import chdtrc, ndtri, stdtrit

from beadwright.errors import OutOfRange
from beadwright.lab.departure import Departure, outside
from beadwright.statistics.proportions import proportion

__all__ = ["FEW", "Field", "Fusion", "faces_of", "fusion_of"]

FEW = 50
"""Beads counted, below which it is told that they are few. [common practice, no source]"""

_FACE = re.compile(r"([0-9]{1,5}) *(?:/|of) *([0-9]{1,5})")
_CHANCE = 0.05
_OURS = "common practice, no source"
_QUASI = 'P. McCullagh and J. A. Nelder, "Generalized Linear Models", 2nd ed., 4.5 [from memory]'


@dataclass(frozen=True, slots=True)
class Field:
    """What was counted in one part of a fracture face."""

    broken_through: int
    beads: int
    """All of them, whole ones too."""


@dataclass(frozen=True, slots=True)
class Fusion:
    """The share of beads broken through, and between which shares it may lie."""

    broken_through: int
    beads: int
    share: float
    lower: float
    upper: float
    spread: float
    """By how much the interval is wider than chance alone would have it: 1 where the fields
    differ no more than by chance."""
    departures: tuple[Departure, ...]


def faces_of(text: str) -> tuple[Field, ...]:
    """Counts of fracture faces from how a person writes them.

    Parameters
    ----------
    text : str
        Beads broken through of all on each face, such as ``42/50, 38/45``.

    Returns
    -------
    faces : tuple of Field
        One or more.

    Raises
    ------
    OutOfRange
        If it holds something else.

    Examples
    --------
    >>> faces_of("42/50; 38 of 45")
    (Field(broken_through=42, beads=50), Field(broken_through=38, beads=45))
    """
    valid = "beads broken through of all on each face, as 42/50, 38/45"
    found = []
    for part in filter(None, (one.strip() for one in re.split(r"[,;\n]", text))):
        match = _FACE.fullmatch(part)
        if match is None:
            name = "faces"
            raise OutOfRange(name, part, valid=valid)
        found.append(Field(int(match[1]), int(match[2])))
    if not found:
        name = "faces"
        raise OutOfRange(name, text, valid=valid)
    return tuple(found)


def fusion_of(fields: Sequence[Field], confidence: float = 0.95) -> Fusion:
    r"""Share of beads broken through, from the counts of one field or several.

    .. math::
        \hat p = \frac{\sum x_i}{\sum n_i}, \qquad
        \phi = \frac{1}{k - 1} \sum_i \frac{(x_i - n_i \hat p)^2}{n_i \hat p (1 - \hat p)}

    The interval is that of Clopper and Pearson. Where the fields differ as they would by chance
    less than one time in twenty, its halves are made wider, by the root of phi and by Student's
    factor of k - 1 over the normal one, and a departure says so: beads of one field then go
    together, and many of them say less than as many apart.

    Parameters
    ----------
    fields : sequence of Field
        Counts, one field each.
    confidence : float, optional
        Of the interval. [1]

    Returns
    -------
    fusion : Fusion
        Share and interval, from 0 to 1.

    Raises
    ------
    OutOfRange
        If there is no field, a count is not whole, below its least, or above all beads.

    Notes
    -----
    Of even fusion the interval holds the truth at least as often as it says. Of very uneven
    fusion, counted in three to eight fields, it does so in some 80 to 95 % of cases: few fields
    cannot show how much fields differ. Count many small ones rather than few large ones.

    References
    ----------
    .. [1] Cracks through beads show good fusion, cracks between them poor fusion. [read in: a
       second source that cites it]
    .. [2] P. McCullagh and J. A. Nelder, "Generalized Linear Models", 2nd ed., 4.5, for phi. [from
       memory]

    Examples
    --------
    >>> found = fusion_of([Field(42, 50)])
    >>> found.share, round(found.lower, 3), round(found.upper, 3)
    (0.84, 0.709, 0.928)
    """
    if not fields:
        name, valid = "fields", "one field or more"
        raise OutOfRange(name, "empty", valid=valid)
    for one in fields:
        proportion(one.broken_through, one.beads, confidence)
    broken, beads = (sum(each) for each in zip(*(_counts(one) for one in fields), strict=True))
    whole = proportion(broken, beads, confidence)
    phi, chance = _heterogeneity(fields, whole.share)
    spread = 1.0
    if chance < _CHANCE:
        upper = (1 + confidence) / 2
        spread = math.sqrt(phi) * float(stdtrit(len(fields) - 1, upper) / ndtri(upper))
    return Fusion(
        broken_through=broken,
        beads=beads,
        share=whole.share,
        lower=max(0.0, whole.share - spread * (whole.share - whole.lower)),
        upper=min(1.0, whole.share + spread * (whole.upper - whole.share)),
        spread=spread,
        departures=tuple(_seen(fields, beads, spread)),
    )


def _counts(field: Field) -> tuple[int, int]:
    return field.broken_through, field.beads


def _heterogeneity(fields: Sequence[Field], share: float) -> tuple[float, float]:
    """Give phi, and how often chance alone makes it as large."""
    if len(fields) == 1 or share in {0.0, 1.0}:
        return 1.0, 1.0
    total = sum(
        (one.broken_through - one.beads * share) ** 2 / (one.beads * share * (1 - share))
        for one in fields
    )
    freedom = len(fields) - 1
    return total / freedom, float(chdtrc(freedom, total))


def _seen(fields: Sequence[Field], beads: int, spread: float) -> Iterator[Departure]:
    if beads < FEW:
        what = "Few beads were counted: the share is not known well."
        yield outside("few_beads", what, f"{beads} beads", f"{FEW} or more", _OURS)
    if spread > 1:
        shares = [one.broken_through / one.beads for one in fields]
        what = "The fields differ by more than chance: fusion is uneven."
        was = f"{min(shares):.0%} to {max(shares):.0%}, interval {spread:.1f} times as wide"
        yield outside("fields_differ", what, was, "alike", _QUASI)
