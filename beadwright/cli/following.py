"""A trace as a shell asks for it: the lot by code or label, and the closing account with it."""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import lots
from beadwright.ledger.account import Account, account
from beadwright.ledger.lots import LotView
from beadwright.ledger.trace import BEAD_MG, Direction, Trace
from beadwright.ledger.trace import trace as ledger_trace
from beadwright.plant.opening import Plant

__all__ = ["Followed", "followed", "one_lot", "way"]


_CODE = "code:"
"""What stands before a code where a label reads the same."""


@dataclass(frozen=True, slots=True)
class Followed:
    """A trace, where its lot stands now, and where its material is (of a trace forward)."""

    lot: LotView
    trace: Trace
    account: Account | None
    cut_at_mg: float
    cut_lots: int
    """How many lots are not listed, for less than that is expected in each."""


def way(*, back: bool, forward: bool) -> Direction:
    """Give the one way that was chosen.

    Raises
    ------
    Misuse
        If none was, or both.
    """
    if back == forward:
        which = "one way, and not both" if back else "which way"
        message = f"say {which}: --back (what it was made of) or --forward (what was made of it)"
        raise Misuse(message)
    return "back" if back else "forward"


def followed(plant: Plant, text: str, direction: Direction, cut: float | None) -> Followed:
    """Trace the lot that a text names.

    Raises
    ------
    Misuse
        If the text fits no lot or several.
    """
    lot = one_lot(plant, text)
    cut_mg = BEAD_MG if cut is None else cut
    found = ledger_trace(plant.no, lot.code, direction, cut_mg=cut_mg)
    closing = None if direction == "back" else account(plant.no, lot.code)
    return Followed(lot, found, closing, cut_mg, _not_listed(plant, found))


def _not_listed(plant: Plant, found: Trace) -> int:
    """Count the lots that a trace ended before: it does not follow what it cuts off."""
    if not found.cut_mg:
        return 0
    whole = ledger_trace(plant.no, found.lot.code, found.direction, cut_mg=0)
    return len(whole.lots) - len(found.lots)


def one_lot(plant: Plant, text: str) -> LotView:
    """Give the one lot that a code or a label names; ``code:B-1`` is the code and no label.

    Raises
    ------
    Misuse
        If there is none, or several: then they are listed to choose from.
    """
    asked = text.strip()
    found = lots.find(plant.no, asked)
    if asked.startswith(_CODE):
        by_code = lots.get(plant.no, asked.removeprefix(_CODE).upper())
        found = found if by_code is None else [by_code]
    if len(found) == 1:
        return found[0]
    if not found:
        message = f"no lot of {plant.code} has the code or label {text!r}: check it"
        raise Misuse(message)
    several = "\n".join(f"- {one.code} ({one.what or one.kind}, {_standing(one)})" for one in found)
    message = (
        f"{text!r} is on {len(found)} lots: name one by its code,"
        f" as {_CODE}{found[0].code}\n{several}"
    )
    raise Misuse(message)


def _standing(lot: LotView) -> str:
    where = f"at {lot.place}" if lot.place else "no place said"
    return f"{lot.mg / 1e6:.1f} kg, {where}"
