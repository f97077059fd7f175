"""Instruments and their calibrations, one of which lapses for a day; the laboratory's reports.

Read :func:`calibrations` first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.demo.clock import DAY, HOUR, day_start, stamp
from beadwright.demo.description import PRODUCTS
from beadwright.demo.noise import Noise
from beadwright.demo.sheets import Calibration, Inspection, Report, Row

__all__ = ["INSTRUMENTS", "MOULDED", "TYPE_TESTS", "Lapse", "calibrations", "draw_lapse", "reports"]

INSTRUMENTS = {
    "BAL-FP1": ("balance, 15 kg", "press FP1"),
    "BAL-FP2": ("balance, 15 kg", "press FP2"),
    "BAL-PP1": ("balance, 6 kg", "press PP1"),
    "BAL-Q1": ("balance, 15 kg", "inspection"),
    "BAL-1": ("balance, 6 kg", "pre-expander E1"),
    "BAL-2": ("balance, 6 kg", "pre-expander E2"),
    "SC-E1": ("hopper scale, 500 kg", "pre-expander E1"),
    "SC-E2": ("hopper scale, 500 kg", "pre-expander E2"),
    "UTM-1": ("universal testing machine, 10 kN", "laboratory"),
    "BAL-L1": ("balance, 200 g, with its calliper", "laboratory"),
}

MOULDED = ("FB6S", "FB6C", "FB6H", "FB8S", "FB8L")
"""Form products of these weeks."""

TYPE_TESTS = {
    "thermal_resistance": ("ASTM C518", (4.1, 4.3), "°F·ft2·h/Btu"),
    "water_absorption": ("ASTM C272", (0.9, 1.9), "%"),
    "oxygen_index": ("ASTM D2863", (25.4, 27.6), "%"),
}
"""By characteristic: method, and between which figures its results lie, with their unit."""

_ENTERED = -4 * DAY + 15 * HOUR
_YEAR = 365 * DAY
_FEWEST = 2  # lots
_AT_PRESS = ("BAL-FP1", "BAL-FP2")
_LAPSING = (1, 2, 3, 6, 7, 8, 11)  # Tuesdays to Thursdays, so that the next day is a working day


@dataclass(frozen=True)
class Lapse:
    """An instrument that was out of calibration from a morning to the next."""

    instrument: str
    since: int
    until: int

    def lots(self, rows: Sequence[Row]) -> tuple[str, ...]:
        """Lots of which something was weighed on it meanwhile."""
        found = {
            row.lot
            for row in rows
            if isinstance(row, Inspection)
            and row.instrument == self.instrument
            and self.since <= row.at < self.until
        }
        return tuple(sorted(found))


def draw_lapse(noise: Noise, rows: Sequence[Row], others: frozenset[str]) -> Lapse:
    """Choose a balance and a day on which lots were weighed that nothing else is wrong with."""
    every = [
        Lapse(name, day_start(working), day_start(working) + DAY)
        for name in _AT_PRESS
        for working in _LAPSING
    ]
    return noise.pick([one for one in every if len(set(one.lots(rows)) - others) >= _FEWEST])


def calibrations(lapse: Lapse, noise: Noise) -> list[Calibration]:
    """What was calibrated, within the year before; and, a day late, what had been overlooked."""
    rows = []
    for number, name in enumerate(INSTRUMENTS, 1):
        ago = noise.whole(60, 300) * DAY
        if name == lapse.instrument:
            ago = _YEAR - lapse.since
        rows.append(_calibration(name, -ago, _ENTERED + number, number))
    again = lapse.until
    return [*rows, _calibration(lapse.instrument, again, again + 5 * HOUR + 30, len(rows) + 1)]


def _calibration(name: str, done: int, entered: int, number: int) -> Calibration:
    day = "%Y-%m-%d"
    return Calibration(
        at=entered,
        by="EI",
        calibrated=name,
        done=stamp(done, day),
        result="pass",
        certificate=f"CAL-{number:03d}",
        due=stamp(done + _YEAR - DAY, day),
    )


def reports(noise: Noise) -> list[Report]:
    """Type tests of the form products, by a laboratory outside."""
    day = "%Y-%m-%d"
    names = [name for name in MOULDED if PRODUCTS[name].is_form]
    return [
        Report(
            at=_ENTERED + 60 + number,
            by="EI",
            number=f"TR-{410 + number}",
            laboratory="Fennick Test House",
            products=" ".join(names),
            characteristic=name,
            method=method,
            specimens=3,
            result=f"{noise.between(*span):.2f} {unit}",
            sampled=stamp((-150 + 3 * number) * DAY, day),
            tested=stamp((-130 + 3 * number) * DAY, day),
            issued=stamp((-120 + 3 * number) * DAY, day),
            expires=stamp((-150 + 3 * number) * DAY + 5 * _YEAR, day),
        )
        for number, (name, (method, span, unit)) in enumerate(TYPE_TESTS.items(), 1)
    ]
