"""Answers of ``plant`` as JSON: a dataclass becomes an object, its fields its names.

A time in milliseconds, a field that ends in ``_ms``, is given as ISO 8601 in the plant's zone under
its name without the ending.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from typing import Any
from zoneinfo import ZoneInfo

from beadwright.plant.opening import Plant

__all__ = ["headed", "plain"]

_MS = "_ms"


def headed(plant: Plant, answer: Mapping[str, object]) -> dict[str, Any]:
    """Give an answer with the plant, its zone and the head it was read from."""
    return {**plant.about, **{name: plain(value, plant.zone) for name, value in answer.items()}}


def plain(value: object, zone: ZoneInfo) -> Any:  # noqa: PLR0911 - one line for each sort of value
    """Give a value as JSON has it."""
    if is_dataclass(value) and not isinstance(value, type):
        return _object(((one.name, getattr(value, one.name)) for one in fields(value)), zone)
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return _object(value._asdict().items(), zone)
    if isinstance(value, Mapping):
        return {str(name): plain(one, zone) for name, one in value.items()}
    if isinstance(value, AbstractSet):
        return sorted(plain(one, zone) for one in value)
    if isinstance(value, list | tuple):
        return [plain(one, zone) for one in value]
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Decimal | ZoneInfo):
        return str(value)
    if isinstance(value, date | datetime):
        return value.isoformat()
    return json.loads(json.dumps(value, allow_nan=False))  # what is left must be JSON already


def _object(named: Iterable[tuple[str, object]], zone: ZoneInfo) -> dict[str, Any]:
    told: dict[str, Any] = {}
    for name, value in named:
        if name.endswith(_MS) and isinstance(value, int | None):
            there = None if value is None else datetime.fromtimestamp(value / 1000, zone)
            told[name.removesuffix(_MS)] = there and there.isoformat(timespec="seconds")
        else:
            told[name] = plain(value, zone)
    return told
