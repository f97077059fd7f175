"""Recalls as the record has them: what each started from, and when each of its stages was done.

Read :func:`recalls`. This module brings nothing to the door, so that the door's rules may ask it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from beadwright.errors import Misuse
from beadwright.ledger.decided import of_kinds
from beadwright.plant.recall.narrowed import WHOLE, Narrowing
from beadwright.plant.recall.stages import STAGES

__all__ = ["KIND", "Recall", "Stage", "recall", "recalls"]

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
