"""What `steer` says: what to do, why, and what is known of the machine."""

from __future__ import annotations

from beadwright.cli.printed import Page, local, write_json
from beadwright.plant.opening import Plant
from beadwright.plant.steering import (
    STEERING_CAUTION,
    Steering,
    said,
    steering_json,
)
from beadwright.units import System

__all__ = ["show"]


def show(plant: Plant, found: Steering, *, units: System, json: bool) -> None:
    """Print the advice."""
    if json:
        write_json(steering_json(plant, found))
        return
    told = said(found, units)
    page = Page()
    page.line(f"Pre-expander {found.machine.place}, {local(found.at_ms, plant.zone)}")
    page.line(f"Caution. {STEERING_CAUTION}")
    page.heading(told.word)
    page.line(told.why, indent=2)
    for text in told.lines:
        page.item(text)
