"""What a crossed study says of a gauge in use: shares, classes, and what to put on the instrument.

Read :func:`gauge_study`. Analysis of variance decides; the average and range method stands beside
it as a check. Nothing is left out: what does not seem to belong is named.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

import numpy as np

from beadwright.errors import BeadwrightError, Misuse, UnitError
from beadwright.plant.decimal_comma import with_point
from beadwright.plant.gauge_studies.cells import Cells
from beadwright.statistics.gauge_study import (
    CrossedStudy,
    RangeStudy,
    crossed_study,
    range_study,
)
from beadwright.statistics.ranges import mean_range, range_spread
from beadwright.units import Kind, from_si, parse_number, to_si

__all__ = [
    "BANDS",
    "BANDS_SOURCE",
    "ENOUGH_CLASSES",
    "POOL_ABOVE",
    "Band",
    "GaugeStudy",
    "Outlier",
    "Tolerance",
    "band_of",
    "gauge_study",
    "read_tolerance",
]

Band = Literal["fit", "conditional", "unfit"]

BANDS: tuple[tuple[float, Band], ...] = ((0.10, "fit"), (0.30, "conditional"))
ENOUGH_CLASSES = 5
BANDS_SOURCE = "AIAG, Measurement Systems Analysis, 4th ed., 2010 [from memory]"
"""Shares up to which measuring is fit, and up to which it may serve; classes that are enough."""

POOL_ABOVE = 0.25
"""Chance of the interaction above which it counts as repeatability: AIAG, as above."""

_SIGMAS = 3.0
_TOLERANCE = re.compile(r"\s*(\S.*?)\s*\.\.\s*(\S+)\s+(\S.*?)\s*")


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Between which limits what is measured must lie, in the study's unit."""

    low: Decimal
    high: Decimal
    unit: str
    source: str
    """Where it stands: as asked, or names of limits."""

    @property
    def width(self) -> float:
        """Distance of the limits."""
        return float(self.high - self.low)

    @property
    def text(self) -> str:
        """Write it."""
        return f"{self.low.normalize():f} to {self.high.normalize():f} {self.unit}"


@dataclass(frozen=True, slots=True)
class Outlier:
    """One reading that does not seem to belong to the others of its cell."""

    part: str
    person: str
    trial: int
    value: float
    others: float
    """Mean of the cell's others."""
    share_without: float | None
    """Share of the study's variation with that part left out; None where too few are left."""


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """A study with what it rests on, in the unit of the sheet."""

    file: str
    unit: str
    cells: Cells[Decimal]
    study: CrossedStudy
    ranges: RangeStudy
    tolerance: Tolerance | None
    outliers: tuple[Outlier, ...]
    range_limit: float
    """Range of a cell beyond which its furthest reading is named."""
    step: float
    """What all readings are multiples of, as they were written."""

    @property
    def share_of_tolerance(self) -> float | None:
        """Six standard deviations of measuring by the distance of the limits."""
        return None if self.tolerance is None else self.study.of_tolerance(self.tolerance.width)

    @property
    def deciding(self) -> float:
        """The share that is judged: of the tolerance where one is stated, else of the study."""
        of_tolerance = self.share_of_tolerance
        return self.study.share if of_tolerance is None else of_tolerance

    @property
    def deciding_interval(self) -> tuple[float, float]:
        """The interval of the share that is judged."""
        if self.tolerance is None:
            return self.study.share_interval
        low, high = self.study.gauge.sd_interval
        return 6 * low / self.tolerance.width, 6 * high / self.tolerance.width

    @property
    def band(self) -> Band:
        """In which band that share lies."""
        return band_of(self.deciding)

    @property
    def uncertainty(self) -> float:
        """Standard uncertainty of one reading by anybody: repeatability and reproducibility."""
        return self.study.gauge.sd

    @property
    def coarse(self) -> bool:
        """Whether the step of reading hides what repeats: half of it and more."""
        return self.step >= 2 * self.study.repeatability.sd


def band_of(share: float) -> Band:
    """Give the band in which a share lies."""
    for most, band in BANDS:
        if share < most or (band == "conditional" and share == most):
            return band
    return "unfit"


