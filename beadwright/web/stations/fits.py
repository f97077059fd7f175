"""What fits a field, in the reader's units: to choose from as it is keyed, or where a scan asks.

Read :class:`Option` and :class:`Asking`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from beadwright.interop import keyed
from beadwright.interop.keyed import Keyed, Match, Offer, Which
from beadwright.plant.door import now_ms
from beadwright.plant.figures import mass
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.release_queue import Loading, loading
from beadwright.plant.words import KIND_WORDS, code_words, number, place_of
from beadwright.units import System

__all__ = ["Asking", "Fits", "Option", "age", "asking"]

_HOUR_MS = 3_600_000
_DAY_H = 24


@dataclass(frozen=True, slots=True)
class Option:
    """One thing that a field may hold."""

    value: str
    says: str
    answer: str = ""
    """What is sent where it is chosen by a tap."""


@dataclass(frozen=True, slots=True)
class Asking:
    """A scan of which a person says what it is."""

    field: str
    text: str
    choices: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class Fits:
    """What fits the fields of a form, and which of its scans are asked about."""

    offers: Mapping[str, tuple[Option, ...]] = field(default_factory=dict)
    asked: tuple[Asking, ...] = ()
    meant: tuple[str, ...] = ()
    """What was scanned, and what it stands for."""
    scans: tuple[str, ...] = ()
    """Fields that a code is scanned into."""
    used: frozenset[str] = frozenset()
    """Fields that some of the newest entries of the kind hold; empty where there are none."""

    @classmethod
    def of(
        cls, plant: Plant, kind: str, system: System, texts: Mapping[str, str] | None = None
    ) -> Fits:
        """Ask what fits the fields of a form that is to be keyed, by what stands in them."""
        now = moment(plant)
        offers = keyed.offered(plant.code, kind, texts)
        used = keyed.used(plant.code, kind)
        found = {name: _options(x, system, now) for name, x in offers.items()}
        if kind == "shipments":
            found["what"] = _to_load(loading(plant.no, now_ms()), found.get("what", ()))
        return cls(found, used=used)

    def asking(self, plant: Plant, form: Keyed, said: Mapping[str, str], system: System) -> Fits:
        """Give with it what was scanned into a form: what it means, or what to ask."""
        now = moment(plant)
        asked = tuple(asking(one, system, now) for one in form.which)
        meant = tuple(f"{said[name].strip()} is {code}." for name, code in form.meant.items())
        scans = tuple(x.name for x in keyed.fields_of(form.kind) if x.sort == "code")
        return replace(self, asked=asked, meant=meant, scans=scans)


def asking(one: Which, system: System, now: int) -> Asking:
    """Give the lots that a scan may mean: what, where, how old."""
    choices = (
        Option(each.code, _said(each, system, now), f"{one.field}={each.code}")
        for each in one.matches
    )
    return Asking(one.field, one.text, tuple(choices))


def age(first: int | None, now: int) -> str:
    """Give how old something is, in hours or days; empty where nobody knows."""
    if first is None:
        return ""
    hours = max(0, now - first) // _HOUR_MS
    return f"{hours} h old" if hours < 2 * _DAY_H else f"{number(hours // _DAY_H, 'day')} old"


def _options(some: Iterable[Offer], system: System, now: int) -> tuple[Option, ...]:
    return tuple(Option(one.value, _offered(one, system, now)) for one in some)


def _to_load(told: Loading, some: Iterable[Option]) -> tuple[Option, ...]:
    """Give what may be loaded first, and say of the rest that it is not released."""
    first = {
        one.code: Option(
            one.code, _joined(one.product, number(one.pieces, "piece"), "may be loaded")
        )
        for one in told.may
    }
    others = (
        replace(one, says=_joined(one.says, "not released")) if one.value in told.waits else one
        for one in some
        if one.value not in first
    )
    return (*first.values(), *others)


def _offered(one: Offer, system: System, now: int) -> str:
    where = "" if one.place in {"", one.value} else f"at {place_of(one.place)}"
    return _joined(one.name, _held(one.mg, one.pieces, system), age(one.first, now), where)


def _said(one: Match, system: System, now: int) -> str:
    what = KIND_WORDS.get(one.what or one.kind, one.what or one.kind)
    name = one.product or " + ".join(one.grades)
    amount = _held(one.mg, one.pieces, system) or "nothing left by the books"
    where = "" if one.place in {"", one.code} else f"at {place_of(one.place)}"
    causes = (code_words(cause.partition(":")[0]) for cause in one.causes)
    held = f"held: {', '.join(causes)}" if one.causes else ""
    named = f"{what} of {name}" if name else what
    return _joined(named, amount, age(one.first, now), where, held)


def _held(mg: int, pieces: int, system: System) -> str:
    if pieces:
        return number(pieces, "piece")
    return mass(mg, system) if mg else ""


def _joined(*parts: str) -> str:
    return ", ".join(part for part in parts if part)
