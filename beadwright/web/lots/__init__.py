"""The page of a lot, and of its trace.

Read first: :mod:`beadwright.web.lots.page`.
"""

__all__: list[str] = []
