"""An entry corrected in place: its form, filled as it was keyed, and why it was wrong."""

__all__: list[str] = []
