"""Defects in words, and as a program reads them.

Read :func:`told` and :func:`defects_json`.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from beadwright.plant.defects.answer import Apart, Defects, Source
from beadwright.plant.opening import Plant
from beadwright.plant.words import number

__all__ = ["DEFECTS_SAY", "defects_json", "told"]

DEFECTS_SAY = (
    "What stands out asks for a cause to be looked for, and is not yet the cause. A lot made of"
    " several is counted under the one that gave most of it."
)


def told(one: Apart, by: str) -> str:
    """Say of a group what it has more of, how sure that is, and what goes with it."""
    its = one.standing
    times = "where the others have none" if its.others == 0 else f"{its.ratio:.1f} times the others"
    sure = (
        f"corrected for looking at all, chance gives it {_chance(its.holm)}"
        if its.stands_out
        else "worth a look, and not sure"
    )
    said = (
        f"{one.kind}, {by} {its.name}: {its.bad} of {number(its.of, 'piece')},"
        f" {100 * its.share:.1f} % ({100 * its.lower:.1f} to {100 * its.upper:.1f} %),"
        f" {times}; {sure}."
    )
    if one.goes_with:
        said += f" It cannot be told from {', '.join(one.goes_with)}, which all of it shares."
    if len(one.lots) == 1:
        said += f" All are of {one.lots[0]}: blocks of one run share more than their {by}."
    return said


def _chance(holm: float) -> str:
    return "less than once in 10,000" if holm < 1e-4 else f"once in {1 / holm:,.0f}"  # noqa: PLR2004


def defects_json(plant: Plant, found: Defects) -> dict[str, Any]:
    """Give defects as a map that JSON can hold."""
    return {
        **plant.about,
        "since": found.since.isoformat(),
        "until": found.until.isoformat(),
        "by": found.by,
        "says": DEFECTS_SAY,
        "sources": [_source(one, found.by) for one in found.sources],
    }


def _source(one: Source, by: str) -> dict[str, Any]:
    kinds = one.pareto.causes if one.pareto is not None else ()
    return {
        "name": one.name,
        "pieces": one.pieces,
        "bad": one.bad,
        "kinds": [
            {"name": cause.name, "count": cause.count, "share": cause.share,
             "lower": cause.lower, "upper": cause.upper}
            for cause in kinds
        ] or [{"name": name, "count": count} for name, count in one.kinds],
        "words": [] if one.pareto is None else list(one.pareto.words),
        "groups": [{"name": name, "pieces": pieces} for name, pieces in one.groups],
        "stand_out": [
            {**_finite(asdict(each.standing)), "kind": each.kind, "lots": list(each.lots),
             "goes_with": list(each.goes_with), "says": told(each, by)}
            for each in one.apart
        ],
    }  # fmt: skip


def _finite(standing: dict[str, Any]) -> dict[str, Any]:
    """Write the ratio to nothing as none."""
    return {**standing, "ratio": standing["ratio"] if standing["others"] else None}
