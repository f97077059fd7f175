"""A chart as a person reads it: in the reader's unit, each point named by its lot and time.

Read :func:`shown`. A chart of plain values is changed into the unit; one in standard deviations
has none.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import get_args
from zoneinfo import ZoneInfo

import numpy as np

from beadwright.plant.charted.answer import Charted
from beadwright.plant.charted.series import Watched
from beadwright.statistics.charts import Chart, Kind
from beadwright.units import Kind as UnitKind
from beadwright.units import System, from_si, shown_unit

__all__ = ["Shown", "shown", "unit_of"]

_IN_SIGMA: frozenset[Kind] = frozenset({"residuals", "score", "cumulative sum", "t squared"})
_NUMBERS: frozenset[Kind] = frozenset({"np", "c"})
_MOST_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Shown:
    """What a picture and a sentence need."""

    chart: Chart
    """In the reader's unit."""
    unit: str
    digits: int
    labels: tuple[str, ...]
    """Of each point: its lot, or of a cup its day and time."""
    factor: float
    """Of values in SI to those shown."""
    value_unit: str
    """Unit of the values, where the chart itself is in standard deviations."""
    value_digits: int
    begins: tuple[tuple[int, str], ...]
    """Points at which a bead lot begins, and its name."""

    def value(self, si: float) -> str:
        """Give a value of the series as a person reads it."""
        number = f"{si * self.factor:.{self.value_digits}f}"
        return f"{number} {self.value_unit}" if self.value_unit else number


def shown(found: Charted, units: System, zone: ZoneInfo) -> Shown:
    """Give a chart in the reader's unit; there must be one."""
    assert found.chart is not None  # noqa: S101 - who asks has looked
    factor, unit = unit_of(found.series, units)
    chart, own = found.chart, factor
    value_digits = _digits(found, factor)
    if chart.kind in _IN_SIGMA:
        own, said, digits = 1.0, "sigma", 2
    elif chart.kind in _NUMBERS:
        own, said, digits = 1.0, "pieces", 1
    else:
        said, digits = unit, value_digits
    labels = tuple(_label(found.series, at, zone) for at in range(len(found.series.points)))
    scaled = _scaled(chart, own)
    begins = tuple((one.first, one.name) for one in found.beads)
    return Shown(scaled, said, digits, labels, factor, unit, value_digits, begins)


def unit_of(series: Watched, units: System) -> tuple[float, str]:
    """Give what values in SI are multiplied by to be read, and in which unit they are then."""
    if series.kind == "off_target":
        return 1.0, "%"
    kind = next((one for one in get_args(UnitKind) if one == series.kind), None)
    if kind is None:
        return 1.0, ""
    unit = shown_unit(kind, units)
    return float(from_si(Decimal(1), unit, kind)), unit


def _digits(found: Charted, factor: float) -> int:
    """Digits after the point: two figures of the spread of the points count."""
    if found.series.scale == "measured":
        values = [sum(one.values) / len(one.values) for one in found.series.points]
    else:
        values = [one.values[0] / one.inspected for one in found.series.points]
    spread = float(np.std(values)) * factor
    if not spread > 0:
        return 1
    return min(_MOST_DIGITS, max(0, 1 - math.floor(math.log10(spread))))


def _label(series: Watched, at: int, zone: ZoneInfo) -> str:
    point = series.points[at]
    if series.of == "lots":
        return point.lot
    return f"{datetime.fromtimestamp(point.at_ms / 1000, zone):%m-%d %H:%M}"


def _scaled(chart: Chart, factor: float) -> Chart:
    if factor == 1:
        return chart
    process = chart.process
    return replace(
        chart,
        points=chart.points * factor,
        centre=chart.centre * factor,
        lower=chart.lower * factor,
        upper=chart.upper * factor,
        spread=chart.spread * factor,
        process=replace(process, level=process.level * factor),
        beside=None if chart.beside is None else _scaled(chart.beside, factor),
    )
