"""What a good block costs, part by part."""

__all__: list[str] = []
