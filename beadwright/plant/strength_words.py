"""What the plant's own line of strength against density says, in words. Read :func:`words_of`."""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.plant.strength import CONFIDENCE, AtLimit, StrengthLine
from beadwright.units import System, show

__all__ = ["CAUTION", "words_of"]

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
