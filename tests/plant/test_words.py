"""Words for the record's short names: none is left over."""

from beadwright.ledger.draft import RANK
from beadwright.plant.words import STEP_WORDS

_OF_PEOPLE = {"hold", "lift"}
"""Decisions stand in the order of steps too, and have words of their own."""


def test_every_kind_of_step_has_words() -> None:
    """A kind without any would stand on a page as the record writes it."""
    assert set(STEP_WORDS) == set(RANK) - _OF_PEOPLE
