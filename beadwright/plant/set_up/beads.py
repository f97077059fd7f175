"""The beads: how light they leave the pre-expander, how large, how much pentane they keep.

Read :func:`beads`.
"""

from __future__ import annotations

from beadwright.plant.ageing.formulas import per_dry as per_dry_polymer_of
from beadwright.plant.bead_lines import put_density
from beadwright.plant.products import quantity
from beadwright.plant.set_up import formulas
from beadwright.plant.set_up.asked import Asked
from beadwright.plant.usual import FILL_RATIO, KEPT
from beadwright.plant.words import capital
from beadwright.plant.worked import Origin, Working, origin_of
from beadwright.quality.characteristics import CUP_PLACES
from beadwright.science.beads import (
    RAW_BEAD,
    cup_mass,
    expanded_diameter,
    fill_ratio,
)
from beadwright.science.expansion import level_stop_charge
from beadwright.science.trust import Parameter

__all__ = ["beads", "expansion"]

_LOST = Parameter(
    "l", 0.0145, 0.005, 0.025, "1",
    "0.5 to 1.2 points of pentane, and moisture; common practice, no source", memory=True,
)  # fmt: skip


def beads(sheet: Working, of: Asked) -> list[str]:
    """Put the pre-expanded beads; gives the keys of its lines."""
    grade = of.choice.grade
    told: tuple[Origin, str] = ("set", f"grade {grade}")
    _bulk(sheet, of)
    put_density(sheet, "density of a pre-expanded bead", capital)
    wet = ("Pentane in the raw bead, per wet bead", "fraction")
    sheet.given("pentane_wet", wet, of.physical("grade", grade, "pentane"), told)
    size = ("Mean size of the raw bead", "length")
    sheet.given("raw_size", size, of.physical("grade", grade, "raw_size"), told)
    raw = of.physical("grade", grade, "raw_density")
    density = ("Density of a raw bead", "density")
    if raw is None:
        sheet.default("raw_density", density, RAW_BEAD)
    else:
        sheet.given("raw_density", density, raw, told)
    lost = ("Lost in expansion, of what goes in", "fraction")
    if of.lost is None:
        sheet.default("lost", lost, _LOST)
    else:
        band = (of.lost.low, of.lost.high)
        sheet.given("lost", lost, of.lost.value, ("measured", of.lost.source), band)
    parts = {
        "diameter_m": "raw_size", "density_before_kg_m3": "raw_density",
        "density_after_kg_m3": "bead_density", "lost_share": "lost",
    }  # fmt: skip
    sheet.work("bead_size", ("Size of a pre-expanded bead", "length"), expanded_diameter, parts)
    per_dry = ("Pentane in the raw bead, per dry polymer", "fraction")
    sheet.work("pentane_dry", per_dry, per_dry_polymer_of, {"pentane_per_wet": "pentane_wet"})
    _kept(sheet, of)
    filled = ("Pentane as the silo is filled, per dry polymer", "fraction")
    parts = {"pentane_per_wet": "pentane_wet", "kept": "kept"}
    sheet.work("pentane_filled", filled, per_dry_polymer_of, parts)
    return [
        "bulk_density", "fill_ratio", "bead_density", "raw_size", "bead_size", "pentane_wet",
        "pentane_dry", "pentane_filled",
    ]  # fmt: skip


def _kept(sheet: Working, of: Asked) -> None:
    """Put what expansion leaves of the pentane: no less than if all that is lost were pentane."""
    low, wet = KEPT.low, of.physical("grade", of.choice.grade, "pentane")
    if of.lost is not None and wet:
        low = min(KEPT.value, max(low, 1 - of.lost.high / wet))
    told = (origin_of(KEPT), KEPT.source)
    title = ("Pentane still there after expansion", "fraction")
    sheet.given("kept", title, KEPT.value, told, (low, KEPT.high))


def _bulk(sheet: Working, of: Asked) -> None:
    """Put the bulk density of dried beads: as the plant set it, else by the usual fill ratio."""
    title, ratio = ("Bulk density of the beads, dried", "density"), ("Fill ratio", "1")
    aimed = _cup(of, "dried")
    if aimed is not None:
        sheet.given("bulk_density", title, aimed, ("set", f"cup of {of.product.name}, dried"))
        parts = {
            "moulded_density_kg_m3": "moulded_density", "bulk_density_kg_m3": "bulk_density",
        }  # fmt: skip
        sheet.work("fill_ratio", ratio, fill_ratio, parts)
        return
    sheet.default("fill_ratio", ratio, FILL_RATIO)
    sheet.work("bulk_density", title, formulas.over, {"of": "moulded_density", "by": "fill_ratio"})


def _cup(of: Asked, place: str) -> float | None:
    text = of.said("cup", of.product.name, place)
    return quantity(text, "density") if text else None


def expansion(sheet: Working, of: Asked) -> list[str]:
    """Put the pre-expander: cups at each place, and the charge that the level stop asks for."""
    expander = of.choice.expander
    told: tuple[Origin, str] = ("set", f"pre-expander {expander}")
    keys = []
    volume = of.said("place", expander, "cup_volume")
    cup = quantity(volume, "volume") if volume else None
    sheet.given("cup_volume", ("Volume of the cup", "volume"), cup, told)
    for place in CUP_PLACES:
        aimed = _cup(of, place)
        if aimed is None:
            continue
        words = {"hot": "hot, at the pre-expander", "hopper": "at the press hopper"}.get(
            place, place
        )
        source: tuple[Origin, str] = ("set", f"cup of {of.product.name}, {place}")
        sheet.given(f"cup_{place}_density", (f"Cup {words}", "density"), aimed, source)
        parts = {"bulk_density_kg_m3": f"cup_{place}_density", "cup_volume_m3": "cup_volume"}
        sheet.work(f"cup_{place}", (f"Cup weight, {words}", "mass"), cup_mass, parts)
        keys.append(f"cup_{place}")
    vessel = ("Vessel, up to its level probe", "volume")
    sheet.given("vessel", vessel, of.physical("place", expander, "vessel"), told)
    if of.said("place", expander, "stops_on") == "time":
        return keys
    parts = {
        "density_kg_m3": "bulk_density", "vessel_volume_m3": "vessel", "pentane_loss": "lost",
    }  # fmt: skip
    sheet.work("charge", ("Charge of a batch", "mass"), level_stop_charge, parts)
    return [*keys, "vessel", "lost", "charge"]
