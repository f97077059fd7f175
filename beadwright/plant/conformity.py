"""How probable it is that what was measured conforms: a guide inside the plant, on no paper.

Read :func:`chance`, then :func:`conformity`. Nothing here decides, holds or releases. A probability
is told only where the uncertainty is known, of every part, or where somebody asks as if it were.

References: JCGM 106:2012, clause 7 (probability of conformity), 9.3 (specific risks of a consumer
and of a producer), 9.5 (global risk of a process) [from memory].
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from beadwright.errors import Misuse
from beadwright.ledger import lots, settings
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.decision_rule import is_counted
from beadwright.plant.limits import rulebook
from beadwright.plant.lots_read import evidence_of
from beadwright.plant.uncertainty import in_si
from beadwright.plant.uncertainty_missing import to_state
from beadwright.plant.verdicts import LimitResult, judged, shown
from beadwright.plant.weighings import Evidence
from beadwright.quality import readings
from beadwright.quality.characteristics import STATES
from beadwright.statistics.conformity import (
    GlobalRisks,
    Limits,
    NormalProcess,
    conformity_probability,
    global_risks,
)

__all__ = [
    "LEAST",
    "Conformity",
    "LotWorth",
    "Spread",
    "Worth",
    "as_json",
    "chance",
    "chance_said",
    "conformity",
    "with_chances",
]

LEAST = 10
"""Values without which nothing is said of a spread. Common practice, no source."""

_MOST = 60
"""Newest lots that are read."""

_NEARLY = 0.999
_NET = frozenset({"density", "foam_mass", "block_mass"})


@dataclass(frozen=True, slots=True)
class LotWorth:
    """One lot by one limit: what was held against it, and how probable it is that it conforms."""

    lot: str
    result: LimitResult
    chance: float | None
    """None where the uncertainty is not known, of every part."""

    @property
    def specific_risk(self) -> float | None:
        """Probability that what the rule found of this lot is wrong; None where none is known.

        Of a limit that is met it is the specific consumer's risk, of one that is not met the
        specific producer's.
        """
        if self.chance is None or self.result.finding == "not_enough_evidence":
            return None
        return 1 - self.chance if self.result.finding == "met" else self.chance


@dataclass(frozen=True, slots=True)
class Spread:
    """What the plant makes, by its own figures, and the risks of its decision rule on that."""

    count: int
    """Pieces or lot means that it rests on."""
    mean_si: float
    seen_si: float
    """Standard deviation of what was read."""
    own_si: float
    """The same without the uncertainty of reading: of what was made."""
    u_si: float
    """Standard uncertainty of one: the median of those known."""
    guard_si: float
    risks: GlobalRisks


@dataclass(frozen=True, slots=True)
class Worth:
    """One limit: the newest lots by it, and the risks of its rule."""

    limit: LimitInForce
    lots: tuple[LotWorth, ...]
    """The newest last."""
    spread: Spread | None
    why_not: str = ""
    """Why nothing is said of the risks; empty where something is."""


@dataclass(frozen=True, slots=True)
class Conformity:
    """What the plant's own figures of one characteristic are worth against its limits."""

    product: str
    characteristic: str
    limits: tuple[Worth, ...]
    u: str = ""
    """Standard uncertainty that it was asked with, as if; empty: that of the record."""
    to_state: str = ""
    """What to state, and where, so that the uncertainty is known; empty: nothing is missing."""


def chance(result: LimitResult) -> float | None:
    """Give the probability that what was held against a limit conforms; None where u is unknown.

    Of a limit on each piece it is that of the piece shown; of a mean that of the mean.
    """
    if not result.u_known or result.value_si is None or result.u_si is None:
        return None
    if is_counted(result.limit.characteristic):
        return None
    return float(conformity_probability(result.value_si, result.u_si, _limits(result.limit)))


def chance_said(known: float) -> str:
    """Give a probability in per cent; near either end, that it lies beyond."""
    if known >= _NEARLY:
        return "over 99.9 %"
    return "under 0.1 %" if known <= 1 - _NEARLY else f"{100 * known:.1f} %"


def with_chances(lots_: Sequence[LotAssessment], told: Sequence[dict[str, Any]]) -> None:
    """Add to the JSON of lots, limit by limit, how probable it is that they conform."""
    for lot, said in zip(lots_, told, strict=True):
        for result, limit in zip(lot.limits, said["limits"], strict=True):
            limit["conformity_probability"] = chance(result)


def conformity(
    plant_no: int, product: str, characteristic: str, at_ms: int, u: str = ""
) -> Conformity:
    """Ask what the newest lots of a product are worth against its limits on a characteristic.

    ``u`` is a standard uncertainty with its unit, or in % of what was read: it is asked as if each
    piece had been read with it, whatever is known.

    Raises
    ------
    Misuse
        If no limit is put on it today, or ``u`` says nothing of it.
    """
    in_force = settings.load(plant_no)
    every = rulebook(plant_no, in_force).limits(product, at_ms)
    limits = [one for one in every if one.characteristic == characteristic and not one.unusable]
    if not limits:
        names = ", ".join(dict.fromkeys(one.characteristic for one in every)) or "none"
        message = f"no limit is put on {characteristic} of {product} today; there are on: {names}"
        raise Misuse(message)
    found = evidence_of(plant_no, _newest(plant_no, product, characteristic), in_force, at_ms)
    if u:
        _stated(u, characteristic, 1.0)  # so that a slip is told of a product without lots too
        found = {code: _as_if(here, characteristic, u) for code, here in found.items()}
    worth = tuple(_worth(one, found) for one in limits)
    return Conformity(product, characteristic, worth, u, to_state(plant_no, characteristic, found))


