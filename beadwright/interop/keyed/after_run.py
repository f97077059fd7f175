"""A cup of a run that is over: asked about, for beads of it fall into no cup any more.

Read :func:`after_run`. A sheet is not asked so: its cups come with the run that they tell of.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.ledger import lots
from beadwright.plant.runs import ended_ms
from beadwright.plant.words import number

__all__ = ["after_run"]

_HOUR_MS = 3_600_000
_LATEST_H: Mapping[str, float] = {"hot": 0.5, "dried": 48}
"""Hours after the end of a run until which a cup of it may be weighed. Common practice, no source:
a hot one is weighed as it falls, a dried one within two days."""


def after_run(row: Row, plant: str) -> Iterator[Questioned]:
    """Ask about a cup that is said to be of a run that had ended."""
    run, latest = row.text("run"), _LATEST_H.get(row.text("where"))
    if row.kind != "cups" or not run or latest is None:
        return
    ended = ended_ms(lots.plant_number(plant), run)
    hours = 0.0 if ended is None else (row.number_of("taken") - ended) / _HOUR_MS
    if ended is not None and hours > latest:
        ago = number(round(hours), "hour") if hours >= 1 else f"{hours * 60:.0f} minutes"
        why = (
            f"Run {run} ended {ago} before this cup, which is said to be {row.text('where')}. Leave"
            " the run empty, name the one that runs, or say when it was taken."
        )
        yield Questioned(row, "run", Question("after_run", row.address("run"), run, why))
