"""A lot's story: the answer first, then from what, what was done and measured, and where it is.

Read :func:`story`. It asks what the others know (assessment, trace, history, whereabouts) once and
puts it in the order in which somebody reads it; it decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from beadwright.errors import Misuse
from beadwright.ledger import lots, matching
from beadwright.ledger.draft import MOULDED, Correction, Decision, StepDraft
from beadwright.ledger.lots import LotView
from beadwright.ledger.trace import TraceLot, trace
from beadwright.plant import whereabouts as where_now
from beadwright.plant.assessment import Asked, LotAssessment, Reason
from beadwright.plant.conditioning import SampleLot, samples_of
from beadwright.plant.departed import Departed, departed
from beadwright.plant.history import EntryView, Related, history
from beadwright.plant.mass_off import off_of
from beadwright.plant.measured import Measured, cups, measured
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.release import assess, upstream
from beadwright.plant.release_words import headline, standing
from beadwright.plant.said_words import kind_of, sentence
from beadwright.plant.upstream import Upstream
from beadwright.plant.whereabouts import Whereabouts
from beadwright.plant.words import KIND_WORDS
from beadwright.quality import readings
from beadwright.units import System

__all__ = ["Event", "Group", "Paper", "Sources", "Story", "Verdict", "story"]

Group = Literal["made", "went", "stated", "measured", "decided", "held", "corrected"]
"""What an entry did: brought into the lot, took out of it, said how much there is …"""

_WORTH_NAMING = 0.005
"""Share of a lot below which a source is left to the trace."""

_MOST = 80
"""Entries that a story tells at once."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether the lot may leave: the answer, the one thing that stands before it, and the rest."""

    words: str
    asked: Asked
    lots: tuple[LotAssessment, ...]
    """The block lots it is, or holds pieces of."""
    first: Reason
    """The worst reason; where it may ship, that its limits are met."""
    others: tuple[Reason, ...]
    standing: tuple[str, ...]
    """How its release stands; of what holds several lots, nothing."""


@dataclass(frozen=True, slots=True)
class Sources:
    """What a lot was made of, what went straight into it first; and how many are not named."""

    named: tuple[TraceLot, ...]
    others: int
    mg: int
    """What ever came into the lot."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A certificate that was issued for the lot."""

    number: str
    seq: int
    at_ms: int


@dataclass(frozen=True, slots=True)
class Event:
    """One entry of a lot's story, in words."""

    seq: int
    at_ms: int
    group: Group
    what: str
    sentence: str
    by: str
    """Who did it: id, and name where the plant keeps one; empty where nobody is named."""
    view: EntryView
    related: Related

    @property
    def may_be_corrected(self) -> bool:
        """Whether it is a step, in its newest version, that a correction could restate."""
        draft = self.view.entered.draft
        return self.view.stands and isinstance(draft, StepDraft | Correction)


@dataclass(frozen=True, slots=True)
class Story:
    """A lot as somebody reads it from the top."""

    lot: LotView
    what: str
    labels: tuple[tuple[str, str], ...]
    """Foreign labels: who issued it, and what it says."""
    verdict: Verdict | None
    """Of blocks and what holds them; beads, ties and places are not assessed."""
    upstream: tuple[Upstream, ...]
    """Holds and nonconformities that reach it, open before closed."""
    sources: Sources
    measured: tuple[Measured, ...]
    departed: tuple[Departed, ...]
    """In what its tests were otherwise than their methods ask, or are not known to have been."""
    samples: tuple[SampleLot, ...]
    """Samples that were taken from it; of a sample, itself."""
    where: Whereabouts | None
    """Of pieces; what is known by mass stands at the lot's own place."""
    papers: tuple[Paper, ...]
    events: tuple[Event, ...]
    """In time order; of a long story its last part."""
    earlier: int
    """How many entries come before those told."""


