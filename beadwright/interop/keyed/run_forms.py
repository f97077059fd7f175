"""What a run that is open says about its next forms, and what its opening leads to.

Read :func:`counting`, the hourly count of a mould run, then :func:`foreseen`.
"""

from __future__ import annotations

from decimal import Decimal

from beadwright.errors import Misuse
from beadwright.interop.keyed.cells import FORM, Noting, clock_of
from beadwright.interop.keyed.form import Keyed
from beadwright.interop.keyed.reading import answered, recent_rows
from beadwright.interop.keyed.usual import Likely
from beadwright.interop.sheets.cells import Cell, Row, measured, recalled
from beadwright.interop.sheets.kinds import KINDS
from beadwright.ledger import lots
from beadwright.plant.runs import SOURCES, run_named

__all__ = ["counting", "foreseen"]

_SHARED = ("product", "mould", "from", "ties", "lot", "scrap_bin")
_OF_BAG = ("run", "bag", "mass", "by")
_OF_RUN = ("run", "press", "foam_per_block", *_SHARED, "by")


def counting(plant: str, run: str) -> Likely:
    """Give what the next hourly count of a mould run, a row of ``mould_runs``, already knows.

    ``started`` is the end of the run's last count, else when it was opened; left open are the
    shots, the good and scrapped blocks, and the cause. Scrap told by itself, without shots, is no
    count: the next one is of the same time.

    Raises
    ------
    Misuse
        If no mould run was opened under that code.
    """
    found = run_named(lots.plant_number(plant), run)
    if found is None or found.of_beads:
        message = f"no mould run was opened as {run}"
        raise Misuse(message)
    register = Noting(plant)
    last = next(
        (
            row
            for row in recent_rows(register, KINDS["mould_runs"])
            if row.text("run") == run and row.number_of("shots")
        ),
        None,
    )
    since = found.opened_ms if last is None else last.number_of("ended")
    texts = {name: found.facts[name] for name in _SHARED if name in found.facts}
    foam, _, unit = found.facts["foam_per_block"].partition(" ")
    texts |= {"run": run, "press": found.place, "foam_per_block": foam}
    texts["started"] = clock_of(register.zone()).text(since)
    return Likely(texts, {"foam_per_block": unit})


def foreseen(keyed: Keyed) -> Keyed | None:
    """Give what a form that opens a run or a bag leads to, so that it can be asked about first.

    Of an expansion run: beads of its grade, from the oldest bag, in its silo. Of a bag: its beads
    in the run's silo. Of a mould run, or of what it goes on with: one block. None of any other
    form.
    """
    row = keyed.row
    if row is None or not keyed.ready:
        return None
    if keyed.kind == "expansion_open":
        return _of_grade(keyed.plant, row)
    if keyed.kind == "bag_opened":
        run = run_named(lots.plant_number(keyed.plant), row.text("run"))
        silo = "" if run is None else run.facts.get("silo", "")
        at = row.number_of("at")
        more: dict[str, Cell] = {"started": at, "ended": at, "batches": 1, "silo": silo}
        return _as_row("expansion_runs", keyed.plant, row, (_OF_BAG, more))
    if keyed.kind in {"mould_open", "mould_sources"}:
        at = row.number_of("at")
        more = {"started": at, "ended": at, "shots": 1, "good": 1, "scrap": 0}
        if keyed.kind == "mould_sources":
            more = {**_as_opened(keyed.plant, row.text("run")), **more}
            more |= {name: row.cells[name] for name in SOURCES if name in row.cells}
        return _as_row("mould_runs", keyed.plant, row, (_OF_RUN, more))
    return None


def _of_grade(plant: str, row: Row) -> Keyed | None:
    """Give a batch of the oldest bag of the run's grade into its silo, where there is one."""
    bags = lots.of_kind(lots.plant_number(plant), "bead", "bag")
    grade = (row.text("grade"),)
    bag = next((one.code for one in bags if one.mg > 0 and one.grades == grade), "")
    if not bag:
        return None
    at = row.number_of("at")
    more: dict[str, Cell] = {
        "started": at, "ended": at, "bag": bag, "batches": 1,
        "mass": measured(Decimal(1), "kg", "mass"),
    }  # fmt: skip
    return _as_row("expansion_runs", plant, row, (("run", "silo", "by"), more))


def _as_opened(plant: str, code: str) -> dict[str, Cell]:
    """Cells of a count that the run's opening says."""
    run = run_named(lots.plant_number(plant), code)
    fields = KINDS["mould_runs"].fields
    facts = {} if run is None else {"press": run.place, **run.facts}
    return {name: recalled(fields[name], facts[name]) for name in _OF_RUN if facts.get(name)}


def _as_row(
    kind: str, plant: str, row: Row, cells: tuple[tuple[str, ...], dict[str, Cell]]
) -> Keyed:
    names, more = cells
    register = Noting(plant)
    kept = {name: row.cells[name] for name in names if name in row.cells}
    ahead = Row(kind, f"{row.id}/ahead", FORM, 0, {**kept, **more}, clock=row.clock)
    # What is asked about its figures is asked on the form itself.
    return answered(KINDS[kind], ahead, register, frozenset(KINDS[kind].fields))
