"""A recall as it is carried out, or rehearsed: what it started from, and when each stage was done.

Read :func:`start_recall` and :func:`finish_stage`. Each stage is an entry of the record; the scope
is worked out anew each time it is asked, so that what is entered late widens it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import said
from beadwright.ledger.draft import Decision, Draft
from beadwright.plant.access import Who
from beadwright.plant.holding import hold_draft
from beadwright.plant.moment import moment
from beadwright.plant.next_name import next_name
from beadwright.plant.opening import Plant, door_of
from beadwright.plant.recall.narrowed import Narrowing
from beadwright.plant.recall.on_record import KIND, recall, recalls
from beadwright.plant.recall.seen import seen
from beadwright.plant.recall.stages import HELD, STAGES

__all__ = [
    "Done",
    "finish_stage",
    "next_recall",
    "stage_body",
    "start_body",
    "start_recall",
]


@dataclass(frozen=True, slots=True)
class Done:
    """What somebody says of a stage."""

    stage: str
    note: str = ""
    hold: bool = False
    """Where stock is held now: one hold on the starts is placed with the stage, which names it. A
    rehearsal holds nothing."""


def next_recall(plant_no: int) -> str:
    """Give the next name that is free."""
    return next_name("R", (one.name for one in recalls(plant_no)))


def start_body(
    reason: str, starts: Sequence[str], by: Narrowing, *, rehearsed: bool
) -> dict[str, object]:
    """Give the body of a recall's first entry; ``by`` narrows its scope.

    Raises
    ------
    Misuse
        If no reason is given.
    """
    if not reason.strip():
        message = "a recall needs a reason: say what is wrong, or that it is a rehearsal"
        raise Misuse(message)
    return {"stage": STAGES[0], "reason": reason.strip(), "starts": list(starts),
            "rehearsed": rehearsed, **by.body}  # fmt: skip


def stage_body(plant: Plant, name: str, stage: str, note: str) -> dict[str, object]:
    """Give the body of a later stage's entry, with what the record has for it now.

    Raises
    ------
    Misuse
        If another stage comes next.
    """
    found = recall(plant.no, name)
    if stage != found.next:
        message = f"{name}: next comes {found.next!r}, not {stage!r}" if found.next else (
            f"{name} is closed: every stage was done"
        )  # fmt: skip
        raise Misuse(message)
    body: dict[str, object] = {"stage": stage}
    body["found"] = seen(plant.no, found, stage)
    return body | ({"note": note.strip()} if note.strip() else {})


def start_recall(
    plant: Plant,
    who: Who,
    about: tuple[str, Sequence[str], Narrowing],
    key: str,
    *,
    rehearsed: bool,
) -> str:
    """Record that a recall is started, for a reason, from some lots, narrowed; gives its name.

    The same key starts once.

    Raises
    ------
    Misuse
        If no reason is given.
    Refusal
        If the role may not.
    """
    before = said.posted(plant.code, plant.no, f"{KIND}/{key}")
    if isinstance(before, Decision):
        return before.about
    name = next_recall(plant.no)
    _post(plant, who, name, start_body(*about, rehearsed=rehearsed), key)
    return name


def finish_stage(plant: Plant, who: Who, name: str, done: Done, key: str) -> None:
    """Record that a stage was done; the same key records once.

    Raises
    ------
    Misuse
        If another stage comes next.
    Refusal
        If the role may not; or, as ``stock_not_held``, where stock is said to be held and is not.
    """
    if said.posted(plant.code, plant.no, f"{KIND}/{key}") is not None:
        return
    found, body = recall(plant.no, name), stage_body(plant, name, done.stage, done.note)
    if done.hold and done.stage == HELD and not found.rehearsed:
        hold = hold_draft(plant, who, found.starts, f"{name}: {found.reason}", key)
        body["note"] = f"{hold.hold} {done.note.strip()}".strip()
        _post(plant, who, name, body, key, hold)
        return
    _post(plant, who, name, body, key)


def _post(
    plant: Plant, who: Who, name: str, body: dict[str, object], key: str, *first: Draft
) -> None:
    """Bring an entry to the door, with what goes before it: all is recorded, or nothing."""
    draft = Decision(
        f"{KIND}/{key}", moment(plant, whole_minutes=False), KIND, name, body, by=who.account
    )
    door_of(plant.code).post_many([*first, draft], who)
