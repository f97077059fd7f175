"""The ageing of every silo's beads: signed hours and the window by estimate on one axis of time."""

__all__: list[str] = []
"""No name is given away here: a view is imported from its module."""
