"""Sheets and their layouts as files: what a plant keeps, and how each sheet says it is written.

Read :data:`SHEETS` first. Every sheet has the headings of its own people; the layout file beside
it says which heading is which field.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.demo.clock import ZONE, stamp
from beadwright.demo.sheets import Row

__all__ = ["SHEETS", "Column", "Sheet", "layout_text", "sheet_text"]

_ISO = ("YYYY-MM-DD hh:mm", "%Y-%m-%d %H:%M")
_US = ("MM/DD/YYYY hh:mm", "%m/%d/%Y %H:%M")


@dataclass(frozen=True)
class Column:
    """A field, the heading over it, its unit, and how many decimals are written."""

    field: str
    heading: str
    unit: str = ""
    decimals: int = 0
    attribute: str = ""

    @property
    def header(self) -> str:
        """Heading with the unit in brackets."""
        return f"{self.heading} [{self.unit}]" if self.unit else self.heading


@dataclass(frozen=True)
class Sheet:
    """A kind of sheet as this plant keeps it."""

    kind: str
    columns: tuple[Column, ...]
    dates: tuple[str, str] = _ISO
    delimiter: str = ","
    thousands: str = ""

    @property
    def name(self) -> str:
        """File name without its ending."""
        return self.kind


_BY = Column("by", "by")
_AT = Column("at", "time", attribute="at")

SHEETS = (
    Sheet(
        "bead_receipts",
        (
            Column("received", "received", attribute="at"),
            Column("bag", "bag"),
            Column("supplier_lot", "supplier lot"),
            Column("supplier", "supplier"),
            Column("grade", "grade"),
            Column("mass", "net mass", "lb", 1),
            _BY,
        ),
        _US,
        ";",
        ",",
    ),
    Sheet(
        "tie_receipts",
        (
            Column("received", "received", attribute="at"),
            Column("carton", "carton"),
            Column("supplier_lot", "supplier lot"),
            Column("supplier", "supplier"),
            Column("grade", "part"),
            Column("pieces", "pieces"),
            Column("unit_mass", "mass of one", "lb", 4),
            _BY,
        ),
        _US,
        ";",
        ",",
    ),
    Sheet(
        "expansion_runs",
        (
            Column("run", "run"),
            Column("started", "started", attribute="at"),
            Column("ended", "ended"),
            Column("bag", "bag"),
            Column("mass", "out of the bag", "kg", 1),
            Column("batches", "batches"),
            Column("charge", "charge", "kg", 1),
            Column("silo", "silo"),
            Column("prefoam_mass", "into the silo, weighed", "kg", 1),
            Column("scale", "scale"),
            Column("loss", "pentane and moisture", "kg", 1),
            Column("expander", "pre-expander"),
            _BY,
        ),
    ),
    Sheet(
        "cups",
        (
            Column("taken", "taken", attribute="at"),
            Column("run", "run"),
            Column("silo", "of"),
            Column("where", "where"),
            Column("mass", "beads in the cup", "g", 1),
            Column("volume", "cup", "L", 1),
            Column("instrument", "balance"),
            _BY,
        ),
    ),
    Sheet(
        "silo_moves",
        (
            _AT,
            Column("what", "what"),
            Column("from", "from", attribute="source"),
            Column("to", "to"),
            Column("mass", "mass", "kg", 1),
            Column("inspected_by", "inspected by"),
            _BY,
        ),
    ),
    Sheet(
        "silo_temperatures",
        (
            Column("taken", "read", attribute="at"),
            Column("silo", "silo"),
            Column("temperature", "middle of the silo", "°C", 1),
            Column("instrument", "probe"),
            _BY,
        ),
    ),
    Sheet(
        "mesh_samples",
        (
            Column("taken", "weighed", attribute="at"),
            Column("sample", "sample"),
            Column("silo", "hung in"),
            Column("grade", "grade"),
            Column("age", "age", "h", 1),
            Column("mass", "beads", "g", 2),
            Column("temperature", "where it hung", "°C", 0),
            Column("instrument", "balance"),
            _BY,
        ),
    ),
    Sheet(
        "mould_runs",
        (
            Column("run", "run"),
            Column("started", "started", attribute="at"),
            Column("ended", "ended"),
            Column("press", "press"),
            Column("mould", "mould"),
            Column("product", "product"),
            Column("from", "foam from", attribute="source"),
            Column("ties", "tie carton"),
            Column("lot", "lot"),
            Column("shots", "shots"),
            Column("good", "good"),
            Column("scrap", "scrap"),
            Column("foam_per_block", "foam per block", "lb", 3),
            Column("ties_used", "ties used"),
            Column("scrap_bin", "bin"),
            Column("cause", "cause of scrap"),
            _BY,
        ),
    ),
    Sheet(
        "inspections",
        (
            _AT,
            Column("lot", "lot"),
            Column("specimen", "piece"),
            Column("age", "age", "h", 2),
            Column("state", "state"),
            Column("mass", "mass", "lb", 3),
            Column("length", "length", "in", 2),
            Column("width", "width", "in", 2),
            Column("height", "height", "in", 2),
            Column("checked", "looked at"),
            Column("bad_ties", "bad ties"),
            Column("bad_fusion", "bad fusion"),
            Column("bad_dimension", "bad size"),
            Column("bad_surface", "bad surface"),
            Column("rejected", "rejected"),
            Column("scrap_bin", "bin"),
            Column("instrument", "balance"),
            _BY,
        ),
    ),
    Sheet(
        "specimens",
        (
            Column("at", "weighed", attribute="at"),
            Column("lot", "lot"),
            Column("specimen", "cube"),
            Column("length", "length", "mm", 1),
            Column("width", "width", "mm", 1),
            Column("height", "height", "mm", 1),
            Column("mass", "mass", "g", 2),
            Column("instrument", "balance"),
            _BY,
        ),
        _ISO,
        "\t",
    ),
    Sheet(
        "results",
        (
            Column("at", "tested", attribute="at"),
            Column("lot", "lot"),
            Column("specimen", "specimen"),
            Column("conditioned", "conditioned", "h", 0),
            Column("compressive_resistance", "strength", "psi", 1, attribute="strength"),
            Column("flexural_strength", "bending", "psi", 1, attribute="bending"),
            Column("method", "method"),
            Column("instrument", "machine"),
            _BY,
        ),
    ),
    Sheet(
        "first_pieces",
        (
            _AT,
            Column("press", "press"),
            Column("run", "run"),
            Column("lot", "lot"),
            *(
                Column(name, name, attribute="looked")
                for name in ("mass", "ties", "fusion", "dimensions", "code")
            ),
            _BY,
        ),
    ),
    Sheet(
        "reports",
        (
            Column("entered", "entered", attribute="at"),
            Column("number", "report"),
            Column("laboratory", "laboratory"),
            Column("products", "products"),
            Column("characteristic", "characteristic"),
            Column("method", "method"),
            Column("specimens", "specimens"),
            Column("result", "result"),
            *(Column(name, name) for name in ("sampled", "tested", "issued", "expires")),
            _BY,
        ),
    ),
    Sheet(
        "calibrations",
        (
            Column("entered", "entered", attribute="at"),
            Column("instrument", "instrument", attribute="calibrated"),
            Column("done", "done"),
            Column("result", "result"),
            Column("certificate", "certificate"),
            Column("due", "valid until", attribute="due"),
            _BY,
        ),
    ),
    Sheet(
        "bundles",
        (_AT, Column("bundle", "bundle"), Column("lot", "lot"), Column("pieces", "pieces"), _BY),
    ),
    Sheet(
        "shipments",
        (
            Column("at", "left", attribute="at"),
            Column("shipment", "shipment"),
            Column("receiver", "receiver"),
            Column("what", "bundle or lot"),
            Column("pieces", "pieces"),
            _BY,
        ),
        _US,
        ";",
    ),
    Sheet(
        "reclaim",
        (
            _AT,
            Column("what", "what"),
            Column("from", "from", attribute="source"),
            Column("to", "to"),
            Column("mass", "mass", "lb", 1),
            Column("ties_mass", "of that ties", "lb", 1),
            _BY,
        ),
    ),
    Sheet(
        "corrections",
        (
            _AT,
            Column("sheet", "sheet"),
            Column("row", "line", attribute="row"),
            Column("field", "field"),
            Column("value", "should read"),
            Column("reason", "reason"),
            _BY,
        ),
    ),
)
_ROW = "row"
_FINE = 3


def sheet_text(sheet: Sheet, rows: Sequence[tuple[int, Row]]) -> str:
    """Return the text of a sheet's file."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=sheet.delimiter, lineterminator="\n")
    writer.writerow([_ROW, *(column.header for column in sheet.columns)])
    for number, row in rows:
        cells = [_cell(sheet, column, row) for column in sheet.columns]
        writer.writerow([str(number), *cells])
    return out.getvalue()


