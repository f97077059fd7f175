"""Where a page leads: the few ways that stand at the head of each, by who is signed in."""

from __future__ import annotations

from typing import NamedTuple

from beadwright.plant.access import MAY_ASK
from beadwright.plant.accounts import Signed

__all__ = ["Way", "places_for"]


class Way(NamedTuple):
    """One way at the head of a page."""

    to: str
    words: str
    here: bool


_WAYS = (
    ("/", "Floor"),
    ("/silos/", "Silos"),
    ("/stations/", "Stations"),
    ("/laboratory/", "Laboratory"),
    ("/holds/", "Held"),
    ("/release/", "Release"),
    ("/products/", "Products"),
    ("/charts/", "Charts"),
    ("/instruments/", "Instruments"),
    ("/search/", "Search"),
)


def places_for(signed: Signed | None, path: str) -> tuple[Way, ...]:
    """Give the ways that a person may take."""
    if signed is None or signed.role not in MAY_ASK:
        return ()
    return tuple(Way(to, words, _is_here(to, path)) for to, words in _WAYS)


def _is_here(to: str, path: str) -> bool:
    return path == to if to == "/" else path.startswith(to)
