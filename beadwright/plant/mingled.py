"""How many pieces of one lot stand among those of others, as they were put in and taken out.

Read :func:`mingled` first. Pieces are counted, but nobody knows whose were taken out of a bundle of
several lots: the number has two bounds. What was put in later was not taken out before.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from beadwright.ledger.lots import Making

__all__ = ["Heap", "mingled"]

_Bounds = tuple[int, int]
"""Fewest and most pieces that are of the lot asked about."""


@dataclass(slots=True)
class Heap:
    """Pieces that stand together, and how many of them are ours, and others', at most."""

    pieces: int = 0
    ours: int = 0
    others: int = 0
    timeless: bool = False
    """Whether it holds whatever ever came in, whenever it is asked."""

    def put(self, pieces: int, ours: _Bounds) -> None:
        """Put some in, of which so many are ours."""
        self.pieces += pieces
        self.ours += ours[1]
        self.others += pieces - ours[0]

    def of(self, pieces: int) -> _Bounds:
        """Say how many of some of them are ours; more may be asked of than there are."""
        most = min(pieces, self.ours)
        return min(max(0, pieces - self.others), most), most

    def take(self, pieces: int) -> _Bounds:
        """Take some out; how many of those are ours."""
        taken = self.of(pieces)
        if not self.timeless:
            self.pieces -= pieces
            self.ours, self.others = min(self.ours, self.pieces), min(self.others, self.pieces)
        return taken


@dataclass(slots=True)
class _Step:
    """What one step took out of lots and put into them, in pieces."""

    inputs: dict[str, int] = field(default_factory=dict)
    outputs: list[tuple[str, int]] = field(default_factory=list)


def mingled(
    code: str, now: Mapping[str, int], makings: Mapping[str, Sequence[Making]]
) -> dict[str, Heap]:
    """Give what stands in a lot, and in each that took of it, after all that happened to them.

    ``now`` are those lots, the one asked about among them, with the pieces that are in them by the
    books. Where more was taken out of one than was in it, or more is in it than was left, its times
    say nothing: then any draw may be of anything that ever came in.
    """
    steps = _steps(now, makings)
    left = _left(now, steps)
    untimed = {one for one, pieces in left.items() if pieces is None or pieces < now[one]}
    came: dict[str, int] = dict.fromkeys(untimed, 0)
    for step in steps:
        for lot, pieces in step.outputs:
            if lot in untimed:
                came[lot] += pieces
    whole = {lot: Heap(pieces, pieces, pieces, timeless=True) for lot, pieces in came.items()}
    heaps = _flowed(code, now, steps, whole)
    return _flowed(code, now, steps, {lot: heaps[lot] for lot in untimed}) if untimed else heaps


def _steps(within: Collection[str], makings: Mapping[str, Sequence[Making]]) -> list[_Step]:
    """Give the steps that put pieces into those lots, in order."""
    found: dict[tuple[int, int], _Step] = {}
    for lot in within:
        for making in makings.get(lot, ()):
            step = found.setdefault(making.order, _Step())
            if not step.outputs:
                for one in making.inputs:
                    step.inputs[one.lot] = step.inputs.get(one.lot, 0) + one.pieces
            step.outputs.append((lot, making.pieces))
    return [step for _, step in sorted(found.items())]


def _left(within: Collection[str], steps: Sequence[_Step]) -> dict[str, int | None]:
    """Give what is left in each by its steps; nothing where more was taken out than was in it."""
    left: dict[str, int | None] = dict.fromkeys(within, 0)
    for step in steps:
        for lot, pieces in step.inputs.items():
            there = left.get(lot)
            if there is not None:
                left[lot] = there - pieces if there >= pieces else None
        for lot, pieces in step.outputs:
            there = left[lot]
            left[lot] = None if there is None else there + pieces
    return left


def _flowed(
    code: str, within: Collection[str], steps: Sequence[_Step], untimed: Mapping[str, Heap]
) -> dict[str, Heap]:
    """Let every step happen. Of an untimed lot is given what all came to, for another time."""
    heaps = {lot: Heap() for lot in within}
    made = sum(pieces for step in steps for lot, pieces in step.outputs if lot == code)
    for step in steps:
        least = most = 0
        for lot, pieces in step.inputs.items():
            if lot in heaps:
                low, high = (untimed.get(lot) or heaps[lot]).take(pieces)
                least, most = least + low, most + high
        came = sum(step.inputs.values())
        for lot, pieces in step.outputs:
            ours = (max(0, pieces - (came - least)), min(pieces, most))
            heaps[lot].put(pieces, (pieces, pieces) if lot == code else ours)
            heaps[lot].ours = min(heaps[lot].ours, made)
    for lot in untimed:
        heaps[lot].timeless = True
    return heaps
