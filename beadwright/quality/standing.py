"""What stands over lots, asked for many at once: holds placed, concessions, approvals, followers.

The ledger answers; here they stand together for whoever judges a lot.
"""

from __future__ import annotations

from beadwright.ledger.decided import Decided, approvals, concessions, holds_placed
from beadwright.ledger.onward import followers, sweeps

__all__ = ["Decided", "approvals", "concessions", "followers", "holds_placed", "sweeps"]
