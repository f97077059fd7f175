"""Rows of the plant's sheets, as its people type them.

Times are minutes (see ``clock``); masses and lengths are in the unit that the sheet's header says.
Every row knows when it was written about (:attr:`Row.at`) and when it could first be written.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "BeadReceipt",
    "Bundling",
    "Calibration",
    "Correction",
    "Cup",
    "Expansion",
    "FirstPiece",
    "Inspection",
    "MeshWeighing",
    "Moulding",
    "Reclaim",
    "Report",
    "Row",
    "Shipment",
    "SiloMove",
    "SiloTemperature",
    "Specimen",
    "Strength",
    "TieReceipt",
]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row; ``at`` is when it happened."""

    at: int
    by: str

    @property
    def written(self) -> int:
        """When it can first have been written."""
        return self.at


@dataclass(frozen=True, kw_only=True)
class BeadReceipt(Row):
    """A bulk bag of beads arrives; mass in pounds, net."""

    bag: str
    supplier_lot: str
    supplier: str
    grade: str
    mass: float


@dataclass(frozen=True, kw_only=True)
class TieReceipt(Row):
    """A carton of ties arrives; unit mass in pounds, the mean of twenty weighed."""

    carton: str
    supplier_lot: str
    supplier: str
    grade: str
    pieces: int
    unit_mass: float


@dataclass(frozen=True, kw_only=True)
class Expansion(Row):
    """Beads of one bag expanded into one silo; ``at`` is the start; masses in kilograms."""

    run: str
    ended: int
    expander: str
    bag: str
    mass: float
    batches: int
    charge: float
    silo: str
    prefoam_mass: float
    scale: str
    loss: float

    @property
    def written(self) -> int:
        """After its end."""
        return self.ended

    @property
    def filled(self) -> float:
        """What the silo gained, by the sheet; in kilograms."""
        return self.prefoam_mass


@dataclass(frozen=True, kw_only=True)
class Cup(Row):
    """A cup of pre-expanded beads weighed; grams and litres."""

    run: str
    silo: str
    where: str
    mass: float
    volume: float
    instrument: str


@dataclass(frozen=True, kw_only=True)
class SiloMove(Row):
    """Something done to a silo or hopper; mass in kilograms."""

    what: str
    source: str
    to: str = ""
    mass: float | None = None
    inspected_by: str = ""
    bin: str = ""


@dataclass(frozen=True, kw_only=True)
class SiloTemperature(Row):
    """What a silo's probe showed; degrees Celsius."""

    silo: str
    temperature: float
    instrument: str


@dataclass(frozen=True, kw_only=True)
class MeshWeighing(Row):
    """A mesh sample weighed; hours, grams, degrees Celsius."""

    sample: str
    silo: str
    grade: str
    age: float
    mass: float
    temperature: float
    instrument: str


@dataclass(frozen=True, kw_only=True)
class Moulding(Row):
    """One stretch of a mould run from one place and one carton; ``at`` is the start; pounds."""

    run: str
    ended: int
    press: str
    mould: str
    product: str
    source: str
    ties: str
    lot: str
    shots: int
    good: int
    scrap: int
    foam_per_block: float
    ties_used: int | None
    scrap_bin: str
    cause: str
    cavity: int | None = None
    """That the scrap came out of, where all of it did and the sheet says so."""

    @property
    def written(self) -> int:
        """After its end."""
        return self.ended


@dataclass(frozen=True, kw_only=True)
class Inspection(Row):
    """A piece weighed and gauged, or a lot looked over; pounds, inches, hours."""

    lot: str
    specimen: str = ""
    age: float | None = None
    state: str = ""
    mass: float | None = None
    length: float | None = None
    width: float | None = None
    height: float | None = None
    checked: int | None = None
    bad_ties: int | None = None
    bad_fusion: int | None = None
    bad_dimension: int | None = None
    bad_surface: int | None = None
    rejected: int | None = None
    scrap_bin: str = ""
    instrument: str = ""
    cavity: int | None = None


@dataclass(frozen=True, kw_only=True)
class Specimen(Row):
    """A cube cut from a block, weighed and measured; grams, millimetres."""

    lot: str
    specimen: str
    length: float
    width: float
    height: float
    mass: float
    instrument: str


@dataclass(frozen=True, kw_only=True)
class Bundling(Row):
    """Pieces of a lot put into a bundle."""

    bundle: str
    lot: str
    pieces: int


@dataclass(frozen=True, kw_only=True)
class Shipment(Row):
    """A bundle, or loose pieces of a lot, on a lorry."""

    shipment: str
    receiver: str
    what: str
    pieces: int


@dataclass(frozen=True, kw_only=True)
class Reclaim(Row):
    """Scrap on its way; masses in pounds."""

    what: str
    source: str
    to: str
    mass: float
    ties_mass: float | None = None


@dataclass(frozen=True, kw_only=True)
class Correction(Row):
    """A value found wrong later, in the words of the sheet it stands in."""

    sheet: str
    row: str
    field: str
    value: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Strength(Row):
    """A specimen pressed or bent; hours of conditioning, pounds per square inch."""

    lot: str
    specimen: str
    conditioned: float
    strength: float | None = None
    bending: float | None = None
    method: str
    instrument: str


@dataclass(frozen=True, kw_only=True)
class FirstPiece(Row):
    """A first piece signed."""

    press: str
    run: str
    lot: str
    looked: str = "ok"


@dataclass(frozen=True, kw_only=True)
class Report(Row):
    """One result of a laboratory's report; days as text."""

    number: str
    laboratory: str
    products: str
    characteristic: str
    method: str
    specimens: int
    result: str
    sampled: str
    tested: str
    issued: str
    expires: str


@dataclass(frozen=True, kw_only=True)
class Calibration(Row):
    """A calibration of an instrument; days as text."""

    calibrated: str
    done: str
    result: str
    certificate: str
    due: str
