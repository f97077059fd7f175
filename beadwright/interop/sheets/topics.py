"""What each setting may hold: a written list, so that a misspelt key is never lost in silence."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import UnitError
from beadwright.ledger.draft import SettingDraft
from beadwright.plant.bodies import CHANGES
from beadwright.plant.frequency import every_of
from beadwright.units import Kind, factor, parse_number

__all__ = ["ROLES", "TOPICS", "Check", "Rule", "references"]

Check = Callable[[object], str]
"""Says what is wrong with a value; empty where nothing is."""

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
        case "limit":
            yield ".product", "product", str(body["product"])
        case "plan" if body["product"] != "*":
            yield ".product", "product", str(body["product"])
        case "ageing":
            yield "", "grade", draft.name
        case "place":
            yield from _each(body, "accepts", "grade")
            yield from _each(body, "feeds", "place")


def _each(body: Mapping[str, object], key: str, topic: str) -> Iterable[tuple[str, str, str]]:
    names = body.get(key, ())
    if isinstance(names, list):
        for name in names:
            yield f".{key}", topic, str(name)


def _text(value: object) -> str:
    return "" if isinstance(value, str) and value else "must be text"


def _whole(value: object) -> str:
    fit = isinstance(value, int) and not isinstance(value, bool) and value >= 0
    return "" if fit else "must be a whole number"


def _truth(value: object) -> str:
    return "" if isinstance(value, bool) else "must be true or false"


def _persons(value: object) -> str:
    return "" if not _whole(value) and value in {1, 2} else "must be 1 or 2"


def _changes(value: object) -> str:
    fit = isinstance(value, list) and all(isinstance(one, str) and one in CHANGES for one in value)
    return "" if fit else f"must be a list of {', '.join(sorted(CHANGES))}"


def _texts(value: object) -> str:
    fit = isinstance(value, list) and all(isinstance(item, str) and item for item in value)
    return "" if fit else 'must be a list of names, as ["F1"]'


def _every(value: object) -> str:
    try:
        every_of(str(value))
    except ValueError as error:
        return str(error).replace("it is", "must be", 1)
    return ""


def _in_days(value: object) -> str:
    wrong = _every(value)
    fit = not wrong and every_of(str(value)).by in {"day", "year"}
    return "" if fit else 'must be day, week, year, or a number of days, as "365 days"'


def _one_of(*choices: str) -> Check:
    def check(value: object) -> str:
        return "" if value in choices else f"must be one of {', '.join(choices)}"

    return check


def _measure(*kinds: Kind) -> Check:
    """Number and unit in one text."""

    def check(value: object) -> str:
        if not isinstance(value, str):
            return 'must be text with a unit, as "21.6 kg/m3"'
        number, _, unit = value.partition(" ")
        if _number(number) or not any(_is_unit(unit, kind) for kind in kinds):
            return f"must be a number and a unit of {' or '.join(kinds)}"
        return ""

    return check


def _number(value: object) -> str:
    """Bare number, as text."""
    wrong = 'must be a number in quotation marks, as "0.03"'
    if not isinstance(value, str):
        return wrong
    try:
        return wrong if parse_number(value, decimal=".") < Decimal(0) else ""
    except UnitError:
        return wrong


def _is_unit(unit: str, kind: Kind) -> bool:
    try:
        factor(unit, kind)
    except UnitError:
        return False
    return True


def _moisture(value: object) -> str:
    fit = isinstance(value, dict) and not any(map(_number, value.values()))
    fit = fit and isinstance(value, dict) and set(value) <= {"press", "24h", "dry"}
    return "" if fit else 'must be shares by state, as {press = "0.04"}'


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
_PLACES = ("silo", "hopper", "line", "expander", "press", "store", "dock", "outside")
TOPICS: Mapping[str, Mapping[str, Rule]] = {
    "product": {
        "family": Rule(_one_of("form", "packaging")),
        "title": _may(_text),
        "cavity": _may(_measure("length")),
        "panel": _may(_measure("length")),
        "shape": _may(_text),
        "ties": _may(_whole),
        "foam_volume": _may(_measure("volume")),
        "foam_mass": _may(_measure("mass")),
        "bundle": _may(_whole),
        "moisture": _may(_moisture),
    },
    "grade": {
        "of": Rule(_one_of("bead", "tie")),
        "flame_retardant": _may(_one_of("yes", "no", "n/a")),
        "colour": _may(_text),
        "bead_class": _may(_text),
        "title": _may(_text),
    },
    "approved": {"revision": Rule(_text), "grades": Rule(_texts)},
    "place": {
        "kind": Rule(_one_of(*_PLACES)),
        "content": _may(_truth),
        "accepts": _may(_texts),
        "feeds": _may(_texts),
    },
    "ageing": {"min_h": Rule(_number), "max_h": Rule(_number)},
    "age_gate": {"min_h": Rule(_number)},
    "release": {"persons": Rule(_persons), "tester_apart": _may(_truth)},
    "first_piece": {"after": Rule(_changes)},
    "tolerance": {
        "remainder": _may(_number),
        "remainder_floor": _may(_measure("mass")),
        "shortage": _may(_number),
        "count": _may(_number),
    },
    "limit": {
        "product": Rule(_text),
        "characteristic": Rule(_text),
        "bound": Rule(_one_of("min", "max")),
        "value": Rule(_measure(*_LIMITED)),
        "statistic": Rule(_one_of("each", "mean")),
        "specimens": _may(_whole),
        "source": Rule(_text),
        "evidence": _may(_text),
        "method": _may(_text),
    },
    "standard": {
        "standard": Rule(_text),
        "edition": Rule(_text),
        "type": Rule(_text),
        "classes": _may(_texts),
        "product": _may(_text),
        "characteristics": Rule(_texts),
    },
    "plan": {
        "product": Rule(_text),
        "characteristic": Rule(_text),
        "evidence": Rule(_one_of("lot_test", "periodic_test", "type_test")),
        "every": _may(_every),
        "specimens": _may(_whole),
        "method": _may(_text),
        "conditioning_h": _may(_whole),
        "warn_days": _may(_whole),
    },
    "instrument": {"what": Rule(_text), "every": Rule(_in_days), "place": _may(_text)},
    "container": {"tare": Rule(_measure("mass")), "what": _may(_text)},
    "role": {"role": Rule(_one_of(*ROLES))},
}
"""What each setting holds; "title" and "note" may stand in any."""
