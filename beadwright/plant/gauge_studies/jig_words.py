"""A study of a go/no-go jig in words.

Read :func:`jig_written`.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.plant.gauge_studies.jig import JIG_SOURCE, JigBand, JigStudy
from beadwright.plant.gauge_studies.written import Section, Sort, Table, Written, figures, percent
from beadwright.plant.words import in_runs, number
from beadwright.statistics.agreement import Kappa
from beadwright.statistics.proportions import Proportion

__all__ = ["NOT_COUNTED", "jig_written"]

_STATES: dict[JigBand, tuple[Sort, str]] = {
    "fit": ("good", "fit"),
    "conditional": ("ask", "fit for some uses"),
    "unfit": ("stop", "not fit"),
}
NOT_COUNTED = (
    "whether the reference is right",
    "how many pieces near the limit the plant makes: the rates are of these pieces",
    "that a person who judges a piece again remembers it",
)
_REMARK = (
    "Rates take every judgement as one by itself; of one piece they are alike, so the true"
    " intervals are wider."
)


def jig_written(found: JigStudy) -> Written:
    """Write a study."""
    sort, state = _STATES[found.worst]
    cells = found.cells
    bad = len(found.good) - sum(found.good)
    people = "1 person" if len(cells.people) == 1 else f"{len(cells.people)} people"
    about = (
        f"{len(cells.parts)} pieces ({bad} of them bad by the reference), {people},"
        f" {number(cells.trials, 'trial')} of each"
    )
    return Written(
        f"Study of a go/no-go jig, {found.file}", about, sort, state, tuple(_verdict(found)),
        f"bands: {JIG_SOURCE}", tuple(_sections(found)), NOT_COUNTED,
    )  # fmt: skip


def _verdict(found: JigStudy) -> Iterator[str]:
    study = found.study
    yield f"Of judgements of bad pieces {_share(study.miss)} let the piece pass: the misses."
    yield f"Of judgements of good pieces {_share(study.false_alarm)} turned it away."
    yield f"Everybody judged {_share(study.all_right)} of the pieces rightly every time."
    unfit = [one for i, one in enumerate(found.cells.people) if found.band(i) == "unfit"]
    if unfit:
        yield f"Not fit in the hands of {', '.join(unfit)}: have them shown, and judge again."
    if study.miss.count == 0:
        yield (
            f"No bad piece passed in {study.miss.of} judgements; that is no proof: up to"
            f" {percent(study.miss.upper)} may."
        )


def _share(one: Proportion) -> str:
    return (
        f"{percent(one.share)} ({one.count} of {one.of}; 95 %: {percent(one.lower)} to"
        f" {percent(one.upper)})"
    )


def _sections(found: JigStudy) -> Iterator[Section]:
    yield Section("Person by person", (_REMARK,), (_people(found),), picture="misses")
    yield Section("Agreement beyond chance", tuple(_kappas(found)), (_pairs(found),))
    yield Section("Pieces that were not judged rightly every time", tuple(_wrong(found)))
    if found.jig is not None or found.why_not:
        yield Section("Where the jig turns", tuple(_turns(found)))


def _people(found: JigStudy) -> Table:
    rows = []
    for i, (person, judge) in enumerate(zip(found.cells.people, found.study.judges, strict=True)):
        shares = (judge.consistent, judge.effective, judge.miss, judge.false_alarm)
        told = [f"{one.count} of {one.of}" for one in shares]
        rows.append((person, *told, f"{judge.with_truth.value:.2f}", _STATES[found.band(i)][1]))
    columns = (
        "person", "alike every time>", "rightly every time>", "misses>", "false alarms>",
        "kappa>", "verdict",
    )  # fmt: skip
    return Table("People against the reference", columns, tuple(rows))


def _kappas(found: JigStudy) -> Iterator[str]:
    among = found.study.among_all
    if among is None:
        yield "Every judgement was the same: agreement beyond chance cannot be told."
    else:
        yield f"Among all judgements of a piece kappa is {_kappa(among)}."
    yield "1 is full agreement, 0 what chance gives. Look at misses first: kappa hides which way."


def _pairs(found: JigStudy) -> Table:
    rows = tuple(
        (
            f"{found.cells.people[one.first]} and {found.cells.people[one.second]}",
            "cannot be told" if one.kappa is None else f"{one.kappa.value:.2f}",
            "" if one.kappa is None else f"{one.kappa.lower:.2f} to {one.kappa.upper:.2f}",
        )
        for one in found.study.pairs
    )
    return Table("Two by two", ("people", "kappa>", "95 %>"), rows)


def _kappa(one: Kappa) -> str:
    return f"{one.value:.2f} (95 %: {one.lower:.2f} to {one.upper:.2f})"


def _wrong(found: JigStudy) -> Iterator[str]:
    if not found.wrong:
        yield "None. Pieces nearer the limit would tell more."
        return
    yield f"{in_runs(found.wrong)}. Measure them: most lie near the limit."


def _turns(found: JigStudy) -> Iterator[str]:
    if found.jig is None:
        yield f"It cannot be told from the sizes: {found.why_not}"
        return
    jig, unit = found.jig, found.unit
    side = "larger" if jig.accepts_above else "smaller"
    yield (
        f"It turns at {figures(jig.turning_point, 5)} {unit} (standard uncertainty"
        f" {figures(jig.u_turning_point, 2)}) and accepts what is {side}. What it turns at scatters"
        f" with a standard deviation of {figures(jig.spread, 3)} {unit} (±"
        f" {figures(jig.u_spread, 2)})."
    )
