"""Costs as a program reads them.

Read :func:`costs_json`.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from beadwright.plant.costs.answer import Costs, Row
from beadwright.plant.opening import Plant

__all__ = ["COSTS_SAY", "costs_json"]

COSTS_SAY = (
    "Per good block, in the plant's own money. Foam is known from pieces times foam mass, to some"
    " per cent; what scrap gives back as reclaim is not taken off; steam, wages and wear are not in"
    " it."
)


def costs_json(plant: Plant, found: Costs) -> dict[str, Any]:
    """Give costs as a map that JSON can hold."""
    return {
        **plant.about,
        "since": found.since.isoformat(),
        "until": found.until.isoformat(),
        "by": found.by,
        "says": COSTS_SAY,
        "lacks": list(found.lacks),
        "rows": [_row(one) for one in found.rows],
    }


def _row(one: Row) -> dict[str, Any]:
    causes = [
        {"cause": cause, "blocks": blocks, "per_block": money}
        for cause, blocks, money in one.scrap_by_cause
    ]
    return {
        "name": one.name,
        "good": one.good,
        "scrap": one.scrap,
        "share_scrap": one.share_scrap,
        "parts": [asdict(part) for part in one.parts],
        "total": one.total,
        "scrap_by_cause": causes,
        "per_cent_of_density": one.per_cent,
        "point_of_scrap": one.point,
    }
