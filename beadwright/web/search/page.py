"""What the search page shows: what was asked, and what was found, each with where it leads.

Read :func:`page`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.plant.search import Hit

__all__ = ["LIMIT", "SearchPage", "page"]

LIMIT = 30
"""Hits that one answer holds."""


@dataclass(frozen=True, slots=True)
class SearchPage:
    """A search as its page shows it."""

    asked: str
    hits: tuple[Hit, ...]
    full: bool
    """Whether there may be more than is shown."""
    only: str
    """The lot that is meant where a whole code or label names one alone; else empty."""
    said: str
    """How many were found, for whoever hears the page."""


def page(asked: str, hits: tuple[Hit, ...]) -> SearchPage:
    """Put the answer together."""
    many = len(hits)
    said = "Nothing found" if not many else "1 found" if many == 1 else f"{many} found"
    if many == LIMIT:
        said = f"The likeliest {LIMIT}: type more to narrow it"
    exact = {hit.lot for hit in hits if hit.what in {"lot", "label"} and not hit.rank[0]}
    only = exact.pop() if len(exact) == 1 else ""
    return SearchPage(asked, hits, many == LIMIT, only, said if asked else "")
