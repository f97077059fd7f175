"""What `recall` says: how many lots, what to hold, whom to tell, and where the material is."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from beadwright.cli.decisions import Decided
from beadwright.cli.handing import require_new
from beadwright.cli.printed import Page, write_json
from beadwright.plant.figures import mass
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.recall.on_record import Recall
from beadwright.plant.recall.on_record import recalls as read
from beadwright.plant.recall.scope import Scope, scope
from beadwright.plant.recall.told import (
    ACCOUNT,
    RECALL_SAYS,
    account_masses,
    account_said,
    pieces_of,
    pieces_told,
    scope_json,
    share_told,
    told_nobody,
)
from beadwright.plant.words import in_runs, iso, number
from beadwright.reports import recall as papers_of

__all__ = ["answer", "every", "papers", "recorded", "show"]

_SHOWN = 20


def recorded(done: Decided) -> None:
    """Say that a stage is in the record."""
    who, stage = done.named
    Page().line(f"Entry {done.seq}: recall {done.about}, {stage}, by {who}.")


def answer(plant: Plant, about: Recall, to: Path | None, *, json: bool) -> None:
    """Work a scope out, write its papers where that was asked, and print it."""
    found = scope(plant.no, about.starts, about.narrowing)
    if to is not None:
        papers(plant, found, about, to)
    show(plant, found, json=json)
    if to is not None and found.receivers and not json:
        page = Page()
        page.heading("Fill in on each letter before it is sent")
        for said in papers_of.to_fill_in(about):
            page.item(said)


def show(plant: Plant, found: Scope, *, json: bool) -> None:
    """Print a scope."""
    if json:
        write_json(scope_json(plant, found))
        return
    page = Page()
    begins = in_runs(found.starts)
    page.line(f"Recall from {begins}: {number(len(found.lots), 'lot')} in scope")
    page.line(RECALL_SAYS)
    if found.within:
        page.line(f"Already reached by the others: {in_runs(found.within)}.")
    for said in found.narrowing.assumes:
        page.line(said)
    if found.narrowing.assumes:
        page.line(f"{number(len(found.out), 'block lot')} left out: {in_runs(_codes(found))}.")
    page.heading("To tell")
    for name, some in found.receivers:
        lots = len({one.lot for one in some})
        page.item(f"{name}: {pieces_of(some)} of {number(lots, 'lot')}")
    for said in told_nobody(found):
        page.line(said)
    page.heading("To hold")
    for code, stand in found.here[:_SHOWN]:
        page.item(f"{code}: {pieces_told(stand)}")
    _more(page, len(found.here))
    for one in found.stock[:_SHOWN]:
        page.item(f"{one.lot.code}, {one.lot.kind}: {mass(one.lot.mg, 'si')}, {share_told(one)}")
    _more(page, len(found.stock))
    page.heading("The likeliest lots")
    for one in found.lots[:_SHOWN]:
        page.item(f"{one.lot.code}, {one.lot.what or one.lot.kind}: {share_told(one)}")
    _more(page, len(found.lots))
    _accounts(page, found)


def _codes(found: Scope) -> tuple[str, ...]:
    return tuple(code for code, _ in found.out) or ("none",)


def _more(page: Page, count: int) -> None:
    if count > _SHOWN:
        page.line(f"and {count - _SHOWN} more: --json and --papers have all")


def _accounts(page: Page, found: Scope) -> None:
    page.heading("Where the material is")
    if said := account_said(found):
        page.line(said)
    page.table(("!start", *(f"!{name}>" for name in ACCOUNT)), [
        (one.lot, *(mass(round(mg), "si") for mg in account_masses(one)))
        for one in found.accounts[:_SHOWN]
    ])  # fmt: skip
    _more(page, len(found.accounts))
    page.line(
        f"{found.gone} pieces in scope are neither here nor sent: rejected, sampled or scrapped."
    )
    page.line(f"Not listed, with less than one bead each: {found.cut_mg:.3g} mg expected in all.")


def papers(plant: Plant, found: Scope, about: Recall, to: Path) -> None:
    """Write the scope's workbook, and a letter and a workbook for each receiver."""
    require_new(to, "folder")
    to.mkdir(parents=True)
    at_ms = moment(plant)
    (to / "scope.xlsx").write_bytes(papers_of.workbook("scope", papers_of.of_scope(found)))
    for name, some in found.receivers:
        file = papers_of.file_of(name)
        (to / f"{file}.pdf").write_bytes(papers_of.letter(plant, about, (name, some), at_ms))
        rows = papers_of.of_receiver(some, plant.zone)
        (to / f"{file}.xlsx").write_bytes(papers_of.workbook(name, rows))


def every(plant: Plant, *, json: bool) -> None:
    """Print every recall with its stages."""
    found = read(plant.no)
    if json:
        write_json({**plant.about, "recalls": [_json(one, plant) for one in found]})
        return
    page = Page()
    if not found:
        page.line("No recall was started, and none rehearsed.")
    for one in found:
        page.heading(f"{one.name}{', a rehearsal' if one.rehearsed else ''}: {one.reason}")
        page.line(f"From {in_runs(one.starts)}.")
        for stage in one.stages:
            page.item(f"{stage.name}: {one.after(stage) or 'at the start'}, by {stage.by}")
            if stage.found:
                page.line(stage.found, indent=4)
        page.line(f"Next: {one.next}." if one.next else "Closed.")


def _json(one: Recall, plant: Plant) -> dict[str, Any]:
    return {
        "name": one.name, "reason": one.reason, "rehearsed": one.rehearsed,
        "starts": list(one.starts), "next": one.next,
        "stages": list(_stages(one, plant)),
    }  # fmt: skip


def _stages(one: Recall, plant: Plant) -> Iterable[dict[str, Any]]:
    for stage in one.stages:
        yield {"stage": stage.name, "at": iso(stage.at_ms, plant.zone), "by": stage.by,
               "minutes": round(one.minutes(stage), 2), "entry": stage.seq,
               "found": stage.found, "note": stage.note}  # fmt: skip
