"""Stocktake: what the record says is there, beside a box for what was found.

Lives here: the sheets to choose from, and one sheet, compared before it is recorded.
Read first: :mod:`beadwright.web.stations.stocktake.views`.
May import: ``plant`` and all below, ``interop.keyed``.
"""

__all__: list[str] = []
