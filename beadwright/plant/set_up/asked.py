"""What a set-up sheet asks of settings and record, read once.

Read :func:`asked`.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import lots, settings
from beadwright.ledger.settings import Settings
from beadwright.ledger.yields import Yield, last_said, yields
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.limits import rulebook
from beadwright.plant.physical import physical
from beadwright.plant.products import Product, product_at
from beadwright.plant.worked import Origin

__all__ = ["Asked", "Choice", "Share", "asked"]

_DAY_MS = 86_400_000
_DAYS = 60
_MOST = 400
_FEWEST = 3
"""Steps below which a plant's own share is none."""

_WIDE = 2.0
"""Standard uncertainties at the ends of a measured share's band."""


@dataclass(frozen=True, slots=True)
class Choice:
    """What the sheet is for; what is left empty is chosen from settings and record."""

    product: str
    grade: str = ""
    expander: str = ""
    mould: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """A share that the plant's own steps show, with its band."""

    value: float
    low: float
    high: float
    count: int
    source: str


@dataclass(frozen=True, slots=True)
class Asked:
    """A product with its bead, machines, and what the plant's own steps show."""

    plant_no: int
    at_ms: int
    in_force: Settings
    product: Product
    choice: Choice
    """With every part chosen that could be."""
    choices: Mapping[str, tuple[str, ...]]
    """By part, what may be chosen instead."""
    limits: tuple[LimitInForce, ...]
    tie_grade: str
    tie_lot: str
    tie_kg: float | None
    tie_band: tuple[float, float] | None
    """Between which the ties of another lot may weigh; None of too few lots."""
    lost: Share | None
    """Share of a charge that expansion drives out."""
    scrap: Share | None
    """Share of what was moulded, by mass, that did not become good blocks."""

    def physical(self, topic: str, name: str, key: str) -> float | None:
        """Give what was set of the physics, in SI."""
        return physical(self.in_force, topic, name, key, self.at_ms)

    @property
    def money(self) -> str:
        """Name the plant's money in a few words."""
        body = self.in_force.at("plant", lots.plant_code(self.plant_no), self.at_ms) or {}
        return str(body.get("currency", "")) or "the plant's money"

    def own(self) -> tuple[Origin, str]:
        """Where what the product's set-up says comes from."""
        return "set", f"set-up of {self.product.name}"

    def said(self, topic: str, name: str, key: str) -> str:
        """Give a word that was set; empty where none was."""
        return str((self.in_force.at(topic, name, self.at_ms) or {}).get(key, ""))


def asked(plant_no: int, choice: Choice, at_ms: int, in_force: Settings | None = None) -> Asked:
    """Read what a sheet needs.

    Raises
    ------
    Misuse
        If there is no such product, or a part that was named is none of its.
    """
    in_force = settings.load(plant_no) if in_force is None else in_force
    product = product_at(in_force, choice.product, at_ms)
    if product is None:
        names = ", ".join(name for name, _ in in_force.all("product", at_ms)) or "none"
        message = f'no product is called "{choice.product}"; there are: {names}'
        raise Misuse(message)
    listed = in_force.at("approved", product.name, at_ms) or {}
    grades = [str(one) for one in _texts(listed.get("grades"))]
    beads = tuple(one for one in grades if _of(in_force, one, at_ms) == "bead")
    ties = tuple(one for one in grades if _of(in_force, one, at_ms) == "tie")
    grade = _chosen("grade", choice.grade, beads)
    expanders = _expanders(in_force, grade, at_ms)
    moulds = tuple(name for name, _ in in_force.all("mould", at_ms))
    used = last_said(plant_no, product.name, "mould", at_ms)
    own = tuple(dict.fromkeys(one for one in (used, *moulds) if one == used or one in moulds))
    mould = choice.mould or used
    if choice.mould:
        _chosen("mould", choice.mould, own)
    expander = _chosen("expander", choice.expander, expanders)
    tie_lots = _tie_lots(plant_no, ties, at_ms) if product.ties else []
    tie_lot = tie_lots[-1] if tie_lots else None
    since = at_ms - _DAYS * _DAY_MS
    return Asked(
        plant_no, at_ms, in_force, product, Choice(product.name, grade, expander, mould),
        {"grade": beads, "expander": expanders, "mould": own},
        rulebook(plant_no, in_force).limits(product.name, at_ms),
        ties[0] if ties else "", "" if tie_lot is None else tie_lot.code,
        None if tie_lot is None else tie_lot.unit_mg / 1e6, _tie_band(tie_lots),
        _lost(yields(plant_no, "expand", since, _MOST), grade, at_ms),
        _scrap(plant_no, product.name, since, at_ms),
    )  # fmt: skip


