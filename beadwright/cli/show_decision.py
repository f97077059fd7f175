"""What a decision says once it is in the record."""

from __future__ import annotations

from beadwright.cli.approving import Released
from beadwright.cli.decisions import Decided
from beadwright.cli.grouping import in_runs
from beadwright.cli.printed import Page
from beadwright.cli.words import number

__all__ = ["conceded", "held", "lifted", "released", "reversed_"]


def held(done: Decided) -> None:
    """Print that lots are on hold."""
    Page().line(f"Entry {done.seq}: {in_runs(done.named)} on hold {done.about}.")


def lifted(done: Decided) -> None:
    """Print that a hold was lifted."""
    Page().line(f"Entry {done.seq}: hold {done.about} lifted from {in_runs(done.named)}.")


def conceded(done: Decided) -> None:
    """Print that a concession was given."""
    count = number(len(done.named), "nonconformity")
    Page().line(f"Entry {done.seq}: concession on {done.about}; it closes {count}.")


def reversed_(done: Decided) -> None:
    """Print that a step was undone."""
    Page().line(f"Entry {done.seq}: {done.about} is reversed.")


def released(done: Released) -> None:
    """Print that a lot was released, or that another person must approve it."""
    page, lot = Page(), done.told.lot
    if done.told.released:
        page.line(f"Entry {done.seq}: {lot} is released, over evidence {done.evidence}.")
        return
    page.line(f"Entry {done.seq}: {lot} is approved by one of two, over evidence {done.evidence}.")
    page.line("It is not released until another person releases it over the same evidence.")
