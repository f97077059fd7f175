"""What a product's listing allows: grades by name, and what each of them must be.

A grade that somebody put on the list by mistake is still caught by what the listing says of flame
retardant, colour, bead class and tie resin. Read :func:`not_listed`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import cast

from beadwright.ledger.fold import Dated

__all__ = ["ASKED", "not_listed"]

ASKED: Mapping[str, tuple[str, str]] = {
    "flame_retardants": ("bead", "flame_retardant"),
    "colours": ("bead", "colour"),
    "bead_classes": ("bead", "bead_class"),
    "tie_resins": ("tie", "resin"),
}
"""By key of an approved list: of which grades it speaks, and by what in their own setting."""


def not_listed(
    code: str, product: str, grades: Iterable[str], listing: tuple[Mapping[str, object], Dated, int]
) -> Iterator[str]:
    """Say why grades in a lot are not those of a product's approved list in force.

    ``listing`` is the list's body, the dated settings, and when.
    """
    approved, settings, at_ms = listing
    listed = cast("Iterable[str]", approved.get("grades", ()))
    held = sorted(grades)
    revision = approved.get("revision", "")
    wrong = [one for one in held if one not in listed]
    if wrong:
        yield (
            f"{code} holds grade {', '.join(wrong)}, which is not on the approved list"
            f" {revision} of {product}"
        )
    asked = [(key, *ASKED[key]) for key in ASKED if approved.get(key)]
    for grade in held if asked else ():
        body = settings.at("grade", grade, at_ms) or {}
        for key, of, attribute in asked:
            allowed = cast("Iterable[str]", approved[key])
            is_ = str(body.get(attribute, ""))
            if body.get("of", "bead") == of and is_ not in allowed:
                yield (
                    f"{code} holds grade {grade}, whose {attribute.replace('_', ' ')} is"
                    f" {is_ or 'not stated'}; the approved list {revision} of {product} asks for"
                    f" {' or '.join(allowed)}"
                )
