"""The silo board: each place that holds beads, and what a press should draw of next."""

__all__: list[str] = []
"""No name is given away here: a view is imported from its module."""
