"""Holds: what is held and why, a hold placed, and one lifted.

Lives here: the list with whom it waits for, one hold, and the form that places one.
Read first: :mod:`beadwright.web.holds.views`.
May import: ``plant`` and all below.
"""

__all__: list[str] = []
