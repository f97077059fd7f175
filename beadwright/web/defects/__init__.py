"""The page of defects: by kind, and by what blocks were made of and where."""

__all__: list[str] = []
