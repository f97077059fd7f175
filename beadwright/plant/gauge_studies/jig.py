"""What a study of a go/no-go jig says: whether people agree, and what they let through.

Read :func:`jig_study`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

import numpy as np

from beadwright.errors import Misuse, OutOfRange
from beadwright.plant.gauge_studies.cells import Cells
from beadwright.statistics.agreement import AttributeStudy, Jig, attribute_study, fit_jig

__all__ = ["JIG_BANDS", "JIG_SOURCE", "JigBand", "JigStudy", "jig_study"]

JigBand = Literal["fit", "conditional", "unfit"]

JIG_BANDS: tuple[tuple[float, float, float, JigBand], ...] = (
    (0.90, 0.02, 0.05, "fit"),
    (0.80, 0.05, 0.10, "conditional"),
)
"""Effectiveness at least, misses at most, false alarms at most."""

JIG_SOURCE = "AIAG, Measurement Systems Analysis, 4th ed., 2010, attribute studies [from memory]"


@dataclass(frozen=True, slots=True)
class JigStudy:
    """A study with what it rests on."""

    file: str
    cells: Cells[bool]
    good: tuple[bool, ...]
    study: AttributeStudy
    wrong: tuple[str, ...]
    """Pieces that somebody judged otherwise than the reference, or not alike every time."""
    jig: Jig | None
    """Where it turns; None where no sizes are stated, or they do not tell."""
    why_not: str
    """Why where it turns cannot be told, though sizes are stated; empty otherwise."""
    unit: str

    def band(self, person: int) -> JigBand:
        """Give the band of one person: each of the three figures decides."""
        judge = self.study.judges[person]
        for least, miss, alarm, band in JIG_BANDS:
            if (
                judge.effective.share >= least
                and judge.miss.share <= miss
                and judge.false_alarm.share <= alarm
            ):
                return band
        return "unfit"

    @property
    def worst(self) -> JigBand:
        """The worst band of anybody: the jig is as good as whoever uses it."""
        order: tuple[JigBand, ...] = ("unfit", "conditional", "fit")
        return min((self.band(i) for i in range(len(self.cells.people))), key=order.index)


def jig_study(
    file: str, cells: Cells[bool], good: Sequence[bool], sizes: Sequence[Decimal], unit: str
) -> JigStudy:
    """Work out a study against reference pieces.

    Raises
    ------
    Misuse
        If every reference piece is good, or every one bad.
    """
    if all(good) or not any(good):
        only = "good" if all(good) else "bad"
        message = f"every reference piece is {only}: some good and some bad ones are needed"
        raise Misuse(message)
    array = cells.array
    study = attribute_study(array, np.array(good, dtype=float))
    right = array == np.array(good, dtype=float)[:, None, None]
    wrong = tuple(part for part, all_right in zip(cells.parts, right.all(axis=(1, 2)), strict=True)
                  if not all_right)  # fmt: skip
    jig, why_not = None, ""
    if sizes:
        accepted = array.sum(axis=(1, 2))
        try:
            jig = fit_jig([float(one) for one in sizes], accepted, array[0].size)
        except OutOfRange as error:
            why_not = str(error)
    return JigStudy(file, cells, tuple(good), study, wrong, jig, why_not, unit)
