"""The page that verifies the record: its chain walked, for whoever has no shell.

Read first: :mod:`beadwright.web.record.page`.
"""

__all__: list[str] = []
