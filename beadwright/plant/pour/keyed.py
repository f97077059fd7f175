"""A pour as people key it: each field a text with its unit; what is wrong is said by field.

Read :func:`read_pour`. Page, shell and API read the same words.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from beadwright.errors import BeadwrightError
from beadwright.plant.keyed_asked import Keyed, lots_said, number_said
from beadwright.plant.pour.asked import BINDERS, PLACED, PourAsked, wrong_number
from beadwright.units import Kind

__all__ = ["NUMBERS", "WORDS", "read_pour"]

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


def read_pour(product: str, lots: Sequence[str], texts: Mapping[str, str]) -> Keyed[PourAsked]:
    """Read a pour; a field that is wrong counts as not said, and is told."""
    wrong: dict[str, str] = {}
    given: dict[str, Any] = {}
    for word, (field, kind) in NUMBERS.items():
        text = texts.get(word, "").strip()
        if text:
            try:
                value = number_said(text, kind)
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
    asked = PourAsked(
        product,
        lots_said(lots, wrong),
        binder=said["binder"],
        retarder=_YES[said["retarder"]],
        continuous=_YES[said["unbroken"]],
        placed=said["placed"],
        self_consolidating=said["self_consolidating"] == _MIXED,
        **given,
    )
    return Keyed(asked, wrong)
