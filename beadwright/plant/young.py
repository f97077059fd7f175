"""Age gates: what blocks must have aged before it is done to them. A rule of the judge; pure.

Fresh blocks give off pentane for days. Hours count from when the newest blocks of a lot were
moulded, and those of a run from its beginning; scrap counts from when it became scrap.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from beadwright.ledger.fold import Dated, Flaw, FoldLine, FoldLot, FoldStep, State

__all__ = ["CAUTION", "GATES", "AgeGate", "too_young"]

CAUTION = (
    "Fresh blocks give off pentane for days. Do not wrap, load closed or cut with hot wire before"
    " the plant's minimum age."
)

_HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class AgeGate:
    """What may be done to blocks only from an age on."""

    name: str
    """As the setting of its hours is called."""
    code: str
    """Of the nonconformity."""
    done: str
    """What is done, in words that follow "was"."""
    kinds: frozenset[str]
    """Kinds of lots that it is for."""

    def is_before(self, step: FoldStep) -> bool:
        """Whether it stands before a step."""
        if self.name == "wrap":
            return step.kind == "bundle"
        if self.name == "closed_trailer":
            return step.kind == "ship" and step.facts.get("trailer") == "closed"
        return step.facts.get("cut") == "hot wire"


GATES = (
    AgeGate("wrap", "too_young_to_wrap", "bundled", frozenset({"block"})),
    AgeGate("closed_trailer", "too_young_for_trailer", "loaded closed", frozenset({"block"})),
    AgeGate("hot_wire", "too_young_to_cut", "cut with hot wire", frozenset({"block", "scrap"})),
)


def too_young(
    step: FoldStep,
    lots: Mapping[int, FoldLot],
    before: Mapping[int, State],
    inputs: Sequence[FoldLine],
    settings: Dated,
) -> Iterator[Flaw]:
    """What is wrong with a step whose blocks are younger than the plant's gate for it."""
    for gate in GATES:
        rule = settings.at("age_gate", gate.name, step.at_ms) if gate.is_before(step) else None
        if rule is None:
            continue
        for line in inputs:
            lot, last = lots[line.lot], before[line.lot].last
            least = float(str(rule["min_h"]))
            if lot.kind not in gate.kinds or last is None or step.at_ms - last >= least * _HOUR_MS:
                continue
            hours = (step.at_ms - last) / _HOUR_MS
            what = f"{lot.code} was {gate.done} {hours:.1f} h after moulding; the plant's"
            yield Flaw(gate.code, lot.no, f"{what} minimum is {least:g} h. {CAUTION}")
