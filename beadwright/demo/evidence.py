"""What is evidence beside the weighings: strength, first pieces, reports, calibrations, and gaps.

Read :func:`add_evidence` first. Two gaps are left: a periodic test that lapsed, and a balance that
was out of calibration for a day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.demo.bending import bending_of
from beadwright.demo.clock import DAY, END, stamp
from beadwright.demo.faults import LAPSED, UNFIT, Fault
from beadwright.demo.first_look import first_pieces
from beadwright.demo.inspection import of_lots
from beadwright.demo.metrology import Lapse, calibrations, draw_lapse, reports
from beadwright.demo.noise import Noise
from beadwright.demo.sheets import Inspection, Row
from beadwright.demo.strength import Tested, strength_of
from beadwright.demo.weeks import Weeks

__all__ = ["Gaps", "add_evidence"]


@dataclass(frozen=True)
class Gaps:
    """What is missing by a fault, and lots whose strength is not known yet."""

    faults: tuple[Fault, ...]
    waiting: frozenset[str]


def add_evidence(weeks: Weeks, kinds: Mapping[str, str]) -> Gaps:
    """Add the sheets of evidence to the weeks; ``kinds`` are lots in which something went wrong."""
    tested = strength_of(weeks.made, frozenset(kinds), Noise(weeks.seed, "strength"))
    noise = Noise(weeks.seed, "calibrations")
    lapsed = _lapsed(tested)
    others = frozenset(kinds) | set(lapsed.lots)
    bent = bending_of(weeks.made, others, Noise(weeks.seed, "bending"))
    lapse = draw_lapse(noise, weeks.rows["inspections"], others)
    added: dict[str, list[Row]] = {
        "results": [*tested.rows, *bent],
        "first_pieces": [*first_pieces(weeks.made, weeks.rows["silo_moves"])],
        "reports": [*reports(Noise(weeks.seed, "reports"))],
        "calibrations": [*calibrations(lapse, noise)],
    }
    for name, rows in added.items():
        weeks.rows[name] = sorted((row for row in rows if row.at <= END), key=lambda row: row.at)
    return Gaps((lapsed, _unfit(weeks, lapse, others)), tested.waiting)


def _lapsed(tested: Tested) -> Fault:
    return Fault(
        LAPSED,
        f"Nobody tested the strength of {tested.product} in the week before"
        f" {stamp(tested.day, '%Y-%m-%d')}; what was made that day has no result.",
        tested.day,
        "",
        "results",
        (),
        tested.lapsed,
        {"product": tested.product, "characteristic": "compressive_resistance"},
    )


def _unfit(weeks: Weeks, lapse: Lapse, others: frozenset[str]) -> Fault:
    rows = weeks.rows["inspections"]
    form = {name for name, lot in of_lots(weeks.made).items() if lot[0].carton is not None}
    lots = tuple(lot for lot in lapse.lots(rows) if lot in form and lot not in others)
    return Fault(
        UNFIT,
        f"The calibration of {lapse.instrument} had run out on"
        f" {stamp(lapse.since, '%Y-%m-%d')}; it was calibrated again a day later.",
        lapse.since,
        lapse.instrument,
        "inspections",
        tuple(
            row
            for row in rows
            if isinstance(row, Inspection)
            and row.instrument == lapse.instrument
            and lapse.since <= row.at < lapse.since + DAY
        ),
        lots,
    )
