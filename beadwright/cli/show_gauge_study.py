"""What `gauge-study` says: the verdict, then section by section what it rests on."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from beadwright.cli.decisions import Decided
from beadwright.cli.ending import say
from beadwright.cli.handing import new_file
from beadwright.cli.printed import Page, write_json
from beadwright.cli.session import Session
from beadwright.errors import Misuse
from beadwright.interop.studies.worked import Asked, Sort, study
from beadwright.plant.gauge_studies.blank import blank, read_size
from beadwright.plant.gauge_studies.from_limits import tolerance_of
from beadwright.plant.gauge_studies.told import study_json
from beadwright.plant.gauge_studies.written import Section, Table, Written
from beadwright.plant.moment import moment
from beadwright.reports.study import study_paper

__all__ = ["answer", "asked_of", "sheet_of", "write_blank"]


def write_blank(size: str, seed: int, unit: str, *, jig: bool) -> None:
    """Write a blank sheet on standard output."""
    sys.stdout.write(blank(read_size(size), seed, unit=unit, jig=jig))


def sheet_of(sheet: Path | None) -> Path:
    """Give the sheet that is asked about.

    Raises
    ------
    Misuse
        If none is named.
    """
    if sheet is None:
        message = "name the study's SHEET, or ask for a blank one, such as --blank 10x3x3"
        raise Misuse(message)
    return sheet


def asked_of(
    session: Session,
    sorts: tuple[bool, bool, bool],
    said: tuple[str, str],
    limits: tuple[str, str, str],
) -> Asked:
    """Give what is asked; only limits of a product need the plant's store.

    Raises
    ------
    Misuse
        If two things were asked that exclude each other, or one of two is missing.
    """
    jig, laboratories, destroyed = sorts
    tolerance, decimal = said
    product, characteristic, record = limits
    if sum(sorts) > 1:
        message = "--jig, --laboratories and --destroyed are different studies: ask for one"
        raise Misuse(message)
    if bool(product) != bool(characteristic) and not (record and characteristic):
        message = "--product and --of go together: --product FB6S --of height"
        raise Misuse(message)
    if product and tolerance:
        message = "state --tolerance, or take it from the limits of --product: not both"
        raise Misuse(message)
    named: dict[Sort, bool] = {"jig": jig, "laboratories": laboratories, "destroyed": destroyed}
    sort: Sort = next((one for one, asked in named.items() if asked), "gauge")
    if not product:
        return Asked(sort, tolerance, decimal)
    plant = session.plant()
    at_ms = moment(plant)
    return Asked(
        sort, tolerance, decimal, partial(tolerance_of, plant.no, at_ms, product, characteristic)
    )


def answer(
    sheet: Path,
    asked: Asked,
    paper: tuple[Path | None, str],
    put: Decided | None = None,
    *,
    json: bool,
) -> None:
    """Work the study out, print it, and write it as a PDF where that was asked."""
    found, written = study(sheet, asked)
    to, size = paper
    if to is not None:
        with new_file(to) as file:
            file.write(
                study_paper(found, written, datetime.now(UTC).replace(microsecond=0), paper=size)
            )
        say(f"Written: {to}")
    if json:
        recorded = None if put is None else {"instrument": put.about, "entry": put.seq}
        write_json({**study_json(found, written), "recorded": recorded})
        return
    _print(written)
    if put is not None:
        say(f"Entry {put.seq}: the study is recorded for {put.about} by {put.named[0]}.")


def _print(written: Written) -> None:
    page = Page()
    page.line(written.title)
    page.line(written.about[0].upper() + written.about[1:])
    page.heading(written.state.upper())
    for text in written.verdict:
        page.item(text)
    page.line(f"Source of {written.source}.")
    for one in written.sections:
        _section(page, one)
    page.line()
    page.line(f"Not counted: {'; '.join(written.not_counted)}.")


def _section(page: Page, one: Section) -> None:
    page.heading(one.title)
    for text in one.texts:
        page.line(text, indent=2)
    for table in one.tables:
        _table(page, table)


def _table(page: Page, table: Table) -> None:
    page.table(table.columns, table.rows)
