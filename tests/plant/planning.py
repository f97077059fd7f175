"""A plant with an evidence plan, its reports and the lots it makes, for tests.

Days are of September 2026 in the plant's zone; lots are moulded at 10:00 unless a test says when.
"""

from __future__ import annotations

from hashlib import sha256
from typing import Any

from beadwright.ledger.draft import Decision, Reading
from tests.plant.asking import GOOD, the_lot
from tests.plant.yard import Yard, ms

__all__ = ["LATE", "STRENGTH", "decide", "hours", "lot", "plant", "report", "strengths", "told"]

STRENGTH = "compressive_resistance"
LATE = 58 * 24.0


def plant() -> Yard:
    """A plant that tests density of each lot and strength every week, 15 psi at least."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.limit("STR", STRENGTH, "min", "15.0 psi", statistic="mean")
    yard.set("plan", "FB6-STR", product="FB6", characteristic=STRENGTH, evidence="periodic_test",
             every="week", specimens=5, method="ASTM D1621", conditioning_h=40)  # fmt: skip
    return yard


def lot(yard: Yard, code: str, day: int) -> str:
    """Mould a lot at 10:00 of a day, of beads of whatever age, and weigh it."""
    yard.set("ageing", "F1", min_h="0", max_h="2000")
    yard.block_lot(code, good=10, at=hours(day, 10))
    yard.weigh(code, "24h", GOOD, at=LATE)
    return code


def hours(day: int, hour: float) -> float:
    """Hours since the first day, of an hour of a day."""
    return (day - 1) * 24 + hour


def report(yard: Yard, number: str, day: int, result: str = "17.4 psi", **more: Any) -> None:
    """Post a report on a sample of a day."""
    body = {
        "laboratory": "Northgate Testing", "products": ["FB6"], "characteristic": STRENGTH,
        "method": "ASTM D1621-16", "specimens": 5, "result": result,
        "sampled": f"2026-09-{day:02}",
    }  # fmt: skip
    decide(yard, "report", number, {**body, **more})


def decide(yard: Yard, kind: str, about: str, body: dict[str, Any]) -> None:
    """Post a decision."""
    key = sha256(f"{kind}/{about}/{body}".encode()).hexdigest()
    yard.post(Decision(key, ms(LATE), kind, about, body, by="P-13"))


def strengths(
    yard: Yard, code: str, *psi: float, conditioned: str = "48", instrument: str = ""
) -> str:
    """Read strengths of specimens cut from a lot."""
    readings = [
        Reading(STRENGTH, f"{value}", "psi", lot=code, specimen=f"C{i}", instrument=instrument,
                facts={"conditioned_h": conditioned} if conditioned else {})
        for i, value in enumerate(psi, 1)
    ]  # fmt: skip
    return yard.read(readings, at=LATE)


def told(yard: Yard, code: str) -> tuple[str, str]:
    """Answer, and the worst code."""
    found = the_lot(yard, code)
    return found.answer, found.reasons[0].code
