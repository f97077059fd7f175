"""From a specimen's raw weighing or curve to a result with its uncertainty.

Lives here: corrections and methods as pure functions, SI in and SI out.
Read first: beadwright.lab.density.
May import: standards, units, errors, numpy; no Django, no store.
"""

__all__: list[str] = []
