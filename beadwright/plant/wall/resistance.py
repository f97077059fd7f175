"""The finished wall's thermal resistance: panels, concrete and surfaces, ties beside the foam.

Read :func:`resistance`. Worked out, not tested: no figure for a label or a claim.
"""

from __future__ import annotations

from datetime import UTC, datetime

from beadwright.errors import BeadwrightError, UnitError
from beadwright.ledger.settings import Settings
from beadwright.plant.physical import physical
from beadwright.plant.products import Product, quantity
from beadwright.plant.reports import Report, reports
from beadwright.plant.worked import Origin, Told, Working, like
from beadwright.science.foam import Bead, conductivity_relation, expected, fit_relation
from beadwright.science.trust import Banded, Parameter, Trust, stands
from beadwright.science.wall import TIE_PLASTIC, Layers, bridged_resistance
from beadwright.units import Kind

__all__ = ["CONCRETE", "FILMS", "resistance"]

CONCRETE = Parameter(
    "λ_c", 1.95, 1.45, 2.3, "W/(m K)",
    "ASHRAE Handbook of Fundamentals 2005, chapter 25, 2240 kg/m3", memory=True,
)  # fmt: skip
"""Conductivity of ordinary concrete."""

FILMS = Parameter("R_s", 0.15, 0.13, 0.17, "m2 K/W", "ISO 6946 and ASHRAE, walls", memory=True)
"""Resistance of both surfaces together."""

_INCH_M = 0.0254
_AT_24_C = 297.05
_MEASURED: tuple[tuple[str, Kind], ...] = (
    ("thermal_conductivity", "thermal_conductivity"),
    ("thermal_resistance", "thermal_resistance"),
)
_COLOURS = {"white": Bead.WHITE, "grey": Bead.GREY, "gray": Bead.GREY}


def resistance(
    sheet: Working, plant_no: int, product: Product, in_force: Settings, at_ms: int
) -> list[str]:
    """Put the wall's layers, ties and resistance; gives the keys of its lines."""
    own: tuple[Origin, str] = ("set", f"set-up of {product.name}")
    body = in_force.at("product", product.name, at_ms) or {}
    for key, words, kind in (
        ("panel", "Panel, each side", "length"), ("cavity", "Cavity, filled", "length"),
        ("tie_section", "Plastic of a tie across the wall", "area"),
        ("tie_spacing", "Ties along the wall, apart", "length"),
        ("tie_rise", "Ties up the wall, apart", "length"),
    ):  # fmt: skip
        named = key in ("panel", "cavity")
        value = (
            _length(body.get(key))
            if named
            else physical(in_force, "product", product.name, key, at_ms)
        )
        sheet.given(key, (words, kind), value, own)
    _foam(sheet, plant_no, product, in_force, at_ms)
    sheet.default("concrete", ("Conductivity of concrete", "thermal_conductivity"), CONCRETE)
    sheet.default("plastic", ("Conductivity of ties", "thermal_conductivity"), TIE_PLASTIC)
    sheet.default("films", ("Both surfaces", "thermal_resistance"), FILMS)
    _finishes(sheet, physical(in_force, "product", product.name, "finishes", at_ms), own)
    share = {"section": "tie_section", "spacing": "tie_spacing", "rise": "tie_rise"}
    sheet.work("tie_share", ("Ties, of the wall's face", "fraction"), _share, share)
    of = {
        "panel": "panel", "cavity": "cavity", "foam": "foam", "concrete": "concrete",
        "plastic": "plastic", "films": "films",
        "finishes": "finishes", "share": "tie_share",
    }  # fmt: skip
    title = ("Resistance of the finished wall", "thermal_resistance")
    sheet.work("wall", title, _wall, of)
    low = ("By isothermal planes, the lower bound", "thermal_resistance")
    sheet.work("wall_low", low, _low, of)
    return ["panel", "cavity", "foam", "concrete", "plastic", "tie_share", "films", "finishes",
            "wall", "wall_low"]  # fmt: skip


