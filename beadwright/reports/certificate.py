"""The certificate of a block lot: what it says, as frozen data, and the page set from that.

Read :class:`Certificate` first. :func:`content` gathers it from the record; its canonical JSON is
what is kept in the record, attached to the PDF, and all that :func:`render` ever reads.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from beadwright.ledger import lots
from beadwright.ledger.chain import canonical
from beadwright.ledger.trace import trace
from beadwright.plant.assessment import FOUND_WRONG, LotAssessment
from beadwright.plant.inspection_plans.bearing import INSPECTED, only_asks
from beadwright.plant.lifted import lifted
from beadwright.plant.look_back.of_lot import looked_back
from beadwright.plant.opening import Plant
from beadwright.plant.signed_how import signed_how
from beadwright.plant.verdicts import STATE_WORDS, LimitResult
from beadwright.reports.referenced import TestLine, referenced, unanswered
from beadwright.reports.rule_words import rule_said
from beadwright.reports.setting import typeset
from beadwright.reports.words import (
    CAUTIONS,
    INVENTED,
    NAMES_APART,
    asked_of,
    expanded,
    in_words,
    iso,
    local,
    per_cent,
    status_of,
)

__all__ = [
    "FIRST_TOLD",
    "TELLS",
    "Approved",
    "Certificate",
    "LimitLine",
    "Origin",
    "Run",
    "Source",
    "content",
    "render",
]

_TOLD = frozenset(
    {
        "calibrated_late",
        "conceded",
        "columns_disagree",
        "defects",
        "entered_late",
        FOUND_WRONG,
        "instrument_unproven",
        "method_departed",
        "out_of_calibration",
        INSPECTED,
        "readings_restated",
        "rule_loosened",
        "set_afterwards",
        "set_up_by_other",
        "step_corrected",
        "superseded_edition",
    }
)
"""Reasons that stop nothing, and that a receiver should know."""

_SAYS_ITSELF = frozenset(
    {
        "calibrated_late",
        "conceded",
        "entered_late",
        "instrument_unproven",
        "method_departed",
        INSPECTED,
        "readings_restated",
        "rule_loosened",
        "set_afterwards",
        "set_up_by_other",
        "step_corrected",
    }
)
"""Codes whose sentences begin with their words."""

TELLS = _TOLD
"""Codes of all that the notes may tell, which a paper states: one that was issued before a code was
told is compared without it."""

FIRST_TOLD = _TOLD - {"method_departed", "set_up_by_other", FOUND_WRONG, INSPECTED}
"""What the notes of a paper tell that does not say it: those issued before this was kept."""

_FORM = 1
"""Of the template and of what the content holds: what was issued is set again by its own form."""


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One limit and the lot's result; every text as the page shows it."""

    name: str
    characteristic: str
    limit: str
    """Bound, value, unit and statistic in words."""
    result: str
    result_si: str
    """Unrounded, in the SI unit of its kind: what was compared."""
    u: str
    """Expanded uncertainty, k = 2; empty where it is not known."""
    n: int
    asked: int
    state: str
    finding: str
    source: str
    standard: str
    edition: str
    clause: str
    status: str
    """Whether the figure was verified against the paid text, and by whom."""


@dataclass(frozen=True, slots=True)
class Source:
    """A lot that the lot was made of, and its expected share of the lot's mass."""

    lot: str
    grades: str
    share: str


@dataclass(frozen=True, slots=True)
class Run:
    """One mould run of the lot."""

    step: str
    at: str
    place: str
    pieces: int


