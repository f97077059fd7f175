"""Tags of every template: parts by name, addresses of static files, masses, times, names.

``{% part "button" text="Draw" %}`` shows ``parts/button.html`` with what is given and nothing else;
``parts/index.py`` says what each takes.
"""

from __future__ import annotations

import hashlib
from functools import cache
from typing import Any

from django import template
from django.contrib.staticfiles import finders
from django.template.loader import get_template
from django.utils.safestring import SafeString, mark_safe

from beadwright.plant.figures import mass
from beadwright.web.choices.kept import Choices
from beadwright.web.shown import when

__all__ = ["asset", "at", "kg", "part", "plain", "register", "spread"]

register = template.Library()


@register.simple_tag(takes_context=True)
def part(context: template.Context, of: str, **given: Any) -> SafeString:
    """Show a part of a page, which knows what it is given and the sitting it is shown in."""
    around = {key: context[key] for key in ("choices", "csrf_token") if key in context}
    # A template's text is safe already: it escapes what it is given.
    return mark_safe(get_template(f"parts/{of}.html").render({**around, **given}))  # noqa: S308


@register.simple_tag(takes_context=True)
def spread(context: template.Context, name: str, given: dict[str, Any]) -> SafeString:
    """Show a part with what a map holds."""
    shown: SafeString = part(context, name, **given)
    return shown


@register.simple_tag
def asset(name: str) -> str:
    """Address of a static file; another where its content is another."""
    return f"/static/{name}?v={_version(name)}"


@register.simple_tag(takes_context=True)
def kg(context: template.Context, mg: float, digits: int = 1) -> str:
    """Give a mass of the ledger in the unit that the person chose."""
    choices: Choices = context["choices"]
    return mass(mg, choices.units, digits)


@register.simple_tag(takes_context=True)
def at(context: template.Context, ms: int | None) -> SafeString:
    """Give a time in the plant's zone, readable by machines too."""
    plant = context["plant"]
    if ms is None or plant is None:
        return mark_safe("–")
    return when(ms, plant.zone)


@register.filter
def plain(text: str) -> str:
    """Give a word of the record as a person reads it."""
    return str(text).replace("_", " ")


@cache
def _version(name: str) -> str:
    found = finders.find(name)
    if not isinstance(found, str):
        message = f"no static file {name}"
        raise template.TemplateSyntaxError(message)
    with open(found, "rb") as file:  # noqa: PTH123 - a finder gives text
        return hashlib.sha256(file.read()).hexdigest()[:10]
