"""What `findings` says."""

from __future__ import annotations

from typing import Any

from beadwright.cli.printed import Page, local, write_json
from beadwright.plant.findings import Drift, Finding
from beadwright.plant.findings import findings as plant_findings
from beadwright.plant.opening import Plant
from beadwright.plant.weighings import TieQuestion
from beadwright.plant.words import iso, number

__all__ = ["findings"]

_HEADS = {"scale_drifts": "A scale seems to drift", "ties_short": "Pieces seem to lack ties"}


def findings(plant: Plant, *, json: bool) -> None:
    """Print what the record shows."""
    found = plant_findings(plant.no)
    if json:
        write_json({**plant.about, "findings": [_json(one, plant) for one in found]})
        return
    page = Page()
    page.line(f"{plant.name}, plant {plant.code}: {number(len(found), 'finding')}")
    last = ""
    for one in found:
        if one.kind != last:
            page.heading(_HEADS[one.kind])
            last = one.kind
        _show(page, one, plant)
    if found:
        page.line()
        page.line("Proposed, to be looked at; nothing is held by them.")


def _show(page: Page, one: Finding, plant: Plant) -> None:
    since = f", since {local(one.since_ms, plant.zone)}" if one.drifts and one.since_ms else ""
    page.item(f"{one.what}{since}")
    began = [("began", _began(drift, plant)) for drift in one.drifts[:1]]
    page.facts((*began, ("why", one.why), ("do", one.do)), indent=4)


def _began(drift: Drift, plant: Plant) -> str:
    since, not_before, signal = (
        local(one, plant.zone) for one in (drift.since_ms, drift.not_before_ms, drift.signal_ms)
    )
    sure = f"{100 * drift.start.confidence:.0f} %"
    return f"most likely {since}, and with {sure} not before {not_before}; it signalled {signal}"


def _json(one: Finding, plant: Plant) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "about": one.about,
        "since": iso(one.since_ms, plant.zone),
        "what": one.what,
        "why": one.why,
        "do": one.do,
        "drifts": [_drift(drift, plant) for drift in one.drifts],
        "ties": [_ties(ties) for ties in one.ties],
    }


def _drift(drift: Drift, plant: Plant) -> dict[str, Any]:
    return {
        "source": drift.series.source,
        "step": drift.series.what,
        "since": iso(drift.since_ms, plant.zone),
        "not_before": iso(drift.not_before_ms, plant.zone),
        "confidence": drift.start.confidence,
        "cautions": list(drift.start.cautions),
        "signalled": iso(drift.signal_ms, plant.zone),
        "before": drift.start.before,
        "after": drift.start.after,
        "spread": drift.start.spread,
        "per_day": drift.start.rate,
        "cumulative_sum": drift.height,
        "weighed": len(drift.series.share),
        "weighed_since": drift.weighed_since,
        "since_kg": drift.kg_since,
    }


def _ties(ties: TieQuestion) -> dict[str, Any]:
    return {
        "state": ties.state,
        "pieces": list(ties.pieces),
        "ties_short": ties.short,
        "shortfall_kg": ties.shortfall_kg,
    }
