"""Products: what each is set up for, worked out from the physics; one sheet each."""

__all__: list[str] = []
"""No name is given away here: a view is imported from its module."""
