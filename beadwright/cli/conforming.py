"""The verb that says how probable it is that what is made conforms, and at what risk."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["conformity"]


def conformity(
    context: typer.Context,
    product: Annotated[str, typer.Argument(metavar="PRODUCT", help="Its code.")],
    characteristic: Annotated[
        str, typer.Argument(metavar="NAME", help="What is limited, as `limits` lists it: density.")
    ],
    json: AsJson = False,
) -> int:
    """Say how probable it is that lots conform to their limits, and at what risk they are judged.

    Of the newest lots of a product, each by its own uncertainty; and, from the plant's own spread,
    how much conforms and is rejected, or does not and is accepted. A guide: it decides nothing.

    Example: beadwright --store plant.sqlite3 conformity FB6S density
    """
    from beadwright.cli import show_conformity

    plant = of(context).plant()
    show_conformity.show(plant, product, characteristic, json=json)
    return DONE
