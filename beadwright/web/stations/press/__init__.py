"""The press: what it makes and draws of, and the few things an operator does there, each a tap.

Lives here: the page of a press, and its forms as small as they can be.
Read first: :mod:`beadwright.web.stations.press.views`.
May import: ``plant`` and all below, ``interop.keyed``, the other modules of stations.
"""

__all__: list[str] = []
