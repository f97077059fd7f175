"""Charts of what the plant records: all of them, and one with the lots made since."""

__all__: list[str] = []
