"""Gauge studies that are recorded for an instrument, as `instruments` shows them."""

from __future__ import annotations

from typing import Any

from beadwright.cli.printed import Page
from beadwright.plant.gauge_studies.recorded import FIGURES, recorded_json, studies
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.words import number

__all__ = ["print_studies", "studies_json"]

_FIRST = ("measuring", "share_of_tolerance", "share_of_study", "misses", "false_alarms", "kappa")


def studies_json(plant: Plant, instrument: str) -> list[dict[str, Any]]:
    """Give the studies of an instrument as a program reads them, the newest first."""
    return [recorded_json(one) for one in studies(plant.no, instrument)]


def print_studies(page: Page, plant: Plant, instrument: str) -> None:
    """Print the studies of an instrument; nothing where there is none."""
    found = studies(plant.no, instrument)
    if not found:
        return
    page.heading(f"{instrument}: {number(len(found), 'gauge study')}")
    named = Named.of(plant)
    for one in found:
        of = one.of.replace("_", " ")
        page.line(
            f"Entry {one.seq}: {of}, done {one.done}, {one.band}, by {named(one.by)}", indent=2
        )
        for name in _FIRST:
            if name in one.figures:
                page.line(f"{FIGURES[name]}: {one.figures[name].words}", indent=4)
