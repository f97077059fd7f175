"""What the tool shows of a simulated plant in which something went wrong.

Read :func:`shown` first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Container, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from beadwright.ledger import lots, store
from beadwright.plant.charted import charts
from beadwright.plant.findings import findings
from beadwright.plant.opening import Plant, open_plant
from beadwright.plant.recall.scope import scope
from tests.simulated.scoring import ROUNDING, Score, affected, read_truth, shares_of

__all__ = ["Recalled", "Shown", "recalled", "shown"]


@dataclass
class Shown:
    """What stands in the record, in charts and in findings."""

    codes: Counter[str] = field(default_factory=Counter)
    """Nonconformities, by code."""
    signals: dict[str, int] = field(default_factory=dict)
    """Series that signal, each with when it did last (ms)."""
    findings: set[tuple[str, str]] = field(default_factory=set)


def shown(plant: Plant, at_ms: int) -> Shown:
    """Ask for everything that is shown without being asked about a lot."""
    rows = store.select("SELECT code, count(*) FROM ledger_finding WHERE p=%s GROUP BY code", [
        plant.no
    ])  # fmt: skip
    return Shown(
        Counter({code: int(count) for code, count in rows}),
        {one.series.key: one.signalled_ms for one in charts(plant, at_ms).signalling},
        {(one.kind, one.about) for one in findings(plant.no)},
    )


@dataclass(frozen=True)
class Recalled:
    """What recalls said, against the truth."""

    affected: int
    missed: int
    """Lots and bundles that truly hold some of what was recalled, and are not in the scope."""
    shares: int
    outside: int
    """True shares of lots in scope, and those that lie outside their bounds."""


def recalled(
    folder: Path, sources: Collection[str], among: Container[str] | None = None
) -> Recalled:
    """Recall bags and cartons one by one; where lots are named, look at those alone.

    Of one that the record does not have (it had not come, or nobody entered it) nobody can ask:
    whatever truly holds some of it is missed.
    """
    truth: Mapping[str, Any] = read_truth(folder)
    plant = open_plant(truth["plant"])
    there = lots.get_many(plant.no, sources)
    whole, missed, found = 0, 0, Score()
    for source in sources:
        listed = (
            {one.lot.code: one for one in scope(plant.no, [source]).lots} if source in there else {}
        )
        true = {lot for lot in affected(truth, source) if among is None or lot in among}
        whole += len(true)
        missed += len(true - listed.keys())
        held = {lot: one for lot, one in listed.items() if among is None or lot in among}
        shares_of(found, source, held, truth)
    outside = sum(off > ROUNDING for _, _, off in found.outside)
    return Recalled(whole, missed, found.shares, outside)
