"""What a nested study says: of tests that destroy what they test, such as strength.

Read :func:`destroyed_study`. Nobody can test one specimen twice: what neighbouring specimens of a
part differ by counts as measuring, which is so made out to be worse than it is, never better.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.plant.gauge_studies.cells import Nested
from beadwright.plant.gauge_studies.crossed import Band, Tolerance, band_of
from beadwright.statistics.gauge_study import NestedStudy, nested_study

__all__ = ["DestroyedStudy", "destroyed_study"]


@dataclass(frozen=True, slots=True)
class DestroyedStudy:
    """A study with what it rests on, in the unit of the sheet."""

    file: str
    unit: str
    cells: Nested
    study: NestedStudy
    tolerance: Tolerance | None

    @property
    def share_of_tolerance(self) -> float | None:
        """Six standard deviations of measuring by the distance of the limits."""
        return None if self.tolerance is None else 6 * self.study.gauge.sd / self.tolerance.width

    @property
    def deciding(self) -> float:
        """The share that is judged: of the tolerance where one is stated, else of the study."""
        of_tolerance = self.share_of_tolerance
        return self.study.share if of_tolerance is None else of_tolerance

    @property
    def band(self) -> Band:
        """In which band that share lies."""
        return band_of(self.deciding)


def destroyed_study(
    file: str, unit: str, cells: Nested, tolerance: Tolerance | None = None
) -> DestroyedStudy:
    """Work out a nested study.

    Raises
    ------
    Misuse
        If nothing differs at all, so that there is nothing to part.
    """
    study = nested_study(cells.values)
    if study.gauge.variance == 0:
        message = "every specimen of a part reads the same: there is nothing to part"
        raise Misuse(message)
    return DestroyedStudy(file, unit, cells, study, tolerance)
