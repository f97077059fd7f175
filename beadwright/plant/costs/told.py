"""Costs in words, and as a program reads them.

Read :func:`says` and :func:`costs_json`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from datetime import datetime
from typing import Any

from beadwright.plant.costs.answer import DAYS, UNSAID, Costs
from beadwright.plant.costs.rows import OVERWEIGHT, Row
from beadwright.plant.opening import Plant
from beadwright.plant.words import iso

__all__ = [
    "DAY_BY_DAY",
    "SAME_MIX",
    "costs_json",
    "mix_told",
    "money_of",
    "prices_told",
    "says",
    "total_of",
]

DAY_BY_DAY = (
    "Day by day; the figure beside a name is that of its last day. A ring is a day of which no lot"
    " was weighed: what its blocks are overweight is not in it."
)

SAME_MIX = "same mix"
"""What a good block would have cost at the mix of products of all days."""


def total_of(one: Row) -> tuple[str, str]:
    """Give the sum of a row, and what is not in it: the rest is told where overweight lacks."""
    if one.known is not None:
        band = "" if one.band is None else f"\u00a0±{one.band:.3f}"
        return f"{one.known:.3f}{band}", "" if one.total is not None else f"without {OVERWEIGHT}"
    return "unknown", ""


def mix_told(found: Costs) -> str:
    """Say how much of the change over the days is their mix of products; empty where none is."""
    if not any(one.mix is not None for one in found.rows):
        return ""
    said = (
        "Same mix is what a good block would have cost had each made the products in the shares of"
        " all blocks here: what is left then is no matter of which products were made."
    )
    some = [(one, one.known, one.mix) for one in found.rows]
    (first, cost, mix), (last, later, then) = some[0], some[-1]
    if found.by != "day" or cost is None or mix is None or later is None or then is None:
        return said
    each = " to ".join(" ".join(filter(None, total_of(one))) for one in (first, last))
    return (
        f"{said} From {first.name} to {last.name} a good block went from {each}: the mix of"
        f" products makes {then - mix:+.3f} of it, all else {later - cost - then + mix:+.3f}."
    )


def money_of(plant: Plant) -> str:
    """Name the money of a plant in a few words."""
    return plant.currency or "the plant's money"


def says(plant: Plant, found: Costs) -> tuple[str, ...]:
    """Say in which money, how sure, and of which days."""
    named = (
        f"Per good block, in {plant.currency}."
        if plant.currency
        else "Per good block, in the plant's own money: nothing names it. State currency under"
        " [plant] in the settings."
    )
    return (
        named,
        _sure(found),
        "What scrap gives back as reclaim is not taken off; steam, wages and wear are not in it.",
        (
            "Lost in scrap is beads and ties alone: its time in the press stands under press. One"
            " point of scrap is all three."
        ),
        (
            "Prices are settings of the plant as they stand on the last day; where a count is of"
            " several grades, their mean."
        ),
        (
            f"Where no days are asked, they are the last {DAYS}: a plant counts thousands of blocks"
            " in them. Defects are told of 28, because bad pieces are few."
        ),
        *_raw(found),
        *_unsaid(found),
    )


def _raw(found: Costs) -> Iterator[str]:
    """Say what raw beads a kilogram of foam is priced as."""
    held = [f"{name} {100 * one:.3g} %" for name, one in found.pentane if one is not None]
    unset = [f"[grade.{name}] pentane" for name, one in found.pentane if one is None]
    if held:
        yield (
            "Foam is priced as the raw beads that it took, with the pentane that left them"
            f" ({', '.join(held)} of the raw bead); fines and spills are not in it."
        )
    if unset:
        yield (
            f"{' and '.join(unset)} is not set: there foam is priced as so much of raw beads,"
            " without the pentane that left them, which is some 4 to 7 % (common practice, no"
            " source)."
        )


def _unsaid(found: Costs) -> Iterator[str]:
    """Say what would say the shift, where it is asked for and nothing says it."""
    if found.by == "shift" and any(one.name == UNSAID for one in found.rows):
        yield (
            f'Where "{UNSAID}" stands nothing says the shift: set when each begins ([shift.NAME]'
            " from), or say it with the run (shift of mould_runs)."
        )


def _sure(found: Costs) -> str:
    foam = "Foam is known from pieces times foam mass"
    if found.off:
        return (
            f"{foam}; ± is what follows from masses that are off by {100 * found.off:.2g} %, as the"
            " settings say (twice that standard uncertainty, of the foam alone)."
        )
    return (
        f"{foam}, to some per cent. How far masses are off nobody has stated ([tolerance.KIND] u):"
        " no band is given. One per cent of foam is worth as much as one of density."
    )


def prices_told(plant: Plant, found: Costs) -> tuple[tuple[str, str, str, str], ...]:
    """Give each price that was used: of what, how much, which setting, from which day."""
    money = f" {plant.currency}" if plant.currency else ""
    return tuple(
        (one.of, f"{one.value:g}{money}", one.setting,
         f"{datetime.fromtimestamp(one.since_ms / 1000, plant.zone):%Y-%m-%d}")
        for one in found.prices
    )  # fmt: skip


def costs_json(plant: Plant, found: Costs) -> dict[str, Any]:
    """Give costs as a map that JSON can hold."""
    return {
        **plant.about,
        "since": found.since.isoformat(),
        "until": found.until.isoformat(),
        "by": found.by,
        "currency": plant.currency or None,
        "says": " ".join(says(plant, found)),
        "lacks": list(found.lacks),
        "prices": [
            {"of": one.of, "value": one.value, "setting": one.setting,
             "since": iso(one.since_ms or None, plant.zone)}
            for one in found.prices
        ],
        "pentane": [{"grade": grade, "per_wet": share} for grade, share in found.pentane],
        "mass_uncertainty": found.off or None,
        "rows": [_row(one) for one in found.rows],
        "days": [
            {"name": name, "day": one.day.isoformat(), "good": one.good,
             "per_block": one.per_block, "whole": one.whole}
            for name, some in found.days.items()
            for one in some
        ],
    }  # fmt: skip


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
        "known": one.known,
        "same_mix": one.same_mix,
        "band": one.band,
        "scrap_by_cause": causes,
        "per_cent_of_density": one.per_cent,
        "point_of_scrap": one.point,
    }
