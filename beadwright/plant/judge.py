"""The judge: what a plant forbids, read from a step, the states before it and dated settings.

Pure: the door asks it before a planned step, the fold after every step, the rebuild again, and all
get the same answer. Read :func:`judge` first; each rule below it is one function.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from beadwright import units
from beadwright.ledger.draft import RECLAIM
from beadwright.ledger.fold import (
    Dated,
    Flaw,
    FoldLine,
    FoldLot,
    FoldStep,
    State,
    Touched,
    members,
    moulded,
)
from beadwright.ledger.settings import RELEASED
from beadwright.plant.approved import stands
from beadwright.plant.listing import not_listed
from beadwright.plant.masses_said import mass_said
from beadwright.plant.young import too_young

__all__ = ["JUDGED", "count_tolerated_mg", "judge"]

JUDGED = frozenset(
    {"product", "grade", "approved", "ageing", "tolerance", "place", "release", "age_gate"}
)
"""Topics of settings that the judge reads."""

_MAKES_BLOCKS = frozenset({"mould", "draw", "produce"})
_USES = frozenset({"expand", "fill", "draw", "mould", "produce", "bundle", "ship", "grind"})
_MOVES_INTO_PLACE = frozenset({"expand", "fill"})
_FOAM = frozenset({"bead", "prefoam", "regrind", "densified", "scrap"})
_RECLAIMED = frozenset({"regrind", "densified", "scrap"})
_HOUR_MS = 3_600_000

_SHORTAGE = {"bead": "0.01", "tie": "0.02", "prefoam": "0.05", "block": "0", "packaging": "0"}
"""Share of what came in that a draw may pass the books by: scale and backflush error.
Common practice, no source; a plant sets its own under ``tolerance``."""

_SHORTAGE_ELSE = "0.05"
_REMAINDER, _REMAINDER_FLOOR, _COUNT = "0.03", "2 kg", "0.05"
_CELLS = {
    "expand": "mass, prefoam_mass and loss",
    "mould": "good, scrap, foam_per_block and ties_used",
    "inspect": "rejected",
    "strip": "mass and ties_mass",
}
"""What to look at where a step does not balance: the cells its masses are worked out from."""

_NONE: Mapping[str, object] = {}


def judge(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    drawn: Sequence[Touched],
    settings: Dated,
) -> list[Flaw]:
    """Everything that is wrong with a step, worst first."""
    kind = step.kind
    if kind in {"hold", "lift"}:
        return []
    flaws: list[Flaw] = []
    inputs = [t.line for t in drawn]
    if kind in _MAKES_BLOCKS and (step.product or kind == "mould"):
        flaws += _moulded(step, lots, before, inputs, settings)
    if kind in _MOVES_INTO_PLACE:
        flaws += _into_place(step, lots, before, inputs, settings)
    if kind in _USES:
        flaws += _on_hold(step, lots, before, inputs)
    if kind == "ship":
        flaws += _not_released(step, lots, before, inputs, settings)
    if kind == "bundle":
        flaws += _of_other_product(step, lots, inputs)
    flaws += too_young(step, lots, before, inputs, settings)
    tolerance = settings.at("tolerance", kind, step.at_ms) or _NONE
    flaws += _more_than_held(lots, before, drawn, tolerance)
    if step.remainder_mg:
        flaws += _imbalance(step, inputs, tolerance)
    if not drawn:
        flaws += _counted(step, lots, before, tolerance)
    return flaws


def _moulded(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    inputs: Sequence[FoldLine],
    settings: Dated,
) -> Iterator[Flaw]:
    product = settings.at("product", step.product, step.at_ms)
    if product is None:
        yield Flaw("unknown_product", None, f"product {step.product or '(none)'} was not set up")
        return
    if product.get("family") != "form":
        return
    approved = settings.at("approved", step.product, step.at_ms)
    if approved is None:
        yield Flaw("no_approved_list", None, f"{step.product} has no approved list in force")
    for line in inputs:
        lot, state = lots[line.lot], before[line.lot]
        marks = set(members(state.grades))
        if lot.kind in _RECLAIMED or RECLAIM in marks:
            yield Flaw(
                "reclaim_in_block",
                lot.no,
                f"{lot.code} holds foam that was moulded before; it went into {step.product}",
            )
        if approved is not None:
            listing = (approved, settings, step.at_ms)
            what = "; ".join(not_listed(lot.code, step.product, marks - {RECLAIM}, listing))
            if what:
                yield Flaw("wrong_grade", lot.no, what)
        if lot.what == "content":
            yield from _aged(step, lot, state, settings)


def _aged(step: FoldStep, lot: FoldLot, state: State, settings: Dated) -> Iterator[Flaw]:
    """Too fresh counts from the last bead in, stale from the first."""
    if state.last is None or state.first is None:
        return
    for grade in members(state.grades):
        hours = settings.at("ageing", grade, step.at_ms) or settings.at("ageing", "*", step.at_ms)
        if hours is None:
            continue
        fresh = (step.at_ms - state.last) / _HOUR_MS
        least, most = float(str(hours["min_h"])), float(str(hours["max_h"]))
        if fresh < least:
            yield Flaw(
                "too_fresh",
                lot.no,
                f"{lot.code} was moulded {fresh:.1f} h after its last filling;"
                f" {grade} is signed for at least {least:g} h",
            )
            return
        old = (step.at_ms - state.first) / _HOUR_MS
        if old > most:
            yield Flaw(
                "too_old",
                lot.no,
                f"{lot.code} was moulded {old:.1f} h after its first filling;"
                f" {grade} is signed for at most {most:g} h",
            )
            return


def _into_place(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    inputs: Sequence[FoldLine],
    settings: Dated,
) -> Iterator[Flaw]:
    """A plate on a place says which grades it accepts; reclaim only where it is listed."""
    for out in step.lines:
        lot = lots[out.lot]
        if out.sign <= 0 or lot.what != "content":
            continue
        place = settings.at("place", lot.code, step.at_ms) or _NONE
        accepts = place.get("accepts")
        if not accepts:
            continue
        for line in inputs:
            source = lots[line.lot]
            marks = set(members(before[line.lot].grades))
            wrong = sorted(m for m in marks if m not in accepts)  # type: ignore[operator]
            if wrong:
                yield Flaw(
                    "wrong_grade_in_place",
                    source.no,
                    f"{source.code} ({', '.join(wrong)}) went into {lot.code},"
                    f" which accepts {', '.join(accepts)}",  # type: ignore[arg-type]
                )


def _on_hold(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    inputs: Sequence[FoldLine],
) -> Iterator[Flaw]:
    for line in inputs:
        for cause in members(before[line.lot].causes):
            if cause.startswith("hold:"):
                hold, _, placed = cause[5:].rpartition("@")
                if int(placed) <= step.at_ms:
                    code = lots[line.lot].code
                    yield Flaw("on_hold", line.lot, f"{code} was used while on hold {hold}")
                    break


def _not_released(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    inputs: Sequence[FoldLine],
    settings: Dated,
) -> Iterator[Flaw]:
    """From when the plant set who releases, what ships without is wrong."""
    rule = settings.at("release", "rule", step.at_ms)
    if rule is None:
        return
    for line in inputs:
        lot = lots[line.lot]
        if lot.kind != "block":
            continue
        inside = moulded(before[line.lot].causes) or (lot.code,)
        given = {code: settings.at(RELEASED, code, step.at_ms) for code in inside}
        missing = [code for code, body in given.items() if not stands(body, rule)]
        if missing:
            what = f"{lot.code} was shipped before {', '.join(missing)} was released"
            yield Flaw("not_released", lot.no, what)


def _of_other_product(
    step: FoldStep, lots: Mapping[int, FoldLot], inputs: Sequence[FoldLine]
) -> Iterator[Flaw]:
    """A bundle bears the label of one product; several lots of it may be in one."""
    bundles = [lots[line.lot] for line in step.lines if line.sign > 0]
    for lot in (lots[line.lot] for line in inputs):
        for one in bundles:
            if lot.product and one.product and lot.product != one.product:
                what = f"{lot.code} is of {lot.product}; it went into {one.code}, a bundle of"
                yield Flaw("bundle_of_other_product", lot.no, f"{what} {one.product}")


def _more_than_held(
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    drawn: Sequence[Touched],
    tolerance: Mapping[str, object],
) -> Iterator[Flaw]:
    for t in drawn:
        if not t.differ_mg and not t.differ_pieces:
            continue
        lot, state = lots[t.line.lot], before[t.line.lot]
        if lot.unit_mg and not t.differ_pieces:
            continue  # kept in pieces: its unit mass was stated anew, and no piece is missing
        share = _share(tolerance.get("shortage") or _SHORTAGE.get(lot.kind, _SHORTAGE_ELSE))
        if t.differ_mg > share * state.in_mg or (t.differ_pieces and not t.differ_mg):
            held = _pieces(state.pieces) if lot.unit_mg else mass_said(state.mg)
            drew = _pieces(t.line.pieces) if lot.unit_mg else mass_said(t.line.mg)
            over = _pieces(t.differ_pieces) if lot.unit_mg else mass_said(t.differ_mg)
            yield Flaw(
                "more_than_held",
                lot.no,
                f"{lot.code} held {held} by the books; this step drew {drew} ({over} too much)",
            )


def _imbalance(
    step: FoldStep, inputs: Sequence[FoldLine], tolerance: Mapping[str, object]
) -> Iterator[Flaw]:
    came = sum(line.mg for line in inputs)
    floor = _mg(str(tolerance.get("remainder_floor") or _REMAINDER_FLOOR))
    allowed = max(_share(tolerance.get("remainder") or _REMAINDER) * came, floor)
    if abs(step.remainder_mg) > allowed:
        off = mass_said(abs(step.remainder_mg))
        what = f"of {mass_said(came)} that went in, {off} are missing"
        if step.remainder_mg < 0:
            what = f"{off} more came out than went in ({mass_said(came)})"
        cells = _CELLS.get(step.kind, "")
        look = f"; look at {cells}" if cells else ""
        yield Flaw("imbalance", None, f"{what}; {mass_said(int(allowed))} are tolerated{look}")


def _counted(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    tolerance: Mapping[str, object],
) -> Iterator[Flaw]:
    if step.kind not in {"ran_empty", "swept_empty", "weigh", "stocktake"}:
        return
    for line in step.lines:
        if line.sign:
            continue
        state, lot = before[line.lot], lots[line.lot]
        off = line.mg - state.mg
        if abs(off) > count_tolerated_mg(tolerance, state.in_mg, state.mg):
            yield Flaw(
                "count_differs",
                lot.no,
                f"{lot.code}: the books say {mass_said(state.mg)}, found {mass_said(line.mg)}",
            )


def count_tolerated_mg(tolerance: Mapping[str, object], in_mg: int, mg: int) -> float:
    """By how much a count may differ from the books, in mg; all in mg: what came in, what is left.

    ``tolerance`` is the plant's own for that kind of step; empty where it sets none.
    """
    return _share(tolerance.get("count") or _COUNT) * max(in_mg, mg)


@lru_cache(maxsize=1024)
def _share(text: object) -> float:
    return float(str(text))


@lru_cache(maxsize=1024)
def _mg(text: str) -> int:
    number, unit = text.split(None, 1)
    return units.to_mg(units.parse_number(number, decimal=".", thousands=None), unit)


def _pieces(number: int) -> str:
    return f"{number} piece" if number == 1 else f"{number} pieces"
