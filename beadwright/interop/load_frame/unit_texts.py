"""The unit that a heading, a row of units or a value is written with.

Read first: :func:`parted`. A unit is taken only as :mod:`beadwright.units` takes it; its full name
is taken for its sign.
"""

from __future__ import annotations

import re
from functools import lru_cache

from beadwright.errors import UnitError
from beadwright.interop.load_frame.found import KINDS
from beadwright.units import Kind, factor, split_header

__all__ = ["kinds_of", "parted", "per_unit", "sign_of"]

_KINDS: tuple[Kind, ...] = ("force", "length", "duration", "pressure", "fraction")
_OF_SIZES: dict[str, Kind] = {"mass": "mass", "area": "area"}
_NAMES = {
    "newton": "N", "newtons": "N", "kilonewton": "kN", "kilonewtons": "kN",
    "millimeter": "mm", "millimetre": "mm", "millimeters": "mm", "millimetres": "mm", "MM": "mm",
    "milimetros": "mm", "centimeter": "cm", "seconds": "s", "second": "s", "sek": "s", "Sek": "s",
    "Sek.": "s", "sec.": "s", "Sec": "s", "SEC": "s", "sekunden": "s", "secondes": "s",
    "segundos": "s", "seg": "s", "minutes": "min", "minuten": "min", "percent": "%",
    "prozent": "%", "pounds force": "lbf", "pound-force": "lbf", "pounds-force": "lbf",
    "megapascal": "MPa", "kilopascal": "kPa", "pct": "%", "N/mm²": "MPa", "N/mm2": "MPa",
}  # fmt: skip
_BEHIND = re.compile(r"^(?P<name>.+?)(?:\s+in\s+|\s*[,/]\s*|[\s_]+)(?P<unit>\S+)$")
_FACTOR = re.compile(r"(?:^|[\s(\[])[x×*/]\s*\d|\d\s*\^|\b10+\s*[x×*]|\d[eE][+-]?\d", re.ASCII)
_IN_BRACKETS = re.compile(r"[\[(<{](?P<unit>[^\[\](){}<>]+)[\])>}]")


def sign_of(text: str) -> str:
    """Return a unit without brackets, its name as its sign.

    >>> sign_of("[Newton]")
    'N'
    """
    bare = text.strip().strip("[](){}<>").strip()
    return _NAMES.get(bare) or _NAMES.get(bare.casefold()) or bare


@lru_cache(maxsize=4096)
def kinds_of(unit: str) -> tuple[Kind, ...]:
    """Return the kinds of measured columns that a text is a unit of.

    >>> kinds_of("kN"), kinds_of("furlong")
    (('force',), ())
    """
    return tuple(kind for kind in _KINDS if per_unit(unit, kind) is not None)


@lru_cache(maxsize=4096)
def per_unit(unit: str, role: str) -> float | None:
    """Return what one of a unit is in SI, for a role, a kind or a size; None where it is none."""
    kind = KINDS.get(role, role)
    if role in {"width", "height", "thickness", "length", "diameter"}:
        kind = "length"
    if not unit or (unit == "1" and kind != "fraction"):
        return None
    try:
        return float(factor(unit, _OF_SIZES.get(role, kind)))  # type: ignore[arg-type]
    except UnitError:
        return None


@lru_cache(maxsize=4096)
def parted(heading: str) -> tuple[str, str]:
    """Return a heading's name, and the unit that stands in or behind it; empty where none does.

    A unit in brackets is one whether we know it or not, so that a strange one is asked about;
    behind the name only a known one is.

    >>> parted("Kraft in kN"), parted("Load [lb]"), parted("Load (kN) cell 1")
    (('Kraft', 'kN'), ('Load', 'lb'), ('Load cell 1', 'kN'))
    """
    name, unit = _parted(" ".join(heading.split()).strip(" :"))
    # "Force x1000 [N]" is in a unit that nobody can take without asking.
    return (name, f"{unit} by a factor") if unit and _FACTOR.search(name) else (name, unit)


def _parted(text: str) -> tuple[str, str]:
    name, unit = split_header(text)
    if unit is not None and name:
        sign = sign_of(unit)
        if kinds_of(sign) or text.endswith("]") or len(sign) <= 4:  # noqa: PLR2004 - as units are
            return name, sign
        return text, ""
    for match in _IN_BRACKETS.finditer(text):
        if kinds_of(sign_of(match["unit"])):
            rest = f"{text[: match.start()].strip()} {text[match.end() :].strip()}"
            return rest.strip(), sign_of(match["unit"])
    behind = _BEHIND.match(text)
    if behind and kinds_of(sign_of(behind["unit"])) and not behind["unit"].isdigit():
        return behind["name"].strip(" _,"), sign_of(behind["unit"])
    return text, ""
