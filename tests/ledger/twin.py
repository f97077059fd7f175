"""A slow twin of the fold: reads the entries, sorts them, and loops. It shares no code with it.

Read :func:`replay`. Where the projections and the twin differ, one of them is wrong.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from typing import Any

from django.db import connection

from beadwright.ledger import settings
from beadwright.ledger.draft import RANK
from beadwright.ledger.fold import FoldLine, FoldLot, FoldStep, State, Touched
from beadwright.plant.judge import judge

__all__ = ["Slow", "Told", "replay", "stored"]

_GONE = {"scrap", "regrind", "densified"}
_NEW = {"expand", "receipt", "mould", "produce", "grind", "densify"}


@dataclass
class Slow:
    """A lot's state, as sets and plain numbers."""

    mg: int = 0
    pieces: int = 0
    in_mg: int = 0
    first: int | None = None
    last: int | None = None
    grades: set[str] = field(default_factory=set)
    causes: set[str] = field(default_factory=set)
    place: str = ""

    def told(self) -> tuple[Any, ...]:
        """Give what is compared."""
        marks = ("|".join(sorted(self.grades)), "|".join(sorted(self.causes)))
        return (self.mg, self.pieces, self.in_mg, self.first, self.last, *marks, self.place)


@dataclass
class Told:
    """What a record tells: states by lot, and findings as (step, code, lot, cause)."""

    states: dict[str, tuple[Any, ...]]
    findings: list[tuple[str, str, str, str]]


def _entries(plant: str) -> list[tuple[str, dict[str, Any]]]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT kind, body FROM ledger_entry WHERE plant=%s ORDER BY seq", [plant])
        return [(kind, json.loads(body)["draft"]) for kind, body in cursor.fetchall()]


def replay(plant: str, no: int) -> Told:
    """Work a plant's states and findings out of its entries alone."""
    lots: dict[str, dict[str, Any]] = {}
    steps: dict[str, dict[str, Any]] = {}
    given: dict[str, list[int]] = {}
    for kind, said in _entries(plant):
        if kind == "step":
            steps[said["key"]] = said
        elif kind == "correct":
            steps[said["step"]] = said["restated"]
        elif kind == "reverse":
            del steps[said["step"]]
        elif kind in {"hold", "lift"}:
            at = said.get("since", 0) if kind == "hold" else said["happened_at"]
            steps[said["key"]] = {**said, "kind": kind, "at": at}
        elif kind == "concession":
            root = said["cause"].split("#")[0]
            given.setdefault(root, []).append(said["happened_at"])
        elif kind == "setting" and said["topic"] == "place" and said["body"].get("content"):
            lots[said["name"]] = {"code": said["name"], "kind": "prefoam", "what": "content"}
        for new in said.get("new_lots", said.get("restated", {}).get("new_lots", [])):
            lots.setdefault(new["code"], new)
    return _run(lots, steps, given, settings.load(no))


def _order(step: dict[str, Any]) -> tuple[int, int, bytes]:
    at = step.get("at", step["happened_at"])
    digest = int.from_bytes(hashlib.sha256(step["key"].encode()).digest()[:8], "big") >> 1
    return (at, RANK[step["kind"]], digest.to_bytes(8, "big"))


def _run(
    lots: dict[str, dict[str, Any]],
    steps: dict[str, dict[str, Any]],
    given: dict[str, list[int]],
    in_force: settings.Settings,
) -> Told:
    numbers = {code: i for i, code in enumerate(sorted(lots))}
    facts = {
        numbers[code]: FoldLot(
            numbers[code], code, lot["kind"], lot.get("what", ""), lot.get("product", ""),
            "|".join(sorted(set(lot.get("grades", [])) | _own(lot))), lot.get("unit_mg", 0),
        )
        for code, lot in lots.items()
    }  # fmt: skip
    states = {code: Slow() for code in lots}
    findings = []
    for step in sorted(steps.values(), key=_order):
        if step["kind"] in {"hold", "lift"}:
            for code in step["lots"]:
                _mark(states[code], step)
            continue
        for code, lot, cause in _one(step, states, numbers, (facts, in_force, given)):
            findings.append((step["key"], code, lot, cause))
    return Told({code: state.told() for code, state in states.items()}, sorted(findings))


def _own(lot: dict[str, Any]) -> set[str]:
    return {"reclaim"} if lot["kind"] in {"regrind", "densified"} else set()


def _mark(state: Slow, step: dict[str, Any]) -> None:
    name = f"hold:{step['hold']}@"
    state.causes = {c for c in state.causes if step["kind"] == "hold" or not c.startswith(name)}
    if step["kind"] == "hold":
        state.causes.add(f"{name}{step['happened_at']}")


