"""What the body of a setting must hold, so that judge, roles and questions can read it.

Read :func:`setting_faults`. A setting that nobody can read would stop every later step, and
nothing in the record is taken back; so the door looks first.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from beadwright import units
from beadwright.errors import BeadwrightError, Fault
from beadwright.ledger.chain import canonical
from beadwright.ledger.draft import SettingDraft
from beadwright.plant.access import Role

__all__ = ["setting_faults"]


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


def _texts(value: object) -> bool:
    return isinstance(value, list | tuple) and all(isinstance(one, str) for one in value)


def _role(value: object) -> bool:
    return value in {str(role) for role in Role}


def _text(value: object) -> bool:
    return isinstance(value, str) and bool(value)


_Check = Callable[[object], bool]
_MUST: Mapping[str, Mapping[str, _Check]] = {
    "ageing": {"min_h": _number, "max_h": _number},
    "approved": {"grades": _texts},
    "product": {"family": _text},
    "role": {"role": _role},
}
_MAY: Mapping[str, Mapping[str, _Check]] = {
    "place": {"accepts": _texts},
    "tolerance": {
        "shortage": _number, "remainder": _number, "count": _number, "remainder_floor": _mass,
    },
}  # fmt: skip


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
    remedy = "State it as the settings file of the plant does."
    return [
        Fault("bad_setting", f"{name}: {key} cannot be read", str(value), draft.key, remedy)
        for key, value in wrong
    ]
