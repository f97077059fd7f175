"""What a comparison between laboratories says of a method: repeatability and reproducibility.

Read :func:`comparison`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import Misuse
from beadwright.statistics.interlaboratory import Interlaboratory, interlaboratory

__all__ = ["LAB_SOURCE", "Comparison", "LevelStudy", "comparison"]

LAB_SOURCE = "ASTM E691 and ISO 5725-2 [read in: a second source that cites them]"
_LEAST_LABS = 3
_LEAST_RESULTS = 2


@dataclass(frozen=True, slots=True)
class LevelStudy:
    """One material."""

    name: str
    laboratories: tuple[str, ...]
    replicates: int
    study: Interlaboratory

    @property
    def marked(self) -> tuple[str, ...]:
        """Laboratories that something is said of: unlike, uneven, or coarse."""
        return tuple(
            name
            for name, one in zip(self.laboratories, self.study.laboratories, strict=True)
            if one.unlike or one.uneven or one.coarse
        )


@dataclass(frozen=True, slots=True)
class Comparison:
    """A comparison with what it rests on, in the unit of the sheet."""

    file: str
    unit: str
    levels: tuple[LevelStudy, ...]


def comparison(
    file: str,
    unit: str,
    levels: Sequence[tuple[str, tuple[str, ...], tuple[tuple[Decimal, ...], ...]]],
) -> Comparison:
    """Work out a comparison: of each level its name, laboratories, and their results.

    Raises
    ------
    Misuse
        If there are fewer than three laboratories or two results of each.
    """
    found = []
    for name, laboratories, results in levels:
        of = f" of level {name}" if name else ""
        if len(laboratories) < _LEAST_LABS or len(results[0]) < _LEAST_RESULTS:
            message = (
                f"there are {len(laboratories)} laboratories with {len(results[0])} results each"
                f"{of}: {_LEAST_LABS} with {_LEAST_RESULTS} at least are needed"
            )
            raise Misuse(message)
        study = interlaboratory([[float(one) for one in some] for some in results])
        found.append(LevelStudy(name, laboratories, len(results[0]), study))
    return Comparison(file, unit, tuple(found))
