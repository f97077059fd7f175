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
from tests.simulated.scoring import affected, read_truth

__all__ = ["Shown", "recalled", "shown"]


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


def recalled(
    folder: Path, sources: Collection[str], among: Container[str] | None = None
) -> tuple[int, int]:
    """Recall bags and cartons; give the affected lots (of some, or of all), and those missed.

    Of one that the record does not have (it had not come, or nobody entered it) nobody can ask:
    whatever truly holds some of it is missed.
    """
    truth: Mapping[str, Any] = read_truth(folder)
    plant = open_plant(truth["plant"])
    there = lots.get_many(plant.no, sources)
    whole = missed = 0
    for source in sources:
        listed = {one.lot.code for one in scope(plant, [source]).lots} if source in there else set()
        true = {lot: kg for lot, kg in affected(truth, source).items() if not among or lot in among}
        whole += len(true)
        missed += len(true.keys() - listed)
    return whole, missed
