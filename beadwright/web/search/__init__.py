"""The page on which anything is found, as it is typed.

Read first: :mod:`beadwright.web.search.page`.
"""

__all__: list[str] = []