@dataclass(frozen=True, slots=True)
class Origin:
    """What the lot was made of, and in which runs."""

    made_from: str
    made_until: str
    runs: tuple[Run, ...]
    bags: tuple[Source, ...]
    places: tuple[Source, ...]
    ties: tuple[Source, ...]
    others: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class Approved:
    """One release of the lot: by whom, when, at which entry of the record."""

    by: str
    at: str
    entry: int
    how: str
    """Whether they signed in, or somebody typed it; papers issued before this was told lack it."""
    note: str
    """What they wrote beside it; papers issued before this was told lack it."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """Everything a certificate says."""

    form: int
    paper: str
    number: str
    lot: str
    product: str
    title: str
    plant: str
    plant_name: str
    zone: str
    issued: tuple[int, ...]
    """UTC: year, month, day, hour, minute, second."""
    issued_at: str
    issued_by: str
    pieces: int
    aside: int
    """Pieces of the lot that were rejected, sampled or counted less."""
    limits: tuple[LimitLine, ...]
    tests: tuple[TestLine, ...]
    """Planned tests by reference: periodic, type, and lot tests that another lot answers for."""
    elsewhere: tuple[str, ...]
    """Limits that rest on other evidence than readings of the lot, and that no test here answers.
    """
    notes: tuple[str, ...]
    tells: tuple[str, ...]
    """Codes of what the notes would tell where there is any."""
    lifted: tuple[str, ...]
    """Holds on the lot, or on what it was made of, that were lifted: from what, by whom, why."""
    origin: Origin
    released: tuple[Approved, ...]
    evidence: str
    head: str
    rule: str
    cautions: tuple[str, ...]
    people: str
    banner: str
    """What a demonstration says on each page; empty of a real plant."""

    @property
    def text(self) -> str:
        """Its canonical JSON."""
        return canonical(json.loads(json.dumps(dataclasses.asdict(self))))


def content(
    plant: Plant,
    told: LotAssessment,
    number: str,
    issue: tuple[int, str, str],
    tells: frozenset[str] = TELLS,
) -> Certificate:
    """Gather what the certificate of a lot says; ``issue`` is when, by whom, on which paper."""
    at_ms, by, paper = issue
    when = datetime.fromtimestamp(at_ms // 1000, UTC)
    return Certificate(
        form=_FORM,
        paper=paper,
        number=number,
        lot=told.lot,
        product=told.product,
        title=told.title,
        plant=plant.code,
        plant_name=plant.name,
        zone=plant.zone.key,
        issued=(when.year, when.month, when.day, when.hour, when.minute, when.second),
        issued_at=iso(at_ms, plant.zone),
        issued_by=by,
        pieces=told.whereabouts.made,
        aside=told.whereabouts.gone,
        limits=tuple(_limit(one) for one in told.limits),
        tests=referenced(told),
        elsewhere=unanswered(told),
        notes=tuple(_notes(plant, told, tells)),
        tells=tuple(sorted(tells)),
        lifted=tuple(lifted(plant, told.lot)),
        origin=_origin(plant, told.lot),
        released=_released(told, plant.zone),
        evidence=told.evidence,
        head=f"{plant.head[0]}:{plant.head[1]}",
        rule=rule_said(told.judged_by),
        cautions=CAUTIONS,
        people=NAMES_APART,
        banner=INVENTED if plant.invented else "",
    )


def render(text: str) -> bytes:
    """Set a certificate from its canonical JSON: the same text gives the same bytes."""
    said = json.loads(text)
    year, month, day, hour, minute, second = said["issued"]
    at = datetime(year, month, day, hour, minute, second, tzinfo=UTC)
    return typeset(f"certificate_{said['form']}", text, at)


def _limit(one: LimitResult) -> LimitLine:
    limit = one.limit
    return LimitLine(
        name=limit.name,
        characteristic=in_words(limit.characteristic),
        limit=asked_of(limit),
        result=one.value,
        result_si=repr(one.value_si),
        u=expanded(one),
        n=one.n,
        asked=limit.specimens,
        state=STATE_WORDS.get(one.state, one.state),
        finding=in_words(one.finding),
        source=limit.source or "no source stated",
        standard=limit.standard,
        edition=limit.edition,
        clause=limit.clause,
        status=status_of(limit),
    )


def _notes(plant: Plant, told: LotAssessment, tells: frozenset[str]) -> Iterable[str]:
    """Say what a receiver should know besides: concessions, columns that differ, defects, plans.

    First, of an instrument that was found wrong since: which, how far off, what that changes.
    """
    if FOUND_WRONG in tells:
        yield from (f"{looked_back(plant.no, told.lot, one)} ({one.source})" for one in told.doubts)
    for reason in told.reasons:
        if reason.code in tells - {FOUND_WRONG} and not only_asks(reason):
            what = "" if reason.code in _SAYS_ITSELF else f"{in_words(reason.code)}: "
            yield f"{what}{reason.sentence} ({reason.source})"


def _released(told: LotAssessment, zone: ZoneInfo) -> tuple[Approved, ...]:
    return tuple(
        Approved(one.by, local(one.at_ms, zone), one.seq, signed_how(one.by, one.account), one.note)
        for one in told.approvals
    )


def _origin(plant: Plant, lot: str) -> Origin:
    """Sort what the lot was made of: bead bags, silos and hoppers, tie cartons, the rest."""
    makings = lots.makings(plant.no, [lot]).get(lot, [])
    times = [one.at_ms for one in makings]
    traced = trace(plant.no, lot, "back")
    views = lots.get_many(plant.no, [one.lot.code for one in traced.lots])
    found: tuple[list[Source], ...] = ([], [], [], [])
    for one in sorted(traced.lots, key=lambda one: (-one.share, one.lot.code)):
        kind, what = one.lot.kind, one.lot.what
        group = 0 if kind == "bead" else 1 if what == "content" else 2 if kind == "tie" else 3
        grades: Sequence[str] = views[one.lot.code].grades if group != 1 else ()
        found[group].append(Source(one.lot.code, ", ".join(grades), per_cent(one.share)))
    bags, places, ties, others = (tuple(group) for group in found)
    runs = tuple(
        Run(one.step, local(one.at_ms, plant.zone), one.place, one.pieces) for one in makings
    )
    made = (local(min(times), plant.zone), local(max(times), plant.zone))
    return Origin(*made, runs, bags, places, ties, others)
