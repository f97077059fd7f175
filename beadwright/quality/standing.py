"""What stands over lots, asked for many at once: holds placed, concessions, approvals, followers.

The ledger answers; here they stand together for whoever judges a lot.
"""

from __future__ import annotations

from beadwright.ledger.decided import (
    Decided,
    approvals_given,
    concessions,
    holds_placed,
)
from beadwright.ledger.onward import followers, sweeps

__all__ = [
    "Decided",
    "approvals_given",
    "concessions",
    "followers",
    "holds_placed",
    "sweeps",
]
