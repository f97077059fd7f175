"""A lot that the inspector picked: how it stands, and its trace both ways."""

from __future__ import annotations

from beadwright.ledger import lots
from beadwright.ledger.account import OUTSIDE, account
from beadwright.ledger.trace import BEAD_MG, Direction, Trace, trace
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.mass_off import off_of
from beadwright.plant.opening import Plant
from beadwright.plant.release import assess
from beadwright.plant.release_words import headline
from beadwright.plant.signed_how import signed_how
from beadwright.reports.referenced import referenced
from beadwright.reports.visit.parts import Part, Table, table
from beadwright.reports.words import asked_of, expanded, in_words, local, per_cent

__all__ = ["traced"]

_BLOCK = "block"
_WEIGHS = {"stops": "stops it", "asks": "is missing", "notes": "to note"}
_MG_PER_KG = 1e6
_LITTLE_KG = 0.05


def traced(plant: Plant, code: str) -> Part:
    """Give the part on one lot."""
    view = lots.get_many(plant.no, [code])[code]
    what = f"{view.what or view.kind}{f' of {view.product}' if view.product else ''}"
    pieces = f", {view.pieces} pieces" if view.pieces else ""
    where = view.place.removeprefix(OUTSIDE) or "no place said"
    facts = [("Lot", f"{code}, {what}"), ("Stands", f"{_kg(view.mg)} kg{pieces}, at {where}")]
    tables: list[Table] = []
    if view.kind == _BLOCK:
        for told in assess(plant.no, [code]).lots:
            facts += _standing(told, plant)
            tables += [_reasons(told), _limits(told), _tests(told)]
    tables += [_way(plant, code, "back"), _way(plant, code, "forward"), _account(plant, code)]
    words = (
        "Shares and masses are estimates where material was mixed: each silo is taken as well"
        " mixed. Lots with less than one bead's expected mass are given as a sum."
    )
    return Part(f"Lot {code}, traced both ways", (words,), tuple(facts), tuple(tables))


def _standing(told: LotAssessment, plant: Plant) -> list[tuple[str, str]]:
    said = "not released"
    if told.approvals:
        said = "; ".join(
            f"by {one.by}, {local(one.at_ms, plant.zone)}, entry {one.seq}"
            f" ({signed_how(one.by, one.account)})"
            for one in told.approvals
        )
        if not told.released:
            said += "; it is suspended" if told.suspended else "; another person must release it"
    return [
        (f"Answer for {told.lot}", headline(told)),
        ("Release", said),
        ("Decision rule", told.decision_rule or "no limit"),
        ("Evidence", told.evidence),
    ]


def _reasons(told: LotAssessment) -> Table:
    rows = [(_WEIGHS[one.weight], one.sentence, one.source) for one in told.reasons]
    return table(f"{told.lot}: reasons, worst first", "standing|reason:5|source:3", rows)


def _limits(told: LotAssessment) -> Table:
    rows = [
        (in_words(one.limit.characteristic), asked_of(one.limit), one.value or one.missing,
         expanded(one), str(one.n or ""),
         in_words(one.finding), one.limit.stated)
        for one in told.limits
    ]  # fmt: skip
    columns = "characteristic:2|limit:3|result>|U (k = 2)>|n>|finding|source:3"
    return table(f"{told.lot}: limits", columns, rows)


def _tests(told: LotAssessment) -> Table:
    rows = [
        (one.kind, one.characteristic, one.every, one.source, one.result, one.finding, one.sentence)
        for one in referenced(told)
    ]
    columns = "test|characteristic:2|every|source:3|result:2|finding|how it stands:4"
    return table(f"{told.lot}: planned tests", columns, rows)


def _way(plant: Plant, code: str, direction: Direction) -> Table:
    found: Trace = trace(plant.no, code, direction, cut_mg=BEAD_MG, off=off_of(plant.no))
    steps = {step.key: step for step in found.steps}
    rows = [
        (one.lot.code, one.lot.what or one.lot.kind, one.lot.place.removeprefix(OUTSIDE),
         f"{steps[one.step].kind if one.step in steps else ''} {one.step}",
         local(one.at_ms, plant.zone), _kg(one.mg), per_cent(one.share),
         f"{100 * one.least:.1f}–{100 * one.most:.1f} %")
        for one in found.lots
    ]  # fmt: skip
    if found.cut_mg:
        rows.append(("others", "", "", "", "", f"{found.cut_mg / _MG_PER_KG:.6f}", "", ""))
    what = "Back: what it was made of" if direction == "back" else "Forward: what was made of it"
    columns = "lot|what|place:2|first joined by:3|when|kg>|share>|between>"
    return table(what, columns, rows)


def _account(plant: Plant, code: str) -> Table:
    one = account(plant.no, code)
    rows = [
        ("in stock", _kg(one.in_stock)),
        ("shipped", _kg(one.shipped)),
        ("scrapped", _kg(one.scrapped)),
        ("sampled", _kg(one.sampled)),
        *((f"lost: {name}", _kg(mg)) for name, mg in one.losses.items()),
        ("unaccounted", _kg(one.unaccounted)),
        ("in all", _kg(one.total)),
        ("what was made", _kg(one.made)),
    ]
    return table("Where its material is now", "where|kg>", rows)


def _kg(mg: float) -> str:
    """Give a mass in kg, to 0.1 kg; what would read as nothing, to a gram."""
    kg = mg / _MG_PER_KG
    digits = 3 if 0 < abs(kg) < _LITTLE_KG else 1
    return f"{round(kg, digits) + 0:.{digits}f}"  # adding 0 turns -0.0 into 0.0
