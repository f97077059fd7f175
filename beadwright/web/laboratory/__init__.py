"""The laboratory: what is in conditioning, what is due, and a form for each test."""

__all__: list[str] = []
