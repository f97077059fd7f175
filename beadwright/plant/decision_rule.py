"""The decision rule that a plant has chosen: how a result is held against its limit.

Read :class:`DecisionRule`, then :func:`rule_of`. *Simple acceptance* compares the result itself.
*Guarded acceptance* asks that it lies inside the limit by a guard band of k standard uncertainties;
it only ever adds strictness.

References: ISO/IEC 17025:2017, 3.7 and 7.8.6 (a statement of conformity says by which rule); JCGM
106:2012, 8.2 (simple acceptance) and 8.3.2 (guarded acceptance, w = k u) [both from memory].
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from beadwright.ledger.fold import Dated
from beadwright.quality.characteristics import CHARACTERISTICS, Scale

__all__ = [
    "ACCEPTANCES",
    "ALL",
    "DEFAULT",
    "TOPIC",
    "Acceptance",
    "DecisionRule",
    "is_counted",
    "read_rule",
    "rule_of",
    "said_of",
]

Acceptance = Literal["simple", "guarded"]

ACCEPTANCES: tuple[Acceptance, ...] = ("simple", "guarded")

TOPIC, ALL = "decision", "rule"
"""Topic of the setting, and its name where it is for every characteristic."""

_SHARE = "share_"


@dataclass(frozen=True, slots=True)
class DecisionRule:
    """How a result is held against its limit."""

    acceptance: Acceptance = "simple"
    k: Decimal = Decimal(0)
    """Width of the guard band in standard uncertainties; 0 of simple acceptance."""
    stated: bool = False
    """Whether the plant has set it; simple acceptance is what counts where it has not."""

    @property
    def guarded(self) -> bool:
        """Whether a result must lie inside its limit by a guard band."""
        return self.acceptance == "guarded"

    @property
    def words(self) -> str:
        """Name it as the standards do, with its guard band."""
        if self.guarded:
            return f"guarded acceptance, guard band {self.k} u"
        return (
            "simple acceptance" if self.stated else "simple acceptance (the default: none is set)"
        )


DEFAULT = DecisionRule()


def read_rule(body: Mapping[str, object]) -> DecisionRule:
    """Read the body of the setting, which the door has looked at."""
    if body.get("acceptance") != "guarded":
        return DecisionRule(stated=True)
    return DecisionRule("guarded", Decimal(str(body["k"])), stated=True)


def rule_of(settings: Dated, characteristic: str, at_ms: int) -> DecisionRule:
    """Give the rule for a characteristic at a time: its own, else that for all, else the default.

    A share of defective pieces goes by the rule for their number.
    """
    for name in (characteristic, characteristic.removeprefix(_SHARE), ALL):
        body = settings.at(TOPIC, name, at_ms)
        if body is not None:
            return read_rule(body)
    return DEFAULT


def is_counted(characteristic: str) -> bool:
    """Whether it is counted: a number of pieces has no uncertainty of measurement, and no band."""
    known = CHARACTERISTICS.get(characteristic.removeprefix(_SHARE))
    return characteristic == "share_defective" or (known is not None and known.scale is Scale.COUNT)


def said_of(rules: Iterable[tuple[str, DecisionRule]]) -> str:
    """Name the decision rule of some characteristics; where they differ, each with its own.

    What is counted goes by no guard band, and is told so beside a rule that has one.
    """
    names: dict[DecisionRule, dict[str, None]] = {}
    counted: dict[str, None] = {}
    for characteristic, rule in rules:
        if rule.guarded and is_counted(characteristic):
            counted[characteristic] = None
        else:
            names.setdefault(rule, {})[characteristic] = None
    if len(names) == 1:
        told = [next(iter(names)).words]
    else:
        told = [f"{_listed(some)}: {rule.words}" for rule, some in names.items()]
    if counted:
        told.append(f"{_listed(counted)}: counted, without a guard band")
    return "; ".join(told)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names).replace("_", " ")
