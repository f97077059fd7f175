"""The air of the rooms: what silos and fresh blocks give off, and how old the blocks are."""

__all__: list[str] = []
"""No name is given away here: a view is imported from its module."""
