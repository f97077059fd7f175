"""The verb that says where inspection of a product stands, and what its plan asks of a lot."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, AsPicture
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["inspection"]


def inspection(
    context: typer.Context,
    product: Annotated[str, typer.Argument(metavar="PRODUCT", help="As the plant calls it.")],
    lot: Annotated[str, typer.Option(metavar="LOT", help="Which of its pieces to look at.")] = "",
    picture: AsPicture = None,
    json: AsJson = False,
) -> int:
    """Say where inspection of a product stands by its plan, lot by lot.

    The plan is a setting, [inspection.PRODUCT]: a published one by its AQL, with or without
    switching, or one of two points. Release waits for it only where it says so (for_release).

    Example: beadwright --store plant.sqlite3 inspection FB6S --lot L1-001
    """
    from beadwright.cli import show_inspection

    plant = of(context).plant()
    if lot:
        show_inspection.of_lot(plant, product, lot, picture, json=json)
        return DONE
    show_inspection.of_product(plant, product, picture, json=json)
    return DONE
