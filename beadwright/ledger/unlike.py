"""How far the outputs of a step may be unlike each other, and its masses off what was weighed.

Read :func:`unlike`, then :class:`Off`. A share is of masses: where those may be off, so may it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeVar

from beadwright.ledger.columns import Floats
from beadwright.ledger.walk import Line

__all__ = ["EXACT", "Off", "Outputs", "unlike"]

_PIECE = 1e-6
_Share = TypeVar("_Share", float, Floats)


@dataclass(frozen=True, slots=True)
class Off:
    """By what share of itself any mass of the record may be off, either way."""

    share: float = 0.0

    @property
    def odds(self) -> float:
        """By what factor the ratio of two masses may be off."""
        return (1 + self.share) / (1 - self.share)

    def least(self, share: _Share) -> _Share:
        """Give the least that a share of a mixture can be, where it is so much by the record."""
        return share / (share + self.odds * (1 - share)) if self.share else share

    def most(self, share: _Share) -> _Share:
        """Give the most that it can be."""
        return self.odds * share / (self.odds * share + 1 - share) if self.share else share


EXACT = Off()
"""Every mass is what the record says."""


class Outputs(NamedTuple):
    """What comes out of a step: all of it, and by how much any output may hold other parts."""

    mg: float
    apart_mg: float

    def least(self, share: float, out: float) -> float:
        """Give the least share of something in one output, by its least share in all."""
        if not self.apart_mg or not out:
            return share
        return max(0.0, share - self.apart_mg / out, 1 - (1 - share) * self.mg / out)

    def most(self, share: float, out: float) -> float:
        """Give the most share of something in one output, by its most share in all."""
        if not self.apart_mg or not out or not share:
            return share
        return min(1.0, share + self.apart_mg / out, share * self.mg / out)


def unlike(lines: Sequence[Line]) -> Outputs:
    """Say how far the outputs of a step may be unlike each other.

    Pieces are alike. Ties beyond a whole number for each piece lie in any output, and so do those
    that what is in no pieces weighs beyond whole pieces: two that broke in two pieces make a whole
    number too. What is parted, and not in pieces, may be parted anyhow: ties from foam.
    """
    ties = tied = good = made = rest = 0
    ins = outs = 0
    for _, _, _, sign, mg, _, _, pieces in lines:
        if sign < 0:
            ins += 1
            ties += pieces
            tied += mg if pieces else 0
        elif sign > 0:
            outs += 1
            good += pieces
            made += mg if pieces else 0
            rest += 0 if pieces else mg
    whole = made + rest
    if outs < 2:  # noqa: PLR2004 - one alone is like itself
        return Outputs(whole, 0.0)
    if not good:
        return Outputs(whole, float(whole) if ins == 1 else 0.0)
    if not ties or not rest or not made:
        return Outputs(whole, 0.0)
    count = good + int(rest * good / made + _PIECE)
    loose = min(rest - (count - good) * made / good, tied)
    return Outputs(whole, max(ties % count * tied / ties, loose))
