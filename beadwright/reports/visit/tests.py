"""Tests required against done, with their gaps; and instruments: fit, lapsed, never calibrated."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from beadwright.ledger import lots
from beadwright.ledger.draft import Decision
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.calibrations import instruments
from beadwright.plant.dues import Due, due
from beadwright.plant.gauge_studies.recorded import KIND as STUDY
from beadwright.plant.gauge_studies.recorded import study_words
from beadwright.plant.inspection_plans.bearing import WAITS, WAITS_MEASURED
from beadwright.plant.opening import Plant
from beadwright.plant.release import assess
from beadwright.plant.release_words import headline
from beadwright.plant.reports import Report, reports
from beadwright.reports.visit.entries import Entry, Since
from beadwright.reports.visit.parts import Part, Table, table
from beadwright.reports.words import KINDS, in_words, local

__all__ = ["parts"]


def parts(plant: Plant, seen: Since, since_ms: int, at_ms: int) -> tuple[Part, ...]:
    """Give the parts on tests and on instruments; ``seen`` says what was entered since."""
    moulded = _moulded(plant.no, since_ms)
    made = assess(plant.no, moulded).lots if moulded else ()
    words = (
        "Periodic and type tests are required by the plant's plan, or by a limit that asks for one."
        " Lot tests are required of each lot: what a lot lacks stands under its code."
    )
    tables = (
        _required(due(plant.no, at_ms)),
        _lacking(made, plant),
        _reports(reports(plant.no), plant, seen),
    )
    counts = Counter(_answer(one) for one in made)
    facts = (
        ("Lots moulded since", str(len(made))),
        *((answer, str(counts[answer])) for answer in sorted(counts)),
        ("released", str(sum(one.released for one in made))),
    )
    return Part("Tests required and done", (words,), facts, tables), _instruments(
        plant, seen, at_ms
    )


def _answer(one: LotAssessment) -> str:
    """Give an answer as it is counted, as of now: "may ship" is not left to be read as released."""
    free = one.may_leave and not one.released
    return f"{headline(one)}, no rule asks for a release" if free else headline(one)


def _moulded(plant_no: int, since_ms: int) -> list[str]:
    """Give the lots whose last mould run began since."""
    views = [one.code for one in lots.of_kind(plant_no, "block", "mould run")]
    makings = lots.makings(plant_no, views)
    return [code for code in views if code in makings and makings[code][-1].at_ms >= since_ms]


def _required(found: Iterable[Due]) -> Table:
    rows = [
        (in_words(one.state), one.product, in_words(one.characteristic), KINDS[one.evidence],
         one.every, "" if one.last is None else f"{one.last.sampled}, {one.last.source}",
         "" if one.next_due is None else one.next_due.isoformat(), ", ".join(one.waiting))
        for one in found
    ]  # fmt: skip
    columns = (
        "state|product|characteristic:2|test:2|every|last sample:3|next due|lots in stock waiting:2"
    )
    none = "None: the plant has no plan in force, or it asks for no periodic and no type test."
    return table("Periodic and type tests", columns, rows, none)


def _lacking(made: Iterable[LotAssessment], plant: Plant) -> Table:
    rows = []
    for one in made:
        why = dict.fromkeys(in_words(r.code) for r in one.reasons if r.weight == "asks")
        if why:
            at = "" if one.made_at_ms is None else local(one.made_at_ms, plant.zone)
            standing = "released" if one.released else "shipped" if one.whereabouts.shipped else ""
            rows.append((one.lot, one.product, at, _of_what(one), ", ".join(why), standing))
    columns = "lot|product|moulded|lacks evidence of:4|why:3|standing"
    return table("Gaps: lots moulded since that lack evidence", columns, rows)


def _of_what(one: LotAssessment) -> str:
    """Name the characteristics that a lot lacks evidence of."""
    limits = [
        each.limit.characteristic for each in one.limits if each.finding == "not_enough_evidence"
    ]
    tests = [each.characteristic for each in one.tests if each.state != "covers"]
    aside = [name for each in one.aside for name in each.characteristics]
    plans = [r.source for r in one.reasons if r.code in {WAITS, WAITS_MEASURED}]
    told = ", ".join(in_words(name) for name in dict.fromkeys([*limits, *tests, *aside, *plans]))
    return told or "; ".join(r.sentence for r in one.reasons if r.weight == "asks")


def _reports(found: Iterable[Report], plant: Plant, seen: Since) -> Table:
    """List the reports that the record took since, whatever days stand in them."""
    recorded = {one.seq: local(one.recorded_at, plant.zone) for one in seen.entries}
    rows = [
        (one.number, one.laboratory, ", ".join(one.products), in_words(one.characteristic),
         one.result, one.sampled.isoformat(), "" if one.issued is None else one.issued.isoformat(),
         f"withdrawn: {one.withdrawn}" if one.withdrawn else "counts", recorded[one.seq],
         str(one.seq))
        for one in found
        if one.seq in recorded
    ]  # fmt: skip
    columns = (
        "report|laboratory:2|products:2|characteristic:2|result|sampled|issued|standing:2"
        "|recorded:2|entry>"
    )
    return table("Test reports entered since", columns, rows)


def _instruments(plant: Plant, seen: Since, at_ms: int) -> Part:
    rows = [
        (one.status.fitness, one.name, one.what, one.place, one.every,
         "" if one.status.last is None else one.status.last.done.isoformat(),
         "" if one.status.due is None else one.status.due.isoformat(),
         "" if one.status.last is None else one.status.last.certificate)
        for one in instruments(plant.no, at_ms)
    ]  # fmt: skip
    columns = "state|instrument|what:3|place:2|every|last done|holds until|certificate:2"
    none = "The plant lists no instrument: readings are not judged by calibration."
    stand = table("As they stand", columns, rows, none)
    columns = "instrument|done|result|as found|as left|certificate:2|holds until|by|recorded|entry>"
    done = [
        _calibration(one, one.draft, plant)
        for one in seen.entries
        if isinstance(one.draft, Decision) and one.draft.kind == "calibration"
    ]
    entered = table("Calibrations entered since", columns, done)
    columns = "instrument|what it found:5|by|recorded|entry>"
    studies = [
        (one.draft.about, study_words(one.draft.body), one.draft.by or one.account,
         local(one.recorded_at, plant.zone), str(one.seq))
        for one in seen.entries
        if isinstance(one.draft, Decision) and one.draft.kind == STUDY
    ]  # fmt: skip
    studied = table("Gauge studies entered since", columns, studies)
    return Part("Instruments and calibrations", tables=(stand, entered, studied))


def _calibration(one: Entry, said: Decision, plant: Plant) -> tuple[str, ...]:
    names = ("done", "result", "certificate", "due", "as_found", "as_left")
    told = {key: str(said.body.get(key, "")) for key in names}
    return (
        said.about, told["done"], told["result"], told["as_found"], told["as_left"],
        told["certificate"],
        told["due"] or "one period on", said.by or one.account,
        local(one.recorded_at, plant.zone), str(one.seq),
    )  # fmt: skip
