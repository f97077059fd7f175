"""Signing in and out, and changing who stands at a shared tablet."""

__all__: list[str] = []
