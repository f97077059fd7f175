"""What `holds` says, and what `hold` and `lift` say a hold reaches."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from beadwright.cli.printed import Page, local, write_json
from beadwright.plant.held import Held, Reach, counted
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.words import in_runs, iso, number

__all__ = ["holds_json", "said_of", "show"]


def show(plant: Plant, found: Sequence[Held], *, every: bool, json: bool) -> None:
    """Print holds: the open ones, or all."""
    told = [one for one in found if every or one.open]
    if json:
        write_json(holds_json(plant, told))
        return
    page = Page(Named.of(plant).within)
    open_ = sum(one.open for one in found)
    page.line(f"Holds of {plant.name}: {open_} open, {len(found) - open_} that hold nothing")
    for one in told:
        _hold(page, plant, one)
    if len(found) > len(told):
        page.line()
        page.line("--all lists those that hold nothing too.")


def _hold(page: Page, plant: Plant, one: Held) -> None:
    page.heading(f"{one.hold}  {'OPEN' if one.open else 'holds nothing'}")
    by = f" by {one.by}" if one.by else ""
    page.line(f"{one.reason}; placed {local(one.at_ms, plant.zone)}{by}", indent=2)
    page.item(f"placed on {in_runs(one.named)}")
    if one.lifted:
        page.item(f"lifted from {in_runs(tuple(dict.fromkeys(one.lifted)))}")
    for line in said_of(one.reach) if one.open else ():
        page.item(line)


def said_of(reach: Reach) -> list[str]:
    """Say what a hold reaches: how many lots, what is in the plant, what has left to whom."""
    if not reach.lots:
        return ["it reaches no lot"]
    parts = [number(reach.runs, "mould lot")] if reach.runs else []
    parts += [number(reach.bundles, "bundle")] if reach.bundles else []
    parts += [f"the content of {', '.join(reach.places)}"] if reach.places else []
    of = f": {', '.join(parts)}" if parts else ""
    lines = [f"it reaches {number(len(reach.lots), 'lot')}{of}"]
    if reach.moulded:
        lines.append(f"of mould runs: {in_runs(reach.moulded)}")
    here = [number(reach.pieces, "block")] if reach.pieces else []
    here += [f"{reach.mg / 1e6:.1f} kg of other material"] if reach.mg else []
    if here:
        lines.append(f"in the plant: {' and '.join(here)}")
    for one in reach.shipped:
        blocks = counted(one.at_least, one.at_most)
        lines.append(f"ALREADY SHIPPED: {blocks} to {one.receiver} in {one.shipment}")
    if reach.empty:
        lines.append("nothing of it is left, neither here nor with a receiver")
    return lines


def holds_json(plant: Plant, told: Sequence[Held]) -> dict[str, Any]:
    """Give holds as a map that JSON can hold."""
    return {
        **plant.about,
        "holds": [
            {
                "hold": one.hold,
                "open": one.open,
                "reason": one.reason,
                "at": iso(one.at_ms, plant.zone),
                "by": one.by,
                "named": list(one.named),
                "lifted": list(one.lifted),
                "reaches": list(one.reach.lots),
                "mould_lots": one.reach.runs,
                "bundles": one.reach.bundles,
                "places": list(one.reach.places),
                "pieces": one.reach.pieces,
                "other_mg": one.reach.mg,
                "shipped": [
                    {
                        "receiver": left.receiver,
                        "shipment": left.shipment,
                        "pieces_at_least": left.at_least,
                        "pieces_at_most": left.at_most,
                    }
                    for left in one.reach.shipped
                ],
            }
            for one in told
        ],
    }
