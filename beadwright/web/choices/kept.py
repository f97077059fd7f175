"""A person's choices, read from and written to a cookie."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast, get_args

from django.http import HttpRequest, HttpResponse

from beadwright.units import System

__all__ = ["Choices", "Light", "chosen", "keep"]

Light = Literal["auto", "light", "dark"]
_COOKIE = "beadwright-choices"
_YEAR = 365 * 86_400


@dataclass(frozen=True, slots=True)
class Choices:
    """What a person chose."""

    units: System = "us"
    light: Light = "auto"


def chosen(request: HttpRequest) -> Choices:
    """Give what was chosen; where nothing was, or nothing we know, the first of each."""
    units, _, light = request.COOKIES.get(_COOKIE, "").partition(".")
    known = Choices()
    return Choices(
        cast("System", units) if units in get_args(System) else known.units,
        cast("Light", light) if light in get_args(Light) else known.light,
    )


def keep(response: HttpResponse, choices: Choices) -> None:
    """Keep them for a year."""
    value = f"{choices.units}.{choices.light}"
    response.set_cookie(_COOKIE, value, max_age=_YEAR, httponly=True, samesite="Lax")
