"""The parts of pages, each a template that says what it takes; and a page that shows them all."""

__all__: list[str] = []
