"""Whether a group still has more within strata of something else: what an excess is explained by.

Read :func:`within`. A bag that ran with one carton of ties has that carton's defects; compared only
with pieces of the same carton, it has no more than the others.

References
----------
N. E. Breslow, N. E. Day, *Statistical Methods in Cancer Research*, I, IARC 32, 1980, 4.4: the exact
test of a common odds ratio of one, from the conditional distribution of a sum over strata [from
memory]. The distribution of the sum is worked out by convolution.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import hypergeom

from beadwright.errors import OutOfRange

__all__ = ["Stratum", "Within", "within"]


@dataclass(frozen=True, slots=True)
class Stratum:
    """Pieces that share something else: of the group, and of all."""

    bad: int
    of: int
    """Pieces of the group."""
    all_bad: int
    all_of: int
    """Pieces of all, the group's among them."""

    @property
    def compares(self) -> bool:
        """Whether it says anything: both the group and the others have pieces, and some are bad."""
        return 0 < self.of < self.all_of and 0 < self.all_bad < self.all_of


@dataclass(frozen=True, slots=True)
class Within:
    """A group against the others, stratum by stratum."""

    probability: float
    """How often chance alone gives the group at least so many bad pieces in all strata together."""
    bad: int
    """Bad pieces of the group in strata that compare."""
    expected: float
    """So many of them chance gives."""


def within(strata: Sequence[Stratum]) -> Within | None:
    """Compare a group with the others within strata; None where no stratum holds both.

    Raises
    ------
    OutOfRange
        If a stratum has more bad pieces than pieces, or more of the group than of all.
    """
    for one in strata:
        others = one.all_of - one.of, one.all_bad - one.bad
        if not (0 <= one.bad <= one.of and 0 <= others[1] <= others[0]):
            name, valid = "strata", "bad pieces among pieces, the group's among all"
            raise OutOfRange(name, one, valid=valid)
    some = [one for one in strata if one.compares]
    if not some:
        return None
    chances, least = np.ones(1), 0
    for one in some:
        low = max(0, one.all_bad + one.of - one.all_of)
        high = min(one.all_bad, one.of)
        each = hypergeom.pmf(np.arange(low, high + 1), one.all_of, one.all_bad, one.of)
        chances, least = np.convolve(chances, each), least + low
    found = sum(one.bad for one in some)
    expected = sum(one.of * one.all_bad / one.all_of for one in some)
    return Within(min(1.0, float(chances[found - least :].sum())), found, expected)
