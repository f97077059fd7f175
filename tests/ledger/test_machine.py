"""The record as a state machine: whatever happens, in whatever order, its properties hold."""

# ruff: noqa: D102 - the rules of the machine are named by what happens
from __future__ import annotations

import itertools
import random
from collections.abc import Sequence

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from beadwright.ledger import lots
from beadwright.ledger.draft import Concession, Correction, Draft, Lift, Reversal, StepDraft
from beadwright.plant.access import Role, Who
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES
from tests.ledger.plants import BAGS, CARTONS, NOW, PLACES, Yardful, first_settings, open_yard
from tests.ledger.properties import check_all, check_balance
from tests.ledger.twin import stored

pytestmark = pytest.mark.django_db

_slots = st.integers(1, 60)
_kg = st.integers(1, 300)
_which = st.integers(0, 50)
_serial = itertools.count(1)


class Machine(RuleBasedStateMachine):
    """A plant in which anything may happen."""

    def __init__(self) -> None:
        super().__init__()
        self.point = transaction.savepoint()
        self.plant = f"PLANT-{next(_serial)}"
        self.yard: Yardful = open_yard(self.plant)

    def teardown(self) -> None:
        """Ask for every property, then forget the plant."""
        try:
            check_all(self.plant, self.yard.no)
        finally:
            transaction.savepoint_rollback(self.point)

    def _lot(self, which: int) -> str:
        everything = [*BAGS, *CARTONS, *self.yard.moulded, *self.yard.packed, "BIN"]
        return everything[which % len(everything)]

    @rule(slot=_slots, bag=st.sampled_from(sorted(BAGS)), place=st.sampled_from(PLACES), kg=_kg)
    def expand(self, slot: int, bag: str, place: str, kg: int) -> None:
        self.yard.expand(slot, bag, place, kg)

    @rule(slot=_slots, source=st.sampled_from(PLACES), place=st.sampled_from(PLACES), kg=_kg)
    def fill(self, slot: int, source: str, place: str, kg: int) -> None:
        self.yard.fill(slot, source, place, kg)

    @rule(
        slot=_slots,
        where=st.tuples(st.sampled_from(PLACES), st.sampled_from(sorted(CARTONS))),
        pieces=st.integers(1, 120),
        again=st.booleans(),
    )
    def mould(self, slot: int, where: tuple[str, str], pieces: int, again: bool) -> None:
        self.yard.mould(slot, where, pieces, again=again)

    @rule(slot=_slots, which=st.lists(_which, min_size=1, max_size=3), pieces=st.integers(1, 40))
    def pack(self, slot: int, which: list[int], pieces: int) -> None:
        made = self.yard.moulded
        chosen = {made[i % len(made)] for i in which} if made else set()
        if chosen:
            self.yard.bundle(slot, sorted(chosen), pieces)

    @rule(slot=_slots, kg=st.integers(1, 30), place=st.sampled_from(PLACES), blow=st.booleans())
    def grind(self, slot: int, kg: int, place: str, blow: bool) -> None:
        if self.yard.grind(slot, kg) and blow:
            self.yard.fill(slot + 1, self.yard.ground[-1], place, kg)

    @rule(
        slot=_slots,
        kind=st.sampled_from(["swept_empty", "ran_empty", "stocktake"]),
        place=st.sampled_from(PLACES),
        kg=_kg,
    )
    def state(self, slot: int, kind: str, place: str, kg: int) -> None:
        self.yard.state(slot, kind, place, kg)

    @rule(slot=_slots, which=_which, place=st.one_of(st.none(), st.sampled_from(PLACES)))
    def hold(self, slot: int, which: int, place: str | None) -> None:
        self.yard.hold(slot, [place or self._lot(which)])

    @rule(slot=_slots, which=_which, lot=_which)
    def lift(self, slot: int, which: int, lot: int) -> None:
        self.yard.lift(slot, which, [self._lot(lot)])

    @rule(slot=_slots, which=_which)
    def concede(self, slot: int, which: int) -> None:
        self.yard.concede(slot, which)

    @rule(which=_which, slot=_slots, share=st.integers(0, 2))
    def correct(self, which: int, slot: int, share: int) -> None:
        self.yard.correct(which, slot, share)

    @rule(which=_which)
    def reverse(self, which: int) -> None:
        self.yard.reverse(which)

    @rule(slot=_slots, hours=st.integers(0, 20))
    def sign(self, slot: int, hours: int) -> None:
        self.yard.sign(slot, hours)

    @invariant()
    def balanced(self) -> None:
        check_balance(self.yard.no)


