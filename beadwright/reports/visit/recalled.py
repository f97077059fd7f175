"""Recalls and rehearsals in a visit file: stage by stage, with the minutes from the start.

Read :func:`recalled`.
"""

from __future__ import annotations

from beadwright.plant.opening import Plant
from beadwright.plant.recall.on_record import Recall, Stage, recalls
from beadwright.plant.recall.stages import STAGES
from beadwright.plant.words import in_runs
from beadwright.reports.visit.entries import Entry, Since
from beadwright.reports.visit.parts import Part, Table, table
from beadwright.reports.words import local

__all__ = ["recalled"]

_MINUTE_MS = 60_000


def recalled(plant: Plant, since: Since) -> Part:
    """Tell each recall of which a stage was entered since, whole; and each rehearsal."""
    came = {one.seq: one for one in since.entries}
    every = recalls(plant.no)
    told = [one for one in reversed(every) if any(each.seq in came for each in one.stages)]
    words = (
        "Minutes are from the start, as the stages say; beside them those between the times at"
        " which the record took the entries, which nobody says. Where the two are far apart, the"
        " stages were entered afterwards."
    )
    rehearsed = sum(one.rehearsed for one in told)
    facts = (
        ("Since", f"{len(told) - rehearsed} carried out, {rehearsed} rehearsed"),
        ("Before", f"{len(every) - len(told)} in the record"),
    )
    tables = tuple(_one(plant, one, came) for one in told)
    return Part("Recalls and rehearsals", (words,), facts, tables)


def _one(plant: Plant, one: Recall, came: dict[int, Entry]) -> Table:
    sort = "a rehearsal" if one.rehearsed else "carried out"
    title = f"{one.name}, {sort}: {one.reason or 'no reason given'}; from {in_runs(one.starts)}"
    if one.narrowing.below:
        title += f"; without lots that hold {100 * one.narrowing.below:g} % of it at most"
    if one.narrowing.tested:
        title += f"; without lots that meet {one.narrowing.tested.replace('_', ' ')}"
    begun = came.get(one.stages[0].seq)
    rows = []
    for each in one.stages:
        recorded, between = _recorded(plant, each, came.get(each.seq), begun)
        rows.append(
            (
                f"{each.name} (entry {each.seq}, {each.by or 'nobody is named'})",
                local(each.at_ms, plant.zone), f"{one.minutes(each):.1f}", recorded, between,
                "; ".join(filter(None, (each.found, each.note))),
            )
        )  # fmt: skip
    if one.next:
        undone = ", ".join(STAGES[len(one.stages) :])
        rows.append((f"not done: {undone}", "", "", "", "", ""))
    columns = "stage:3|when|minutes>|recorded|minutes between>:1|found:4"
    return table(title, columns, rows)


def _recorded(
    plant: Plant, stage: Stage, entry: Entry | None, begun: Entry | None
) -> tuple[str, str]:
    """Give when the record took a stage, and how long after it took the start."""
    if entry is None:
        return "before", ""
    recorded = local(entry.recorded_at, plant.zone)
    if begun is None or stage.seq == begun.seq:
        return recorded, "0.0" if begun is not None else ""
    return recorded, f"{(entry.recorded_at - begun.recorded_at) / _MINUTE_MS:.1f}"
