"""The kinds of limit of the decision table, each with evidence for it, good, bad and too little.

Read :data:`CLASSES`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from tests.plant.decision_evidence import (
    READ_LATE,
    Evidence,
    Table,
    changed,
    counted,
    first_then,
    own_good,
    read,
    reported,
    strong,
    weighed,
)
from tests.plant.planning import LATE, STRENGTH, hours
from tests.plant.yard import Yard, ms

__all__ = ["CLASSES", "Change", "LimitClass", "bare"]

_LOTS = {
    "L-1": hours(2, 10), "L0": hours(9, 10), "L1": hours(10, 10), "L1B": hours(10, 14),
    "L2": hours(11, 10),
}  # fmt: skip
"""Lots of one product, and when each is moulded."""

_LIGHT, _HEAVY = 0.10, 0.40
"""Ties of another carton, in kg: drawn instead, the foam weighs more, or less."""


Change = Callable[[Table], None]


@dataclass(frozen=True)
class LimitClass:
    """One kind of limit with evidence for it."""

    name: str
    ask: Change
    good: Evidence
    bad: Evidence
    few: Evidence
    """Good, but of fewer specimens than are asked for."""
    late: Evidence
    """Good, but read or sampled long after, or only when the lot had been made."""
    lapsed: Evidence | None = None
    worse: Change | None = None
    """A run restated so that the same evidence says something worse."""
    back: Change | None = None
    by_report: bool = False


# -- what is asked -------------------------------------------------------------------------------


def _limit(characteristic: str, *bounds: tuple[str, str], **more: Any) -> Change:
    def ask(table: Table) -> None:
        for bound, value in bounds:
            table.yard.limit(f"LIM-{bound}", characteristic, bound, value, **more)

    return ask


def _no_limit(_: Table) -> None:
    pass


def _standard(table: Table) -> None:
    table.yard.set("standard", "FB6", standard="ASTM C578", edition="10", type="II",
                   characteristics=["density"])  # fmt: skip


def _planned(limit: Change, characteristic: str, **plan: Any) -> Change:
    def ask(table: Table) -> None:
        limit(table)
        table.yard.set("plan", "PLAN", product="FB6", characteristic=characteristic, **plan)

    return ask


def _strength_weekly(table: Table) -> None:
    limit = _limit(STRENGTH, ("min", "15.0 psi"), statistic="mean", evidence="periodic_test")
    _planned(limit, STRENGTH, evidence="periodic_test", every="week", specimens=5,
             method="ASTM D1621", conditioning_h=40)(table)  # fmt: skip


def _strength_of_lots(every: str, specimens: int) -> Change:
    limit = _limit(STRENGTH, ("min", "15.0 psi"), statistic="mean")
    return _planned(limit, STRENGTH, evidence="lot_test", every=every, specimens=specimens)


def _guarded(ask: Change, characteristic: str) -> Change:
    """Ask the same under guarded acceptance with 2 u; the balance is good to 13 g."""

    def guarded(table: Table) -> None:
        ask(table)
        table.yard.set("instrument", "BAL-2", what="balance", every="year", u="13 g")
        table.yard.set("decision", characteristic, acceptance="guarded", k="2")

    return guarded


# -- what is restated ----------------------------------------------------------------------------


def _drawn_from(unit_kg: float) -> Change:
    def worse(table: Table) -> None:
        if "T-2" not in table.keys:
            table.keys["T-2"] = table.yard.carton("T-2", unit_kg=unit_kg).key
        lines = []
        for line in table.first["L1"].lines:
            if line.lot == "T-1":
                more = round(unit_kg * 1_000_000) * line.pieces - line.mg
                lines.append(replace(line, lot="T-2", mg=line.mg + more))
            else:
                lines.append(line)
        blocks = lines.pop()
        lines.append(replace(blocks, mg=blocks.mg + more))
        table.yard.correct(table.keys["L1"], at=LATE, lines=tuple(lines))

    return worse


def _made_at(hour: float, lot: str = "L1") -> Change:
    def worse(table: Table) -> None:
        table.yard.correct(table.keys[lot], at=LATE, happened_at=ms(hour))

    return worse


def _as_it_was(lot: str) -> Change:
    def back(table: Table) -> None:
        first = table.first[lot]
        table.yard.correct(
            first.key,
            at=LATE,
            happened_at=first.happened_at,
            lines=first.lines,
            remainder_mg=first.remainder_mg,
        )

    return back


# -- the classes ---------------------------------------------------------------------------------

_OXYGEN = {"characteristic": "oxygen_index", "method": "ASTM D2863", "specimens": 3}
_SURE = {"uncertainty": "0.5 psi"}
_IN_TIME = {**_OXYGEN, "expires": "2027-08-31"}

CLASSES: Mapping[str, LimitClass] = {
    one.name: one
    for one in (
        LimitClass(
            "own limit, each piece",
            _limit("density", ("min", "22.0 kg/m3"), specimens=3),
            good=weighed(23, 23.1, 22.9),
            bad=weighed(23, 23.1, 21.5),
            few=weighed(23, 23.1),
            late=weighed(23, 23.1, 22.9, at=READ_LATE),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "own limit, mean",
            _limit("density", ("min", "22.0 kg/m3"), specimens=3, statistic="mean"),
            good=weighed(23, 22.9, 21.5),
            bad=weighed(20.5, 20.4, 20.6),
            few=weighed(20.5, 20.4),
            late=weighed(23, 22.9, 21.5, at=READ_LATE),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "own limit, at most",
            _limit("density", ("max", "25.0 kg/m3"), specimens=3),
            good=weighed(23, 23.1, 22.9),
            bad=weighed(23, 25.2, 22.9),
            few=weighed(23, 23.1),
            late=weighed(23, 23.1, 22.9, at=READ_LATE),
            worse=_drawn_from(_LIGHT),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "own limit, each piece, guarded",
            _guarded(_limit("density", ("min", "22.0 kg/m3"), specimens=3), "density"),
            good=weighed(23, 23.1, 22.9),
            bad=weighed(23, 23.1, 22.2),
            few=weighed(23, 23.1),
            late=weighed(23, 23.1, 22.9, at=READ_LATE),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "own limit, mean, guarded",
            _guarded(
                _limit("density", ("min", "22.0 kg/m3"), specimens=3, statistic="mean"), "density"
            ),
            good=weighed(23, 22.9, 22.8),
            bad=weighed(22.0, 22.1, 22.2),
            few=weighed(22.2, 22.3),
            late=weighed(23, 22.9, 22.8, at=READ_LATE),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "printed limit of a standard",
            _standard,
            good=weighed(23, 23.1, 22.9),
            bad=weighed(19.5, 19.4, 19.6),
            few=weighed(23, 23.1),
            late=weighed(23, 23.1, 22.9, at=READ_LATE),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "window of a dimension",
            _limit("width", ("min", "280 mm"), ("max", "292 mm"), specimens=3),
            good=read("width", "286 mm", "285 mm", "287 mm"),
            bad=read("width", "286 mm", "293 mm", "287 mm"),
            few=read("width", "286 mm", "285 mm"),
            late=read("width", "286 mm", "285 mm", "287 mm", at=READ_LATE),
            worse=_made_at(hours(12, -6)),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "share of defective pieces",
            _limit("defective_ties", ("max", "5 %"), specimens=20),
            good=counted(40, 1),
            bad=counted(40, 4),
            few=counted(10, 0),
            late=counted(40, 1, at=READ_LATE),
        ),
        LimitClass(
            "count of defective pieces",
            _limit("defective_ties", ("max", "2 pcs"), specimens=20),
            good=counted(40, 1),
            bad=counted(40, 4),
            few=counted(10, 0),
            late=counted(40, 1, at=READ_LATE),
        ),
        LimitClass(
            "strength as lot test",
            _limit(STRENGTH, ("min", "15.0 psi"), specimens=3, statistic="mean"),
            good=strong(16, 17, 16.5),
            bad=strong(12, 12.5, 12),
            few=strong(16, 17),
            late=strong(16, 17, 16.5, at=READ_LATE),
        ),
        LimitClass(
            "change to either side",
            _limit("dimensional_stability", ("max", "2.0 %"), specimens=3),
            good=changed(1.0, -1.5, 0.5),
            bad=changed(1.0, -2.4, 0.5),
            few=changed(1.0, -1.5),
            late=changed(1.0, -1.5, 0.5, at=READ_LATE),
        ),
        LimitClass(
            "lot test of so many pieces",
            _strength_of_lots("5 pieces", 2),
            good=strong(16, 17, 16.5, 16.8),
            bad=strong(12, 12.5, 12, 12.5),
            few=strong(16, 17, 16.5),
            late=strong(16, 17, 16.5, 16.8, at=READ_LATE),
        ),
        LimitClass(
            "lot test of the day, by another lot",
            _strength_of_lots("day", 3),
            good=strong(16, 17, 16.5, lot="L1B"),
            bad=strong(12, 12.5, 12, lot="L1B"),
            few=strong(16, 17, lot="L1B"),
            late=strong(16, 17, 16.5, lot="L1B", at=READ_LATE),
            lapsed=strong(16, 17, 16.5, lot="L0"),
            worse=_made_at(hours(11, 6), "L1B"),
            back=_as_it_was("L1B"),
        ),
        LimitClass(
            "periodic test by report",
            _strength_weekly,
            good=reported(9, "17.4 psi"),
            bad=reported(11, "14.2 psi"),
            few=reported(9, "17.4 psi", specimens=3),
            lapsed=reported(3, "17.4 psi"),
            late=first_then(reported(3, "17.4 psi"), reported(11, "17.4 psi")),
            worse=_made_at(hours(20, 10)),
            back=_as_it_was("L1"),
            by_report=True,
        ),
        LimitClass(
            "periodic test by report, guarded",
            _guarded(_strength_weekly, STRENGTH),
            good=reported(9, "17.4 psi", **_SURE),
            bad=reported(11, "15.6 psi", **_SURE),
            few=reported(9, "17.4 psi", specimens=3, **_SURE),
            lapsed=reported(3, "17.4 psi", **_SURE),
            late=first_then(reported(3, "17.4 psi", **_SURE), reported(11, "17.4 psi", **_SURE)),
            worse=_made_at(hours(20, 10)),
            back=_as_it_was("L1"),
            by_report=True,
        ),
        LimitClass(
            "periodic test by own readings",
            _strength_weekly,
            good=own_good("L0"),
            bad=strong(12, 12.5, 12, 12.5, 12, lot="L0"),
            few=strong(16, 17, 16.5, 17.2, lot="L0"),
            lapsed=own_good("L-1"),
            late=first_then(own_good("L-1"), own_good("L2")),
            worse=_made_at(hours(2, 10), "L0"),
            back=_as_it_was("L0"),
        ),
        LimitClass(
            "type test by report",
            _planned(
                _limit("oxygen_index", ("min", "24 %"), evidence="type_test"),
                "oxygen_index",
                evidence="type_test",
                method="ASTM D2863",
                specimens=3,
            ),
            good=reported(9, "28 %", **_IN_TIME),
            bad=reported(10, "22 %", **_IN_TIME),
            few=reported(9, "28 %", **{**_IN_TIME, "specimens": 2}),
            late=reported(11, "28 %", **_IN_TIME),
            lapsed=reported(1, "28 %", **{**_IN_TIME, "expires": "2026-09-09"}),
            worse=_made_at(hours(8, 10)),
            back=_as_it_was("L1"),
            by_report=True,
        ),
        LimitClass(
            "type test by word, without a limit",
            _planned(_no_limit, "oxygen_index", evidence="type_test", specimens=3),
            good=reported(9, "pass", **_IN_TIME),
            bad=reported(10, "fail", **_IN_TIME),
            few=reported(9, "pass", **{**_IN_TIME, "specimens": 2}),
            late=reported(11, "pass", **_IN_TIME),
            lapsed=reported(1, "pass", **{**_IN_TIME, "expires": "2026-09-09"}),
            worse=_made_at(hours(8, 10)),
            back=_as_it_was("L1"),
            by_report=True,
        ),
    )
}


# -- where a cell begins -------------------------------------------------------------------------


def bare() -> Table:
    """Lots made, the balance calibrated, and one other limit met: nothing else is asked."""
    table = Table(Yard.open())
    yard = table.yard
    yard.set("ageing", "F1", min_h="0", max_h="2000")
    yard.set("instrument", "BAL-2", what="balance", every="year")
    table.post("calibration", "BAL-2", done="2026-09-01", result="pass", certificate="C-1")
    yard.set("instrument", "RULE-1", what="steel rule", every="year")
    table.post("calibration", "RULE-1", done="2026-09-01", result="pass", certificate="R-1")
    yard.limit("OTHER", "height", "min", "400 mm")
    yard.bag("B-1")
    yard.bag("B-9", grade="PK1")
    yard.carton("T-1")
    table.keys["beads"] = yard.expand("B-1", "S1").key
    for lot, at in _LOTS.items():
        table.keys[lot] = yard.mould(lot, good=10, at=at).key
    read("height", "406 mm", at=LATE, instrument="RULE-1")(table)
    table.first = {name: yard.steps[table.keys[name]] for name in ("beads", *_LOTS)}
    return table
