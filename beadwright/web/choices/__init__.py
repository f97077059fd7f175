"""What a person chose: units, and light or dark; kept in a cookie of theirs."""

__all__: list[str] = []
