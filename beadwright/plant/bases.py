"""What a lot's figures rest on: product, ties, mould runs and hours, as they were when it was made.

Read :func:`basis_of`. Assessment, page and sheet ask it alike, so that they rest on one evidence.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.ledger.lots import Making
from beadwright.plant.block_age import runs_of
from beadwright.plant.limits import Rulebook
from beadwright.plant.pieces import Basis, ties_of
from beadwright.quality.readings import ReadingView

__all__ = ["basis_of"]


def basis_of(
    rules: Rulebook,
    of: tuple[str, str],
    steps: Sequence[Making],
    readings: Sequence[ReadingView],
) -> Basis:
    """Give what a lot, by code and product, is assessed from: its mould runs and its readings."""
    code, product = of
    made = steps[-1].at_ms if steps else None
    form, hours = rules.product(product, made or 0), rules.day_old_h(made or 0)
    return Basis(code, form, ties_of(steps), readings, made, runs_of(steps), hours)
