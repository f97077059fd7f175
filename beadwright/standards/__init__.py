"""Published limits and methods as dated, typed data.

Lives here: the typed reader of data/*.toml; each limit with edition, clause and who verified it.
Read first: beadwright.standards.catalogue.
May import: units, errors; no Django, no store.
"""

__all__: list[str] = []
