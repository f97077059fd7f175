"""Posts a generated history through the door: one by one, in batches, asked about beforehand.

Read :class:`Player` first. What the record refuses is compared with what it may refuse, and never
joins the history.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from beadwright.errors import Refusal
from beadwright.ledger import lots, said
from beadwright.ledger.draft import Concession, Draft, Hold, Reversal, StepDraft
from beadwright.ledger.record import Posted
from beadwright.plant.access import Role, Who
from beadwright.plant.codes import CODES
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES
from tests.ledger.history import NOW, SETTINGS, History
from tests.ledger.moves import MOVES
from tests.strategies import Choice

__all__ = ["FOLDED", "WHO", "Player", "play"]

WHO = Who("import", Role.ENGINEER)
"""Who brings history in: its people are given no roles here."""

FOLDED = replace(RULES, undecidable=lambda *_: [])
"""Rules under which any lot may be approved, and any hold be lifted from it: here it matters what
the fold makes of either, in whatever order they come."""

_MAY_REFUSE = {Reversal: {"already_moved_on"}, Concession: {"unknown_cause"}}


@dataclass
class Player:
    """A plant at whose door a generated history is told."""

    plant: str
    pick: Choice
    door: Door = field(init=False)
    history: History = field(init=False)
    waiting: list[Draft] = field(default_factory=list)
    """Drafts that go to the door together."""

    def __post_init__(self) -> None:
        """Set the plant up."""
        self.door = Door(self.plant, FOLDED, clock=lambda: NOW)
        self.door.post_many(SETTINGS, WHO)
        self.no = lots.plant_number(self.plant)
        self.history = History(self.pick, self._stock)

    def _stock(self, code: str) -> int:
        view = lots.get(self.no, code)
        return 0 if view is None else max(0, view.mg)

    def choose(self, pick: Choice) -> None:
        """Take the next decisions from elsewhere."""
        self.pick = self.history.pick = pick

    def say(self, name: str) -> Draft | None:
        """Make the next move; it goes to the door now, or waits for others."""
        draft = MOVES[name](self.history)
        if draft is None:
            return None
        alone = type(draft) in _MAY_REFUSE or (isinstance(draft, StepDraft) and draft.planned)
        if alone:
            self.flush()
            self._alone(draft)
        else:
            self._remember(draft)
            self.waiting.append(draft)
            if not self.pick.chance(3):
                self.flush()
        return draft

    def flush(self) -> None:
        """Bring what waits to the door."""
        if self.waiting:
            sent, self.waiting = self.waiting, []
            self._found(self.door.post_many(sent, WHO))

    def _alone(self, draft: Draft) -> None:
        """A draft that may be refused: asked about, then posted; both give one answer."""
        answer = self.door.may(draft, WHO)
        posted, refused = self._try(draft)
        if isinstance(draft, StepDraft):
            assert tuple(fault.code for fault in answer.faults) == refused, draft
            assert all(CODES[code][0] == "forbidden" for code in refused), refused
        else:
            assert set(refused) <= _MAY_REFUSE[type(draft)], (draft, refused)
        if posted is not None:
            self._remember(draft)
            self._found([posted])

    def _try(self, draft: Draft) -> tuple[Posted | None, tuple[str, ...]]:
        try:
            return self.door.post(draft, WHO), ()
        except Refusal as refusal:
            return None, refusal.codes

    def _remember(self, draft: Draft) -> None:
        if draft in self.history.said:
            return
        if isinstance(draft, StepDraft) and draft.planned:
            self.history.said.append(draft)
            timed = said.posted(self.plant, self.no, draft.key)
            draft = timed if isinstance(timed, StepDraft) else draft
        self.history.keep(draft)
        if isinstance(draft, Hold):
            self.history.holds[draft.hold] = draft.lots

    def _found(self, posted: Sequence[Posted]) -> None:
        for one in posted:
            self.history.causes += [f.cause for f in one.found]


def play(plant: str, pick: Choice, moves: int) -> Player:
    """Tell a whole history of so many moves."""
    player = Player(plant, pick)
    often = ("receipt", "expand", "mould", "fill", "correction", "stated") * 3 + (
        "release",
        "ship",
    ) * 2
    for _ in range(moves):
        player.say(pick.of((*often, *MOVES)))
    player.flush()
    return player