def gauge_study(
    file: str, unit: str, cells: Cells[Decimal], tolerance: Tolerance | None = None
) -> GaugeStudy:
    """Work out a crossed study.

    Raises
    ------
    Misuse
        If nothing differs at all, so that there is nothing to part, or there is one person alone.
    """
    if len(cells.people) < 2:  # noqa: PLR2004 - one person is no study of people
        message = "one person alone measured: a study of a gauge in use needs two people or more"
        raise Misuse(message)
    array = cells.array
    study = crossed_study(array, pool_above=POOL_ABOVE)
    if study.gauge.variance == 0:
        message = (
            "every reading of a part is the same: the gauge's step hides what measuring scatters;"
            " read it finer, or between its marks"
        )
        raise Misuse(message)
    ranges = range_study(array)
    d2, d3 = mean_range(cells.trials), range_spread(cells.trials)
    limit = ranges.mean_range * (1 + _SIGMAS * d3 / d2)
    return GaugeStudy(
        file, unit, cells, study, ranges, tolerance, _outliers(cells, limit), limit, _step(cells)
    )


def read_tolerance(text: str, unit: str, kind: Kind | None) -> Tolerance:
    """Read a tolerance as it is asked for, such as "395..405 mm", into the study's unit.

    Raises
    ------
    Misuse
        If it cannot be read, its unit is of another quantity, or its ends are no ends.
    """
    found = _TOLERANCE.fullmatch(text)
    if found is None:
        message = f"tolerance {text!r} is none: write it as LOW..HIGH UNIT, such as '395..405 mm'"
        raise Misuse(message)
    low, high, own = found.groups()
    try:
        ends = [_end(one) for one in (low, high)]
        if own != unit:
            ends = [_turned(one, own, unit, kind) for one in ends]
    except (Misuse, UnitError) as error:
        message = f"tolerance {text!r}: {error}"
        raise Misuse(message) from error
    if ends[0] >= ends[1]:
        message = f"tolerance {text!r}: the low end must lie below the high one"
        raise Misuse(message)
    return Tolerance(ends[0], ends[1], unit, "as asked")


def _end(text: str) -> Decimal:
    try:
        return parse_number(with_point(text), decimal=".")
    except UnitError:  # it speaks of a sheet's layout and columns
        message = f"{text!r} is no number; write its ends as 405.4..407.4 mm"
        raise Misuse(message) from None


def _turned(number: Decimal, unit: str, into: str, kind: Kind | None) -> Decimal:
    what = f'"{unit}" is no unit of what was measured, which is in {into}.'
    if kind is None:
        raise UnitError(code="unit_unknown", what=what, text=unit, remedy="State it in that unit.")
    try:
        return from_si(to_si(number, unit, kind), into, kind)
    except BeadwrightError as error:
        remedy = "State it in that unit."
        raise UnitError(code="unit_unknown", what=what, text=unit, remedy=remedy) from error


def _outliers(cells: Cells[Decimal], limit: float) -> tuple[Outlier, ...]:
    """Name the furthest reading of each cell whose range is beyond three deviations of ranges."""
    array = cells.array
    found = []
    for i, j in np.argwhere(np.ptp(array, axis=2) > limit).tolist():
        own = array[i, j]
        others = [float(np.delete(own, k).mean()) for k in range(cells.trials)]
        if cells.trials == 2:  # noqa: PLR2004 - of two, what the others read of the part decides
            others = [float(np.delete(array[i], j, axis=0).mean())] * 2
        k = max(range(cells.trials), key=lambda n: abs(float(own[n]) - others[n]))
        found.append(
            Outlier(
                cells.parts[i], cells.people[j], k + 1, float(own[k]), others[k],
                _without(array, i),
            )
        )  # fmt: skip
    return tuple(found)


def _without(array: np.ndarray[tuple[int, ...], np.dtype[np.float64]], part: int) -> float | None:
    rest = np.delete(array, part, axis=0)
    if len(rest) < 2:  # noqa: PLR2004 - a study has two parts at least
        return None
    return crossed_study(rest, pool_above=POOL_ABOVE).share


def _step(cells: Cells[Decimal]) -> float:
    """Give the largest power of ten that all readings are multiples of, as they were written."""
    exponents = [value.normalize().as_tuple().exponent for value in cells.values.values() if value]
    return float(10.0 ** min((one for one in exponents if isinstance(one, int)), default=0))
