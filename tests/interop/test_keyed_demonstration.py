"""The invented plant's last rows, keyed on a tablet: the same stock as their sheets give."""

import csv
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from beadwright.demo.writing import write_plant
from beadwright.interop.importing import import_files
from beadwright.interop.keyed import post, read
from beadwright.interop.keyed.cells import clock_of
from beadwright.interop.sheets.cells import Sort
from beadwright.interop.sheets.kinds import FIELDS, KINDS
from beadwright.interop.sheets.layout import Layout, heading, layout_of
from beadwright.ledger import lots, store
from beadwright.plant.access import Role, Who

pytestmark = pytest.mark.django_db

SHEETS, FORMS = "LARKHOLLOW", "MARLHOLLOW"
LAST = 60
"""Rows that are keyed: the last ones of all sheets together."""


@dataclass(frozen=True)
class Typed:
    """A row of a sheet, as somebody would key it into a form."""

    kind: str
    key: str
    at: int
    texts: dict[str, str]
    units: dict[str, str]
    layout: Layout
    line: str


def layout_at(path: Path) -> Layout:
    """Read a layout that states everything."""
    layout, faults = layout_of(path.name, tomllib.loads(path.read_text("utf-8")), FIELDS)
    assert layout is not None, faults
    return layout


def rows_of(folder: Path, kind: str) -> Iterator[Typed]:
    """Give the rows of a sheet as texts of a form; times in the way that forms write them."""
    layout = layout_at(folder / f"{kind}.layout.toml")
    lines = (folder / f"{kind}.csv").read_text(layout.encoding).splitlines(keepends=True)
    headers, *rows = csv.reader(lines, delimiter=layout.delimiter)
    units = {heading(one): one.partition("[")[2].rstrip("]") for one in headers}
    for line, row in zip(lines[1:], rows, strict=True):
        cells = dict(zip(map(heading, headers), row, strict=True))
        texts = {name: cells[column].strip() for name, column in layout.columns.items()}
        if layout.thousands:
            texts = {name: text.replace(layout.thousands, "") for name, text in texts.items()}
        times = {name for name, one in KINDS[kind].fields.items() if one.sort is Sort.TIME}
        stamps = {name: layout.clock.ms(texts[name]) for name in times if texts.get(name)}
        shown = clock_of("America/Chicago")
        texts |= {name: shown.text(stamp) for name, stamp in stamps.items()}
        its = {name: units[column] for name, column in layout.columns.items() if units[column]}
        at = stamps[KINDS[kind].at]
        yield Typed(kind, cells[layout.row], at, texts, its, layout, line)


def without_last(folder: Path) -> list[Typed]:
    """Take the last rows out of the sheets of a folder."""
    order = {kind: number for number, kind in enumerate(KINDS)}
    found = [
        row
        for kind in KINDS
        if (folder / f"{kind}.csv").exists() and kind not in {"reports", "calibrations"}
        for row in rows_of(folder, kind)
    ]
    found.sort(key=lambda row: (row.at, order[row.kind]))
    taken = found[-LAST:]
    for kind in {row.kind for row in taken}:
        path, lines = folder / f"{kind}.csv", {row.line for row in taken if row.kind == kind}
        encoding = taken[0].layout.encoding
        kept = [one for one in path.read_text(encoding).splitlines(keepends=True)
                if one not in lines]  # fmt: skip
        path.write_text("".join(kept), encoding)
    return taken


def written(folder: Path, code: str) -> Path:
    """Write the invented plant under a code."""
    write_plant(1, folder)
    settings = folder / "plant.toml"
    text = settings.read_text("utf-8")
    settings.write_text(text.replace(f'code = "{SHEETS}"', f'code = "{code}"'), "utf-8")
    return folder


def stock(code: str) -> list[store.Row]:
    """Everything that the store says of the lots of a plant."""
    sql = "SELECT code, kind, what, mg, pieces, grades, causes, place FROM ledger_lot WHERE p=%s"
    return sorted(store.select(sql, [lots.plant_number(code)]))


def test_rows_keyed_by_form_give_the_stock_that_their_sheets_give(tmp_path: Path) -> None:
    """Two plants: one imports all of its sheets, the other keys the last rows of them."""
    sheets, forms = written(tmp_path / "sheets", SHEETS), written(tmp_path / "forms", FORMS)
    assert not import_files([sheets]).refused
    keyed_later = without_last(forms)
    assert not import_files([forms], plant=FORMS).refused
    assert stock(SHEETS) != stock(FORMS)

    assert len({row.kind for row in keyed_later}) >= 4
    who = Who("P-01", Role.ENGINEER)
    for row in keyed_later:
        keyed = read(
            FORMS, row.kind, row.texts, units=row.units, key=row.key, by="",
            decimal=row.layout.decimal,
        )  # fmt: skip
        assert keyed.ready, (row, keyed.faults, keyed.questions)
        done = post(FORMS, keyed, who, planned=False)
        assert done.posted, (row, done.refused)

    assert stock(FORMS) == stock(SHEETS)
