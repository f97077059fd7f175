"""The kinds of limit of the decision table, each with evidence for it, good, bad and too little.

Read :data:`CLASSES`. The lot in question is ``L1``, made on 10 September; readings are taken with
balance ``BAL-2``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from beadwright.ledger.draft import Decision, Reading, StepDraft
from tests.plant.asking import block
from tests.plant.planning import LATE, STRENGTH, hours, report
from tests.plant.yard import Yard, ms

__all__ = ["CLASSES", "Change", "LimitClass", "Table", "bare"]

_MADE, _READ = hours(10, 10), hours(12, 0)
_A_DAY = {"state": "24h", "age_h": "26"}
_LIGHT, _HEAVY = 0.10, 0.40
"""Ties of another carton, in kg: drawn instead, the foam weighs more, or less."""


@dataclass
class Table:
    """A yard with the keys of the steps that a cell restates."""

    yard: Yard
    keys: dict[str, str] = field(default_factory=dict)
    first: dict[str, StepDraft] = field(default_factory=dict)
    """Those steps as they were keyed first."""
    last: tuple[str, ...] = ()
    """What the bad evidence is found by."""

    def copy(self) -> Table:
        """Give one of the same store, so that what is done to it can be rolled back."""
        yard = replace(self.yard, steps=dict(self.yard.steps))
        return Table(yard, dict(self.keys), self.first)

    def post(self, kind: str, about: str, **body: Any) -> None:
        """Post a decision, however often the same was said before."""
        key = f"{kind}/{about}/{len(self.keys)}"
        self.keys[key] = key
        self.yard.post(Decision(key, ms(LATE), kind, about, body, by="P-13"))


Evidence = Callable[[Table], tuple[str, ...]]
"""Enters evidence; gives what it is found by: keys of readings, or numbers of reports."""

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
    lapsed: Evidence | None = None
    worse: Change | None = None
    """A run restated so that the same evidence says something worse."""
    back: Change | None = None
    by_report: bool = False


# -- evidence ------------------------------------------------------------------------------------


def _read(
    name: str,
    *values: str,
    facts: Mapping[str, str] | None = None,
    lot: str = "L1",
    at: float = _READ,
    instrument: str = "BAL-2",
) -> Evidence:
    def enter(table: Table) -> tuple[str, ...]:
        readings = [
            Reading(name, number, unit, lot=lot, specimen=f"D{i}", instrument=instrument,
                    facts=facts or _A_DAY)
            for i, (number, unit) in enumerate((value.split(" ", 1) for value in values), 1)
        ]  # fmt: skip
        return (table.yard.read(readings, at),)

    return enter


def _weighed(*densities: float) -> Evidence:
    return _read("block_mass_24h", *(f"{block(density):.4f} kg" for density in densities))


def _counted(looked_at: int, bad: int) -> Evidence:
    def enter(table: Table) -> tuple[str, ...]:
        counts = {"checked": looked_at, "defective_ties": bad}
        readings = [
            Reading(name, f"{number}", "pcs", lot="L1", instrument="BAL-2")
            for name, number in counts.items()
        ]
        return (table.yard.read(readings, _READ),)

    return enter


def _strong(*psi: float, lot: str = "L1") -> Evidence:
    values = [f"{value} psi" for value in psi]
    return _read(STRENGTH, *values, facts={"conditioned_h": "48"}, lot=lot)


def _reported(day: int, result: str, **more: Any) -> Evidence:
    def enter(table: Table) -> tuple[str, ...]:
        number = f"R-{len(table.keys)}"
        table.keys[number] = number
        report(table.yard, number, day, result, **more)
        return (number,)

    return enter


# -- what is asked -------------------------------------------------------------------------------


def _limit(characteristic: str, *bounds: tuple[str, str], **more: Any) -> Change:
    def ask(table: Table) -> None:
        for bound, value in bounds:
            table.yard.limit(f"LIM-{bound}", characteristic, bound, value, **more)

    return ask


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
_IN_TIME = {**_OXYGEN, "expires": "2027-08-31"}

CLASSES: Mapping[str, LimitClass] = {
    one.name: one
    for one in (
        LimitClass(
            "own limit, each piece",
            _limit("density", ("min", "22.0 kg/m3"), specimens=3),
            good=_weighed(23, 23.1, 22.9),
            bad=_weighed(23, 23.1, 21.5),
            few=_weighed(23, 23.1),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "own limit, mean",
            _limit("density", ("min", "22.0 kg/m3"), specimens=3, statistic="mean"),
            good=_weighed(23, 22.9, 21.5),
            bad=_weighed(20.5, 20.4, 20.6),
            few=_weighed(20.5, 20.4),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "own limit, at most",
            _limit("density", ("max", "25.0 kg/m3"), specimens=3),
            good=_weighed(23, 23.1, 22.9),
            bad=_weighed(23, 25.2, 22.9),
            few=_weighed(23, 23.1),
            worse=_drawn_from(_LIGHT),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "printed limit of a standard",
            _standard,
            good=_weighed(23, 23.1, 22.9),
            bad=_weighed(19.5, 19.4, 19.6),
            few=_weighed(23, 23.1),
            worse=_drawn_from(_HEAVY),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "window of a dimension",
            _limit("width", ("min", "280 mm"), ("max", "292 mm"), specimens=3),
            good=_read("width", "286 mm", "285 mm", "287 mm"),
            bad=_read("width", "286 mm", "293 mm", "287 mm"),
            few=_read("width", "286 mm", "285 mm"),
            worse=_made_at(hours(12, -6)),
            back=_as_it_was("L1"),
        ),
        LimitClass(
            "share of defective pieces",
            _limit("defective_ties", ("max", "5 %"), specimens=20),
            good=_counted(40, 1),
            bad=_counted(40, 4),
            few=_counted(10, 0),
        ),
        LimitClass(
            "count of defective pieces",
            _limit("defective_ties", ("max", "2 pcs"), specimens=20),
            good=_counted(40, 1),
            bad=_counted(40, 4),
            few=_counted(10, 0),
        ),
        LimitClass(
            "strength as lot test",
            _limit(STRENGTH, ("min", "15.0 psi"), specimens=3, statistic="mean"),
            good=_strong(16, 17, 16.5),
            bad=_strong(12, 12.5, 12),
            few=_strong(16, 17),
        ),
        LimitClass(
            "periodic test by report",
            _strength_weekly,
            good=_reported(9, "17.4 psi"),
            bad=_reported(11, "14.2 psi"),
            few=_reported(9, "17.4 psi", specimens=3),
            lapsed=_reported(3, "17.4 psi"),
            worse=_made_at(hours(20, 10)),
            back=_as_it_was("L1"),
            by_report=True,
        ),
        LimitClass(
            "periodic test by own readings",
            _strength_weekly,
            good=_strong(16, 17, 16.5, 17.2, 16.8, lot="L0"),
            bad=_strong(12, 12.5, 12, 12.5, 12, lot="L0"),
            few=_strong(16, 17, 16.5, 17.2, lot="L0"),
            lapsed=_strong(16, 17, 16.5, 17.2, 16.8, lot="L-1"),
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
            good=_reported(9, "28 %", **_IN_TIME),
            bad=_reported(10, "22 %", **_IN_TIME),
            few=_reported(9, "28 %", **{**_IN_TIME, "specimens": 2}),
            lapsed=_reported(1, "28 %", **{**_IN_TIME, "expires": "2026-09-09"}),
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
    table.post("calibration", "BAL-2", done="2026-09-01", result="pass")
    yard.limit("OTHER", "height", "min", "400 mm")
    yard.bag("B-1")
    yard.bag("B-9", grade="PK1")
    yard.carton("T-1")
    table.keys["beads"] = yard.expand("B-1", "S1").key
    for lot, day in (("L-1", 2), ("L0", 9), ("L1", 10)):
        table.keys[lot] = yard.mould(lot, good=10, at=hours(day, 10)).key
    _read("height", "406 mm", at=LATE, instrument="")(table)
    table.first = {name: yard.steps[table.keys[name]] for name in ("beads", "L0", "L1")}
    return table
