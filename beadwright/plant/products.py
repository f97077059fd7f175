"""What a plant set up about its products, read from dated settings: nothing is guessed.

Read :func:`product_at` first, then :func:`products_of`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from beadwright.errors import UnitError
from beadwright.ledger import settings as dated
from beadwright.ledger.fold import Dated
from beadwright.units import Kind, parse_number, to_si

__all__ = ["Product", "product_at", "products_of", "quantity"]

_T = TypeVar("_T")
_MASSLESS = 0.0


@dataclass(frozen=True, slots=True)
class Product:
    """A product as it was set up at a time; what was not set, or cannot be read, is None."""

    name: str
    title: str
    family: str
    """``form`` or ``packaging``."""
    ties: int
    foam_volume_m3: float | None
    foam_mass_kg: float | None
    """Target, dry, net of ties."""
    bundle: int
    water: Mapping[str, float] = field(default_factory=dict)
    """Water by state of the block, as share of its dry foam mass."""
    unreadable: tuple[str, ...] = ()
    """What was set and cannot be read, in words."""

    @property
    def is_form(self) -> bool:
        """Whether it is a form block."""
        return self.family == "form"


def product_at(settings: Dated, name: str, at_ms: int) -> Product | None:
    """Give a product as it was set up at a time, or None."""
    body = settings.at("product", name, at_ms)
    if body is None:
        return None
    wrong: list[str] = []

    def read(key: str, parse: Callable[[object], _T], instead: _T) -> _T:
        if key not in body:
            return instead
        try:
            return parse(body[key])
        except (UnitError, ValueError, TypeError, AttributeError):
            wrong.append(f"{key} of {name} cannot be read: {body[key]}")
            return instead

    return Product(
        name=name,
        title=str(body.get("title", name)),
        family=str(body.get("family", "")),
        ties=read("ties", _whole, 0),
        foam_volume_m3=read("foam_volume", _positive("volume"), None),
        foam_mass_kg=read("foam_mass", _positive("mass"), None),
        bundle=read("bundle", _whole, 0),
        water=read("moisture", _shares, {}),
        unreadable=tuple(wrong),
    )


def products_of(plant_no: int, at_ms: int) -> tuple[Product, ...]:
    """Give every product of a plant at a time by name, form blocks first."""
    in_force = dated.load(plant_no)
    names = (name for name, _ in in_force.all("product", at_ms))
    some = (one for name in names if (one := product_at(in_force, name, at_ms)) is not None)
    return tuple(sorted(some, key=lambda one: (not one.is_form, one.name)))


def quantity(text: object, kind: Kind) -> float:
    """Give a text such as ``65.4 L`` in SI.

    Raises
    ------
    UnitError
        If it is no number, or has no unit of that kind.
    """
    number, _, unit = str(text).strip().partition(" ")
    return float(to_si(parse_number(number, decimal="."), unit, kind))


def _positive(kind: Kind) -> Callable[[object], float | None]:
    def parse(text: object) -> float | None:
        value = quantity(text, kind)
        if value <= _MASSLESS:
            message = f"{text} is not above zero"
            raise ValueError(message)
        return value

    return parse


def _whole(value: object) -> int:
    number = int(str(value))
    if number < 0:
        message = f"{number} is below zero"
        raise ValueError(message)
    return number


def _shares(value: object) -> Mapping[str, float]:
    if not isinstance(value, Mapping):
        raise TypeError
    shares = {str(state): float(str(share)) for state, share in value.items()}
    if any(not 0 <= share < 1 for share in shares.values()):
        message = "a share lies from 0 to 1"
        raise ValueError(message)
    return shares