def _one(
    step: dict[str, Any],
    states: dict[str, Slow],
    numbers: dict[str, int],
    rules: tuple[dict[int, FoldLot], settings.Settings, dict[str, list[int]]],
) -> list[tuple[str, str, str]]:
    facts, in_force, given = rules
    lines = step.get("lines", [])
    before = {numbers[d["lot"]]: State(*states[d["lot"]].told()) for d in lines}
    flow = Slow()
    source, drawn = _drawn(lines, states, (facts, numbers), flow)
    found = []
    for flaw in judge(_as_step(step, numbers), facts, before, drawn, in_force):
        about = f"step {step['key']}" if flaw.lot is None else facts[flaw.lot].code
        root = f"{flaw.code}:{about}"
        earlier = sum(at < step["happened_at"] for at in given.get(root, []))
        cause = f"{root}#{earlier}" if earlier else root
        found.append((flaw.code, "" if flaw.lot is None else facts[flaw.lot].code, cause))
    flow.causes |= {cause for _, _, cause in found}
    for d in [d for d in lines if d["sign"] == 0]:
        _stated(step, d, states)
    for d in [d for d in lines if d["sign"] > 0]:
        lot = facts[numbers[d["lot"]]]
        clocks = (flow.first, flow.last)
        if step["kind"] in _NEW or flow.first is None or lot.kind != source:
            clocks = (step["happened_at"], step["happened_at"])
        if source in _GONE and lot.kind == "prefoam":
            clocks = (None, None)
        _in(d, states[d["lot"]], lot, (flow, clocks))
    return found


def _drawn(
    lines: list[dict[str, Any]],
    states: dict[str, Slow],
    known: tuple[dict[int, FoldLot], dict[str, int]],
    flow: Slow,
) -> tuple[str, list[Touched]]:
    facts, numbers = known
    source, drawn = "", []
    for d in [d for d in lines if d["sign"] < 0]:
        state = states[d["lot"]]
        flow.causes |= state.causes
        if facts[numbers[d["lot"]]].kind != "tie":
            flow.grades |= state.grades
            if state.first is not None and state.last is not None:
                source = facts[numbers[d["lot"]]].kind
                flow.first = min([state.first, *([flow.first] if flow.first else [])])
                flow.last = max([state.last, *([flow.last] if flow.last else [])])
        mg, pieces = d["mg"], d.get("pieces", 0)
        short, short_pieces = max(0, mg - state.mg), max(0, pieces - state.pieces)
        state.mg, state.pieces = max(0, state.mg - mg), max(0, state.pieces - pieces)
        state.place = d.get("place", state.place)
        line = FoldLine(0, numbers[d["lot"]], -1, mg, pieces, "", "")
        drawn.append(Touched(line, short, short_pieces, State(*state.told())))
    return source, drawn


def _in(
    d: dict[str, Any],
    state: Slow,
    lot: FoldLot,
    given: tuple[Slow, tuple[int | None, int | None]],
) -> None:
    flow, (first, last) = given
    if first is not None and last is not None:
        state.first = first if state.first is None else min(state.first, first)
        state.last = last if state.last is None else max(state.last, last)
    state.mg += d["mg"]
    state.in_mg += d["mg"]
    state.pieces += d.get("pieces", 0)
    state.grades |= flow.grades | (set(lot.own.split("|")) if lot.own else set())
    gone = lot.kind in _GONE
    state.causes |= {c for c in flow.causes if c.startswith("hold:")} if gone else flow.causes
    state.place = d.get("place", state.place)


def _as_step(step: dict[str, Any], numbers: dict[str, int]) -> FoldStep:
    order = {-1: 0, 0: 1, 1: 2}
    lines = sorted(step.get("lines", []), key=lambda d: order[d["sign"]])
    return FoldStep(
        no=0, key=step["key"], kind=step["kind"], k=0, tie=0, at_ms=step["happened_at"],
        lines=[
            FoldLine(i, numbers[d["lot"]], d["sign"], d["mg"], d.get("pieces", 0), "", "")
            for i, d in enumerate(lines)
        ],
        product=step.get("product", ""), place=step.get("place", ""), run=step.get("run", ""),
        facts=step.get("facts", {}), remainder_mg=step.get("remainder_mg", 0),
    )  # fmt: skip


def _stated(step: dict[str, Any], d: dict[str, Any], states: dict[str, Slow]) -> None:
    state = states[d["lot"]]
    if "place" in d:
        state.place = d["place"]
    match step["kind"]:
        case "swept_empty":
            states[d["lot"]] = Slow(place=state.place)
        case "ran_empty":
            state.mg = state.pieces = state.in_mg = 0
            state.first = state.last = None
        case "weigh" | "stocktake":
            state.mg, state.pieces = d["mg"], d.get("pieces", 0)


def stored(no: int) -> Told:
    """Give the same of a plant's projections."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT code, mg, pieces, in_mg, first, last, grades, causes, place"
            " FROM ledger_lot WHERE p=%s",
            [no],
        )
        states = {row[0]: tuple(row[1:]) for row in cursor.fetchall()}
        cursor.execute(
            "SELECT s.key, f.code, coalesce(l.code, ''), f.cause FROM ledger_finding f"
            " JOIN ledger_step s ON s.p=f.p AND s.no=f.step"
            " LEFT JOIN ledger_lot l ON l.p=f.p AND l.no=f.lot WHERE f.p=%s",
            [no],
        )
        findings = sorted(tuple(row) for row in cursor.fetchall())
    return Told(states, findings)
