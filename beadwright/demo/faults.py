"""What went wrong, and which lots must not ship because of it.

Read :func:`planted` first. It looks at what was really done, not at what any rule would say: a lot
is named because material of that filling, bag or draw is in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from beadwright.demo.clock import HOUR
from beadwright.demo.description import PRODUCTS
from beadwright.demo.plan import FRESH, LIGHT, UNENTERED
from beadwright.demo.presses import Filling, Made
from beadwright.demo.scales import Drift
from beadwright.demo.sheets import Expansion, Moulding, Row, SiloMove
from beadwright.demo.weeks import Weeks

__all__ = [
    "COUPLED",
    "DRIFT",
    "LAPSED",
    "LATE",
    "REGRIND",
    "SHORT",
    "UNFIT",
    "WRONG",
    "Fault",
    "drifting",
    "forbidden",
    "is_form",
    "planted",
]

COUPLED = "wrong_grade"
REGRIND = "regrind_in_hopper"
LATE = "late_entry"
WRONG = "wrong_entry"
DRIFT = "drifting_scale"
SHORT = "missing_ties"
LAPSED = "lapsed_test"
UNFIT = "out_of_calibration"

_WINDOW_H = 8  # the ageing that the plant has signed; everything else was aged for ten or more


@dataclass(frozen=True)
class Fault:
    """One planted fault: rows of the sheet that show it, place, time, lots it forbids."""

    kind: str
    what: str
    at: int
    place: str
    sheet: str
    rows: tuple[Row, ...]
    lots: tuple[str, ...] = ()
    facts: dict[str, object] = field(default_factory=dict)
    ties_missing: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    """By lot, which weighed piece lacks how many."""


def planted(weeks: Weeks) -> list[Fault]:
    """Return the faults that forbid lots to ship."""
    of = {filling.special: filling for filling in weeks.fillings.values()}
    return [
        _light(weeks, of[LIGHT]),
        _fresh(weeks, of[FRESH]),
        _coupled(weeks),
        _regrind(weeks),
        _unentered(weeks, of[UNENTERED]),
    ]


def _of_filling(weeks: Weeks, filling: Filling) -> list[Made]:
    return [one for one in weeks.made if one.filling == filling.no]


def _lots(rows: Iterable[Moulding]) -> tuple[str, ...]:
    return tuple(sorted({row.lot for row in rows}))


def _light(weeks: Weeks, filling: Filling) -> Fault:
    return Fault(
        LIGHT,
        f"Silo {filling.silo} was filled with beads expanded to {filling.density:.3f} of their"
        " target density; every block moulded of them is light.",
        filling.fill_end,
        filling.silo,
        "expansion_runs",
        tuple(weeks.expanded.of[filling.no]),
        _lots(one.row for one in _of_filling(weeks, filling)),
        {"share_of_target_density": round(filling.density, 4)},
    )


def _fresh(weeks: Weeks, filling: Filling) -> Fault:
    made = [one.row for one in _of_filling(weeks, filling)]
    ages = [(row.at - filling.fill_end) / HOUR for row in made]
    early = [row for row, age in zip(made, ages, strict=True) if age < _WINDOW_H]
    return Fault(
        FRESH,
        f"Silo {filling.silo} was drawn {ages[0]:.1f} h after its last filling;"
        f" the plant has signed {_WINDOW_H} h.",
        early[0].at,
        filling.silo,
        "mould_runs",
        tuple(early),
        _lots(early),
        {"filled_at": filling.fill_end, "ages_h": [round(age, 2) for age in ages]},
    )


def _coupled(weeks: Weeks) -> Fault:
    rows = [one.row for one in weeks.made if one.row.lot in weeks.coupled]
    return Fault(
        COUPLED,
        f"Press FP2 was coupled to packaging silo {rows[0].source}: beads without flame retardant"
        " in form blocks.",
        rows[0].at,
        rows[0].source,
        "mould_runs",
        tuple(rows),
        _lots(rows),
    )


def _regrind(weeks: Weeks) -> Fault:
    blown = weeks.blown
    sweeps = [
        move.at
        for move in weeks.rows["silo_moves"]
        if isinstance(move, SiloMove) and move.what == "swept_empty" and move.source == blown.to
    ]
    swept = min(at for at in sweeps if at > blown.at)
    rows = [
        one.row
        for one in weeks.made
        if one.row.source == blown.to and blown.at <= one.row.at < swept
    ]
    return Fault(
        REGRIND,
        f"Bag {blown.source} of regrind was blown into hopper {blown.to}, which feeds a form press;"
        " the hopper was swept empty only later.",
        blown.at,
        blown.to,
        "silo_moves",
        (blown,),
        _lots(rows),
        {"bag": blown.source, "kg": blown.mass, "swept_at": swept},
    )


def _unentered(weeks: Weeks, filling: Filling) -> Fault:
    rows = [one.row for one in _of_filling(weeks, filling)]
    entered = sum(row.filled for row in weeks.expanded.of[filling.no])
    bags = sorted({row.bag for row in weeks.expanded.unentered})
    return Fault(
        UNENTERED,
        f"A filling of silo {filling.silo} was never entered, so the lot drawn from it takes more"
        " than the silo held by the books.",
        rows[0].at,
        filling.silo,
        "mould_runs",
        tuple(rows),
        _lots(rows),
        {
            "entered_kg": round(entered, 1),
            "drawn_kg": round(filling.taken_kg, 1),
            "unentered_bags": bags,
        },
    )


def drifting(weeks: Weeks, drift: Drift) -> Fault:
    """Tell of the scale that drifts; it forbids no lot."""
    rows = [row for row in weeks.rows["expansion_runs"] if isinstance(row, Expansion)]
    return Fault(
        DRIFT,
        f"Scale {drift.scale} shows {drift.per_day * 1000:.2f} per mille more every day.",
        drift.since,
        drift.scale,
        "expansion_runs",
        tuple(row for row in rows if row.scale == drift.scale and row.ended > drift.since),
        facts={"per_mille_a_day": round(drift.per_day * 1000, 2)},
    )


def forbidden(faults: Sequence[Fault]) -> dict[str, str]:
    """Return the kind of fault of each lot that must not ship."""
    kinds: dict[str, str] = {}
    for fault in faults:
        for lot in fault.lots:
            if lot in kinds:
                message = f"lot {lot} has two faults: {kinds[lot]} and {fault.kind}"
                raise RuntimeError(message)
            kinds[lot] = fault.kind
    return kinds


def is_form(lot: Sequence[Made]) -> bool:
    """Whether a lot is of form blocks."""
    return PRODUCTS[lot[0].row.product].is_form