def _texts(value: object) -> Iterable[object]:
    return value if isinstance(value, list | tuple) else ()


def _of(in_force: Settings, grade: str, at_ms: int) -> object:
    return (in_force.at("grade", grade, at_ms) or {}).get("of")


def _chosen(part: str, named: str, there: tuple[str, ...]) -> str:
    if named and named not in there:
        message = f'no {part} "{named}" fits here; there are: {", ".join(there) or "none"}'
        raise Misuse(message)
    return named or (there[0] if there else "")


def _expanders(in_force: Settings, grade: str, at_ms: int) -> tuple[str, ...]:
    """Give the pre-expanders that feed a silo which takes the grade."""
    places = dict(in_force.all("place", at_ms))
    takes = {name for name, body in places.items() if grade in _texts(body.get("accepts"))}
    return tuple(
        name
        for name, body in places.items()
        if body.get("kind") == "expander"
        and takes & {str(one) for one in _texts(body.get("feeds"))}
    )


def _tie_lots(plant_no: int, grades: tuple[str, ...], at_ms: int) -> list[lots.LotView]:
    """Give the tie lots of some grades of which the mass of a tie is known, newest last."""
    return [
        one
        for one in lots.of_kind(plant_no, "tie")
        if one.unit_mg and set(one.grades) & set(grades) and (one.first or 0) <= at_ms
    ]


def _tie_band(some: Sequence[lots.LotView]) -> tuple[float, float] | None:
    """Between which a tie weighs, as lots of them differ: about the newest, which is in use."""
    units = [one.unit_mg / 1e6 for one in some]
    if len(units) < _FEWEST:
        return None
    off = _WIDE * statistics.stdev(units)
    return units[-1] - off, units[-1] + off


def _lost(steps: Iterable[Yield], grade: str, at_ms: int) -> Share | None:
    """Share of a charge that named losses took, over runs of one grade."""
    shares = [
        one.lost_mg / one.in_mg
        for one in steps
        if one.in_mg and one.lost_mg and one.grades == {grade} and one.at_ms <= at_ms
    ]
    return _share(shares, f"{len(shares)} expansion runs of {grade} in {_DAYS} days")


def _scrap(plant_no: int, product: str, since: int, at_ms: int) -> Share | None:
    """Share of what was moulded that was scrap at the press, foam and ties alike."""
    steps = (one for kind in ("mould", "produce") for one in yields(plant_no, kind, since, _MOST))
    shares = [
        one.out_mg.get("scrap", 0) / one.in_mg
        for one in steps
        if one.product == product and one.in_mg and one.at_ms <= at_ms
    ]
    words = f"{len(shares)} stretches of moulding {product} in {_DAYS} days"
    return _share(shares, words)


def _share(shares: list[float], source: str) -> Share | None:
    if len(shares) < _FEWEST:
        return None
    mean = statistics.fmean(shares)
    u = statistics.stdev(shares) / len(shares) ** 0.5
    low, high = max(0.0, mean - _WIDE * u), mean + _WIDE * u
    return Share(mean, low, high, len(shares), source)