def layout_text(sheet: Sheet, zone: str = ZONE) -> str:
    """Return the text of the layout file that lies beside a sheet."""
    delimiter = sheet.delimiter.replace("\t", "\\t")
    lines = [
        f'sheet = "{sheet.kind}"',
        'encoding = "utf-8"',
        f'delimiter = "{delimiter}"',
        'decimal = "."',
        f'thousands = "{sheet.thousands}"',
        f'dates = "{sheet.dates[0]}"',
        f'zone = "{zone}"',
        f'row = "{_ROW}"',
        "",
        "[columns]",
        *(f'{column.field} = "{column.heading}"' for column in sheet.columns),
    ]
    return "\n".join(lines) + "\n"


def _cell(sheet: Sheet, column: Column, row: Row) -> str:
    value = getattr(row, column.attribute or column.field)
    if value is None:
        return ""
    if column.attribute == "at" or column.field == "ended":
        return stamp(value, sheet.dates[1])
    if isinstance(value, float):
        # A balance shows two decimals of a pound, the finer one three.
        digits = 2 if column.decimals == _FINE and round(value, 2) == value else column.decimals
        text = f"{value:,.{digits}f}"
        return text if sheet.thousands else text.replace(",", "")
    if isinstance(value, int) and sheet.thousands:
        return f"{value:,}"
    return str(value)
