"""What a decision says once it is in the record."""

from __future__ import annotations

from beadwright.cli.approving import Released
from beadwright.cli.decisions import Decided
from beadwright.cli.printed import Page
from beadwright.cli.show_holds import said_of
from beadwright.plant.release_words import not_counting, stays_released
from beadwright.plant.words import in_runs, number

__all__ = ["conceded", "held", "lifted", "released", "reversed_"]


def held(done: Decided) -> None:
    """Print that lots are on hold, what the hold reaches, and what of it has left."""
    page = Page()
    page.line(f"Entry {done.seq}: {in_runs(done.named)} on hold {done.about}.")
    for line in said_of(done.reach) if done.reach is not None else ():
        page.item(line)


def lifted(done: Decided) -> None:
    """Print that a hold was lifted, and what it still reaches."""
    page = Page()
    page.line(f"Entry {done.seq}: hold {done.about} lifted from {in_runs(done.named)}.")
    if done.reach is None or not done.reach.lots:
        page.item("the hold reaches no lot any more")
        return
    page.item("the hold stays on the others:")
    for line in said_of(done.reach):
        page.item(line)


def conceded(done: Decided) -> None:
    """Print that a concession was given."""
    count = number(len(done.named), "nonconformity")
    Page().line(f"Entry {done.seq}: concession on {done.about}; it closes {count}.")


def reversed_(done: Decided) -> None:
    """Print that a step was undone."""
    Page().line(f"Entry {done.seq}: {done.about} is reversed.")


def released(done: Released) -> None:
    """Print that a lot was released, or that another person must approve it; and of whom before.

    Where earlier approvals were of other evidence, it is said whether they count, and whether a
    release that they made still stands.
    """
    page, told = Page(done.named), done.told
    if told.released and told.approvals[0].evidence == done.evidence:
        page.line(f"Entry {done.seq}: {told.lot} is released, over evidence {done.evidence}.")
        _doubts(page, done)
        return
    what = f"{told.lot} is approved by one of two, over evidence {done.evidence}"
    page.line(f"Entry {done.seq}: {what}.")
    _doubts(page, done)
    if told.released:
        page.line(stays_released(told, done.zone))
        return
    page.line("It is not released until another person releases it over the same evidence.")
    for line in not_counting(told, done.zone):
        page.line(line)


def _doubts(page: Page, done: Released) -> None:
    """Say that readings rest on an instrument that was found wrong since, as the paper will."""
    for one in done.told.doubts:
        page.item(f"{one.sentence} [{one.source}]")
