"""What each setting may hold: a written list, so that a misspelt key is never lost in silence."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import BeadwrightError, UnitError
from beadwright.ledger.draft import SettingDraft
from beadwright.plant.bodies import CHANGES
from beadwright.plant.calibrated import MOST_DAYS, is_interval
from beadwright.plant.first_pieces import SIGNERS
from beadwright.plant.frequency import every_of
from beadwright.plant.mass_off import is_share_off
from beadwright.plant.moulds import OFFSETS
from beadwright.plant.physical import ANY_SIGN, NUMBERS, PHYSICAL
from beadwright.plant.products import quantity
from beadwright.plant.setting_words import LIMITED, PLANNED, WORDS
from beadwright.plant.shifts import SHIFT, is_clock
from beadwright.plant.uncertainty import is_uncertainty
from beadwright.quality.characteristics import CUP_PLACES, STATES
from beadwright.units import Kind, parse_number, to_si

__all__ = ["ROLES", "TOPICS", "Check", "Rule", "references"]


@dataclass(frozen=True, slots=True)
class Check:
    """What a value must be, in words, and whether it is."""

    takes: str
    holds: Callable[[object], bool]

    def __call__(self, value: object) -> str:
        """Say what is wrong with a value; nothing where nothing is."""
        if self.holds(value):
            return ""
        pointed = value.replace(",", ".") if isinstance(value, str) else value
        if pointed == value or not self.holds(pointed):
            return f"must be {self.takes}"
        return (
            f'must be {self.takes}: "{value}" has a comma; the decimal sign here is a point, as'
            f' "{pointed}", and thousands stand without a sign'
        )


ROLES = ("operator", "shift_lead", "technician", "engineer", "auditor", "machine")


def references(draft: SettingDraft) -> Iterable[tuple[str, str, str]]:
    """Names of other settings in a body: key, topic, name."""
    body = draft.body
    match draft.topic:
        case "approved":
            yield "", "product", draft.name
            yield from _each(body, "grades", "grade")
        case "standard" if "product" not in body:
            yield "", "product", draft.name
        case "standard":
            yield ".product", "product", str(body["product"])
        case "limit" | "variables":
            yield ".product", "product", str(body["product"])
        case "plan" if body["product"] != "*":
            yield ".product", "product", str(body["product"])
        case "ageing":
            yield "", "grade", draft.name
        case "cup" | "inspection":
            yield "", "product", draft.name
        case "place":
            yield from _each(body, "accepts", "grade")
            yield from _each(body, "feeds", "place")
        case "room":
            yield from _each(body, "places", "place")


def _each(body: Mapping[str, object], key: str, topic: str) -> Iterable[tuple[str, str, str]]:
    names = body.get(key, ())
    if isinstance(names, list):
        for name in names:
            yield f".{key}", topic, str(name)


def _is_text(value: object) -> bool:
    return isinstance(value, str) and bool(value)


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _are_texts(value: object) -> bool:
    return isinstance(value, list) and all(map(_is_text, value))


def _is_often(value: object) -> bool:
    try:
        every_of(str(value))
    except ValueError:
        return False
    return True


def _is_number(value: object) -> bool:
    try:
        return isinstance(value, str) and parse_number(value, decimal=".") >= Decimal(0)
    except UnitError:
        return False


def _is_measure(value: object, kinds: Iterable[Kind]) -> bool:
    if not isinstance(value, str):
        return False
    number, _, unit = value.partition(" ")
    return _is_number(number) and any(_is_unit(unit, kind) for kind in kinds)


def _is_unit(unit: str, kind: Kind) -> bool:
    try:
        to_si(Decimal(1), unit, kind)
    except UnitError:
        return False
    return True


def _are_shares(value: object) -> bool:
    fit = isinstance(value, dict) and all(map(_is_number, value.values()))
    return fit and isinstance(value, dict) and set(value) <= set(STATES)


_TEXT = Check("text", _is_text)
_TEXTS = Check('a list of names, as ["F1"]', _are_texts)
_WHOLE = Check("a whole number", _is_whole)
_TRUTH = Check("true or false", lambda value: isinstance(value, bool))
_NUMBER = Check('a number in quotation marks, as "0.03"', _is_number)
_PERSONS = Check("1 or 2", lambda value: _is_whole(value) and value in {1, 2})
_CHANGES = Check(
    f"a list of {', '.join(sorted(CHANGES))}",
    lambda value: _are_texts(value) and isinstance(value, list) and set(value) <= CHANGES,
)
_SIGNERS = Check(
    f"a list of {', '.join(SIGNERS)}",
    lambda value: _are_texts(value) and isinstance(value, list) and set(value) <= set(SIGNERS),
)
_CAVITIES = Check("a whole number from 1 on", lambda value: _is_whole(value) and value != 0)
_OFTEN = Check('run, shift, day, week, year, or a number, as "20 pieces" or "365 days"', _is_often)
_IN_DAYS = Check(
    f'day, week, year, or a number of days to {MOST_DAYS}, as "365 days"',
    lambda value: isinstance(value, str) and is_interval(value),
)
_UNCERTAINTY = Check(
    'a standard uncertainty above nothing with its unit, as "0.005 kg", or in %, as "0.5 %"',
    is_uncertainty,
)
_CLOCK = Check('a time of day, as "06:00"; "" once the shift is worked no more', is_clock)
_SHARE_OFF = Check('a standard uncertainty to 10 %, of what is weighed, as "0.4 %"', is_share_off)
_MOISTURE = Check(f'shares by state ({", ".join(STATES)}), as {{press = "0.04"}}', _are_shares)


def _one_of(*choices: str) -> Check:
    return Check(f"one of {', '.join(choices)}", lambda value: value in choices)


def _measure(*kinds: Kind) -> Check:
    """Number and unit in one text."""
    words = " or ".join(kind.replace("_", " ") for kind in kinds)
    takes = f'a number and a unit of {words} in quotation marks, as "{_EXAMPLES[kinds[0]]}"'
    return Check(takes, lambda value: _is_measure(value, kinds))


_EXAMPLES: Mapping[str, str] = {
    "density": "21.6 kg/m3", "length": "6 in", "mass": "1.5 kg", "volume": "65.0 L",
    "area": "2.5 cm2", "fraction": "6.0 %", "pressure": "0.7 bar", "temperature": "60 °C",
    "thermal_resistance": "0.08 m2·K/W",
    "volume_flow": "6000 m3/h", "force": "2.5 kN",
    "duration": "5 s",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Rule:
    """What a value must be, and whether it must be there."""

    check: Check
    required: bool = True


def _may(check: Check) -> Rule:
    return Rule(check, required=False)


_LIMITED: tuple[Kind, ...] = (
    "density",
    "mass",
    "length",
    "pressure",
    "force",
    "fraction",
    "pieces",
    "thermal_resistance",
    "thermal_conductivity",
    "vapour_permeance",
)


def _above_nothing(kind: Kind) -> Check:
    plain = _measure(kind)

    def holds(value: object) -> bool:
        return plain.holds(value) and quantity(value, kind) > 0

    return Check(f"{plain.takes}, above nothing", holds)


def _any_sign(kind: Kind) -> Check:
    def holds(value: object) -> bool:
        try:
            return isinstance(value, str) and math.isfinite(quantity(value, kind))
        except BeadwrightError:
            return False

    return Check(f"{_measure(kind).takes}; it may be nothing or less", holds)


def _physical(topic: str) -> Mapping[str, Rule]:
    """What a plant may set of the physics."""
    signs = ANY_SIGN.get(topic, frozenset())
    return {
        **{
            key: _may(_any_sign(kind) if key in signs else _above_nothing(kind))
            for key, kind in PHYSICAL[topic].items()
        },
        **{key: _may(_NUMBER) for key in sorted(NUMBERS.get(topic, ()))},
    }


def _word(topic: str, key: str) -> Check:
    return _one_of(*WORDS[topic][key])


_SHAPE = Check(
    f"one of {', '.join(WORDS['product']['shape'])} of a form block; any text of packaging",
    _is_text,
)
TOPICS: Mapping[str, Mapping[str, Rule]] = {
    "product": {
        "family": Rule(_word("product", "family")),
        "title": _may(_TEXT),
        "cavity": _may(_measure("length")),
        "panel": _may(_measure("length")),
        "shape": _may(_SHAPE),
        "ties": _may(_WHOLE),
        "foam_volume": _may(_measure("volume")),
        "foam_mass": _may(_measure("mass")),
        "bundle": _may(_WHOLE),
        "moisture": _may(_MOISTURE),
        **_physical("product"),
    },
    "grade": {
        "of": Rule(_word("grade", "of")),
        "flame_retardant": _may(_word("grade", "flame_retardant")),
        "colour": _may(_TEXT),
        "bead_class": _may(_TEXT),
        "resin": _may(_TEXT),
        "title": _may(_TEXT),
        **_physical("grade"),
    },
    "approved": {
        "revision": Rule(_TEXT),
        "grades": Rule(_TEXTS),
        "flame_retardants": _may(_TEXTS),
        "colours": _may(_TEXTS),
        "bead_classes": _may(_TEXTS),
        "tie_resins": _may(_TEXTS),
    },
    "place": {
        "kind": Rule(_word("place", "kind")),
        "content": _may(_TRUTH),
        "accepts": _may(_TEXTS),
        "feeds": _may(_TEXTS),
        "capacity": _may(_measure("mass")),
        "cup_volume": _may(_measure("volume")),
        **{key: _may(_word("place", key)) for key in ("cup_shows", "stops_on", "trims")},
        **_physical("place"),
    },
    "cup": {
        **{place: _may(_measure("density")) for place in CUP_PLACES},
        "band": Rule(_measure("density")),
    },
    "ageing": {"min_h": Rule(_NUMBER), "max_h": Rule(_NUMBER)},
    "age_gate": {"min_h": Rule(_NUMBER)},
    "release": {"persons": Rule(_PERSONS), "tester_apart": _may(_TRUTH)},
    "first_piece": {
        "after": Rule(_CHANGES),
        "still_h": _may(_NUMBER),
        "signed_by": _may(_SIGNERS),
    },
    "decision": {"acceptance": Rule(_word("decision", "acceptance")), "k": _may(_NUMBER)},
    "inspection": {
        "aql": _may(_NUMBER),
        "level": _may(_word("inspection", "level")),
        "good": _may(_measure("fraction")),
        "bad": _may(_measure("fraction")),
        "switching": _may(_TRUTH),
        "reduced": _may(_TRUTH),
        "for_release": _may(_TRUTH),
    },
    "variables": {
        "product": Rule(_TEXT),
        "characteristic": Rule(_one_of(*LIMITED)),
        "state": _may(_word("variables", "state")),
        "good": Rule(_measure("fraction")),
        "bad": Rule(_measure("fraction")),
        "sigma": _may(_measure(*_LIMITED)),
        "for_release": _may(_TRUTH),
    },
    "mould": {
        "cavities": _may(_CAVITIES),
        **{key: _may(_measure("length")) for key in OFFSETS.values()},
        **_physical("mould"),
    },
    "room": {
        "places": Rule(_TEXTS),
        "fan": _may(_word("room", "fan")),
        "flow_switch": _may(_TEXT),
        **_physical("room"),
    },
    SHIFT: {"from": Rule(_CLOCK)},
    "air": _physical("air"),
    "tolerance": {
        "remainder": _may(_NUMBER),
        "remainder_floor": _may(_measure("mass")),
        "shortage": _may(_NUMBER),
        "count": _may(_NUMBER),
        "bag": _may(_measure("mass")),
        "u": _may(_SHARE_OFF),
    },
    "limit": {
        "product": Rule(_TEXT),
        "characteristic": Rule(_one_of(*LIMITED)),
        "bound": Rule(_word("limit", "bound")),
        "value": Rule(_measure(*_LIMITED)),
        "statistic": Rule(_word("limit", "statistic")),
        "specimens": _may(_WHOLE),
        "source": Rule(_TEXT),
        "evidence": _may(_word("limit", "evidence")),
        "method": _may(_TEXT),
    },
    "standard": {
        "standard": Rule(_TEXT),
        "edition": Rule(_TEXT),
        "type": Rule(_TEXT),
        "classes": _may(_TEXTS),
        "product": _may(_TEXT),
        "characteristics": Rule(_TEXTS),
    },
    "plan": {
        "product": Rule(_TEXT),
        "characteristic": Rule(_one_of(*PLANNED)),
        "evidence": Rule(_word("plan", "evidence")),
        "every": _may(_OFTEN),
        "specimens": _may(_WHOLE),
        "method": _may(_TEXT),
        "conditioning_h": _may(_WHOLE),
        "warn_days": _may(_WHOLE),
    },
    "instrument": {
        "what": Rule(_TEXT),
        "every": Rule(_IN_DAYS),
        "place": _may(_TEXT),
        "u": _may(_UNCERTAINTY),
    },
    "repeatability": {"s": _may(_UNCERTAINTY), "study": _may(_TRUTH), "source": _may(_TEXT)},
    "reading": {"instrument": Rule(_word("reading", "instrument"))},
    "container": {"tare": Rule(_measure("mass")), "what": _may(_TEXT)},
    "role": {"role": Rule(_one_of(*ROLES))},
}
"""What each setting holds; "title" and "note" may stand in any."""
