"""Pages for people: server-rendered, one folder a page or station.

Lives here: views that parse, ask one function of ``plant`` and show what it gives; the parts of
pages; who may see what.
Read first: :mod:`beadwright.web.urls`, then :mod:`beadwright.web.access`.
May import: ``plant`` and all below, ``interop`` for what is keyed, ``charts`` for pictures.
"""

__all__: list[str] = []
