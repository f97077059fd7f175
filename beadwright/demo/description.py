"""The plant itself, all of it invented: products, materials, places, people, signed limits.

Read :data:`PRODUCTS` first. Figures are believable, and nobody's: panels of 2 5/8 in, a 6 inch
block of about 7 lb, some 23 kg/m3 of foam in it.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = [
    "BULK_KG_M3",
    "CODE",
    "DENSITY_KG_M3",
    "EACH_WINDOW",
    "EXPANDERS",
    "FORM_SILOS",
    "GRADES",
    "LB",
    "MASS_WINDOW",
    "MEAN_WINDOW",
    "MOISTURE",
    "NAME",
    "PACKAGING_SILOS",
    "PEOPLE",
    "PRODUCTS",
    "RECEIVERS",
    "SIZE_WINDOW_IN",
    "TIES",
    "TIE_SUPPLIER",
    "TITLES",
    "Grade",
    "Person",
    "Product",
    "Tie",
]

CODE = "LARKHOLLOW"
NAME = "Larkhollow Form Works (invented)"
LB = 0.45359237  # kg, exact by definition

DENSITY_KG_M3 = 23.2  # moulded foam, dry and net of ties; about 7 % above 1.35 lb/ft3
BULK_KG_M3 = 22.1  # pre-expanded beads; the mould packs them by a twentieth
EACH_WINDOW = (22.0, 24.4)
MEAN_WINDOW = (22.2, 24.2)
MASS_WINDOW = 0.056  # of the foam mass, either way
SIZE_WINDOW_IN = 0.125
MOISTURE = {"press": "0.04", "24h": "0.01", "dry": "0"}


@dataclass(frozen=True)
class Product:
    """What is moulded: dimensions in inches, foam volume in litres, pieces an hour."""

    name: str
    title: str
    shape: str
    cavity_in: int
    size_in: tuple[float, float, float]
    volume_l: float
    ties: int
    tie: str
    bundle: int
    hourly: int
    density_kg_m3: float = DENSITY_KG_M3

    @property
    def mould(self) -> str:
        """Its mould, as sheets write it."""
        return f"M-{self.name}"

    @property
    def is_form(self) -> bool:
        """Whether it is a form block; else it is packaging."""
        return self.cavity_in > 0

    def causes(self, shots: int) -> tuple[str, ...]:
        """Why some of so many shots are scrapped at a press, each as often as the others."""
        every = ("short fill", "poor fusion", "stuck in the mould")
        return *every, "tie out of place" if self.ties else every[shots % 3]

    @property
    def foam_kg(self) -> float:
        """Target foam mass of one piece, dry and net of ties."""
        return self.volume_l * self.density_kg_m3 / 1000


@dataclass(frozen=True)
class Grade:
    """A grade of bead: who sells it, how much of it a pre-expander drives out."""

    name: str
    title: str
    supplier: str
    flame_retardant: str
    bead_class: str
    loss: float


@dataclass(frozen=True)
class Tie:
    """A part of plastic that bridges the two panels."""

    name: str
    unit_lb: float


@dataclass(frozen=True)
class Person:
    """Somebody who writes in the sheets; the name lives outside the record."""

    initials: str
    number: str
    name: str
    role: str


def _straight(cavity: int, bundle: int) -> Product:
    return Product(
        f"FB{cavity}S",
        f"Straight block, {cavity} in cavity",
        "straight",
        cavity,
        (48.0, cavity + 5.25, 16.0),
        65.4,
        6,
        f"T{cavity}",
        bundle,
        58 - cavity // 2,
    )


_FORM = (
    _straight(4, 24),
    _straight(6, 20),
    _straight(8, 18),
    _straight(10, 15),
    _straight(12, 12),
    Product(
        "FB6C", "Corner 90 degrees, 6 in cavity", "corner_90", 6, (36.0, 11.25, 16.0), 58.7,
        5, "T6", 12, 47,
    ),
    Product(
        "FB6K", "Corner 45 degrees, 6 in cavity", "corner_45", 6, (33.0, 11.25, 16.0), 52.3,
        4, "T6", 12, 47,
    ),
    Product(
        "FB8L", "Ledge block, 8 in cavity", "ledge", 8, (48.0, 17.75, 16.0), 73.8,
        6, "T8", 12, 49,
    ),
    Product(
        "FB6H", "Half height block, 6 in cavity", "half_height", 6, (48.0, 11.25, 8.0), 32.7,
        6, "T6H", 36, 62,
    ),
)  # fmt: skip
_PACKAGING = (
    Product("PKC", "Corner cushion", "corner", 0, (16.0, 12.0, 6.0), 14.0, 0, "", 40, 95, 22.6),
    Product("PKT", "Tray insert", "tray", 0, (24.0, 16.0, 4.0), 17.5, 0, "", 30, 80, 22.6),
)
PRODUCTS = {product.name: product for product in (*_FORM, *_PACKAGING)}

GRADES = {
    grade.name: grade
    for grade in (
        Grade("F1", "Form bead, small", "Pellmere Resins", "yes", "small", 0.0145),
        Grade("F2", "Form bead, small, second source", "Durnvik Beads", "yes", "small", 0.0155),
        Grade("PK1", "Packaging bead", "Durnvik Beads", "no", "medium", 0.0135),
    )
}
TIES = {
    tie.name: tie
    for tie in (
        Tie("T4", 0.52),
        Tie("T6", 0.60),
        Tie("T6H", 0.31),
        Tie("T8", 0.68),
        Tie("T10", 0.76),
        Tie("T12", 0.84),
    )
}
TIE_SUPPLIER = "Sothbury Webs"

FORM_SILOS = tuple(f"S{i}" for i in range(1, 9))
PACKAGING_SILOS = ("P1", "P2")
EXPANDERS = ("E1", "E2")
TITLES = {
    "H1": "day hopper of press FP1",
    "H3": "hopper of press PP1, with a regrind inlet",
}
RECEIVERS = (
    "HARROWBEND YARD",
    "QUILLSTONE SITE 4",
    "MARROWFIELD DEPOT",
    "OXLEY REACH SITE 2",
    "BRINDLE CROSS YARD",
)

PEOPLE = (
    Person("KR", "P-01", "Kesta Rumlow", "operator"),
    Person("DS", "P-02", "Dorrin Selwick", "operator"),
    Person("MT", "P-03", "Mavra Tolliver-Ash", "operator"),
    Person("JO", "P-04", "Jorun Ostlea", "operator"),
    Person("LN", "P-05", "Linden Narrow", "operator"),
    Person("BW", "P-06", "Bram Wetherlow", "operator"),
    Person("AV", "P-07", "Asta Vellamy", "operator"),
    Person("NF", "P-08", "Nils Farrowmere", "shift_lead"),
    Person("PQ", "P-09", "Petra Quarrel", "shift_lead"),
    Person("TC", "P-10", "Tamsin Corvedale", "technician"),
    Person("HE", "P-11", "Hale Everbrook", "technician"),
    Person("CU", "P-12", "Cass Underhay", "operator"),
    Person("EI", "P-13", "Edda Ivesworth", "engineer"),
    Person("OB", "P-14", "Orrin Baskerhythe", "engineer"),
    Person("WG", "P-15", "Wenna Gorsedale", "auditor"),
)
