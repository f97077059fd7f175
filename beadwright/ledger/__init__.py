"""What happened to material: the record, its projections, and trace.

Lives here: the one table of entries, the chain, the fold, and the questions about lots and stock.
Read first: ``draft`` (what is said), ``fold`` (what follows), ``record`` (the only code that
appends).
May import: units, errors, Django; no product, no limit, no standard.
"""

__all__: list[str] = []
