"""The arithmetic of a set-up sheet: the physics in the words of a sheet, one number each.

Read any: each takes numbers in SI and gives one, and stands as the function of the physics that
it asks.
"""

from __future__ import annotations

from beadwright.plant.worked import like
from beadwright.science.moulding import HeatedShot, steam_need
from beadwright.science.steam import saturated
from beadwright.science.trust import Trust, stands
from beadwright.science.wall import layer_resistance

__all__ = [
    "block_mass",
    "foam_density",
    "foam_priced",
    "hundredth",
    "inch_resistance",
    "margin",
    "mass_of_ties",
    "never_below",
    "over",
    "priced",
    "resin_of_thousand",
    "share_of",
    "spare",
    "steam_of_cycle",
    "steam_of_thousand",
    "times_thousand",
]

_INCH = 0.0254


@stands(Trust.EXACT, formula="ρ = m / V", source="definition of density")
def foam_density(mass_kg: float, volume_m3: float) -> float:
    """Dry foam density of a block."""
    return mass_kg / volume_m3


@stands(Trust.EXACT, formula="m = n m_tie", source="arithmetic")
def mass_of_ties(count: float, each_kg: float) -> float:
    """Mass of a block's ties."""
    return count * each_kg


@stands(Trust.EXACT, formula="m = m_foam (1 + w) + m_ties", source="conservation of mass")
def block_mass(foam_kg: float, ties_kg: float, water_share: float) -> float:
    """Mass of a block with the water that is still in its foam."""
    return foam_kg * (1 + water_share) + ties_kg


@stands(Trust.EXACT, formula="(value - limit) / limit", source="arithmetic")
def margin(value: float, limit: float) -> float:
    """How far a value lies above a least limit, as share of it."""
    return value / limit - 1


@stands(Trust.EXACT, formula="max(ρ, ρ_listed)", source="a product is what it is listed as")
def never_below(density_kg_m3: float, listed_kg_m3: float) -> float:
    """Density to aim at: never below that which the product is listed at."""
    return max(density_kg_m3, listed_kg_m3)


@stands(Trust.EXACT, formula="m / 100", source="arithmetic")
def hundredth(mass_kg: float) -> float:
    """One per cent of a mass."""
    return mass_kg / 100


@stands(Trust.EXACT, formula="m a / (1 + a), nothing below the lightest", source="arithmetic")
def share_of(mass_kg: float, share: float) -> float:
    """What of a mass is there because the density is so much above another."""
    return mass_kg * max(share, 0.0) / (1 + max(share, 0.0))


@stands(Trust.EXACT, formula="m p", source="arithmetic")
def priced(mass_kg: float, price: float) -> float:
    """What a mass costs."""
    return mass_kg * price


@stands(Trust.EXACT, formula="m (1 + c) p", source="conservation of mass")
def foam_priced(mass_kg: float, pentane_per_dry: float, price: float) -> float:
    """What the raw beads of a mass of dry foam cost: with the pentane that left them."""
    return mass_kg * (1 + pentane_per_dry) * price


@stands(Trust.EXACT, formula="(limit - value) / limit", source="arithmetic")
def spare(value: float, limit: float) -> float:
    """How far a value lies below a greatest limit, as share of it."""
    return 1 - value / limit


@stands(Trust.EXACT, formula="ρ_bulk = ρ_moulded / F", source="definition of the fill ratio")
def over(of: float, by: float) -> float:
    """Bulk density of the beads that fill a mould."""
    return of / by


@like(layer_resistance)
def inch_resistance(conductivity_w_mk: float) -> float:
    """Thermal resistance of 25.4 mm of foam."""
    return float(layer_resistance(_INCH, conductivity_w_mk))


@like(steam_need)
def steam_of_cycle(  # noqa: PLR0913, PLR0917 - one for each line of the sheet
    foam_kg: float,
    cavities: float,
    pressure_pa: float,
    dryness: float,
    tool_kg: float,
    tool_from_k: float,
    chest_m3: float,
    purges: float,
    foam_from_k: float,
) -> float:
    """Least steam of a cycle, which fills every cavity once."""
    steam = saturated(pressure_pa)
    hot = float(steam.temperature_k)
    shot = HeatedShot(
        foam_kg=foam_kg * cavities,
        foam_rise_k=max(0.0, hot - foam_from_k),
        tool_kg=tool_kg,
        tool_rise_k=max(0.0, hot - tool_from_k),
        chest_m3=chest_m3,
        latent_j_kg=float(steam.vapour_j_kg - steam.liquid_j_kg) * dryness,
        steam_density_kg_m3=float(steam.vapour_kg_m3),
        purges=purges,
    )
    return float(steam_need(shot).least_kg)


@stands(Trust.EXACT, formula="1000 m / (n (1 - s))", source="arithmetic")
def steam_of_thousand(cycle_kg: float, cavities: float, scrap: float) -> float:
    """Steam of a thousand good blocks, by that of a cycle."""
    return 1000 * cycle_kg / (cavities * (1 - scrap))


@stands(
    Trust.EXACT, formula="m = 1000 m_foam (1 + c) / (1 - s)", source="conservation of mass",
)  # fmt: skip
def resin_of_thousand(foam_kg: float, pentane_per_dry: float, scrap: float) -> float:
    """Raw beads for a thousand good blocks, what was scrapped with them and not returned."""
    return 1000 * foam_kg * (1 + pentane_per_dry) / (1 - scrap)


@stands(Trust.EXACT, formula="1000 m / (1 - s)", source="arithmetic")
def times_thousand(each_kg: float, scrap: float) -> float:
    """What a thousand good blocks take of something, with what was scrapped."""
    return 1000 * each_kg / (1 - scrap)
