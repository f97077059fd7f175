"""What a plant forbids, said a second time for the twin: from the words of the design alone.

Masses in milligrams, times in milliseconds. Each rule gives a code and the offending lot, or None
where the step itself offends.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from tests.ledger.twin import Flaw, Json, Lot, Settings, Step

__all__ = ["rules"]

_HOUR = 3_600_000
_SHORTAGE = {"bead": "0.01", "tie": "0.02", "prefoam": "0.05", "block": "0", "packaging": "0"}


def rules(
    step: Step,
    before: Mapping[str, Lot],
    draws: list[tuple[Json, int, int]],
    settings: Settings,
) -> list[Flaw]:
    """Everything that is wrong with a step."""
    if step.kind in {"hold", "lift"}:
        return []
    drawn = [before[line["lot"]] for line, _, _ in draws]
    found: list[Flaw] = []
    product = str(step.said.get("product", ""))
    if step.kind == "mould" or (step.kind in {"draw", "produce"} and product):
        found += _moulded(step, product, drawn, settings)
    if step.kind in {"expand", "fill"}:
        found += _into(step, before, drawn, settings)
    if step.kind in {"expand", "fill", "draw", "mould", "produce", "bundle", "ship", "grind"}:
        found += [("on_hold", lot.code) for lot in drawn if _held(lot, step.at)]
    found += _unreleased(step, drawn, settings)
    found += _unlike(step, before, drawn)
    found += _young(step, drawn, settings)
    tolerance = settings.at("tolerance", step.kind, step.at) or {}
    for (_, short, pieces), lot in zip(draws, drawn, strict=True):
        share = Decimal(tolerance.get("shortage") or _SHORTAGE.get(lot.kind, "0.05"))
        if lot.unit_mg and not pieces:
            continue  # a lot kept in pieces is short when pieces are missing
        if short > share * lot.in_mg or (pieces and not short):
            found.append(("more_than_held", lot.code))
    rest = abs(int(step.said.get("remainder_mg", 0)))
    came = sum(int(line["mg"]) for line, _, _ in draws)
    floor = Decimal(str(tolerance.get("remainder_floor") or "2 kg").split()[0]) * 1_000_000
    if rest > max(Decimal(tolerance.get("remainder") or "0.03") * came, floor):
        found.append(("imbalance", None))
    if not draws:
        found += _counted(step, before, tolerance)
    return list(dict.fromkeys(found))


def _unlike(step: Step, before: Mapping[str, Lot], drawn: list[Lot]) -> list[Flaw]:
    """A bundle is of one product."""
    made = [before[line["lot"]] for line in step.lines if line["sign"] > 0]
    return [
        ("bundle_of_other_product", lot.code)
        for lot in drawn
        if step.kind == "bundle" and lot.product
        if any(one.product not in {"", lot.product} for one in made)
    ]


def _unreleased(step: Step, drawn: list[Lot], settings: Settings) -> list[Flaw]:
    rule = settings.at("release", "rule", step.at)
    if rule is None or step.kind != "ship":
        return []
    found: list[Flaw] = []
    for lot in drawn:
        inside = {c[3:] for c in lot.causes if c.startswith("of:")} or {lot.code}
        wanted = int(rule.get("persons", 1))
        if lot.kind == "block" and not all(settings.released(c, step.at, wanted) for c in inside):
            found.append(("not_released", lot.code))
    return found


def _young(step: Step, drawn: list[Lot], settings: Settings) -> list[Flaw]:
    """Blocks give off pentane: each thing done to them too early has its own code."""
    facts = step.said.get("facts", {})
    doing = [("wrap", "too_young_to_wrap", {"block"})] if step.kind == "bundle" else []
    if step.kind == "ship" and facts.get("trailer") == "closed":
        doing.append(("closed_trailer", "too_young_for_trailer", {"block"}))
    if facts.get("cut") == "hot wire":
        doing.append(("hot_wire", "too_young_to_cut", {"block", "scrap"}))
    found: list[Flaw] = []
    for gate, code, kinds in doing:
        body = settings.at("age_gate", gate, step.at)
        if body is None:
            continue
        for lot in drawn:
            old = None if lot.last is None else Decimal(step.at - lot.last) / _HOUR
            if lot.kind in kinds and old is not None and old < Decimal(str(body["min_h"])):
                found.append((code, lot.code))
    return found


def _moulded(step: Step, product: str, drawn: list[Lot], settings: Settings) -> list[Flaw]:
    body = settings.at("product", product, step.at)
    if body is None:
        return [("unknown_product", None)]
    if body.get("family") != "form":
        return []
    approved = settings.at("approved", product, step.at)
    found: list[Flaw] = [] if approved else [("no_approved_list", None)]
    for lot in drawn:
        if lot.kind in {"regrind", "densified", "scrap"} or "reclaim" in lot.grades:
            found.append(("reclaim_in_block", lot.code))
        if approved and any(not _kept(g, approved, step, settings) for g in lot.grades):
            found.append(("wrong_grade", lot.code))
        if lot.what == "content":
            found += _aged(step, lot, settings)
    return found


def _kept(grade: str, approved: Mapping[str, Any], step: Step, settings: Settings) -> bool:
    """Whether a grade is on the list, and its beads are of a flame-retardant class asked for."""
    if grade == "reclaim":
        return True
    classes = approved.get("flame_retardants")
    said = settings.at("grade", grade, step.at) or {}
    retarded = not classes or said.get("of") == "tie" or said.get("flame_retardant") in classes
    return grade in approved["grades"] and retarded


def _aged(step: Step, lot: Lot, settings: Settings) -> list[Flaw]:
    """The first grade, by name, whose signed hours the beads do not keep says so."""
    if lot.first is None or lot.last is None:
        return []
    for grade in sorted(lot.grades):
        hours = settings.at("ageing", grade, step.at) or settings.at("ageing", "*", step.at)
        if hours is None:
            continue
        if step.at - lot.last < int(hours["min_h"]) * _HOUR:
            return [("too_fresh", lot.code)]
        if step.at - lot.first > int(hours["max_h"]) * _HOUR:
            return [("too_old", lot.code)]
    return []


def _into(
    step: Step, before: Mapping[str, Lot], drawn: list[Lot], settings: Settings
) -> list[Flaw]:
    found: list[Flaw] = []
    for line in step.lines:
        place = before[line["lot"]]
        if line["sign"] > 0 and place.what == "content":
            accepts = (settings.at("place", place.code, step.at) or {}).get("accepts")
            wrong = [lot for lot in drawn if accepts and lot.grades - set(accepts)]
            found += [("wrong_grade_in_place", lot.code) for lot in wrong]
    return found


def _held(lot: Lot, at: int) -> bool:
    """Held by a person who had said so before the lot was used."""
    holds = [cause for cause in lot.causes if cause.startswith("hold:")]
    return any(int(hold.rpartition("@")[2]) <= at for hold in holds)


def _counted(step: Step, before: Mapping[str, Lot], tolerance: Mapping[str, Any]) -> list[Flaw]:
    if step.kind not in {"ran_empty", "swept_empty", "weigh", "stocktake"}:
        return []
    found: list[Flaw] = []
    for line in step.lines:
        lot = before[line["lot"]]
        share = Decimal(tolerance.get("count") or "0.05")
        if line["sign"] == 0 and abs(line["mg"] - lot.mg) > share * max(lot.in_mg, lot.mg):
            found.append(("count_differs", lot.code))
    return found