def _examples() -> int:
    """PostgreSQL runs the same machine on fewer plants; the profile says how many."""
    most = settings().max_examples
    return most // 5 if connection.vendor == "postgresql" else most


def test_every_property_holds_whatever_happens(request: pytest.FixtureRequest) -> None:
    """Balance, twin, rebuild, chain, trace and account hold after any sequence of posts."""
    _ = request
    run_state_machine_as_test(Machine, settings=settings(suppress_health_check=list(HealthCheck)))


def _script(seed: int, plant: str, steps: int = 40) -> Yardful:
    """Run a plant at random from a seed; the same seed gives the same drafts."""
    pick = random.Random(seed)
    yard = open_yard(plant)
    for _ in range(steps):
        _act(yard, pick, pick.randint(1, 60))
    return yard


def _act(yard: Yardful, pick: random.Random, slot: int) -> None:
    place, other = pick.choice(PLACES), pick.choice(PLACES)
    some = pick.choice([*BAGS, *yard.moulded])
    match pick.randint(0, 9):
        case 0:
            yard.expand(slot, pick.choice(sorted(BAGS)), place, pick.randint(1, 300))
        case 1:
            yard.fill(slot, place, other, pick.randint(1, 200))
        case 2 | 3:
            carton = pick.choice(sorted(CARTONS))
            yard.mould(slot, (place, carton), pick.randint(1, 90), again=slot % 3 == 0)
        case 4 if yard.moulded:
            yard.bundle(slot, sorted(set(yard.moulded[-2:])), 5)
        case 5:
            yard.state(slot, pick.choice(["swept_empty", "ran_empty"]), place)
        case 6:
            yard.hold(slot, [some])
        case 7:
            yard.lift(slot, pick.randint(0, 9), [some])
        case 8:
            yard.correct(pick.randint(0, 30), slot, pick.randint(0, 2))
        case _:
            yard.grind(slot, pick.randint(1, 20))


def _needs(draft: Draft) -> set[str]:
    """Give the lots and steps that must be in the record before a draft."""
    if isinstance(draft, StepDraft):
        return {line.lot for line in draft.lines} - {new.code for new in draft.new_lots}
    if isinstance(draft, Correction):
        return {f"step {draft.step}"} | {line.lot for line in draft.restated.lines}
    if isinstance(draft, Lift):
        return {f"hold {draft.hold}", *draft.lots}
    return set(getattr(draft, "lots", ()))


def _gives(draft: Draft) -> set[str]:
    if isinstance(draft, StepDraft):
        return {f"step {draft.key}", *(new.code for new in draft.new_lots)}
    return {f"hold {draft.hold}"} if hasattr(draft, "hold") else set()


def _shuffled(drafts: Sequence[Draft], pick: random.Random) -> list[Draft]:
    """Put drafts in another order in which everything is introduced before its use."""
    rest, order = list(drafts), []
    known = set(PLACES)
    while rest:
        ready = [
            i
            for i, draft in enumerate(rest)
            if _needs(draft) <= known
            # Of two corrections of one step the later one is the newest: they keep their order.
            and not (
                isinstance(draft, Correction)
                and any(isinstance(d, Correction) and d.step == draft.step for d in rest[:i])
            )
        ]
        draft = rest.pop(pick.choice(ready))
        order.append(draft)
        known |= _gives(draft)
    return order


@given(seed=st.integers(0, 10**6))
@settings(max_examples=25)
def test_entries_commute(seed: int) -> None:
    """The same entries in another order give the same lots, states, causes and nonconformities."""
    point = transaction.savepoint()
    try:
        one = _script(seed, f"ONE-{next(_serial)}")
        drafts = [d for d in one.posted if not isinstance(d, Reversal | Concession)]
        two = f"TWO-{next(_serial)}"
        door = Door(two, RULES, clock=lambda: NOW)
        who = Who("install", Role.ENGINEER)
        for setting in first_settings():
            door.post(setting, who)
        order = _shuffled(drafts, random.Random(seed + 1))
        half = len(order) // 2
        for draft in order[:half]:
            door.post(draft, who)
        door.post_many(order[half:], who)
        told, other = stored(one.no), stored(lots.plant_number(two))

        assert told.states == other.states
        assert told.findings == other.findings
    finally:
        transaction.savepoint_rollback(point)
