"""The plant as it stands."""

__all__: list[str] = []
