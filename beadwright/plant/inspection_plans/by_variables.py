"""Lots of a product by its variables plans: measured values against the limits of each piece.

Read :func:`by_variables` and :func:`of_lot`. Nothing of it is kept: it is worked out from the
readings that a release is decided on, and holds and releases nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.inspection_plans.folded import made_of
from beadwright.plant.inspection_plans.variables_set import VARIABLES, VariablesSet, variables_set
from beadwright.plant.limits import Rulebook, rulebook
from beadwright.plant.lots_read import evidence_of
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.pieces import Value
from beadwright.plant.weighings import Evidence
from beadwright.statistics.sampling import (
    Selection,
    VariablesJudged,
    VariablesPlan,
    accepts,
    select,
)

__all__ = ["ByVariables", "LotMeasured", "by_variables", "of_lot"]

_MOST = 60
"""Newest lots that are judged."""


@dataclass(frozen=True, slots=True)
class LotMeasured:
    """One lot by one plan."""

    lot: str
    at_ms: int
    pieces: int
    its: VariablesSet
    """As it was set when the lot was made."""
    lower: LimitInForce | None
    """The strictest limit of each piece, where there is one."""
    upper: LimitInForce | None
    measured: int
    """Pieces of which there is a value."""
    judged: VariablesJudged | None
    """By the first values that the plan asks, in the order in which they were entered."""
    why_not: str
    """Why it is not judged; empty where it is."""

    @property
    def plan(self) -> VariablesPlan:
        """The plan."""
        return self.its.plan

    @property
    def which(self) -> Selection:
        """Pieces to measure by number in the order they were moulded, drawn by the lot's code."""
        return select(range(1, self.pieces + 1), min(self.pieces, self.plan.size), self.lot)


@dataclass(frozen=True, slots=True)
class ByVariables:
    """One plan of a product, and its lots."""

    its: VariablesSet
    """As it is set now."""
    since_ms: int
    lots: tuple[LotMeasured, ...]
    """Made since the plan was first set, oldest first; the newest sixty."""


def by_variables(plant: Plant, product: str, at_ms: int | None = None) -> tuple[ByVariables, ...]:
    """Give every variables plan of a product with its lots."""
    now = moment(plant) if at_ms is None else at_ms
    in_force = settings.load(plant.no)
    plans = _plans(in_force, product, now)
    if not plans:
        return ()
    first = min(versions[0][0] for versions in plans.values())
    made = [one for one in made_of(plant.no, product, now) if (one[0].first or 0) >= first]
    found = _Found(plant, in_force, [(v.code, v.first or 0, n) for v, n in made[-_MOST:]], now)
    return tuple(
        ByVariables(
            versions[-1][1], versions[-1][0],
            tuple(one for lot in found.made if (one := found.judged(lot, versions)) is not None),
        )
        for versions in plans.values()
    )  # fmt: skip


def of_lot(plant: Plant, lot: str, product: str) -> tuple[LotMeasured, ...]:
    """Give what each variables plan asks of one lot, and what it came to."""
    now, in_force = moment(plant), settings.load(plant.no)
    plans = _plans(in_force, product, now)
    made = [one for one in made_of(plant.no, product, now) if one[0].code == lot] if plans else []
    found = _Found(plant, in_force, [(v.code, v.first or 0, n) for v, n in made], now)
    every = (found.judged(one, versions) for one in found.made for versions in plans.values())
    return tuple(one for one in every if one is not None)


_Versions = list[tuple[int, VariablesSet]]


def _plans(in_force: Settings, product: str, now: int) -> dict[str, _Versions]:
    """Give the plans of a product by name, each with its versions."""
    found: dict[str, _Versions] = {}
    for name in in_force.names(VARIABLES):
        versions = [
            (since, variables_set(name, body))
            for since, body in in_force.versions(VARIABLES, name)
            if since <= now
        ]
        if versions and versions[-1][1].product == product:
            found[name] = versions
    return found


class _Found:
    """Lots with their evidence and limits, read once."""

    def __init__(
        self, plant: Plant, in_force: Settings, made: list[tuple[str, int, int]], now: int
    ) -> None:
        self.made = made
        self._evidence: Mapping[str, Evidence] = (
            evidence_of(plant.no, [code for code, _, _ in made], in_force, now) if made else {}
        )
        self._rules: Rulebook = rulebook(plant.no, in_force)

    def judged(self, lot: tuple[str, int, int], versions: _Versions) -> LotMeasured | None:
        """Judge one lot by the plan in force when it was made; None where none was."""
        code, at_ms, pieces = lot
        then = [its for since, its in versions if since <= at_ms]
        if not then:
            return None
        its = then[-1]
        lower, upper = _limits(self._rules.limits(its.product, at_ms), its.characteristic)
        values = list(_values(self._evidence[code], its))
        asked = its.plan.size
        judged, why = None, ""
        if lower is None and upper is None:
            why = f"no limit of each piece is set on {its.characteristic}"
        elif pieces < asked:
            why = f"{asked} pieces are asked and {pieces} were made: measure every one of them"
        elif len(values) < asked:
            why = f"{len(values)} of {asked} pieces measured"
        elif its.sigma is None and len(set(values[:asked])) == 1:
            why = "the values do not differ: their spread is not known"
        else:
            ends = (None if one is None else float(one.value_si) for one in (lower, upper))
            judged = accepts(its.plan, values[:asked], *ends)
        return LotMeasured(code, at_ms, pieces, its, lower, upper, len(values), judged, why)


def _values(evidence: Evidence, its: VariablesSet) -> Iterator[float]:
    """Give a value a piece, in the order of entry; pieces that may lack ties are none."""
    seen: set[str] = set()
    some = evidence.values.get(its.characteristic, ())
    for one in sorted(some, key=_entered):
        if its.state not in {"", one.state} or evidence.set_aside.intersection(one.ids):
            continue
        if one.piece and one.piece in seen:
            continue
        seen.add(one.piece)
        yield one.si


def _entered(one: Value) -> tuple[tuple[int, int], ...]:
    return tuple(sorted(one.ids))


def _limits(
    every: Iterable[LimitInForce], characteristic: str
) -> tuple[LimitInForce | None, LimitInForce | None]:
    """Give the strictest lower and upper limit of each piece."""
    some = [
        one
        for one in every
        if one.characteristic == characteristic and one.statistic == "each" and not one.unusable
    ]
    lower = max((one for one in some if one.bound == "min"), key=_si, default=None)
    upper = min((one for one in some if one.bound == "max"), key=_si, default=None)
    return lower, upper


def _si(one: LimitInForce) -> float:
    return float(one.value_si)
