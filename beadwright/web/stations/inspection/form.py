"""The forms of an inspection: what is known already, and what was keyed into the fields asked.

Read :func:`likely_of` and :func:`as_sent`.
"""

from __future__ import annotations

from collections.abc import Mapping

from django.http import QueryDict

from beadwright.interop import keyed
from beadwright.interop.keyed import Likely
from beadwright.interop.keyed.usual import counted_up
from beadwright.plant.block_age import AFTER_A_DAY
from beadwright.plant.inspecting import Inspecting
from beadwright.plant.inspection_plans.lot_measured import LotMeasured
from beadwright.plant.inspection_plans.variables_set import OF_BLOCKS
from beadwright.web.stations.inspection.acts import COUNTS, Act

__all__ = ["FEW", "MORE", "as_sent", "drawing_plans", "left_to_draw", "likely_of", "next_piece"]

MORE = "more-"
"""Begins the field for a number of bad pieces that stands on no button."""
FEW = ("0", "1", "2", "3")
"""Numbers of bad pieces that stand on buttons; none bad is a pass."""

_FIRST: Mapping[str, str] = {"press": "W1", "24h": "D1", "dry": "D1"}
"""Name of the first block of a state; those that follow are counted up."""


def likely_of(plant: str, act: Act, found: Inspecting) -> Likely:
    """Give what a form holds before anything is keyed: nothing that is to be measured or counted.

    The age is by the record: that of the block moulded last, where all or none are a day old.
    """
    lot = {"lot": found.lot.lot}
    if act.kind == "results":
        return Likely({**lot, "specimen": f"B{found.broken + 1}"}, {})
    state = found.age.state if found.age is not None else ""
    if act.name == "look":
        return Likely({**lot, **({"state": state} if state else {})}, {})
    usual = keyed.usual(plant, act.kind, {**lot, **({"state": state} if state else {})})
    texts = {**lot, "state": state, "specimen": next_piece(found, state)}
    if state and found.age is not None:
        texts["age"] = f"{found.age.youngest_h:.1f}"
    if state and usual.texts.get("instrument"):
        texts["instrument"] = usual.texts["instrument"]
    return Likely({name: text for name, text in texts.items() if text}, {"age": "h"})


def next_piece(found: Inspecting, state: str) -> str:
    """Name the block that a plan drew next, else the one after the last of its state."""
    taken = found.taken.get(state or "24h", ())
    left = left_to_draw(found, state)
    if left:
        return next((name for name in left if name not in taken), left[0])
    code = counted_up(taken[-1]) if taken else _FIRST[state or "24h"]
    while code in taken:
        code = counted_up(code)
    return code


def drawing_plans(found: Inspecting, state: str) -> tuple[LotMeasured, ...]:
    """Give the variables plans that still ask for blocks of a state."""
    return tuple(one for one in found.lot.measured if one.left and _asks(one, state))


def left_to_draw(found: Inspecting, state: str) -> tuple[str, ...]:
    """Name the blocks that such plans drew and nobody measured, in the order of their moulding."""
    names = {name for one in drawing_plans(found, state) for name in one.left}
    return tuple(sorted(names, key=lambda name: int(name[1:])))


def _asks(one: LotMeasured, state: str) -> bool:
    its = one.its
    if one.accepted is not None or its.characteristic not in OF_BLOCKS:
        return False
    if its.state:
        return its.state == (state or "24h")
    return its.characteristic != "density" and (state or "24h") in AFTER_A_DAY


def as_sent(said: QueryDict, act: Act) -> QueryDict:
    """Give what was sent with a number keyed in the field of the one tapped."""
    sent = said.copy()
    for name in COUNTS:
        more = sent.get(f"{MORE}{name}", "").strip()
        if name in act.asked and more:
            sent[name] = more
    return sent
