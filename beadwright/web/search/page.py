"""What the search page shows: what was asked, and what was found, each with where it leads.

Read :func:`page`.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from beadwright.plant.search import EACH, Hit

__all__ = ["LIMIT", "SearchPage", "page"]

_PAGES = (
    ("visit-file", "Visit file", "visit file inspector auditor audit certification"),
    ("record", "Verify the record", "record verify chain head audit"),
    ("recalls", "Recalls and rehearsals", "recall rehearsal mock"),
    ("limits", "Limits", "limits standard"),
)
"""Pages by name, what they are called, and the words by which they are found."""

_LEAST = 3
"""Signs of a word from which a page is found."""

LIMIT = 30
"""Hits that one answer holds."""


@dataclass(frozen=True, slots=True)
class SearchPage:
    """A search as its page shows it."""

    asked: str
    hits: tuple[Hit, ...]
    full: bool
    """Whether there may be more than is shown."""
    named: tuple[str, ...]
    """Lots whose whole code or label was typed: a recall can start from them."""
    only: str
    """The lot that is meant where a whole code or label names one alone; else empty."""
    pages: tuple[tuple[str, str], ...]
    """Pages that a word names: each by its name, and what it is called."""
    said: str
    """How many were found, for whoever hears the page."""


def page(asked: str, hits: tuple[Hit, ...]) -> SearchPage:
    """Put the answer together."""
    many = len(hits)
    word = asked.strip().lower()
    pages = tuple(
        (name, title)
        for name, title, words in _PAGES
        if len(word) >= _LEAST and any(one.startswith(word) for one in (*words.split(), words))
    )
    found = many + len(pages)
    said = "Nothing found" if not found else "1 found" if found == 1 else f"{found} found"
    cut = many == LIMIT or EACH in Counter(hit.what for hit in hits).values()
    if cut:
        said = f"The likeliest {many}: type more to narrow it"
    exact = [hit.lot for hit in hits if hit.what in {"lot", "label"} and not hit.rank[0]]
    named = tuple(dict.fromkeys(filter(None, exact)))
    only = named[0] if len(named) == 1 else ""
    return SearchPage(asked, hits, cut, named, only, pages, said if asked else "")
