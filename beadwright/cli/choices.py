"""What a person chooses among on the command line."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from beadwright.units import System

__all__ = ["Units"]


class Units(StrEnum):
    """Units of what is shown."""

    SI = "si"
    US = "us"

    @property
    def system(self) -> System:
        """The same, as the units package names it."""
        return "si" if self is Units.SI else "us"
