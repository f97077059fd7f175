"""The one lot that a person means by a code or a label.

Read :func:`one_lot`.
"""

from __future__ import annotations

from beadwright.errors import Misuse
from beadwright.ledger import lots
from beadwright.ledger.lots import LotView
from beadwright.plant.opening import Plant

__all__ = ["one_lot"]

_CODE = "code:"
"""What stands before a code where a label reads the same."""


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
