"""Recalls and rehearsals: the scope, what to hold, whom to tell, and the times."""

__all__: list[str] = []
