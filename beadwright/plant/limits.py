"""Limits in force for a product at a time: the plant's own, and those of the standard it names.

Read :class:`Rulebook` first. A limit that cannot be read is kept with the reason why, for a limit
that silently falls away would let a lot ship.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, cast

from beadwright.errors import Misuse, UnitError
from beadwright.ledger.settings import Settings
from beadwright.plant.products import Product, product_at
from beadwright.quality.characteristics import CHARACTERISTICS, DERIVED, Level, is_change, kind_of
from beadwright.standards import Limit
from beadwright.standards import limits as printed_limits
from beadwright.units import Kind, factor, parse_number, to_si

__all__ = ["LOT_TEST", "Bound", "LimitInForce", "Rulebook", "Statistic"]

Bound = Literal["min", "max", "within"]
Statistic = Literal["each", "mean"]

LOT_TEST = "lot_test"
"""Evidence that a limit asks of every lot; other limits rest on periodic or type tests."""

_STATISTICS: Mapping[str, Statistic] = {
    "each_specimen": "each",
    "largest_of_specimens": "each",
    "mean_of_specimens": "mean",
}
_TOPICS = ("product", "limit", "standard")


@dataclass(frozen=True, slots=True)
class LimitInForce:
    """A bound on one characteristic of a product, with its source."""

    name: str
    characteristic: str
    bound: Bound = "min"
    statistic: Statistic = "each"
    value: Decimal = Decimal(0)
    """As written, in ``unit``."""
    unit: str = ""
    kind: Kind = "fraction"
    value_si: Decimal = Decimal(0)
    specimens: int = 1
    """Readings without which there is not enough evidence."""
    evidence: str = LOT_TEST
    source: str = ""
    standard: str = ""
    edition: str = ""
    clause: str = ""
    verified: bool | None = None
    """Whether a person has signed a printed figure; None of the plant's own limits."""
    how_read: str = ""
    printed: Limit | None = None
    unusable: str = ""
    """Why it cannot be judged; empty where it can."""


class Rulebook:
    """Products and limits of a plant by date; asked for many lots, it reads each only once."""

    def __init__(self, settings: Settings) -> None:
        """Take every dated setting of the plant."""
        self._settings = settings
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
        """Limits in force for a product at a time: the plant's own by name, then the standard's."""
        key = (product, bisect_right(self._changes, at_ms))
        if key not in self._limits:
            own = (
                _own(name, body)
                for name, body in self._settings.all("limit", at_ms)
                if body.get("product") == product
            )
            body = self._settings.at("standard", product, at_ms)
            form = self.product(product, at_ms)
            printed = () if body is None else _printed(body, is_form=not form or form.is_form)
            self._limits[key] = (*own, *printed)
        return self._limits[key]


def _own(name: str, body: Mapping[str, object]) -> LimitInForce:
    """Read a limit that the plant has set."""
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
    known = CHARACTERISTICS.get(characteristic)
    return "filling" if known is not None and known.level is Level.CUP else stated


def _unusable(name: str, characteristic: str, why: str, body: Mapping[str, object]) -> LimitInForce:
    return LimitInForce(name, characteristic, source=str(body.get("source", "")), unusable=why)


def _printed(body: Mapping[str, object], *, is_form: bool) -> Iterator[LimitInForce]:
    """Read the limits of a standard that the plant names for a product, characteristic by one."""
    designation, edition, type_ = (str(body.get(k, "")) for k in ("standard", "edition", "type"))
    named = body.get("characteristics", ())
    wanted = [str(one) for one in named] if isinstance(named, Sequence) else []
    about = f"{designation}-{edition} type {type_}"
    try:
        rows = printed_limits(
            designation, edition, type_, product="form block" if is_form else "board"
        )
    except Misuse as error:
        for characteristic in wanted or ["density"]:
            yield LimitInForce(about, characteristic, source=about, unusable=str(error))
        return
    for characteristic in wanted:
        found = [row for row in rows if row.characteristic == characteristic]
        for row in found:
            yield _row(row)
        if not found:
            why = f"{about} asks nothing of {characteristic} that we carry"
            yield LimitInForce(f"{about} {characteristic}", characteristic, unusable=why)


def _row(row: Limit) -> LimitInForce:
    name = f"{row.cite} {row.product_type} {row.characteristic}"
    source = f"{row.cite}, {row.clause}, type {row.product_type}"
    statistic = _STATISTICS.get(row.statistic)
    why = ""
    if kind_of(row.characteristic) != row.kind:
        why = f"{row.characteristic} is not measured here"
    elif statistic is None or (row.bound == "within" and not is_change(row.characteristic)):
        why = f"its statistic ({row.statistic}, {row.bound}) is not judged from a lot's readings"
    return LimitInForce(
        name=name,
        characteristic=row.characteristic,
        bound=row.bound,
        statistic=statistic or "each",
        value=row.normative.value,
        unit=row.normative.unit,
        kind=row.kind,
        value_si=row.normative.si,
        specimens=row.specimens or 1,
        source=source,
        standard=row.standard,
        edition=row.edition,
        clause=row.clause,
        verified=row.is_verified,
        how_read=str(row.normative.read),
        printed=row,
        unusable=why,
    )
