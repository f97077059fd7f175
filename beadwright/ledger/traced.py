"""What a trace says, and what both of its directions share.

Read :class:`Trace`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Literal, NamedTuple

from beadwright.ledger.columns import Floats, Ints
from beadwright.ledger.walk import LotFacts, StepFacts

__all__ = [
    "BEAD_MG",
    "COUNTS",
    "RESIDUE_MG",
    "Direction",
    "Link",
    "Now",
    "Reach",
    "Reached",
    "Trace",
    "TraceLot",
]

Direction = Literal["back", "forward"]

BEAD_MG = 0.4
"""Mass of one raw bead, 0.9 mm of polystyrene at 1.03 g/cm³ (arithmetic): a smaller expected mass
ends the listed trace."""

RESIDUE_MG = 1_000_000
"""What stays behind in a place that ran empty and was not swept: 1 kg, common practice, no source.
"""


class TraceLot(NamedTuple):
    """One lot of a trace: how much it has to do with the lot asked about.

    Forward: mass of the lot asked about that came into this one, and its share of what was there
    when the first of it came in and of what came in since: into a block or a bundle all of it, into
    a silo, a bin or another lot that many steps touch what came by the steps of the trace; what
    leaves a place and comes back (regrind, a silo blown over) counts each time it comes in.
    Back: mass of this lot that went into the lot asked about, and its share of that lot, each part
    once, however often it came back to this lot on the way; its bounds are those of the whole.
    """

    lot: LotFacts
    step: str
    """The first step, in the fold's order, that joins them."""
    at_ms: int
    mg: float
    share: float
    least: float
    """Smallest share it can be, with the record true, over the steps that are listed."""
    most: float


class Now(NamedTuple):
    """What a lot holds at the end of the record of the lot asked about."""

    mg: float
    share: float
    """Of what is there, as if it were well mixed."""
    most: float
    """The most that any part of it can be; the least is 0."""


@dataclass(frozen=True, slots=True)
class Trace:
    """The whole trace of one lot in one direction."""

    lot: LotFacts
    direction: Direction
    mg: int
    """Mass of the lot asked about: what ever came into it."""
    lots: tuple[TraceLot, ...]
    steps: tuple[StepFacts, ...]
    cut_mg: float
    """Sum of expected masses below one bead, at which the list was ended."""
    now: Mapping[int, Now] = field(default_factory=dict)
    """Forward: silos, bins and other lots that many steps touch which may hold some now, by number.

    One that was swept empty since is not among them.
    """


@dataclass(frozen=True, slots=True)
class Reached:
    """All that was made of one lot, column by column and in no order; see :class:`TraceLot`."""

    lot: LotFacts
    mg: int
    """Mass of the lot asked about: what ever came into it."""
    number: Ints
    code: list[str]
    kind: list[str]
    what: list[str]
    product: list[str]
    place: list[str]
    stock: Ints
    """Of each lot by the books, after all steps, mg."""
    came: Floats
    """Mass of the lot asked about that came into each, mg."""
    share: Floats
    least: Floats
    most: Floats
    step: Ints
    """The first step, by number, that joins them; and its line."""
    line: Ints
    cut_mg: float
    """Sum of expected masses below one bead, at which the walk was ended."""
    now: Mapping[int, Now]
    """As in :class:`Trace`."""

    def facts(self) -> Iterator[LotFacts]:
        """Give what is said of each lot."""
        texts = (self.code, self.kind, self.what, self.product, self.place)
        said = zip(self.number.tolist(), *texts, self.stock.tolist(), strict=True)
        return map(partial(tuple.__new__, LotFacts), said)


class Link(NamedTuple):
    """What went from one lot into another of a trace.

    Back: of what ended in the lot asked about; forward: of the lot asked about; in mg, expected.
    What goes from one lot into another twice, since it came back in between, counts twice.
    """

    source: str
    into: str
    mg: float


COUNTS = frozenset({"weigh", "stocktake"})
"""Steps that say how much there is, and not that there is nothing."""


@dataclass(slots=True)
class Reach:
    """How much of a lot went into the lot asked about, going back."""

    step: int
    mg: float = 0.0
    total: int = 0
