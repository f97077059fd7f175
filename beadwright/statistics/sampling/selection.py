"""Which pieces to look at: by lot, so that nobody can have chosen, and so that anyone can repeat.

Read :func:`select` first.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Selection", "select"]


@dataclass(frozen=True, slots=True)
class Selection:
    """Pieces drawn, and what it takes to draw them again."""

    pieces: tuple[str, ...]
    """The pieces to look at, in the order in which they were given."""
    later: tuple[str, ...]
    """Those of a second sample, should it be needed."""
    seed: str
    """The words the draw was made from; keep them with the result."""
    of: int
    """How many pieces there were."""


def select(pieces: Sequence[object], size: int, seed: str, later: int = 0) -> Selection:
    """Draw pieces at random: each set of that size is as likely as any other.

    Each piece is given the number SHA-256 of ``seed:piece``, and the smallest are drawn. So the
    draw does not depend on the order of the list, on a library or on its version: anybody with
    the seed and the list can repeat it, and nobody can steer it who did not choose the seed.

    Parameters
    ----------
    pieces : sequence
        What tells each piece from the others: numbers or codes.
    size : int
        How many to draw. [1]
    seed : str
        Any text that was fixed before anyone saw a piece, such as the lot's code and the date.
    later : int, optional
        How many more to draw for a second sample. [1]

    Returns
    -------
    selection : Selection
        The pieces.

    Raises
    ------
    OutOfRange
        If a piece stands twice, more are asked than there are, or the seed is empty.

    References
    ----------
    .. [1] FIPS 180-4, Secure Hash Standard, SHA-256. [from memory]

    Examples
    --------
    >>> select(range(1, 271), 5, "L1-001").pieces
    ('98', '129', '154', '172', '202')
    """
    require_whole(1, size=size)
    require_whole(0, later=later)
    names = [str(piece) for piece in pieces]
    if len(set(names)) != len(names):
        double = next(name for name in names if names.count(name) > 1)
        refuse("pieces", f"{double} twice", "pieces that differ")
    if size + later > len(names):
        refuse("size", size + later, f"at most the {len(names)} pieces that there are")
    if not seed.strip():
        refuse("seed", repr(seed), "a text, such as the lot's code")
    order = sorted(names, key=lambda name: hashlib.sha256(f"{seed}:{name}".encode()).digest())
    first, second = set(order[:size]), set(order[size : size + later])
    return Selection(
        tuple(name for name in names if name in first),
        tuple(name for name in names if name in second),
        seed,
        len(names),
    )
