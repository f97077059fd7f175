"""Bounds of pieces among others, against pieces that are moved one by one, at random."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from beadwright.ledger.lots import Ingredient, Making
from beadwright.plant.mingled import mingled

_LOTS = ("L1", "L2", "L3")
_BUNDLES = ("B1", "B2", "B3", "S1", "S2")


def _making(order: int, pieces: int, inputs: dict[str, int]) -> Making:
    took = tuple(Ingredient(lot, "block", "", 0, count, 1) for lot, count in inputs.items())
    return Making(f"S{order}", "bundle", order, "FB6", "", "", {}, 0, pieces, took, (order, 0))


class _Yard:
    """Lots of forty, and bundles that they are put into and taken out of; each piece is known."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.inside = {one: Counter({one: 40}) for one in _LOTS}
        self.inside |= {one: Counter() for one in _BUNDLES}
        self.makings = {one: [_making(i, 40, {})] for i, one in enumerate(_LOTS)}
        self.makings |= {one: [] for one in _BUNDLES}
        self.order = 10

    def move(self) -> None:
        """Take pieces of one or two lots or bundles, and put them into a bundle."""
        full = [one for one, there in self.inside.items() if there.total()]
        to = self.chance.choice(_BUNDLES)
        sources = set(self.chance.choices(full, k=self.chance.randint(1, 2))) - {to}
        took: Counter[str] = Counter()
        inputs: dict[str, int] = {}
        for one in sorted(sources):
            there = list(self.inside[one].elements())
            some = Counter(self.chance.sample(there, self.chance.randint(1, len(there))))
            self.inside[one] -= some
            took += some
            inputs[one] = some.total()
        if took:
            self.order += 1
            self.inside[to] += took
            self.makings[to].append(_making(self.order, took.total(), inputs))

    def reject(self) -> None:
        """Take pieces out for good: no step puts them anywhere."""
        full = [one for one, there in self.inside.items() if there.total()]
        there = self.inside[self.chance.choice(full)]
        there -= Counter(self.chance.sample(list(there.elements()), 1))


@pytest.mark.parametrize("seed", range(200))
def test_what_truly_is_in_each_lies_within_its_bounds(seed: int) -> None:
    """Whatever was taken, in whatever order, with pieces lost on the way; and none too wide.

    No more of ours is anywhere than stands there, nor than there are.
    """
    yard = _Yard(seed)
    for _ in range(yard.chance.randint(3, 14)):
        yard.move()
        if yard.chance.random() < 0.2:
            yard.reject()
    now = {one: there.total() for one, there in yard.inside.items()}
    for lot in _LOTS:
        for one, heap in mingled(lot, now, yard.makings).items():
            least, most = heap.of(now[one])
            assert least <= yard.inside[one][lot] <= most, (lot, one)
            assert most <= min(now[one], 40)


def test_two_bundles_that_are_whole_are_known_to_the_piece() -> None:
    """All of B1 goes into B2 before L2 comes into B1: none of L2 is in B2."""
    makings = {
        "L1": [_making(1, 40, {})],
        "L2": [_making(2, 40, {})],
        "B1": [_making(3, 10, {"L1": 10}), _making(5, 10, {"L2": 10})],
        "B2": [_making(4, 10, {"B1": 10})],
    }
    now = {"L1": 30, "L2": 30, "B1": 10, "B2": 10}
    found = {
        lot: {one: heap.of(now[one]) for one, heap in mingled(lot, now, makings).items()}
        for lot in ("L1", "L2")
    }

    assert found["L1"] == {"L1": (30, 30), "L2": (0, 0), "B1": (0, 0), "B2": (10, 10)}
    assert found["L2"] == {"L1": (0, 0), "L2": (30, 30), "B1": (10, 10), "B2": (0, 0)}
