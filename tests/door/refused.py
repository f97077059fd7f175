"""What cannot be meant, one way to say each; every one is refused, planned or happened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import cast

from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Evidence,
    Hold,
    Lift,
    Line,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.plant.access import Role, Who
from tests.door.filed import FILED
from tests.door.forbidden import kg
from tests.door.released import RELEASED
from tests.plant.yard import Yard, ms

__all__ = ["REFUSED", "fill"]

AT = 30


def fill(key: str = "x", mass: int = kg(5)) -> StepDraft:
    """A step nothing is wrong with, in a yard with bag B-1."""
    return StepDraft(key, "expand", ms(AT), (Line("B-1", -1, mass), Line("S1", 1, mass)))


def _receipt(**lot: object) -> StepDraft:
    new = replace(NewLot("B-2", Material.BEAD, "bag"), **lot)  # type: ignore[arg-type]
    return StepDraft("x", "receipt", ms(AT), (Line(new.code, 1, kg(5)),), new_lots=(new,))


def _blocks(yard: Yard, **changes: object) -> StepDraft:
    """Split block lot L1; the changes fall on the second line."""
    yard.block_lot("L1")
    new = NewLot("L2", Material.BLOCK, "mould run", "FB6", unit_mg=kg(3.115))
    out = Line("L2", 1, kg(31.15), 10, Evidence.COUNTED)
    lines = (Line("L1", -1, kg(31.15), 10, Evidence.COUNTED), replace(out, **changes))  # type: ignore[arg-type]
    return StepDraft("x", "split", ms(AT), lines, new_lots=(new,))


def _read(characteristic: str, value: str, unit: str) -> ReadingsDraft:
    return ReadingsDraft("x", ms(AT), (Reading(characteristic, value, unit, lot="B-1"),))


def _key_reused(yard: Yard) -> Draft:
    yard.post(fill())
    return fill(mass=kg(6))


def _key_differs(yard: Yard) -> Draft:
    yard.post(fill())
    return Correction("c", "x", fill("y"), "mistyped", ms(AT))


def _moved_on(yard: Yard) -> Draft:
    yard.post(fill())
    yard.mould("L1", good=2, at=AT + 9)
    return Reversal("r", "x", "never happened", ms(AT + 10))


def _reversed(yard: Yard) -> Draft:
    yard.post(fill())
    yard.post(Reversal("r1", "x", "never happened", ms(AT + 10)))
    return Reversal("r2", "x", "never happened", ms(AT + 10))


def _hold_exists(yard: Yard) -> Draft:
    yard.hold("H1", "B-1", at=AT)
    return Hold("x", ms(AT), "H1", "smell", ("T-1",))


def _not_allowed(yard: Yard) -> Draft:
    yard.who = Who("ann", Role.AUDITOR)
    return fill()


def _signature(row: str, value: str) -> Decision:
    body = {"value": value, "unit": "lb/ft3", "page": "Table 1"}
    return Decision("x", ms(AT), "limit_signed", row, body, by="P-13")


def _said_held(yard: Yard) -> Draft:
    body = {"stage": "started", "reason": "smell", "starts": ["B-1"], "rehearsed": False}
    yard.post(Decision("r", ms(AT), "recall", "R-01", body, by="P-13"))
    return Decision("x", ms(AT), "recall", "R-01", {"stage": "stock held"}, by="P-13")


REFUSED: Mapping[str, Callable[[Yard], Draft]] = {
    "unit_missing": lambda _: replace(
        fill(), lines=(Line("B-1", -1, kg(5), keyed="5.0"), Line("S1", 1, kg(5)))
    ),
    "unknown_lot": lambda _: replace(fill(), lines=(Line("B-9", -1, kg(5)), Line("S1", 1, kg(5)))),
    "unknown_kind": lambda _: replace(fill(), kind="melt"),
    "unknown_material": lambda _: _receipt(kind=cast("Material", "gold")),
    "unknown_step": lambda _: Reversal("r", "never", "mistaken", ms(AT)),
    "unknown_cause": lambda _: Concession("x", ms(AT), "too_fresh:S1", "tested"),
    "unknown_hold": lambda _: Lift("x", ms(AT), "H9", "looked into", ("B-1",)),
    "unknown_readings": lambda _: Void("x", ms(AT), "never", "wrong block"),
    "unknown_characteristic": lambda _: _read("charm", "3", "kg"),
    "time_missing": lambda _: replace(fill(), happened_at=None),
    "time_ahead": lambda _: replace(fill(), happened_at=ms(24 * 60 + 0.1)),
    "time_early": lambda _: replace(fill(), happened_at=-1),
    "not_added_up": lambda _: replace(
        fill(), lines=(Line("B-1", -1, kg(5)), Line("S1", 1, kg(5) - 1))
    ),
    "pieces_not_added_up": lambda yard: _blocks(yard, pieces=9),
    "pieces_missing": lambda yard: replace(_blocks(yard, pieces=0), kind="move"),
    "amount_negative": lambda _: fill(mass=-kg(5)),
    "bad_code": lambda _: _receipt(code="bag 2"),
    "bad_text": lambda _: _receipt(grades=("F1|F2",)),
    "key_missing": lambda _: fill(""),
    "key_reused": _key_reused,
    "key_differs": _key_differs,
    "lot_exists": lambda _: _receipt(code="B-1"),
    "already_moved_on": _moved_on,
    "already_reversed": _reversed,
    "hold_exists": _hold_exists,
    "hold_one_place": lambda _: Hold("x", ms(AT), "H1", "smell", ("S1", "B-1"), since=ms(1)),
    "stock_not_held": _said_held,
    "bad_decision": lambda _: Decision(
        "x", ms(AT), "calibration", "BAL-2", {"done": "2026-09-01", "result": "well"}
    ),
    "unknown_limit": lambda _: _signature("ASTM C578/10/II/colour", "1.35"),
    "limit_differs": lambda _: _signature("ASTM C578/10/II/density", "1.40"),
    "bad_setting": lambda _: SettingDraft("x", ms(AT), "ageing", "F1", {"min_h": "eight"}),
    "not_allowed": _not_allowed,
    **FILED,
    **RELEASED,
}
"""For each code of what cannot be meant, a yard with bag B-1 made ready, and a draft of it."""
