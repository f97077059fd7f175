"""What a person chooses among on the command line."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from beadwright.units import System

__all__ = ["AsJson", "AsPicture", "InUnits", "Units", "Why"]


class Units(StrEnum):
    """Units of what is shown."""

    SI = "si"
    US = "us"

    @property
    def system(self) -> System:
        """The same, as the units package names it."""
        return "si" if self is Units.SI else "us"


InUnits = Annotated[
    Units, typer.Option(envvar="BEADWRIGHT_UNITS", help="In SI (si) or US units (us).")
]
AsPicture = Annotated[
    Path | None,
    typer.Option(
        "--picture",
        metavar="FILE",
        help="Draw it too, as FILE.svg or FILE.png; it must not exist.",
    ),
]
Why = Annotated[bool, typer.Option("--why", help="Show formula, inputs and source of each number.")]
AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
