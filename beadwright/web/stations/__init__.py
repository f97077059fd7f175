"""Stations: where what is done is keyed, asked first and posted.

Lives here: the list of stations, and the page of each that is a form for each kind of entry.
Read first: :mod:`beadwright.web.stations.named`.
May import: ``plant`` and all below, ``interop.keyed``.
"""

__all__: list[str] = []
