"""A recall as it is carried out, or rehearsed: what it started from, and when each stage was done.

Read :func:`start_recall` and :func:`recalls`. Each stage is an entry of the record; the scope is
worked out anew each time it is asked, so that what is entered late widens it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.errors import Misuse
from beadwright.ledger import said
from beadwright.ledger.decided import of_kinds
from beadwright.ledger.draft import Decision
from beadwright.plant.access import Who
from beadwright.plant.holding import hold_lots
from beadwright.plant.moment import moment
from beadwright.plant.next_name import next_name
from beadwright.plant.opening import Plant, door_of
from beadwright.plant.recall.narrowed import WHOLE, Narrowing
from beadwright.plant.recall.seen import seen
from beadwright.plant.recall.stages import HELD, STAGES

__all__ = [
    "KIND",
    "Done",
    "Recall",
    "Stage",
    "finish_stage",
    "next_recall",
    "recall",
    "recalls",
    "stage_body",
    "start_body",
    "start_recall",
]

KIND = "recall"
_SHORT_MIN = 2
"""Minutes below which seconds are told."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage that was done."""

    name: str
    at_ms: int
    by: str
    seq: int
    note: str
    found: str = ""
    """What the record had for it when it was done, in words."""


@dataclass(frozen=True, slots=True)
class Done:
    """What somebody says of a stage."""

    stage: str
    note: str = ""
    hold: bool = False
    """Where stock is held now: one hold on the starts is placed first, and the stage names it. A
    rehearsal holds nothing."""


@dataclass(frozen=True, slots=True)
class Recall:
    """One recall."""

    name: str
    reason: str
    rehearsed: bool
    """Whether it is a rehearsal, in which nobody is told."""
    starts: tuple[str, ...]
    stages: tuple[Stage, ...]
    narrowing: Narrowing = WHOLE
    """By what its scope was narrowed when it was started."""

    @property
    def next(self) -> str:
        """The stage that comes next; empty where all were done."""
        return STAGES[len(self.stages)] if len(self.stages) < len(STAGES) else ""

    def minutes(self, stage: Stage) -> float:
        """Minutes from the start to a stage."""
        return (stage.at_ms - self.stages[0].at_ms) / 60_000

    def after(self, stage: Stage) -> str:
        """Time from the start to a stage in words; of the start nothing."""
        if stage is self.stages[0]:
            return ""
        took = self.minutes(stage)
        return f"after {took * 60:.0f} s" if abs(took) < _SHORT_MIN else f"after {took:.0f} min"


def recalls(plant_no: int) -> tuple[Recall, ...]:
    """Give every recall, the newest first."""
    found: dict[str, Recall] = {}
    for one in of_kinds(plant_no, KIND):
        stage = Stage(str(one.body["stage"]), one.at_ms, one.by, one.seq,
                      str(one.body.get("note", "")), str(one.body.get("found", "")))  # fmt: skip
        before = found.get(one.about)
        if before is None:
            found[one.about] = Recall(
                one.about, str(one.body.get("reason", "")), one.body.get("rehearsed") is True,
                _starts(one.body), (stage,), Narrowing.of_body(one.body),
            )  # fmt: skip
        elif stage.name == STAGES[0]:  # two were started at one time under one name: both are it
            more, by = _starts(one.body), Narrowing.of_body(one.body)
            found[one.about] = replace(
                before, starts=tuple(dict.fromkeys((*before.starts, *more))),
                rehearsed=before.rehearsed and one.body.get("rehearsed") is True,
                narrowing=before.narrowing if by == before.narrowing else WHOLE,
            )  # fmt: skip
        else:
            found[one.about] = replace(before, stages=(*before.stages, stage))
    return tuple(reversed(found.values()))


def _starts(body: Mapping[str, object]) -> tuple[str, ...]:
    given = body.get("starts", ())
    return tuple(map(str, given)) if isinstance(given, list | tuple) else ()


def recall(plant_no: int, name: str) -> Recall:
    """Give one recall.

    Raises
    ------
    Misuse
        If there is none of that name.
    """
    every = {one.name: one for one in recalls(plant_no)}
    if name not in every:
        message = f"no recall is called {name}; there are: {', '.join(every) or 'none'}"
        raise Misuse(message)
    return every[name]


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
    body["found"] = seen(plant, found.starts, found.narrowing, stage)
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
        If the role may not.
    """
    if said.posted(plant.code, plant.no, f"{KIND}/{key}") is not None:
        return
    found, body = recall(plant.no, name), stage_body(plant, name, done.stage, done.note)
    if done.hold and done.stage == HELD and not found.rehearsed:
        held, _ = hold_lots(plant, who, found.starts, f"{name}: {found.reason}", key)
        body["note"] = f"{held} {done.note.strip()}".strip()
    _post(plant, who, name, body, key)


def _post(plant: Plant, who: Who, name: str, body: dict[str, object], key: str) -> None:
    draft = Decision(
        f"{KIND}/{key}", moment(plant, whole_minutes=False), KIND, name, body, by=who.account
    )
    door_of(plant.code).post(draft, who)
