"""The record as a state machine: whatever is posted, in whatever order, its properties hold.

Read :class:`Machine`; what may be said is in ``tests.ledger.moves``, what must hold afterwards in
``tests.ledger.properties``.
"""

from __future__ import annotations

import itertools

import pytest
from django.db import connection, transaction
from hypothesis import note, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from tests.ledger import moves
from tests.ledger.player import Player, play
from tests.ledger.properties import balances, check
from tests.strategies import drawn, seeded

_serial = itertools.count(1)


class Machine(RuleBasedStateMachine):
    """A plant in which anything may be said, one by one and in batches."""

    def __init__(self) -> None:
        """Set a plant up."""
        super().__init__()
        self.point = transaction.savepoint()
        self.player = Player(f"M-{next(_serial)}", seeded(0))

    def say(self, name: str, data: st.DataObject) -> None:
        """Make a move, with choices that Hypothesis draws."""
        self.player.choose(drawn(data))
        note(repr(self.player.say(name)))

    @rule(name=st.sampled_from(moves.MAKING), data=st.data())
    def make(self, name: str, data: st.DataObject) -> None:
        """Material comes, becomes blocks, and leaves."""
        self.say(name, data)

    @rule(name=st.sampled_from(moves.STATING), data=st.data())
    def state(self, name: str, data: st.DataObject) -> None:
        """Somebody says what is there, where it stands, what it is called."""
        self.say(name, data)

    @rule(name=st.sampled_from(moves.DECIDING), data=st.data())
    def decide(self, name: str, data: st.DataObject) -> None:
        """A person holds, lifts, concedes, sets, measures, signs."""
        self.say(name, data)

    @rule(name=st.sampled_from(moves.RESTATING), data=st.data())
    def restate(self, name: str, data: st.DataObject) -> None:
        """What was said is said again: corrected, undone, repeated."""
        self.say(name, data)

    @invariant()
    def balanced(self) -> None:
        """Stock balances to the milligram at every moment."""
        balances(self.player.plant)

    def teardown(self) -> None:
        """Ask for every property, then forget the plant."""
        try:
            self.player.flush()
            check(self.player.plant, seeded(self.player.history.count))
        finally:
            transaction.savepoint_rollback(self.point)


@pytest.mark.django_db
@pytest.mark.usefixtures("small_windows")
def test_every_property_holds_whatever_is_posted() -> None:
    """Balance, twin, rebuild, chain, trace, account and commutation hold after any sequence."""
    most = settings().max_examples
    fewer = most // 5 if connection.vendor == "postgresql" else most
    run_state_machine_as_test(Machine, settings=settings(max_examples=fewer))


@pytest.mark.django_db
@pytest.mark.usefixtures("small_windows")
@pytest.mark.parametrize("seed", range(4))
def test_every_property_holds_after_a_long_history(seed: int) -> None:
    """The same after 150 things said, which a machine's search does not reach."""
    play("LONG", seeded(seed), 150)

    check("LONG", seeded(seed))
