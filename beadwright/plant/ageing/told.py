"""The ageing of every silo as a program reads it: SI, times as ISO 8601, trust with it.

Read :func:`ageing_json`.
"""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from beadwright.plant.ageing.board import AgeingBoard, Edge, GradeAgeing, Proposal, SiloAgeing
from beadwright.plant.ageing.mesh import Mesh
from beadwright.plant.ageing.words import AGEING_CAUTION, silo_said
from beadwright.plant.opening import Plant
from beadwright.plant.words import iso
from beadwright.plant.worked_words import line_json
from beadwright.science.ageing import Posterior

__all__ = ["ageing_json"]


def ageing_json(plant: Plant, board: AgeingBoard) -> dict[str, Any]:
    """Give the board as a map that JSON can hold."""
    zone = plant.zone
    return {
        **plant.about,
        "at": iso(board.at_ms, zone),
        "caution": AGEING_CAUTION,
        "silos": [_silo(one, zone) for one in board.silos],
    }


def _silo(one: SiloAgeing, zone: ZoneInfo) -> dict[str, Any]:
    silo, window = one.silo, one.silo.window
    return {
        "silo": silo.place,
        "mass_mg": silo.mg,
        "first_in": iso(silo.first_ms, zone),
        "last_in": iso(silo.last_ms, zone),
        "signed": None
        if window is None
        else {
            "min_h": window.min_h,
            "max_h": window.max_h,
            "from": iso(silo.ready_ms, zone),
            "until": iso(silo.use_by_ms, zone),
            "grades": list(window.grades),
            "unsigned": list(window.unsigned),
        },
        "states": list(silo.states),
        "unknown": one.estimate is None,
        "missing": list(one.missing),
        "trust": one.trust.value,
        "estimate": None
        if one.estimate is None
        else {
            "opens": _edge(one.estimate.opens, zone),
            "closes": _edge(one.estimate.closes, zone),
            "empty": one.estimate.empty,
        },
        "estimate_says": list(one.states),
        "against_signed": list(silo_said(one).against),
        "grades": [_grade(grade, zone) for grade in one.grades],
    }


def _edge(edge: Edge, zone: ZoneInfo) -> dict[str, str | None]:
    return {
        "low": iso(edge.low_ms, zone),
        "at": iso(edge.at_ms, zone),
        "high": iso(edge.high_ms, zone),
    }


def _grade(one: GradeAgeing, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "grade": one.grade,
        "missing": list(one.missing),
        "would_propose": _proposal(one.proposal),
        "mesh_samples": [_mesh(mesh, zone) for mesh in one.mesh],
        "rests_on": [line_json(line) for line in one.lines],
    }


def _proposal(one: Proposal | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {"from_h": one.from_h, "until_h": one.until_h, "sureness": one.sureness.name.lower()}


def _mesh(one: Mesh, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "sample": one.sample,
        "silo": one.silo,
        "weighings": one.weighings,
        "from": iso(one.from_ms, zone),
        "to": iso(one.to_ms, zone),
        "narrows": not one.why_not,
        "why_not": one.why_not,
        "pentane_m2_s": _posterior(one.pentane),
        "air_multiplier": _posterior(one.air),
    }


def _posterior(one: Posterior | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {
        "value": one.value, "low": one.low, "high": one.high, "told": one.told, "why": one.why,
    }  # fmt: skip
