"""Limits of a lot as rows that people read: what was found, the bound, the margin, the result.

Read :func:`rows`. The lower and the upper bound that judge the same figure stand in one row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from beadwright.plant.bounds import LimitInForce
from beadwright.plant.expanded import HowSure, expanded_in
from beadwright.plant.verdicts import Finding, LimitResult
from beadwright.units import Kind, System, factor
from beadwright.units import show as shown

__all__ = ["DIGITS", "LimitRow", "figure", "rows", "source_of"]

DIGITS: dict[Kind, tuple[int, int]] = {"density": (2, 3), "mass": (4, 4), "length": (1, 3)}
"""Digits shown by kind, in SI and in US customary units; other kinds stay in their limit's unit."""

_MOST_DIGITS = 9
"""Digits added at most: further apart no two figures are alike that are judged apart."""

_BOUNDS = {"min": "min ", "max": "max ", "within": "within "}


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One or two limits that judge the same figure."""

    characteristic: str
    statistic: str
    found: str
    """Least and largest of what was found, without a unit; empty where nothing was."""
    limit: str
    """The bound or both, with the unit."""
    margin: str
    n: int
    state: str
    """State of the blocks judged: ``dry``, ``24h`` …"""
    finding: Finding
    source: str
    sure: HowSure
    """How much is known of the uncertainty of what was found."""
    u: str
    """Expanded uncertainty (k = 2) in the limit's unit, without it; empty where none is known."""
    entries: tuple[int, ...] = ()
    """Entries of the settings that state its bounds."""
    name: str = ""
    """Of the first of them, as the page of limits lists it."""
    missing: str = ""
    """What is missing, in words, or that it is within a guard band; empty where neither is."""


def rows(limits: Sequence[LimitResult], system: System | None = None) -> tuple[LimitRow, ...]:
    """Give limits as rows, in units of choice, or as they are judged."""
    return tuple(_row(pair, system) for pair in _paired(limits))


def _paired(limits: Sequence[LimitResult]) -> list[list[LimitResult]]:
    """Put the lower and the upper bound together that judge the same figure in the same unit."""
    found: dict[tuple[str, ...], list[LimitResult]] = {}
    for one in limits:
        limit = one.limit
        key = (limit.characteristic, limit.statistic, limit.unit, one.state, source_of(one))
        found.setdefault((*key, str(one.n)), []).append(one)
    return [sorted(pair, key=lambda one: one.limit.bound != "min") for pair in found.values()]


def _row(pair: Sequence[LimitResult], system: System | None) -> LimitRow:
    limit, more = pair[0].limit, 0
    while True:
        found = [_found(one, (one.value_si, one.value), system, more) for one in pair]
        bounds = [figure(one, float(one.limit.value_si), one.bound, system, more) for one in pair]
        read = zip(pair, found, bounds, strict=True)
        # What misses its limit by less than the digits shown must not read as if it met it.
        if more == _MOST_DIGITS or not any(_misread(one, x, bound) for one, x, (bound, _) in read):
            break
        more += 1
    figures = dict.fromkeys(found)
    number = "–".join(bound[0] for bound in bounds)
    word = _BOUNDS[limit.bound] if len(pair) == 1 else ""
    near = min(pair, key=lambda one: (one.margin_si is not None, one.margin_si or 0.0))
    worst = next((one for one in pair if one.finding == "not_met"), near)
    return LimitRow(
        limit.characteristic.replace("_", " "),
        limit.statistic,
        "–".join(sorted(filter(None, figures), key=float)),
        f"{word}{number} {bounds[0][1]}".strip(),
        _found(worst, (worst.margin_si, worst.margin), system, more, spare=1),
        pair[0].n,
        pair[0].state,
        worst.finding,
        source_of(pair[0]),
        *expanded_in(pair, bounds[0][1]),
        tuple(dict.fromkeys(one.limit.set_by for one in pair if one.limit.set_by)),
        pair[0].limit.name,
        _missing(worst, f"{found[pair.index(worst)]} {bounds[0][1]}"),
    )


def _missing(one: LimitResult, found: str) -> str:
    """Say what is missing; a figure that wet blocks screen at as the row shows it."""
    if one.in_band:
        return f"less than the guard band, {one.guard}"
    return one.missing.replace(one.value, found) if one.value else one.missing


def _found(
    one: LimitResult,
    what: tuple[float | None, str],
    system: System | None,
    more: int,
    *,
    spare: int = 0,
) -> str:
    """Give what was found with no more digits than it was read with; of a mean, one more.

    A margin has one to ``spare``: it is small, and of the limit too.
    """
    kind, si = one.limit.kind, what[0]
    text, unit = figure(one, *what, system, more)
    if system is None or si is None or kind not in DIGITS or not one.keyed:
        return text
    digits = max(_resolved(*each, unit, kind) for each in one.keyed)
    digits += more + spare + (one.limit.statistic == "mean")
    if digits >= DIGITS[kind][system == "us"] + more:
        return text
    return shown(si, kind, system=system, digits=digits).partition(" ")[0]


def _resolved(number: str, unit: str, wanted: str, kind: Kind) -> int:
    """Give the digits after the point that a figure has in another unit than it was read in.

    >>> _resolved("7.09", "lb", "lb", "mass"), _resolved("7.09", "lb", "kg", "mass")
    (2, 3)
    >>> _resolved("3.216", "kg", "lb", "mass")
    3
    """
    exponent = Decimal(number).as_tuple().exponent
    step = factor(unit, kind) / factor(wanted, kind)
    digits = -int(exponent) - step.logb().to_integral_value()
    return max(0, int(digits))


def _misread(one: LimitResult, text: str, bound: str) -> bool:
    """Whether a figure, as it is shown, stands on the other side of its bound, or at it."""
    if one.margin_si is None or not text:
        return False
    size, limit = _size(one.limit, text), float(bound)
    meets = size >= limit if one.limit.bound == "min" else size <= limit
    missed_at = one.finding == "not_met" and size == limit
    return missed_at or meets != one.inside


def _size(limit: LimitInForce, text: str) -> float:
    """Give what is compared with the bound: of a change its size."""
    value = float(text)
    return abs(value) if limit.bound == "within" else value


def figure(
    one: LimitResult, si: float | None, written: str, system: System | None, more: int = 0
) -> tuple[str, str]:
    """Give number and unit: of the limit as it is judged, or in the units chosen.

    ``more`` digits than the kind has; as it is judged, it has as many as tell by itself.
    """
    kind = one.limit.kind
    text = written
    if system is not None and si is not None and kind in DIGITS:
        text = shown(si, kind, system=system, digits=DIGITS[kind][system == "us"] + more)
    number, _, unit = text.partition(" ")
    return number, unit


def source_of(one: LimitResult) -> str:
    """Say where a limit comes from, and whether it was verified."""
    limit = one.limit
    if limit.verified is None:
        return limit.stated
    state = "NOT VERIFIED against the paid text"
    if limit.verified:
        state = f"verified against the paid text by {limit.verified_by} on {limit.verified_on}"
    return f"{limit.source}: {state}"