def _finishes(sheet: Working, value: float | None, own: tuple[Origin, str]) -> None:
    """Put what stands before the panels; a wall of which nobody said it is taken as bare."""
    told: Told = ("Finishes: plaster, board, cladding", "thermal_resistance")
    bare: tuple[Origin, str] = ("worst", "a bare wall; the product's `finishes` says otherwise")
    sheet.given("finishes", told, value or 0.0, bare if value is None else own)


def _length(text: object) -> float | None:
    try:
        return None if text is None else quantity(text, "length")
    except (UnitError, ValueError):
        return None


def _foam(sheet: Working, plant_no: int, product: Product, in_force: Settings, at_ms: int) -> None:
    """Put the foam's conductivity: of a report of the product, else as its density lets expect."""
    told = ("Conductivity of the foam at 24 °C", "thermal_conductivity")
    day = datetime.fromtimestamp(at_ms / 1000, UTC).date()
    counting = [
        one
        for one in reports(plant_no)
        if one.speaks_of(product.name)
        and not one.withdrawn
        and one.sampled <= day
        and (one.expires is None or one.expires >= day)
    ]
    for name, kind in _MEASURED:
        for report in sorted(counting, key=lambda one: one.sampled, reverse=True):
            value = _read(report, name, kind)
            if value is not None:
                sheet.given("foam", told, value, ("measured", _source(report)))
                return
    bead = _bead(in_force, product, at_ms)
    if bead is None or product.foam_mass_kg is None or product.foam_volume_m3 is None:
        sheet.given("foam", told, None, ("set", ""))
        return
    density = product.foam_mass_kg / product.foam_volume_m3
    source = ("set", f"set-up of {product.name}")
    sheet.given("density", ("Foam density aimed at", "density"), density, source)  # type: ignore[arg-type]
    fitted = fit_relation(conductivity_relation(bead, _AT_24_C))

    @like(expected)
    def at(density_kg_m3: float) -> Banded:
        return expected(fitted, density_kg_m3)

    sheet.work("foam", told, at, {"density_kg_m3": "density"})


def _read(report: Report, name: str, kind: Kind) -> float | None:
    if report.characteristic != name:
        return None
    try:
        value = quantity(report.result, kind)
    except (BeadwrightError, ValueError):
        return None
    if value <= 0:
        return None
    return value if kind == "thermal_conductivity" else _INCH_M / value


def _source(report: Report) -> str:
    of = "of an inch: its conductivity" if report.characteristic == "thermal_resistance" else ""
    what = report.characteristic.replace("_", " ")
    words = " ".join(filter(None, (what, report.result, of)))
    return f"report {report.number} of {report.laboratory}, sampled {report.sampled}: {words}"


def _bead(in_force: Settings, product: Product, at_ms: int) -> Bead | None:
    grades = (in_force.at("approved", product.name, at_ms) or {}).get("grades")
    colours = {
        str((in_force.at("grade", str(one), at_ms) or {}).get("colour", "")).lower()
        for one in (grades if isinstance(grades, list | tuple) else ())
        if (in_force.at("grade", str(one), at_ms) or {}).get("of") == "bead"
    }
    return _COLOURS.get(colours.pop()) if len(colours) == 1 else None


@stands(Trust.EXACT, formula="section / (spacing · rise)", source="geometry")
def _share(section: float, spacing: float, rise: float) -> float:
    return section / (spacing * rise)


def _layers(of: dict[str, float]) -> Layers:
    foam, concrete, plastic = of["foam"], of["concrete"], of["plastic"]
    return Layers(
        [of["panel"], of["cavity"], of["panel"]],
        [[foam, concrete, foam], [plastic, plastic, plastic]],
        [1 - of["share"], of["share"]],
        of["films"] + of["finishes"],
    )


@like(bridged_resistance)
def _wall(**of: float) -> Banded:
    found = bridged_resistance(_layers(of))
    return Banded.of(found.mean, found.low, found.high)


@like(bridged_resistance)
def _low(**of: float) -> float:
    return bridged_resistance(_layers(of)).low
