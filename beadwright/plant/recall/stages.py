"""The stages of a recall, in their order.

Read :data:`STAGES`.
"""

__all__ = ["CLOSED", "HELD", "KNOWN", "READY", "STAGES"]

KNOWN, HELD, READY, CLOSED = "scope known", "stock held", "receivers ready", "account closed"

STAGES = ("started", KNOWN, HELD, READY, CLOSED)
"""What is timed."""
