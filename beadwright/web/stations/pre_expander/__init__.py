"""The pre-expander's own page: how it stands, and four large buttons of a field or two each.

Lives here: the page of each pre-expander.
Read first: :mod:`beadwright.web.stations.pre_expander.views`.
May import: ``plant`` and all below, ``interop.keyed``, the parts of stations.
"""

__all__: list[str] = []
