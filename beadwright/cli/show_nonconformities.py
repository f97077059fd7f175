"""What `nonconformities` says: causes with what happened under each, and the holds placed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from beadwright.cli.printed import Page, iso, local, write_json
from beadwright.cli.words import STEP_WORDS, code_words, number
from beadwright.ledger.holds import HoldView, Nonconformity, nonconformities, placed
from beadwright.plant.opening import Plant

__all__ = ["nonconformities_json", "show"]

_ROWS = 4


def show(plant: Plant, *, everything: bool, json: bool) -> None:
    """Print nonconformities by cause, and holds."""
    found = nonconformities(plant.no)
    if not everything:
        closed = {one.cause for one in found} - {one.cause for one in found if not one.closed}
        found = [one for one in found if one.cause not in closed]
    held = placed(plant.no)
    if json:
        write_json(nonconformities_json(plant, found, held))
        return
    page = Page()
    by_cause: dict[str, list[Nonconformity]] = {}
    for one in found:
        by_cause.setdefault(one.cause, []).append(one)
    page.line(f"{plant.name}, plant {plant.code}; times in {plant.zone.key}")
    page.line(f"{number(len(by_cause), 'cause')}, {number(len(held), 'hold')}.")
    for cause, several in by_cause.items():
        _cause(page, plant, cause, several)
    for one_hold in held:
        page.heading(f"HOLD {one_hold.hold}: {', '.join(one_hold.lots)}")
        page.line(f"{local(one_hold.at_ms, plant.zone)}, by {one_hold.by}: {one_hold.reason}", 2)
        if one_hold.lifted:
            page.line(f"lifted for {', '.join(one_hold.lifted)}", indent=2)


def _cause(page: Page, plant: Plant, cause: str, several: Sequence[Nonconformity]) -> None:
    open_ = [one for one in several if not one.closed]
    state = "open" if open_ else "closed by concession"
    page.heading(f"{code_words(several[0].code).upper()}: {number(len(several), 'step')}, {state}")
    page.line(f"cause: {cause}", indent=2)
    for one in several[:_ROWS]:
        step = f"{STEP_WORDS.get(one.kind, one.kind)} {local(one.at_ms, plant.zone)}, {one.step}"
        page.item(f"{one.detail} ({step})")
    if len(several) > _ROWS:
        page.line(f"and {number(len(several) - _ROWS, 'step')} more", indent=4)


def nonconformities_json(
    plant: Plant, found: Sequence[Nonconformity], held: Sequence[HoldView]
) -> dict[str, Any]:
    """Give nonconformities and holds as JSON."""
    return {
        "plant": plant.code,
        "zone": plant.zone.key,
        "nonconformities": [
            {
                "cause": one.cause,
                "code": one.code,
                "lot": one.lot,
                "step": one.step,
                "kind": one.kind,
                "at": iso(one.at_ms, plant.zone),
                "sentence": one.detail,
                "closed": one.closed,
            }
            for one in found
        ],
        "holds": [
            {
                "hold": one.hold,
                "lots": list(one.lots),
                "reason": one.reason,
                "at": iso(one.at_ms, plant.zone),
                "by": one.by,
                "lifted": list(one.lifted),
            }
            for one in held
        ],
    }
