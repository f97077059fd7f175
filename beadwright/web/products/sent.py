"""A form of a product's sheet as it was sent: each field a text, its unit beside it.

Read :func:`sent_of` and :func:`found_or_gone`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Protocol, Self, TypeVar
from urllib.parse import urlencode

from django.http import Http404

from beadwright.errors import Misuse
from beadwright.web.access import Asker

__all__ = ["Asked", "Sent", "found_or_gone", "sent_of", "whole"]

_MOST = 60
"""Letters of a field that are read."""


class Asked(Protocol):
    """What a sheet is asked: of lots, or of those that the product has."""

    @property
    def lots(self) -> tuple[str, ...]:
        """Lots that were named."""

    def without_lots(self) -> Self:
        """Ask the same of the product's newest lots."""


_A = TypeVar("_A", bound=Asked)
_S = TypeVar("_S")


@dataclass(frozen=True, slots=True)
class Sent:
    """What the form was sent with."""

    texts: Mapping[str, str]
    units: Mapping[str, str]
    lots: str
    query: str
    all: bool
    wrong: Mapping[str, str] = field(default_factory=dict)
    lots_wrong: str = ""

    @property
    def named(self) -> list[str]:
        """Lots that were named."""
        return [one for one in re.split(r"[\s,;]+", self.lots) if one]

    def judged(self, wrong: Mapping[str, str], lots_wrong: str) -> Sent:
        """Give it with what was wrong of it."""
        return replace(self, wrong=wrong, lots_wrong=wrong.get("lots", lots_wrong))


def sent_of(request: Asker, names: Iterable[str], with_units: Iterable[str]) -> Sent:
    """Read a form out of an address."""
    given = request.GET
    texts = {name: given.get(name, "").strip()[:_MOST] for name in names}
    units = {name: given.get(f"unit-{name}", "")[:_MOST] for name in with_units}
    asked = {key: value for key, value in given.items() if key != "all" and value}
    lots = given.get("lots", "").replace("\x00", "")
    return Sent(texts, units, lots, urlencode(asked), "all" in given)


def whole(sent: Sent) -> dict[str, str]:
    """Give each figure with the unit beside it, unless a unit was keyed with it."""
    return {
        name: f"{text} {sent.units.get(name, '')}".strip() if text and " " not in text else text
        for name, text in sent.texts.items()
    }


def found_or_gone(sheet: Callable[[_A], _S], asked: _A) -> tuple[_S, str]:
    """Give a sheet; where a lot that was named is none of the product's, without lots, and why.

    Raises
    ------
    Http404
        If there is no such product.
    """
    try:
        return sheet(asked), ""
    except Misuse as error:
        wrong = str(error)
    if not asked.lots:
        raise Http404(wrong)
    try:
        return sheet(asked.without_lots()), wrong
    except Misuse as error:
        raise Http404(str(error)) from None
