"""A trace with what belongs to it: where its lot stands, its closing account, what was cut off.

Read :func:`followed`, then :func:`trace_json`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from beadwright.ledger.account import Account, account
from beadwright.ledger.lots import LotView
from beadwright.ledger.trace import BEAD_MG, Direction, Trace
from beadwright.ledger.trace import trace as ledger_trace
from beadwright.ledger.walk import LotFacts
from beadwright.plant.mass_off import off_of
from beadwright.plant.opening import Plant
from beadwright.plant.words import iso

__all__ = ["Followed", "followed", "trace_json"]


@dataclass(frozen=True, slots=True)
class Followed:
    """A trace, where its lot stands now, and where its material is (of a trace forward)."""

    lot: LotView
    trace: Trace
    account: Account | None
    cut_at_mg: float
    cut_lots: int
    """How many lots are not listed, for less than that is expected in each."""


def followed(plant: Plant, lot: LotView, direction: Direction, cut: float | None = None
             ) -> Followed:  # fmt: skip
    """Trace a lot; ``cut`` is the expected mass, in mg, below which lots are given as a sum."""
    cut_mg = BEAD_MG if cut is None else cut
    found = ledger_trace(plant.no, lot.code, direction, cut_mg=cut_mg, off=off_of(plant.no))
    closing = None if direction == "back" else account(plant.no, lot.code)
    return Followed(lot, found, closing, cut_mg, _not_listed(plant, found))


def _not_listed(plant: Plant, found: Trace) -> int:
    """Count the lots that a trace ended before: it does not follow what it cuts off."""
    if not found.cut_mg:
        return 0
    whole = ledger_trace(plant.no, found.lot.code, found.direction, cut_mg=0)
    return len(whole.lots) - len(found.lots)


def trace_json(plant: Plant, found: Followed) -> dict[str, Any]:
    """Give a trace as a map that JSON can hold; masses in mg, shares from 0 to 1."""
    trace, zone = found.trace, plant.zone
    steps = {step.key: step for step in trace.steps}
    return {
        **plant.about,
        "lot": _lot(trace.lot),
        "direction": trace.direction,
        "mass_mg": trace.mg,
        "lots": [
            {
                **_lot(one.lot),
                "step": one.step,
                "step_kind": steps[one.step].kind if one.step in steps else "",
                "at": iso(one.at_ms, zone),
                "mass_mg": round(one.mg, 3),
                "share": _rounded(one.share),
                "share_least": _rounded(one.least),
                "share_most": _rounded(one.most),
            }
            for one in trace.lots
        ],
        "steps": [
            {
                "step": step.key,
                "kind": step.kind,
                "at": iso(step.at_ms, zone),
                "product": step.product,
                "place": step.place,
            }
            for step in trace.steps
        ],
        "cut_at_mg": found.cut_at_mg,
        "cut_off_mg": round(trace.cut_mg, 3),
        "cut_off_lots": found.cut_lots,
        "account": None if found.account is None else _account(found.account),
    }


def _lot(lot: LotFacts) -> dict[str, Any]:
    return {
        "lot": lot.code,
        "kind": lot.kind,
        "what": lot.what,
        "product": lot.product,
        "place": lot.place,
    }


def _rounded(share: float) -> float:
    return round(share, 9)


def _account(account: Account) -> Mapping[str, Any]:
    """Give a closing account as a map that JSON can hold; masses in mg."""
    return {
        "made_mg": round(account.made),
        "in_stock_mg": round(account.in_stock, 3),
        "shipped_mg": round(account.shipped, 3),
        "scrapped_mg": round(account.scrapped, 3),
        "sampled_mg": round(account.sampled, 3),
        "losses_mg": {name: round(mg, 3) for name, mg in account.losses.items()},
        "unaccounted_mg": round(account.unaccounted, 3),
        "residue_at_most_mg": round(account.residue, 3),
    }
