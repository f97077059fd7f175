"""What the body of a setting must hold, so that judge, roles and questions can read it.

Read :func:`setting_faults`. A setting that nobody can read would stop every later step, and
nothing in the record is taken back; so the door looks first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import cast

from beadwright import units
from beadwright.errors import BeadwrightError, Fault
from beadwright.ledger.chain import canonical
from beadwright.ledger.draft import RANK, SettingDraft
from beadwright.ledger.settings import RELEASED
from beadwright.plant.access import Role
from beadwright.plant.block_age import WEIGHING
from beadwright.plant.calibrated import is_interval
from beadwright.plant.decision_rule import ALL
from beadwright.plant.first_pieces import SIGNERS
from beadwright.plant.frequency import every_of
from beadwright.plant.inspection_plans.setting import TOPIC, plan_faults
from beadwright.plant.inspection_plans.variables_set import VARIABLES, variables_faults
from beadwright.plant.listing import ASKED
from beadwright.plant.mass_off import is_share_off
from beadwright.plant.moulds import OFFSETS
from beadwright.plant.physical import ANY_SIGN, NUMBERS, PHYSICAL
from beadwright.plant.products import quantity
from beadwright.plant.setting_words import LIMITED, wrong_words
from beadwright.plant.shifts import SHIFT, is_clock
from beadwright.plant.uncertainty import TOPIC as REPEATABILITY
from beadwright.plant.uncertainty import is_uncertainty
from beadwright.quality.characteristics import CUP_PLACES
from beadwright.units import Kind

__all__ = ["CHANGES", "GATES", "NAMES", "setting_faults"]

GATES = frozenset({"wrap", "closed_trailer", "hot_wire", WEIGHING})
"""What blocks must have aged for, each by the plant's own hours (topic ``age_gate``)."""

CHANGES = frozenset({"start", "mould", "bead", "tie"})
"""After what a first piece must be approved (topic ``first_piece``)."""

_Check = Callable[[object], bool]


def _number(value: object) -> bool:
    try:
        return units.parse_number(str(value), decimal=".", thousands=None) >= 0
    except BeadwrightError:
        return False


def _mass(value: object) -> bool:
    try:
        number, unit = str(value).split(None, 1)
        return units.to_mg(units.parse_number(number, decimal=".", thousands=None), unit) >= 0
    except (BeadwrightError, ValueError):
        return False


def _measured(kind: Kind, *, any_sign: bool = False) -> _Check:
    """What has a unit of a kind, and is above nothing unless it may be of any sign."""

    def fits(value: object) -> bool:
        try:
            return quantity(value, kind) > 0 or any_sign
        except (BeadwrightError, ValueError):
            return False

    return fits


def _texts(value: object) -> bool:
    return isinstance(value, list | tuple) and all(isinstance(one, str) for one in value)


def _role(value: object) -> bool:
    return isinstance(value, str) and value in {str(role) for role in Role}


def _text(value: object) -> bool:
    return isinstance(value, str) and bool(value)


def _whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _every(value: object) -> bool:
    try:
        every_of(str(value))
    except ValueError:
        return False
    return True


def _in_days(value: object) -> bool:
    return _every(value) and every_of(str(value)).by in {"day", "year"}


def _evidence(value: object) -> bool:
    return isinstance(value, str) and value in {"lot_test", "periodic_test", "type_test"}


def _persons(value: object) -> bool:
    return _whole(value) and value in {1, 2}


def _truth(value: object) -> bool:
    return isinstance(value, bool)


def _changes(value: object) -> bool:
    return _texts(value) and set(cast("Iterable[str]", value)) <= CHANGES


def _signers(value: object) -> bool:
    return _texts(value) and set(cast("Iterable[str]", value)) <= set(SIGNERS)


def _length(value: object) -> bool:
    try:
        return quantity(value, "length") >= 0
    except (BeadwrightError, ValueError):
        return False


_MUST: Mapping[str, Mapping[str, _Check]] = {
    "age_gate": {"min_h": _number},
    "ageing": {"min_h": _number, "max_h": _number},
    "approved": {"grades": _texts},
    "cup": {"band": _measured("density")},
    "decision": {"acceptance": _text},
    "first_piece": {"after": _changes},
    "instrument": {"every": lambda value: is_interval(str(value))},
    "plan": {"product": _text, "characteristic": _text, "evidence": _evidence},
    "product": {"family": _text},
    "reading": {"instrument": _text},
    "release": {"persons": _persons},
    "role": {"role": _role},
    SHIFT: {"from": is_clock},
    VARIABLES: {"product": _text, "characteristic": _text},
}
_MAY: Mapping[str, Mapping[str, _Check]] = {
    "approved": dict.fromkeys(ASKED, _texts),
    "instrument": {"u": is_uncertainty},
    "first_piece": {"still_h": _number, "signed_by": _signers},
    "inspection": {"switching": _truth, "reduced": _truth, "for_release": _truth},
    VARIABLES: {"for_release": _truth},
    "mould": {
        "cavities": lambda value: _whole(value) and value != 0,
        **dict.fromkeys(OFFSETS.values(), _length),
    },
    "cup": dict.fromkeys(CUP_PLACES, _measured("density")),
    "place": {
        "accepts": _texts, "capacity": _measured("mass"), "cup_volume": _measured("volume"),
    },
    "plan": {
        "every": _every, "specimens": _whole, "conditioning_h": _whole, "warn_days": _whole,
    },
    REPEATABILITY: {"s": is_uncertainty, "study": _truth},
    "release": {"tester_apart": _truth},
    "room": {"flow_switch": _text},
    "tolerance": {
        "shortage": _number, "remainder": _number, "count": _number, "remainder_floor": _mass,
        "bag": _mass, "u": is_share_off,
    },
}  # fmt: skip
NAMES: Mapping[str, frozenset[str]] = {
    "age_gate": GATES,
    "air": frozenset({"outside"}),
    "decision": frozenset({ALL, *LIMITED}),
    "first_piece": frozenset({"rule"}),
    "reading": frozenset({"rule"}),
    "release": frozenset({"rule"}),
    "tolerance": frozenset(RANK),
    REPEATABILITY: frozenset(LIMITED),
    RELEASED: frozenset(),  # what a judge finds there are approvals; nobody sets it
}
"""Topics whose settings have the names that the rules ask for, and no other."""


