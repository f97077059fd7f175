"""A recall as the shell asks it, and its stages brought to the door."""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.cli.decisions import Decided, key_of
from beadwright.cli.persons import person_of
from beadwright.cli.session import Session
from beadwright.errors import Misuse
from beadwright.ledger.draft import Decision
from beadwright.plant.door import now_ms
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.recall.acts import next_recall, stage_body, start_body
from beadwright.plant.recall.narrowed import WHOLE, narrowing
from beadwright.plant.recall.on_record import KIND, Recall, recall
from beadwright.plant.recall.starts import Begin, starts
from beadwright.plant.spans import span_asked

__all__ = ["begin", "stage", "start", "started"]

_MOST_DAYS = 399


def begin(
    plant: Plant, what: tuple[Sequence[str], str, str], days: tuple[str, str], *, sources: bool
) -> Begin:
    """Read what a recall starts from."""
    lots, press, instrument = what
    if not (press or instrument):
        if any(days):
            message = "--since and --until go with --press or --instrument"
            raise Misuse(message)
        return Begin(tuple(lots), sources=sources)
    span = span_asked(plant, *days, days=_MOST_DAYS)
    return Begin(tuple(lots), press, instrument, span.from_ms, span.to_ms - 1, sources)


def started(plant: Plant, said: Begin, narrow: tuple[str, str], name: str) -> Recall:
    """Give what a recall starts from, and by what it is narrowed: of one on record its own."""
    by = narrowing(*narrow)
    if not name:
        return Recall("", "", False, starts(plant, said), (), by)
    if said != Begin() or by != WHOLE:
        message = "--of NAME takes what is on record: leave the other starts out, and what narrows"
        raise Misuse(message)
    return recall(plant.no, name)


def start(session: Session, plant: Plant, about: Recall, by: str) -> Decided:
    """Record that a recall is started."""
    body = start_body(about.reason, about.starts, about.narrowing, rehearsed=about.rehearsed)
    return _post(session, plant, (next_recall(plant.no), body), by)


def stage(session: Session, plant: Plant, said: tuple[str, str], by: str) -> Decided:
    """Record that a stage was done."""
    name, what = said
    return _post(session, plant, (name, stage_body(plant, name, what, "")), by)


def _post(session: Session, plant: Plant, said: tuple[str, dict[str, object]], by: str) -> Decided:
    if not by:
        message = "say --by WHO: a stage of a recall has a person"
        raise Misuse(message)
    name, body = said
    who, at_ms = person_of(plant.code, by), moment(plant, whole_minutes=False)
    draft = Decision(key_of(KIND, now_ms()), at_ms, KIND, name, body, by=who)
    return Decided(name, (who, str(body["stage"])), session.post(plant, draft).seq)
