"""A variables plan as a person sets it: which product, what is measured, and two points.

Read :class:`VariablesSet` and :func:`variables_set`. The setting is ``[variables.NAME]``, dated.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from beadwright.errors import BeadwrightError, OutOfRange
from beadwright.ledger.settings import Settings
from beadwright.plant.products import quantity
from beadwright.quality.characteristics import (
    CHARACTERISTICS,
    DIMENSIONS,
    STATES,
    Scale,
    kind_of,
)
from beadwright.statistics.sampling import TwoPoints, VariablesPlan, design_variables
from beadwright.units import Kind

__all__ = [
    "BLOCK_STATES",
    "OF_BLOCKS",
    "VARIABLES",
    "Plans",
    "VariablesSet",
    "Versions",
    "variables_faults",
    "variables_in_force",
    "variables_set",
]

VARIABLES = "variables"
"""The topic of these settings."""

BLOCK_STATES = tuple(name for name in STATES if name)
"""States that a measured block may be asked to be in."""

OF_BLOCKS = frozenset({"density", "foam_mass", "block_mass", *DIMENSIONS})
"""What is judged of blocks a day old or dry: of wet ones it screens, and decides nothing."""

_WET = "press"


@dataclass(frozen=True, slots=True)
class VariablesSet:
    """By what a product's lots are inspected where one characteristic is measured."""

    name: str
    product: str
    characteristic: str
    state: str
    """``press``, ``24h`` or ``dry`` of a block; empty: blocks a day old or dry, cut specimens."""
    points: TwoPoints
    """Shares of pieces beyond the limits that should pass, and that should not."""
    sigma: float | None
    """The standard deviation in SI, where it is known from long records; None: the sample's."""
    for_release: bool = False
    """Whether a lot waits with its release for being accepted by it."""

    @property
    def plan(self) -> VariablesPlan:
        """How many pieces are measured, and by how many deviations the mean must lie inside."""
        return _designed(self.points, self.sigma)


@lru_cache(maxsize=64)
def _designed(points: TwoPoints, sigma: float | None) -> VariablesPlan:
    return design_variables(points, sigma)


def variables_set(name: str, body: Mapping[str, object]) -> VariablesSet:
    """Read a setting.

    Raises
    ------
    OutOfRange, BeadwrightError
        If no plan can be made of it.
    """
    characteristic = str(body.get("characteristic", ""))
    kind = _kind(characteristic)
    if kind is None:
        msg = "characteristic"
        raise OutOfRange(msg, characteristic, valid="measured in a unit")
    good, bad = (quantity(body.get(one, ""), "fraction") for one in ("good", "bad"))
    said = body.get("sigma")
    made = VariablesSet(
        name, str(body.get("product", "")), characteristic, str(body.get("state") or ""),
        TwoPoints(good, bad), quantity(said, kind) if said else None,
        body.get("for_release") is True,
    )  # fmt: skip
    _ = made.plan  # two points too close to each other have none
    return made


Versions = list[tuple[int, VariablesSet]]
"""A plan as it was set, each with since when."""

Plans = dict[str, Versions]
"""Plans by name."""


def variables_in_force(in_force: Settings) -> Plans:
    """Give every plan of a plant by name, each with its versions."""
    return {
        name: [
            (since, variables_set(name, body)) for since, body in in_force.versions(VARIABLES, name)
        ]
        for name in in_force.names(VARIABLES)
    }


def _kind(characteristic: str) -> Kind | None:
    """Give the kind of unit of what is measured; None of what is counted, graded or no name."""
    known = CHARACTERISTICS.get(characteristic)
    if known is None or known.scale not in {Scale.RATIO, Scale.INTERVAL}:
        return None
    return kind_of(characteristic)


def variables_faults(body: Mapping[str, object]) -> list[tuple[str, object]]:
    """Give each part of a setting that no plan can be made of."""
    try:
        variables_set("", body)
    except (BeadwrightError, ValueError):
        return [(name, body.get(name, "")) for name in (_blamed(body),)]
    wet = body.get("state") == _WET and body.get("characteristic") in OF_BLOCKS
    return [("for_release", True)] if wet and body.get("for_release") is True else []


def _blamed(body: Mapping[str, object]) -> str:
    """Give the key that is to blame for a setting of which no plan can be made."""
    if _kind(str(body.get("characteristic", ""))) is None:
        return "characteristic"
    return "sigma" if body.get("sigma") and not variables_faults({**body, "sigma": ""}) else "bad"
