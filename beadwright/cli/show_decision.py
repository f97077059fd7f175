"""What is said of a decision that was recorded."""

from __future__ import annotations

from beadwright.cli.decisions import Decided
from beadwright.cli.printed import Page

__all__ = ["decided", "released"]


def decided(one: Decided) -> None:
    """Print what was recorded, and the head that stands now."""
    page = Page()
    page.line(f"Recorded: {one.what}.")
    page.line(f"Entry {one.seq}, head {one.seq}:{one.hash}")


def released(one: Decided) -> None:
    """Print a release, with what it is not."""
    decided(one)
    Page().line("Maker's record, not third-party certification.")
