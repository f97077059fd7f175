"""The stages of a recall, in their order.

Read :data:`STAGES`.
"""

__all__ = ["HELD", "STAGES"]

HELD = "stock held"

STAGES = ("started", "scope known", HELD, "receivers ready", "account closed")
"""What is timed."""
