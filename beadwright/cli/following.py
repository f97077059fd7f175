"""What a shell says of a trace: which way."""

from __future__ import annotations

from beadwright.errors import Misuse
from beadwright.ledger.trace import Direction

__all__ = ["way"]


def way(*, back: bool, forward: bool) -> Direction:
    """Give the one way that was chosen.

    Raises
    ------
    Misuse
        If none was, or both.
    """
    if back == forward:
        which = "one way, and not both" if back else "which way"
        message = f"say {which}: --back (what it was made of) or --forward (what was made of it)"
        raise Misuse(message)
    return "back" if back else "forward"
