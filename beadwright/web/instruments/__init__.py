"""Instruments: how each stands, and what one found wrong had read."""

__all__: list[str] = []
