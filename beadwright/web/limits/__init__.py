"""The page of limits: each with its source, whether it was verified, and who set it.

Read first: :mod:`beadwright.web.limits.page`.
"""

__all__: list[str] = []
