"""A lot's own readings as the plan asks for them: enough specimens, conditioned, within limits.

Read :func:`of_lot` first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from beadwright.ledger.lots import Making
from beadwright.plant.kept_out import kept_out
from beadwright.plant.limits import LimitInForce
from beadwright.plant.pieces import Basis, by_piece
from beadwright.plant.plan import PlanRow
from beadwright.plant.proofs import NO_LIMIT, Proof, conditioned
from beadwright.plant.verdicts import judged
from beadwright.plant.weighings import Evidence
from beadwright.quality.characteristics import CHARACTERISTICS, Level, Scale
from beadwright.quality.readings import ReadingView

__all__ = ["Lot", "fit", "needed", "of_lot"]

_CUT = "specimen_"
"""What the density of a cut specimen is calculated from begins so."""


@dataclass(frozen=True, slots=True)
class Lot:
    """One lot with what was read of it."""

    basis: Basis
    here: Evidence
    product: str
    pieces: int
    """Made."""
    shift: tuple[date, str] | None = None
    """In which its last run was moulded; None where nothing says it, or nobody asks."""

    @classmethod
    def of(
        cls,
        read: tuple[Basis, Evidence],
        product: str,
        steps: Sequence[Making],
        shift: tuple[date, str] | None = None,
    ) -> Lot:
        """Give a lot with what its mould runs made of it."""
        basis, here = read
        here.pieces = sum(step.pieces for step in steps)
        return cls(basis, here, product, here.pieces, shift)

    @property
    def made_ms(self) -> int:
        """When its last mould run began; 0 where nothing was made."""
        return self.basis.made_at_ms or 0


def needed(row: PlanRow, pieces: int) -> int:
    """Give the specimens that the plan asks of a lot of so many pieces."""
    if row.every is None or row.every.by != "pieces":
        return row.specimens
    return max(1, row.specimens) * max(1, math.ceil(pieces / row.every.number))


def of_lot(lot: Lot, row: PlanRow, limits: Sequence[LimitInForce], day: date) -> Proof:
    """Judge a lot's own readings for a row of the plan, by the limits in force if there are any."""
    least = needed(row, lot.pieces)
    here = fit(lot, row)
    if not limits:
        return _unlimited(lot, row, here, (least, day))
    results = tuple(
        judged(replace(one, specimens=max(one.specimens, least)), here) for one in limits
    )
    findings = {one.finding for one in results}
    passed = False if "not_met" in findings else True if findings == {"met"} else None
    value = next((one.value for one in results if one.value), "")
    why = next((one.missing for one in results if one.finding == "not_enough_evidence"), "")
    entries = tuple(dict.fromkeys(one for result in results for one in result.readings))
    n = max(one.n for one in results)
    out = next((one.kept_out for one in results if one.kept_out is not None), None)
    return Proof(
        "", lot.basis.lot, "", row.method, n, value, day, passed, why,
        entries=entries, results=results, kept_out=out,
    )  # fmt: skip


def fit(lot: Lot, row: PlanRow) -> Evidence:
    """Give what was read without specimens that were not conditioned long enough."""
    name = row.characteristic
    known = CHARACTERISTICS.get(name)
    if not row.conditioning_h or known is None or known.level is not Level.SPECIMEN:
        return lot.here
    unfit = {
        (one.seq, one.line)
        for one in lot.basis.readings
        if (one.characteristic == name or (name == "density" and _is_cut(one)))
        and not conditioned(one, row.conditioning_h)
    }
    kept = [one for one in lot.here.values.get(name, ()) if not unfit & set(one.ids)]
    return replace(lot.here, values={**lot.here.values, name: kept})


def _is_cut(reading: ReadingView) -> bool:
    return reading.characteristic.startswith(_CUT)


def _unlimited(lot: Lot, row: PlanRow, here: Evidence, asked: tuple[int, date]) -> Proof:
    """Judge what no limit is set on: by its words, or as looked at; a figure decides nothing."""
    least, day = max(1, asked[0]), asked[1]
    known = CHARACTERISTICS.get(row.characteristic)
    read = [
        one
        for one in lot.basis.readings
        if one.characteristic == row.characteristic and conditioned(one, row.conditioning_h)
    ]
    if known is not None and known.scale in {Scale.EITHER, Scale.GRADE}:
        n = len({one.specimen or str(number) for number, one in enumerate(read)})
    elif known is not None and known.scale is Scale.COUNT:
        n = here.defects.checked if read else 0
    else:
        n = len(by_piece(here.values.get(row.characteristic, ())))
    words = ", ".join(dict.fromkeys(one.value for one in read if one.si in {None, 0.0, 1.0}))
    either = known is not None and known.scale is Scale.EITHER
    figure = known is None or known.scale not in {Scale.EITHER, Scale.GRADE, Scale.COUNT}
    passed: bool | None = None if figure else n >= least or None
    if either and any(one.value == "fail" for one in read):
        passed = False
    why = "" if passed is not None else f"{n} of {least} pieces were read" if n else "nothing read"
    why = NO_LIMIT if figure and n >= least else why
    out = None if passed is not None else kept_out(row.characteristic, here)
    if out is not None:
        why, out = (f"{why} ({out.words})", None) if n else (out.words, out)
    entries = tuple((one.seq, one.line) for one in read)
    result = words if either else f"{n} read"
    return Proof(
        "", lot.basis.lot, "", row.method, n, result, day, passed, why,
        entries=entries, kept_out=out,
    )  # fmt: skip
