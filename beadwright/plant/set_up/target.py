"""The lightest density that is safe to aim at for a product, and what more than that costs.

Read :func:`target`. An estimate from the plant's own lots and tests: it proposes, and stands for
no test. Never below the density that the product is listed at.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from scipy.stats import chi2, t

from beadwright.errors import OutOfRange
from beadwright.ledger.yields import yields
from beadwright.plant.lots_read import evidence_of, newest_with
from beadwright.plant.physical import physical
from beadwright.plant.set_up.asked import Asked
from beadwright.plant.set_up.block import least_limits
from beadwright.plant.set_up.own_tests import OwnTests, own_tests
from beadwright.quality.characteristics import STATES
from beadwright.science.foam import COMPRESSIVE, FLEXURAL, FoamTests, Relation, fit_relation
from beadwright.science.foam.lightest import (
    Demand,
    Lightest,
    Spread,
    chance_of_failing,
    lightest,
)
from beadwright.science.trust import Banded
from beadwright.statistics.one_way import one_way

__all__ = ["ALLOWED", "LotSpread", "Pace", "Target", "own_tests_inside", "target"]

ALLOWED = 0.01
"""Chance of a lot that fails where the plant set none. Ours: no source."""

_SPECIMENS = 5
"""Specimens of a strength where the limit does not say: ASTM D1621-16 [read in: a second source
that cites it]."""

_STATES = ("specimen", "dry", "24h")
_WEIGHED = ("density", *(STATES[state] for state in _STATES[1:]))
_MOST = 60
_FEWEST = 3
_DAYS, _LEAST_DAYS, _YEAR = 90, 7, 365
_WIDE = 2.0
"""Standard uncertainties at the ends of a year's band."""

_DAY_MS = 86_400_000
_ALL = 100_000
_RELATIONS = {"compressive_resistance": COMPRESSIVE, "flexural_strength": FLEXURAL}
_TITLES = {
    "compressive_resistance": "compressive strength",
    "flexural_strength": "flexural strength",
    "density": "density",
}


@dataclass(frozen=True, slots=True)
class LotSpread:
    """How the densities of a product's lots scatter, reading taken off."""

    spread: Spread
    mean_kg_m3: float
    lots: int
    pieces: int
    state: str
    u_reading: float

    def band_of_mean(self) -> tuple[float, float]:
        """Give the interval of the mean of lots: 95 %, by Student's t of lots of one size."""
        s, within = self.spread, math.hypot(self.spread.within, self.u_reading)
        u = math.sqrt(s.between**2 / self.lots + within**2 / self.pieces)
        off = float(t.ppf(0.975, self.lots - 1)) * u
        return self.mean_kg_m3 - off, self.mean_kg_m3 + off

    def band_of(self, part: Literal["between", "within"]) -> tuple[float, tuple[float, float]]:
        """Give a standard deviation with its interval: 95 %, by chi square."""
        value = getattr(self.spread, part)
        df = getattr(self.spread, f"{part}_df")
        ends = tuple(value * math.sqrt(df / chi2.ppf(one, df)) for one in (0.975, 0.025))
        return value, (ends[0], ends[1])


@dataclass(frozen=True, slots=True)
class Pace:
    """Foam of a product's blocks in a year, at the rate of the last days."""

    kg_year: float
    low: float
    high: float
    days: int


@dataclass(frozen=True, slots=True)
class Target:
    """The lightest density that is safe to aim at."""

    aim_kg_m3: float | None
    """What is aimed at now."""
    listed_kg_m3: float | None
    """What the product is listed at; None where nobody said."""
    allowed: float
    allowed_set: bool
    found: Lightest | None
    spread: LotSpread | None
    demands: tuple[Demand, ...]
    chance_now: Banded | None
    pace: Pace | None
    """Foam of the product's blocks in a year; None before a week of moulding."""
    price_per_kg: float | None
    lacks: tuple[str, ...] = ()
    refused: str = ""

    @property
    def safe_kg_m3(self) -> float | None:
        """The lightest, and never below what the product is listed at."""
        if self.found is None:
            return None
        return max(self.found.density_kg_m3, self.listed_kg_m3 or 0.0)

    @property
    def above(self) -> float | None:
        """Share by which the aim lies above the lightest that is safe; below nothing: under it."""
        if self.aim_kg_m3 is None or self.safe_kg_m3 is None:
            return None
        return self.aim_kg_m3 / self.safe_kg_m3 - 1


