"""The release queue, and the page on which a lot is released."""

__all__: list[str] = []