def _physical_faults(draft: SettingDraft) -> Iterator[tuple[str, object]]:
    """Give what is set of the physics and holds no number of its kind, of the sign it must have."""
    kinds, numbers = PHYSICAL.get(draft.topic, {}), NUMBERS.get(draft.topic, ())
    signs = ANY_SIGN.get(draft.topic, ())
    for key, value in draft.body.items():
        of_kind = key not in kinds or _measured(kinds[key], any_sign=key in signs)(value)
        if not of_kind or (key in numbers and not _number(value)):
            yield key, value


def setting_faults(draft: SettingDraft) -> list[Fault]:
    """Give every part of a setting that could not be read later."""
    body, name = draft.body, f"{draft.topic} {draft.name}"
    try:
        canonical({key: list(v) if isinstance(v, tuple) else v for key, v in body.items()})
    except BeadwrightError as error:
        return [Fault("bad_setting", f"{name}: {error}", "", draft.key, "Write it as text.")]
    wrong = [
        (key, body.get(key, ""))
        for key, check in _MUST.get(draft.topic, {}).items()
        if not check(body.get(key, ""))
    ]
    wrong += [
        (key, body[key])
        for key, check in _MAY.get(draft.topic, {}).items()
        if body.get(key) and not check(body[key])
    ]
    if draft.topic in _TOGETHER and not wrong:
        wrong += _TOGETHER[draft.topic](body)
    wrong += _physical_faults(draft)
    words = {key: f": it {what}" for key, what in wrong_words(draft.topic, body)}
    if draft.topic == "plan" and any(key == "every" for key, _ in wrong):
        words["every"] = _EVERY.get(str(body.get("evidence", "")), "")
    wrong += [(key, body[key]) for key in words if key in body and (key, body[key]) not in wrong]
    if draft.name not in NAMES.get(draft.topic, {draft.name}):
        wrong.append(("name", draft.name))
    remedy = "State it as the settings file of the plant does."
    return [
        Fault(
            "bad_setting",
            f"{name}: {key} cannot be read{words.get(key, '')}",
            str(value),
            draft.key,
            remedy,
        )
        for key, value in wrong
    ]


def _rule_faults(body: Mapping[str, object]) -> list[tuple[str, object]]:
    """Say where the guard band does not go with the decision rule: guarded has one, simple none."""
    k = body.get("k", "")
    if body["acceptance"] == "simple":
        return [("k", k)] if k else []
    fit = _number(k) and units.parse_number(str(k), decimal=".", thousands=None) > 0
    return [] if fit else [("k", k)]


def _plan_faults(body: Mapping[str, object]) -> list[tuple[str, object]]:
    """Say where how often does not go with what kind of evidence it is."""
    stated, evidence = str(body.get("every", "")), body["evidence"]
    if evidence == "type_test":
        return [("every", stated)] if stated else []
    fit = bool(stated) and (evidence == "lot_test") != _in_days(stated)
    # Each day is both: every lot's day, and a period of one day.
    return [] if fit or stated in {"day", "1 day"} else [("every", stated)]


_EVERY = {
    "lot_test": ": a lot test is made every run, day, shift or number of pieces",
    "periodic_test": ": a periodic test is made every day, week, year or number of days",
    "type_test": ": a type test is made once",
}
"""How often each kind of evidence is made, as a fault says it."""


def _repeats_faults(body: Mapping[str, object]) -> list[tuple[str, object]]:
    """Say where neither a figure is set nor a study is to be taken."""
    return [] if body.get("s") or body.get("study") is True else [("s", "")]


_TOGETHER: Mapping[str, Callable[[Mapping[str, object]], list[tuple[str, object]]]] = {
    "plan": _plan_faults,
    "decision": _rule_faults,
    TOPIC: plan_faults,
    VARIABLES: variables_faults,
    REPEATABILITY: _repeats_faults,
}
"""What keys of a topic must be together, where each can be read by itself."""
