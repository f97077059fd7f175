"""What was measured: instruments, readings, evidence, limits and holds, as questions.

Lives here: characteristics, readings, the plant's own limits and the evidence a lot has.
Read first: beadwright.quality.models, then the questions beside it.
May import: ledger, lab, standards, units, errors, Django.
"""

__all__: list[str] = []