def story(plant: Plant, code: str, *, units: System = "si", before: int | None = None) -> Story:
    """Tell a lot's story; of a long one the newest part, or that before an entry.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot = lots.get(plant.no, code)
    if lot is None:
        message = f"lot {code} is not in the record: check the code, or search by its label"
        raise Misuse(message)
    verdict = _verdict(plant, lot)
    told = history(plant, code, None if verdict is None else verdict.lots)
    lines = list(told.lines)
    if before is not None:
        at = next((n for n, (one, _) in enumerate(lines) if one.entered.seq == before), len(lines))
        lines = lines[:at]
    shown = lines[-_MOST:]
    named = Named.of(plant)
    return Story(
        lot,
        KIND_WORDS.get(lot.what or lot.kind, lot.what or lot.kind),
        matching.labels_of(plant.no, code),
        verdict,
        _upstream(plant, code, verdict),
        _sources(plant, code),
        _measured(plant, lot, verdict),
        departed(readings.of_lots(plant.no, [code]).get(code, ())),
        samples_of(plant.no, code, moment(plant)),
        _where(plant, lot, verdict),
        _papers([one for one, _ in told.lines], code),
        tuple(_event(view, why, (code, units), named) for view, why in shown),
        len(lines) - len(shown),
    )


def _verdict(plant: Plant, lot: LotView) -> Verdict | None:
    """Assess a lot of pieces; None of what is not assessed, and of what holds none of a run."""
    if lot.kind not in MOULDED:
        return None
    found = assess(plant.no, [lot.code])
    if not found.lots or not found.asked:
        return None
    asked = found.asked[0]
    worst = next((one for one in found.lots if one.answer == asked.answer), found.lots[0])
    reasons = [_of_own(one) for one in asked.upstream if not one.closed] + list(worst.reasons)
    first = reasons[0]
    if asked.answer == "may_ship":
        first = next((one for one in reasons if one.code == "limits_met"), first)
    own = found.lots == (worst,) and asked.lots == (lot.code,)
    return Verdict(
        headline(worst) if own else headline(asked, gone=_has_left(plant, lot), inside=found.lots),
        asked,
        found.lots,
        first,
        tuple(one for one in reasons if one is not first),
        tuple(standing(worst, plant.zone)) if own else (),
    )


def _has_left(plant: Plant, lot: LotView) -> bool:
    """Whether all of a bundle or a shipment is with receivers."""
    where = _where(plant, lot, None)
    return where is not None and bool(where.shipped) and not where.in_stock


def _of_own(one: Upstream) -> Reason:
    return Reason(one.code, one.sentence, f"step {one.step}" if one.step else "", "stops")


def _upstream(plant: Plant, code: str, verdict: Verdict | None) -> tuple[Upstream, ...]:
    if verdict is not None and verdict.asked.lots == (code,):
        return verdict.lots[0].upstream
    return upstream(plant.no, code)


def _sources(plant: Plant, code: str) -> Sources:
    found = trace(plant.no, code, "back", off=off_of(plant.no))
    made = lots.makings(plant.no, [code]).get(code, ())
    near = {one.lot for making in made for one in making.inputs}
    worth = [one for one in found.lots if one.share >= _WORTH_NAMING]
    worth.sort(key=lambda one: (one.lot.code not in near, -one.mg, one.lot.code))
    return Sources(tuple(worth), len(found.lots) - len(worth), found.mg)


def _measured(plant: Plant, lot: LotView, verdict: Verdict | None) -> tuple[Measured, ...]:
    if lot.what == "content":
        found = None if lot.last is None else cups(plant.no, lot.code, lot.last)
        return () if found is None else found[1]
    if verdict is None or verdict.asked.lots != (lot.code,):
        return ()
    return measured(plant.no, verdict.lots[0])


def _where(plant: Plant, lot: LotView, verdict: Verdict | None) -> Whereabouts | None:
    if lot.kind not in MOULDED:
        return None
    if verdict is not None and verdict.asked.lots == (lot.code,):
        return verdict.lots[0].whereabouts
    made = lots.makings(plant.no, [lot.code])
    return where_now.whereabouts(plant.no, {lot.code: lot}, made)[lot.code]


def _papers(views: Iterable[EntryView], code: str) -> tuple[Paper, ...]:
    found = []
    for view in views:
        draft = view.entered.draft
        if isinstance(draft, Decision) and _is_paper(draft, code):
            found.append(Paper(draft.about, view.entered.seq, draft.happened_at))
    return tuple(found)


def _is_paper(draft: Decision, code: str) -> bool:
    return draft.kind == "certificate" and draft.body.get("lot") == code


def _event(view: EntryView, why: Related, told: tuple[str, System], named: Named) -> Event:
    code, units = told
    draft = view.entered.draft
    at_ms = view.entered.recorded_at if draft.happened_at is None else draft.happened_at
    words = named.within(sentence(view, code, units))
    return Event(
        view.entered.seq, at_ms, _group(view, code), kind_of(view), words, named(draft.by), view,
        why,
    )  # fmt: skip


_GROUPS: dict[str, Group] = {
    "readings": "measured", "correct": "corrected", "reverse": "corrected", "void": "corrected",
    "hold": "held", "lift": "held",
}  # fmt: skip


def _group(view: EntryView, code: str) -> Group:
    draft = view.entered.draft
    if not isinstance(draft, StepDraft):
        return _GROUPS.get(view.entered.kind, "decided")
    signs: Sequence[int] = [line.sign for line in draft.lines if line.lot == code]
    if 1 in signs:
        return "made"
    return "went" if -1 in signs else "stated"
