"""The page of one entry of the record.

Read first: :mod:`beadwright.web.entries.page`.
"""

__all__: list[str] = []