def target(of: Asked, aim_kg_m3: float | None) -> Target:
    """Work out the lightest density that is safe to aim at."""
    name = of.product.name
    seen = _spread(of)
    demands = tuple(_demands(of, seen))
    allowed = of.physical("product", name, "failing_lots")
    listed = of.physical("product", name, "listed_density")
    lacks = [
        what
        for what, there in (
            (f"densities of {_FEWEST} lots or more of {name}, two pieces each", seen),
            ("a least limit on density or strength", demands),
        )
        if not there
    ]
    chance = ALLOWED if allowed is None else allowed
    found, refused, now = None, "", None
    if seen is not None and demands:
        try:
            found = lightest(seen.spread, demands, chance)
            if aim_kg_m3 is not None:
                now = chance_of_failing(aim_kg_m3, seen.spread, demands)
        except OutOfRange as error:
            refused = str(error)
    return Target(
        aim_kg_m3, listed, chance, allowed is not None, found, seen, demands, now,
        _pace(of), _price(of), tuple(lacks), refused,
    )  # fmt: skip


def own_tests_inside(relation: Relation, tests: OwnTests) -> FoamTests | None:
    """Give the plant's tests of a property where its relation holds; None where there is none."""
    inside = [
        (density, value)
        for density, value in zip(tests.density_kg_m3, tests.value, strict=True)
        if relation.low_kg_m3 <= density <= relation.high_kg_m3
    ]
    return FoamTests([one for one, _ in inside], [one for _, one in inside]) if inside else None


def _spread(of: Asked) -> LotSpread | None:
    codes = dict.fromkeys(
        code
        for name in _WEIGHED
        for code in newest_with(of.plant_no, of.product.name, name, of.at_ms, _MOST)
    )
    read = evidence_of(of.plant_no, tuple(codes), of.in_force, of.at_ms)
    for state in _STATES:
        some = [
            values
            for here in read.values()
            if len(values := [one for one in here.values.get("density", ()) if one.state == state])
            > 1
        ]
        if len(some) < _FEWEST:
            continue
        parts = one_way([[one.si for one in lot] for lot in some])
        known = [one.u_si for lot in some for one in lot if one.u_si is not None]
        u = math.sqrt(sum(one**2 for one in known) / len(known)) if known else 0.0
        within = math.sqrt(max(parts.within**2 - u**2, 0.0))
        spread = Spread(parts.between, parts.between_df, within, parts.within_df)
        pieces = sum(len(lot) for lot in some)
        return LotSpread(spread, parts.mean, len(some), pieces, state, u)
    return None


def _demands(of: Asked, seen: LotSpread | None) -> Iterator[Demand]:
    family = of.said("product", of.product.name, "family")
    products = [
        name for name, body in of.in_force.all("product", of.at_ms) if body.get("family") == family
    ]
    for name, title in _TITLES.items():
        relation = _RELATIONS.get(name)
        fitted = None
        for limit in least_limits(of.limits, name, ("min",)):
            if relation is not None and fitted is None:
                tests = own_tests(of.plant_no, of.in_force, products, name, of.at_ms)
                fitted = fit_relation(relation, own_tests_inside(relation, tests))
            count = max(limit.specimens, _SPECIMENS if relation else 1)
            u = seen.u_reading if seen is not None and relation is None else 0.0
            words = f"{title}, {'mean of a lot' if limit.statistic == 'mean' else 'each piece'}"
            yield Demand(words, float(limit.value_si), limit.statistic, count, fitted, u)


def _pace(of: Asked) -> Pace | None:
    """Draw the last days out to a year, with the band of how they differ."""
    since = of.at_ms - _DAYS * _DAY_MS
    made = [
        (of.at_ms - one.at_ms, one.in_from.get("prefoam", 0) / 1e6)
        for one in yields(of.plant_no, "mould", since, _ALL)
        if one.product == of.product.name and one.at_ms <= of.at_ms
    ]
    days = max((ago for ago, _ in made), default=0) / _DAY_MS
    if days < _LEAST_DAYS:
        return None
    of_day = [0.0] * math.ceil(days)
    for ago, kg in made:
        of_day[min(ago // _DAY_MS, len(of_day) - 1)] += kg
    year = sum(of_day) / days * _YEAR
    off = _WIDE * statistics.stdev(of_day) / math.sqrt(len(of_day)) * _YEAR
    return Pace(year, max(year - off, 0.0), year + off, round(days))


def _price(of: Asked) -> float | None:
    return physical(of.in_force, "grade", of.choice.grade, "price_per_kg", of.at_ms)
