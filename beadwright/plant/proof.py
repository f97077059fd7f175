"""A product's proof load: the limit on bending that governs it, and what a strip must carry.

Read :func:`proof`. A screening on the shop floor: it releases nothing, and is no reading.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from beadwright.errors import BeadwrightError, Misuse
from beadwright.lab.proof_load import Carried, ProofLoad, Strip, carried, doubts, proof_load
from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.decimal_comma import with_point
from beadwright.plant.limits import rulebook
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.printed_limits import printed
from beadwright.plant.products import product_at, quantity
from beadwright.plant.signing import signatures
from beadwright.plant.upstream import zone_of
from beadwright.statistics.propagation import Input
from beadwright.units import Kind

__all__ = ["FIELDS", "READ_TO", "Proof", "proof"]

FIELDS = ("span", "width", "depth", "read_to", "limit", "carried")
"""What is asked of a strip, each with its unit; ``read_to`` and what follows may be left out."""

READ_TO = "0.5 mm"
"""How closely a rule is read, either way, where nobody says. Common practice, no source."""

_BENDING = ("flexural_strength", "bending_strength")


@dataclass(frozen=True, slots=True)
class Proof:
    """What a strip must carry, and what it did."""

    limit_pa: float
    limit_source: str
    """The limit that governs, as it is stated; of one that was given, so."""
    read_to_m: float
    load: ProofLoad
    carried: Carried | None
    """None where nothing hung on it yet."""
    doubts: tuple[str, ...] = ()
    """Why beam theory may not say what such a strip carries."""

    @property
    def held(self) -> bool:
        """Whether what hung on it reached the limit."""
        share = None if self.carried is None else self.carried.share
        return share is not None and share >= 1


def proof(plant: Plant | None, product: str, said: Mapping[str, str]) -> Proof:
    """Work out a strip's proof load from texts such as ``10 in``.

    Raises
    ------
    Misuse
        If there is no such product or it has no limit on bending, or a figure cannot be meant.
    """
    sizes = {name: _figure(said, name, "length") for name in ("span", "width", "depth")}
    read_to = _figure({"read_to": said.get("read_to") or READ_TO}, "read_to", "length")
    u = read_to / math.sqrt(3)  # anything within it is as likely
    limit, source = _limit(plant, product, said.get("limit", ""))
    try:
        strip = Strip(*(Input(sizes[name], u) for name in ("span", "width", "depth")))
        load = proof_load(strip, Input(limit, 0))
        hung = said.get("carried", "")
        found = None
        if hung:
            found = carried(strip, Input(_figure(said, "carried", "mass"), 0), limit)
    except BeadwrightError as error:
        raise Misuse(str(error)) from None
    return Proof(limit, source, read_to, load, found, doubts(strip))


def _figure(said: Mapping[str, str], name: str, kind: Kind) -> float:
    text = said.get(name, "").strip()
    try:
        value = quantity(_pointed(text), kind)
    except Misuse as twice:
        message = f"{name.replace('_', ' ')}: {twice}"
        raise Misuse(message) from None
    except (BeadwrightError, ValueError):
        value = 0.0
    if not (value > 0 and math.isfinite(value)):
        message = f"{name.replace('_', ' ')}: {text or 'nothing'} is no {kind}; write it as 10 in"
        message = message if kind == "length" else f"{name}: {text!r} is no {kind}, as 7 lb"
        raise Misuse(message)
    return value


def _pointed(text: str) -> str:
    """Give a figure with its unit, its decimal comma taken where it can be nothing else."""
    number, apart, unit = text.partition(" ")
    return f"{with_point(number)}{apart}{unit}"


def _limit(plant: Plant | None, product: str, given: str) -> tuple[float, str]:
    """Give the least flexural strength that governs, or the one that was given."""
    if given:
        try:
            return quantity(_pointed(given), "pressure"), f"as given: {given}"
        except Misuse as twice:
            message = f"limit: {twice}"
            raise Misuse(message) from None
        except (BeadwrightError, ValueError):
            message = f"limit: {given!r} is no pressure; write it as 35 psi"
            raise Misuse(message) from None
    if plant is None or not product:
        message = "name a product, or give the limit, as 35 psi"
        raise Misuse(message)
    at_ms, in_force = moment(plant), settings.load(plant.no)
    if product_at(in_force, product, at_ms) is None:
        names = ", ".join(name for name, _ in in_force.all("product", at_ms)) or "none"
        message = f"no product is called {product}; there are: {names}"
        raise Misuse(message)
    own = _usable(rulebook(plant.no, in_force).limits(product, at_ms))
    some = own or _usable(_of_standard(plant, in_force, product, at_ms))
    if not some:
        message = (
            f"neither a limit of {product} nor the standard it is set up by says how strong it is"
            " in bending: give the limit, as 35 psi"
        )
        raise Misuse(message)
    strictest = max(some, key=lambda one: one.value_si)
    source = strictest.stated
    if not own:
        source = f"{source}, the standard that {product} is set up by; no lot is judged by it"
    if strictest.verified is False:
        source = f"{source}; {strictest.how_read}, not verified in the paid text"
    return float(strictest.value_si), source


def _usable(some: Iterable[LimitInForce]) -> list[LimitInForce]:
    return [
        one for one in some
        if one.characteristic in _BENDING and one.bound == "min" and not one.unusable
    ]  # fmt: skip


def _of_standard(
    plant: Plant, in_force: Settings, product: str, at_ms: int
) -> Iterator[LimitInForce]:
    """Give what the standards of a product ask of bending, though no lot of it is judged by it."""
    form = product_at(in_force, product, at_ms)
    signed = signatures(plant.no, zone_of(in_force))
    for name, body in in_force.all("standard", at_ms):
        if body.get("product", name) == product:
            wanted = {**body, "characteristics": _BENDING}
            yield from printed(wanted, signed, is_form=form is None or form.is_form)
