"""What `nonconformities` says: each cause with when, how often, and at which steps."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from zoneinfo import ZoneInfo

from beadwright.cli.printed import Page, local, write_json
from beadwright.ledger.holds import Nonconformity
from beadwright.plant.caused import Caused
from beadwright.plant.codes import CODES
from beadwright.plant.nonconforming import filed
from beadwright.plant.opening import Plant
from beadwright.plant.words import STEP_WORDS, iso, number

__all__ = ["causes_json", "show"]

_DETAILS = 5
"""Sentences of a cause that are told; the rest is counted."""


def show(plant: Plant, found: Sequence[Caused], *, closed: bool, json: bool) -> None:
    """Print causes."""
    if json:
        write_json(causes_json(plant, found))
        return
    page = Page()
    opened = [one for one in found if not one.closed]
    shut = [one for one in found if one.closed]
    page.line(
        f"Nonconformities of {plant.name}: {number(len(opened), 'cause')} open,"
        f" {len(shut)} closed; times in {plant.zone.key}"
    )
    inside = filed(plant.no)
    for one in [*opened, *(shut if closed else ())]:
        _cause(page, plant, one, inside.get(one.cause, ""))
    if shut and not closed:
        page.line()
        page.line("--closed lists the closed ones too.")


def _cause(page: Page, plant: Plant, one: Caused, file: str) -> None:
    state = f"CLOSED by concession: {one.reason}" if one.closed else "OPEN"
    named = f", in {file}" if file else "" if one.closed else ", not yet in a file"
    page.heading(f"{one.cause}  {state}{named}")
    page.line(CODES[one.code][1] if one.code in CODES else one.code, indent=2)
    alike = _alike(one.steps)
    for steps in alike[:_DETAILS]:
        page.item(f"{_when(steps, plant.zone)}: {steps[0].detail}")
    rest = [step for steps in alike[_DETAILS:] for step in steps]
    if rest:
        last = local(rest[-1].at_ms, plant.zone)
        page.line(f"and {number(len(rest), 'step')} more, the last {last}", indent=2)


def _alike(steps: Sequence[Nonconformity]) -> list[list[Nonconformity]]:
    """Put steps together that the same sentence is said of."""
    found: dict[str, list[Nonconformity]] = {}
    for step in steps:
        found.setdefault(step.detail, []).append(step)
    return list(found.values())


def _when(steps: Sequence[Nonconformity], zone: ZoneInfo) -> str:
    what = STEP_WORDS.get(steps[0].kind, steps[0].kind)
    first = f"{local(steps[0].at_ms, zone)} {what} ({steps[0].step})"
    if len(steps) == 1:
        return first
    last = f"{local(steps[-1].at_ms, zone)} ({steps[-1].step})"
    return f"{first} and {number(len(steps) - 1, 'time')} more to {last}"


def causes_json(plant: Plant, found: Sequence[Caused]) -> dict[str, Any]:
    """Give causes as a map that JSON can hold."""
    inside = filed(plant.no)
    return {
        **plant.about,
        "causes": [
            {
                "cause": one.cause,
                "code": one.code,
                "lot": one.lot,
                "closed": one.closed,
                "concession": one.reason,
                "file": inside.get(one.cause, ""),
                "steps": [
                    {
                        "step": step.step,
                        "kind": step.kind,
                        "at": iso(step.at_ms, plant.zone),
                        "detail": step.detail,
                        "closed": step.closed,
                    }
                    for step in one.steps
                ],
            }
            for one in found
        ],
    }
