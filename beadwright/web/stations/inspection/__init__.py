"""Inspection: the lots that wait for it, what each still needs, and the few things that are done.

Lives here: the page of a lot that is inspected, and its forms as small as they can be.
Read first: :mod:`beadwright.web.stations.inspection.views`.
May import: ``plant`` and all below, ``interop.keyed``, the other modules of stations.
"""

__all__: list[str] = []
