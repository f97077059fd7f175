"""Limits in force for a product at a time: the plant's own, and those of the standards it names.

Read :class:`Rulebook` first. A limit that cannot be read is kept with the reason why, for a limit
that silently falls away would let a lot ship.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import cast

from beadwright.errors import UnitError
from beadwright.ledger import lots
from beadwright.ledger.settings import Settings
from beadwright.plant.block_age import least_h
from beadwright.plant.bounds import EVIDENCE, LOT_TEST, Bound, LimitInForce, Statistic, covered
from beadwright.plant.decision_rule import TOPIC, rule_of
from beadwright.plant.printed_limits import printed
from beadwright.plant.products import Product, product_at
from beadwright.plant.set_how import set_how
from beadwright.plant.signing import Signature, signatures
from beadwright.plant.upstream import zone_of
from beadwright.quality.characteristics import CHARACTERISTICS, DERIVED, Level, is_change, kind_of
from beadwright.units import Kind, factor, parse_number, to_si

__all__ = [
    "LOT_TEST",
    "Bound",
    "LimitInForce",
    "Rulebook",
    "Statistic",
    "own_limit",
    "rulebook",
]

_TOPICS = ("product", "limit", "standard", TOPIC)


class Rulebook:
    """Products and limits of a plant by date; asked for many lots, it reads each only once."""

    def __init__(
        self,
        settings: Settings,
        signed: Mapping[str, Signature] | None = None,
        how: Callable[[Iterable[int]], Mapping[int, str]] = lambda _: {},
    ) -> None:
        """Take every dated setting of the plant, and the signatures on printed limits by row.

        ``how`` says of entries who is named for them and how they came into the record.
        """
        self._settings = settings
        self._signed = signed or {}
        self._how = how
        self._set: Mapping[int, str] | None = None
        self._changes = sorted(
            {
                since
                for topic in _TOPICS
                for name in settings.names(topic)
                for since, _ in settings.versions(topic, name)
            }
        )
        self._products: dict[tuple[str, int], Product | None] = {}
        self._limits: dict[tuple[str, int], tuple[LimitInForce, ...]] = {}

    def product(self, name: str, at_ms: int) -> Product | None:
        """Give a product as it was set up at a time, or None."""
        key = (name, bisect_right(self._changes, at_ms))
        if key not in self._products:
            self._products[key] = product_at(self._settings, name, at_ms)
        return self._products[key]

    def limits(self, product: str, at_ms: int) -> tuple[LimitInForce, ...]:
        """Limits in force for a product at a time: the plant's own by name, then printed ones."""
        key = (product, bisect_right(self._changes, at_ms))
        if key not in self._limits:
            own = (
                self._known(own_limit(name, body), self._entry("limit", name, at_ms))
                for name, body in self._settings.all("limit", at_ms)
                if body.get("product") == product
            )
            found = covered((*own, *self._printed(product, at_ms)))
            self._limits[key] = tuple(self._ruled(one, at_ms) for one in found)
        return self._limits[key]

    def _known(self, one: LimitInForce, seq: int) -> LimitInForce:
        """Give a limit with the entry that set it, and what the record knows of who did."""
        if self._set is None:
            topics = ((n, self._settings.stated("limit", n)) for n in self._settings.names("limit"))
            self._set = self._how({seq for _, some in topics for _, seq, _ in some})
        return replace(one, set_by=seq, set_how=self._set.get(seq, ""))

    def _ruled(self, one: LimitInForce, at_ms: int) -> LimitInForce:
        """Give a limit with the decision rule in force for its characteristic."""
        rule = rule_of(self._settings, one.characteristic, at_ms)
        return replace(one, rule=rule) if rule.stated else one

    def day_old_h(self, at_ms: int) -> float:
        """Give the hours from which a block is a day old."""
        return least_h(self._settings, at_ms)

    def _printed(self, product: str, at_ms: int) -> Iterator[LimitInForce]:
        form = self.product(product, at_ms)
        for name, body in self._settings.all("standard", at_ms):
            if body.get("product", name) == product:
                by = self._entry("standard", name, at_ms)
                for one in printed(body, self._signed, is_form=not form or form.is_form):
                    yield replace(one, set_by=by)

    def _entry(self, topic: str, name: str, at_ms: int) -> int:
        """Give the entry that stated what is in force of a setting at a time."""
        stated = [seq for since, seq, _ in self._settings.stated(topic, name) if since <= at_ms]
        return stated[-1] if stated else 0


def rulebook(plant_no: int, settings: Settings) -> Rulebook:
    """Give the rulebook of a plant, with the signatures that stand."""
    known = partial(set_how, lots.plant_code(plant_no))
    return Rulebook(settings, signatures(plant_no, zone_of(settings)), known)


def own_limit(name: str, body: Mapping[str, object]) -> LimitInForce:
    """Read a limit that the plant has set; one that cannot be judged says why."""
    characteristic = str(body.get("characteristic", ""))
    try:
        number, _, unit = str(body.get("value", "")).strip().partition(" ")
        characteristic, kind = _judged(characteristic, unit)
        value = parse_number(number, decimal=".")
        bound, statistic = str(body.get("bound", "")), str(body.get("statistic", ""))
        if bound not in {"min", "max"} or statistic not in {"each", "mean"}:
            return _unusable(name, characteristic, f"{bound} of {statistic} is no bound", body)
        if is_change(characteristic):
            if bound == "min":
                why = "a change is limited by the most it may be, not by the least"
                return _unusable(name, characteristic, why, body)
            bound = "within"
        return LimitInForce(
            name=name,
            characteristic=characteristic,
            bound=cast("Bound", bound),
            statistic=cast("Statistic", statistic),
            value=value,
            unit=unit,
            kind=kind,
            value_si=to_si(value, unit, kind),
            specimens=max(1, int(str(body.get("specimens") or 1))),
            evidence=_evidence(characteristic, str(body.get("evidence") or LOT_TEST)),
            source=str(body.get("source", "")),
            methods=tuple(filter(None, (str(body.get("method", "")).strip(),))),
        )
    except (UnitError, ValueError) as error:
        return _unusable(name, characteristic, str(error), body)


def _judged(characteristic: str, unit: str) -> tuple[str, Kind]:
    """Give the characteristic a limit judges, and its unit kind.

    A limit on defective pieces is on their number or, where its unit is one, on their share.
    """
    if characteristic.startswith("defective_") and _is_share(unit):
        characteristic = f"share_{characteristic}"
    kind = kind_of(characteristic)
    if kind is None:
        known = ", ".join((*(n for n, c in CHARACTERISTICS.items() if c.kind), *DERIVED))
        message = f"no limit can be put on {characteristic!r}; there are: {known}"
        raise ValueError(message)
    return characteristic, kind


def _is_share(unit: str) -> bool:
    try:
        factor(unit, "fraction")
    except UnitError:
        return False
    return True


def _evidence(characteristic: str, stated: str) -> str:
    """Cups are weighed of a silo's filling, so no lot of blocks ever has one."""
    if stated not in EVIDENCE:
        # A word that nobody knows must not read as "by other tests": the limit would fall away.
        message = f"evidence {stated!r} is none of {', '.join(EVIDENCE)}"
        raise ValueError(message)
    known = CHARACTERISTICS.get(characteristic)
    return "filling" if known is not None and known.level is Level.CUP else stated


def _unusable(name: str, characteristic: str, why: str, body: Mapping[str, object]) -> LimitInForce:
    return LimitInForce(name, characteristic, source=str(body.get("source", "")), unusable=why)
