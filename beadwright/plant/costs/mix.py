r"""How much the mix of products moves what a good block costs on a day or a shift.

Read :func:`with_mix`. A block of a group costs :math:`\sum_p s_p c_{gp}` of its own shares of
products and what each cost there; of all blocks, :math:`\sum_p w_p c_p`. The two differ by

.. math:: \sum_p (s_p - w_p) c_p + \sum_p s_p (c_{gp} - c_p)

of which the first is the mix alone, and the second what the same products cost otherwise. Less the
first, the group's cost is at the mix of all.

References
----------
E. M. Kitagawa, "Components of a difference between two rates", J. Am. Statist. Assoc. 50 (1955)
1168-1194: the parting of a difference of means into composition and rates, here at the rates of
all. [from memory]
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from beadwright.plant.costs.moulded import Moulded
from beadwright.plant.costs.rows import Row

__all__ = ["products_of", "with_mix"]


def products_of(some: Iterable[Moulded]) -> dict[str, list[Moulded]]:
    """Part counts by product."""
    found: dict[str, list[Moulded]] = {}
    for one in some:
        found.setdefault(one.product, []).append(one)
    return found


def with_mix(
    rows: Iterable[Row], groups: Mapping[str, Sequence[Moulded]], of_product: Iterable[Row]
) -> tuple[Row, ...]:
    """Say of each row what its mix of products makes of its cost; not where a price lacks.

    ``of_product`` are the rows of all blocks by product; of one product there is no mix.
    """
    rows, products = tuple(rows), tuple(of_product)
    if len(rows) == 1 or len(products) == 1:
        return rows
    every = sum(one.good for one in products)
    costs = {one.name: one.known for one in products}
    weights = {one.name: one.good / every for one in products}
    found = []
    for one in rows:
        made = {name: _good(some) for name, some in products_of(groups[one.name]).items()}
        mix = 0.0
        for name, cost in costs.items():
            if cost is None or one.known is None:
                break
            mix += (made.get(name, 0) / one.good - weights[name]) * cost
        else:
            one = replace(one, mix=mix)  # noqa: PLW2901 - the same row, and one figure more
        found.append(one)
    return tuple(found)


def _good(some: Iterable[Moulded]) -> int:
    return sum(one.good for one in some)
