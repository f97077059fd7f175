"""Numbers of the physics as every verb prints them: in a table, and what each is made of.

Read :func:`lines`.
"""

from __future__ import annotations

from collections.abc import Sequence

from beadwright.cli.printed import Page
from beadwright.plant.worked_words import Told

__all__ = ["lines", "made_of"]


def lines(page: Page, told: Sequence[Told], *, why: bool) -> None:
    """Print numbers of the physics, each with its trust and, where asked, what it is made of."""
    columns = ("number", "!is>", "!band", "!trust")
    rows = [(one.title, one.value, one.band, one.trust.partition(" ")[0]) for one in told]
    page.table(columns, rows)
    for one in told:
        if one.lacking:
            page.item(f"{one.title}: not known without {'; '.join(one.lacking)}")
        elif one.refused:
            page.item(f"{one.title}: {one.refused}")
        if why:
            made_of(page, one, f"{one.title}:")


def made_of(page: Page, one: Told, lead: str) -> None:
    """Print what a number is made of, after ``lead``, which names it."""
    made = f"{one.formula}; " if one.formula else ""
    page.item(f"{lead} {made}{one.origin}: {one.source}")
    for words, what in (
        ("of", one.inputs), ("its band", one.causes), ("narrower with", one.narrowed_by),
    ):  # fmt: skip
        if what:
            page.line(f"{words}: {'; '.join(what)}", indent=4)
