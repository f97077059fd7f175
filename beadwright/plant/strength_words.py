"""What the plant's own line of strength against density says, in words. Read :func:`words_of`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from beadwright.plant.strength import CONFIDENCE, AtLimit, StrengthLine
from beadwright.statistics.regression import Line
from beadwright.units import System, show

__all__ = ["CAUTION", "strength_json", "words_of"]

CAUTION = (
    "An estimate from this plant's own tests: it says where to aim and what to test first. It never"
    " stands for a test, and holds for the beads, the fusion and the conditioning that were tested."
)

_DIGITS = {"si": 2, "us": 3}


def words_of(of: StrengthLine, system: System) -> Iterator[str]:
    """Say what the line rests on, how well it fits, and at what density each limit is met."""
    name = of.characteristic.replace("_", " ")
    if of.line is None:
        yield f"No line of {name} against density: {of.why_not}."
        return
    line = of.line
    density = _density(line.range[0], system), _density(line.range[1], system)
    yield (
        f"{of.source}, one point a lot, from {density[0]} to {density[1]}; the line explains"
        f" {line.r_squared:.0%} of how {name} differs, and lots scatter about it by"
        f" {show(line.spread, 'pressure', system=system, digits=1)} (standard deviation)"
    )
    for one in of.limits:
        yield from _at(one, line.range[0], system)
    if of.flagged:
        yield (
            f"{len(of.flagged)} flagged: far from the line of the others. In the line all the same;"
            " a reason takes a lot out, not its distance:"
            f" {', '.join(_density(of.density_kg_m3[one.index], system) for one in of.flagged)}"
        )


def strength_json(of: StrengthLine) -> dict[str, Any]:
    """Give the line as a program reads it: in SI, lot by lot, with its bands."""
    flagged = {one.index: one.studentised for one in of.flagged}
    return {
        "product": of.product,
        "characteristic": of.characteristic,
        "source": of.source,
        "why_not": of.why_not,
        "lots": [
            {"density_kg_m3": density, "value_pa": value, "flagged": at in flagged,
             "studentised": flagged.get(at)}
            for at, (density, value) in enumerate(zip(of.density_kg_m3, of.value_si, strict=True))
        ],
        "line": _line_json(of.line),
        "without_flagged": _line_json(of.without),
        "limits": [
            {
                "limit": one.limit.name,
                "limit_pa": float(one.limit.value_si),
                "lightest_kg_m3": one.lightest_kg_m3,
                "at_limit_kg_m3": None if one.found is None else one.found.x,
                "at_limit_low_kg_m3": None if one.found is None else one.found.lower,
                "at_limit_high_kg_m3": None if one.found is None else one.found.upper,
            }
            for one in of.limits
        ],
        "caution": CAUTION,
    }  # fmt: skip


def _line_json(line: Line | None) -> dict[str, Any] | None:
    if line is None:
        return None
    return {
        "intercept_pa": line.intercept,
        "slope_pa_m3_kg": line.slope,
        "u_intercept_pa": line.u_intercept,
        "u_slope_pa_m3_kg": line.u_slope,
        "spread_pa": line.spread,
        "r_squared": line.r_squared,
        "count": line.count,
        "from_kg_m3": line.range[0],
        "to_kg_m3": line.range[1],
    }


def _at(one: AtLimit, tested: float, system: System) -> Iterator[str]:
    limit = f"{one.limit.value} {one.limit.unit} ({one.limit.name.replace('_', ' ')})"
    if one.lightest_kg_m3 is None:
        yield f"Nowhere in what was tested do nine lots in ten surely reach {limit}"
    elif one.lightest_kg_m3 <= tested:
        yield (
            f"All through what was tested, from {_density(tested, system)} on, nine lots in ten"
            f" reach {limit}, with 90 % confidence; lighter ones have not been tested"
        )
    else:
        yield (
            f"From {_density(one.lightest_kg_m3, system)} on nine lots in ten reach {limit}, with"
            " 90 % confidence"
        )
    if one.found is None:
        yield f"Where the line itself is at {limit} cannot be told: its slope is unsure"
    else:
        ends = _density(one.found.lower, system), _density(one.found.upper, system)
        yield (
            f"A lot found at {limit} had {_density(one.found.x, system)}: {ends[0]} to {ends[1]}"
            f" with {CONFIDENCE:.0%} confidence"
        )


def _density(value_si: float, system: System) -> str:
    return show(value_si, "density", system=system, digits=_DIGITS[system])