def _as_if(here: Evidence, characteristic: str, u: str) -> Evidence:
    """Give a lot's evidence as if each piece had been read with a standard uncertainty."""
    some = here.values.get(characteristic, [])
    said = [replace(one, u_si=_stated(u, characteristic, one.si), partly=False) for one in some]
    return replace(here, values={**here.values, characteristic: said})


def _stated(u: str, characteristic: str, si: float) -> float:
    found = in_si(u, characteristic, si)
    if not found:
        message = (
            f"{u!r} is no standard uncertainty of {characteristic.replace('_', ' ')}: write a"
            ' number above nothing with its unit, or "2 %" of what was read'
        )
        raise Misuse(message)
    return found


def _newest(plant_no: int, product: str, characteristic: str) -> list[str]:
    """Give the newest lots of a product with readings of a characteristic, the oldest first."""
    names = [*STATES.values()] if characteristic in _NET else []
    cut = ["specimen_mass"] if characteristic == "density" else []
    taken = readings.of_characteristics(plant_no, [characteristic, *names, *cut])
    views = lots.get_many(plant_no, taken)
    mine = [(one.first or 0, code) for code, one in views.items() if one.product == product]
    return [code for _, code in sorted(mine)[-_MOST:]]


def _worth(limit: LimitInForce, found: Mapping[str, Evidence]) -> Worth:
    told = []
    figures: list[tuple[float, float | None]] = []
    for code, here in found.items():
        result = judged(limit, here)
        if result.value_si is None or result.state == "press":
            continue
        told.append(LotWorth(code, result, chance(result)))
        if limit.statistic == "mean":
            figures.append((result.value_si, result.u_si if result.u_known else None))
        else:
            values = here.values.get(limit.characteristic, ())
            rests = set(result.readings)
            figures += [
                (one.si, None if one.partly else one.u_si)
                for one in values
                if rests.issuperset(one.ids)
            ]
    spread = _spread(limit, figures)
    if isinstance(spread, str):
        return Worth(limit, tuple(told), None, spread)
    return Worth(limit, tuple(told), spread)


def _spread(limit: LimitInForce, figures: Sequence[tuple[float, float | None]]) -> Spread | str:
    """Give the risks of a limit's rule on what the plant makes, or say why there are none."""
    known = [u for _, u in figures if u]
    if is_counted(limit.characteristic) or limit.bound == "within":
        return "it is counted, or limited to either side: its spread is not that of one normal row"
    if len(figures) < LEAST:
        return f"{len(figures)} figures; {LEAST} are needed to tell a spread"
    if not known:
        return "the uncertainty of a reading is not known"
    values = [value for value, _ in figures]
    mean, seen, u = statistics.fmean(values), statistics.stdev(values), statistics.median(known)
    if seen <= u:
        return (
            "what was read spreads no more than one reading is uncertain: by a standard deviation"
            f" of {shown(seen, limit)}, where u is {shown(u, limit)}. All of it may be error of"
            " reading; a risk of the rule is told where u is smaller than that spread, and the risk"
            " of each lot stands with the lot"
        )
    own, guard = math.sqrt(seen**2 - u**2), float(limit.rule.k) * u
    risks = global_risks(NormalProcess(mean, own), u, _limits(limit), guard)
    return Spread(len(values), mean, seen, own, u, guard, risks)


def _limits(limit: LimitInForce) -> Limits:
    bound = float(limit.value_si)
    if limit.bound == "within":
        return Limits(-bound, bound)
    return Limits(lower=bound) if limit.bound == "min" else Limits(upper=bound)


def as_json(found: Conformity) -> dict[str, Any]:
    """Give the answer as a map that JSON can hold."""
    limits = [
        {
            "limit": one.limit.name,
            "statistic": one.limit.statistic,
            "bound": one.limit.bound,
            "limit_si": float(one.limit.value_si),
            "rule": one.limit.rule.words,
            "lots": [
                {"lot": x.lot, "value_si": x.result.value_si, "u_si": x.result.u_si,
                 "finding": x.result.finding, "conformity_probability": x.chance,
                 "specific_risk": x.specific_risk}
                for x in one.lots
            ],
            "why_not": one.why_not,
            "spread": None if one.spread is None else _spread_json(one.spread),
        }
        for one in found.limits
    ]  # fmt: skip
    return {
        "product": found.product, "characteristic": found.characteristic,
        "uncertainty": found.u, "to_state": found.to_state, "limits": limits,
    }  # fmt: skip


def _spread_json(one: Spread) -> dict[str, Any]:
    return {
        "count": one.count,
        "mean_si": one.mean_si,
        "seen_si": one.seen_si,
        "own_si": one.own_si,
        "u_si": one.u_si,
        "guard_si": one.guard_si,
        "nonconforming": one.risks.nonconforming,
        "accepted": one.risks.accepted,
        "consumer_risk": one.risks.consumer,
        "producer_risk": one.risks.producer,
    }
