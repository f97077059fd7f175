"""One seed's whole story: the weeks, their faults, and the sheets as they lie in the office.

Read :func:`tell` first. Rows get their numbers here, in the order in which they were written; one
filling is written days late, and one value wrong, which the corrections sheet puts right.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.demo.clock import DAY, END, HOUR, day_start, next_open
from beadwright.demo.dispatch import Dispatch, Ready, shipped
from beadwright.demo.evidence import add_evidence
from beadwright.demo.faults import LATE, SHORT, WRONG, Fault, drifting, forbidden, planted
from beadwright.demo.inspection import of_lots
from beadwright.demo.laboratory import cubes
from beadwright.demo.noise import Noise
from beadwright.demo.plan import LIGHT
from beadwright.demo.presses import Made
from beadwright.demo.sheets import (
    Bundling,
    Correction,
    Expansion,
    Inspection,
    Moulding,
    Row,
    Shipment,
)
from beadwright.demo.short_ties import plant_short
from beadwright.demo.weeks import Weeks, make_weeks

__all__ = ["Story", "tell"]

_FIRST_DAY, _LAST_DAY = 1, 10  # of what is written late or wrong
_ENOUGH = 60  # pieces in a stretch whose count goes wrong
_SEEN = (LIGHT, SHORT)
_MISREAD_LB = 0.30  # a 1 read for a 4


@dataclass(frozen=True)
class Story:
    """Sheets with their row numbers, faults, and what may be said of every lot."""

    seed: int
    sheets: Mapping[str, Sequence[tuple[int, Row]]]
    faults: Sequence[Fault]
    forbidden: Mapping[str, str]
    clean: Sequence[str]
    waiting: Sequence[str]
    """Lots of form blocks not weighed after a day, or of whose strength nothing is known yet."""
    packaging: Sequence[str]
    packaging_waiting: Sequence[str]
    shipped: Mapping[str, int]
    unentered: Sequence[Expansion]
    made: Sequence[Made]
    """Every stretch of the presses as it truly was."""

    def number(self, sheet: str, row: Row) -> int:
        """Return the number of a row in its sheet."""
        return next(number for number, one in self.sheets[sheet] if one == row)


def tell(seed: int, *, drift: bool = True, short_ties: bool = True) -> Story:
    """Make the weeks of a seed and write them down; two of the faults may be left out."""
    weeks = make_weeks(seed, drifting=drift)
    faults, waiting = _faults(weeks, short_ties=short_ties)
    kinds, looked_over = forbidden(faults), _looked_over(weeks)
    dispatch = _dispatch(weeks, kinds, looked_over)
    rows = dict(weeks.rows)
    noise = Noise(seed, "laboratory")
    rows["specimens"] = _closed(cubes(weeks.made, frozenset(kinds), noise))
    rows["bundles"] = _closed(dispatch.bundles)
    rows["shipments"] = _closed(dispatch.shipments)

    noise = Noise(seed, "writing")
    late = _late(weeks, noise)
    right, wrong, field = _wrong(weeks, kinds, set(late), noise)
    sheet = "inspections" if isinstance(right, Inspection) else "mould_runs"
    rows[sheet] = [wrong if row is right else row for row in rows[sheet]]
    sheets = {name: _numbered(of, late) for name, of in rows.items()}
    at = next(number for number, row in sheets[sheet] if row is wrong)
    correction = _correction(wrong, right, (sheet, at, field), noise)
    sheets["corrections"] = [(1, correction)]

    every = {one.row.lot for one in weeks.made}
    form = {name for name, lot in of_lots(weeks.made).items() if lot[0].row.press != "PP1"}
    clean = (looked_over.keys() & form) - kinds.keys() - waiting
    return Story(
        seed=seed,
        sheets=sheets,
        faults=[*faults, _late_fault(late), _wrong_fault(wrong, correction, sheet)],
        forbidden=kinds,
        clean=sorted(clean),
        waiting=sorted(form - clean - set(kinds)),
        packaging=sorted(looked_over.keys() - form),
        packaging_waiting=sorted(every - form - looked_over.keys()),
        shipped=shipped(
            [row for row in rows["bundles"] if isinstance(row, Bundling)],
            [row for row in rows["shipments"] if isinstance(row, Shipment)],
        ),
        unentered=weeks.expanded.unentered,
        made=weeks.made,
    )


def _faults(weeks: Weeks, *, short_ties: bool) -> tuple[list[Fault], frozenset[str]]:
    """Tell of what went wrong, and which lots wait for a result.

    Sheets of evidence, and pieces that lack ties, come into the weeks here.
    """
    faults = planted(weeks)
    gaps = add_evidence(weeks, forbidden(faults))
    faults += gaps.faults
    if short_ties:
        short = plant_short(weeks, forbidden(faults))
        weeks.rows["inspections"] = short.rows
        faults.append(short.fault)
    if weeks.drift is not None:
        faults.append(drifting(weeks, weeks.drift))
    return faults, gaps.waiting


def _closed(rows: Sequence[Row]) -> list[Row]:
    return sorted((row for row in rows if row.at <= END), key=lambda row: row.at)


def _looked_over(weeks: Weeks) -> dict[str, Inspection]:
    """Lots that were weighed, gauged and looked over a day after they were moulded."""
    rows = [row for row in weeks.rows["inspections"] if isinstance(row, Inspection)]
    return {row.lot: row for row in rows if row.checked is not None}


def _dispatch(
    weeks: Weeks, kinds: Mapping[str, str], looked_over: Mapping[str, Inspection]
) -> Dispatch:
    """Bundle and send off all but what the inspectors saw at their balance, and set aside."""
    dispatch = Dispatch(Noise(weeks.seed, "dispatch"), frozenset(kinds))
    ready = []
    for name, lot in of_lots(weeks.made).items():
        if name in looked_over and kinds.get(name) not in _SEEN:
            row = looked_over[name]
            pieces = sum(one.row.good for one in lot) - (row.rejected or 0)
            ready.append(Ready(name, lot[0].row.product, row.at, pieces))
    dispatch.work(ready)
    return dispatch


def _late(weeks: Weeks, noise: Noise) -> list[Expansion]:
    """Choose a filling of which nobody thinks until the weeks are over."""
    window = range(day_start(_FIRST_DAY), day_start(_LAST_DAY))
    fillings = [
        filling
        for filling in weeks.fillings.values()
        if not filling.special and filling.press != "PP1" and filling.fill_start in window
    ]
    return weeks.expanded.of[noise.pick(fillings).no]


def _wrong(
    weeks: Weeks, kinds: Mapping[str, str], late: set[Expansion], noise: Noise
) -> tuple[Row, Row, str]:
    """Choose a row of a clean lot and a slip of the hand: the row as it should be, as it is."""
    silos = {row.silo for row in late}
    window = range(day_start(_FIRST_DAY), day_start(_LAST_DAY))
    field = noise.pick(("good", "foam_per_block", "mass"))
    if field == "mass":
        pieces = [
            row
            for row in weeks.rows["inspections"]
            if isinstance(row, Inspection)
            and row.mass is not None
            and row.length is not None
            and row.at in window
            and row.lot not in kinds
            and row.lot.startswith("L")
        ]
        piece = noise.pick(pieces)
        return piece, replace(piece, mass=round((piece.mass or 0) - _MISREAD_LB, 2)), field
    stretches = [
        row
        for row in weeks.rows["mould_runs"]
        if isinstance(row, Moulding)
        and row.press != "PP1"
        and row.at in window
        and row.good >= _ENOUGH
        and row.lot not in kinds
        and row.source not in silos
    ]
    run = noise.pick(stretches)
    if field == "good":
        return run, replace(run, good=run.good * 10), field
    return run, replace(run, foam_per_block=round(run.foam_per_block * 10, 1)), field


def _numbered(rows: Sequence[Row], late: Sequence[Row]) -> list[tuple[int, Row]]:
    """Number rows in the order of writing; the late ones stand last."""
    last = [row for row in rows if any(row is one for one in late)]
    first = [row for row in rows if not any(row is one for one in late)]
    return list(enumerate([*first, *last], 1))


def _correction(wrong: Row, right: Row, what: tuple[str, int, str], noise: Noise) -> Correction:
    sheet, number, field = what
    value = getattr(right, field)
    reasons = {
        "good": "tally sheet says otherwise",
        "foam_per_block": "decimal point slipped",
        "mass": "weighed again, a digit was misread",
    }
    morning = wrong.written // DAY * DAY + DAY + 9 * HOUR + noise.whole(0, 90)
    return Correction(
        at=next_open(morning),
        by="EI",
        sheet=sheet,
        row=str(number),
        field=field,
        value=str(value) if isinstance(value, int) else f"{value:.2f}",
        reason=reasons[field],
    )


def _late_fault(late: Sequence[Expansion]) -> Fault:
    return Fault(
        LATE,
        f"A filling of silo {late[0].silo} was written at the end of the sheet, long after it was"
        " drawn; in order of time all is well.",
        late[0].ended,
        late[0].silo,
        "expansion_runs",
        tuple(late),
    )


def _wrong_fault(wrong: Row, correction: Correction, sheet: str) -> Fault:
    lot = wrong.lot if isinstance(wrong, Moulding | Inspection) else ""
    return Fault(
        WRONG,
        f"One value of lot {lot} was written wrong; the corrections sheet puts it right.",
        wrong.at,
        wrong.source if isinstance(wrong, Moulding) else "",
        sheet,
        (wrong,),
        facts={
            "lot": lot,
            "field": correction.field,
            "wrong": str(getattr(wrong, correction.field)),
            "right": correction.value,
            "corrected_at": correction.at,
        },
    )
