"""A pour as people key it: each field a text with its unit; what is wrong is said by field.

Read :func:`read_pour`. Page, shell and API read the same words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from beadwright.errors import BeadwrightError, Misuse
from beadwright.plant.pour.asked import BINDERS, PLACED, PourAsked, wrong_number
from beadwright.plant.products import quantity
from beadwright.units import Kind

__all__ = ["MOST_LOTS", "NUMBERS", "WORDS", "Keyed", "read_pour"]

NUMBERS: Mapping[str, tuple[str, Kind | None]] = {
    "height": ("height_m", "length"),
    "rate": ("manual_m_s", "speed"),
    "factor": ("safety_factor", None),
    "density": ("density_kg_m3", "density"),
    "slump": ("slump_m", "length"),
    "temperature": ("temperature_k", "temperature"),
    "vibration": ("vibration_m", "length"),
}
"""By word: the field of :class:`PourAsked`, and its kind of unit; None where it has none."""

MOST_LOTS = 60
"""Lots that are looked at in one question."""

_YES: Mapping[str, bool | None] = {"": None, "yes": True, "no": False}
_MIXED = "yes"

WORDS: Mapping[str, Sequence[str]] = {
    "binder": tuple(BINDERS),
    "retarder": ("yes", "no"),
    "unbroken": ("yes", "no"),
    "placed": tuple(PLACED),
    "self_consolidating": ("yes", "no"),
}
"""By word: what may be said; empty where nobody knows."""


@dataclass(frozen=True, slots=True)
class Keyed:
    """What was asked, as far as it could be read, and what was wrong, by word."""

    asked: PourAsked
    wrong: Mapping[str, str]

    def certain(self) -> PourAsked:
        """Give what was asked.

        Raises
        ------
        Misuse
            If anything of it was wrong.
        """
        if self.wrong:
            raise Misuse("; ".join(self.wrong.values()))
        return self.asked


def read_pour(product: str, lots: Sequence[str], texts: Mapping[str, str]) -> Keyed:
    """Read a pour; a field that is wrong counts as not said, and is told."""
    wrong: dict[str, str] = {}
    given: dict[str, Any] = {}
    for word, (field, kind) in NUMBERS.items():
        text = texts.get(word, "").strip()
        if text:
            try:
                value = _number(text, kind)
            except (BeadwrightError, ValueError) as error:
                wrong[word] = f"{word}: {error}"
                continue
            fault = wrong_number(field, value)
            if fault:
                wrong[word] = fault
            else:
                given[field] = value
    said = {word: texts.get(word, "").strip() for word in WORDS}
    for word, known in WORDS.items():
        if said[word] and said[word] not in known:
            wrong[word] = f'{word}: "{said[word]}" is none of: {", ".join(known)}'
            said[word] = ""
    named = tuple(dict.fromkeys(filter(None, (_code(one) for one in lots))))
    if len(named) > MOST_LOTS:
        wrong["lots"] = f"lots: {len(named)} are named; at most {MOST_LOTS} are taken at once"
        named = ()
    asked = PourAsked(
        product,
        named,
        binder=said["binder"],
        retarder=_YES[said["retarder"]],
        continuous=_YES[said["unbroken"]],
        placed=said["placed"],
        self_consolidating=said["self_consolidating"] == _MIXED,
        **given,
    )
    return Keyed(asked, wrong)


def _code(text: str) -> str:
    return text.replace("\x00", "").strip().upper()


def _number(text: str, kind: Kind | None) -> float:
    number = text.partition(" ")[0] if kind is not None else text
    try:
        float(number)
    except ValueError:
        message = f'"{number}" is no number'
        raise ValueError(message) from None
    return float(number) if kind is None else quantity(text, kind)
