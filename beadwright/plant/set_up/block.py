"""The block: its geometry, ties and limits, and the density aimed at.

Read :func:`block`.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.plant.bounds import LimitInForce
from beadwright.plant.set_up import formulas
from beadwright.plant.set_up.asked import Asked
from beadwright.plant.weighings import WATER_U
from beadwright.plant.worked import Working

__all__ = ["block", "least_limits", "printed", "unsigned"]

_TIES = (
    "Mass of a tie: it differs from lot to lot of ties",
    "Mass of a tie: pieces of the carton in use counted and weighed",
)
_WATER = (
    "Water in the foam: by block it differs by half of itself (common practice, no source)",
    "Water in the foam: blocks weighed as they are, and again dried",
)
_WHAT = {"mean": "mean of a lot", "each": "each piece"}


def block(sheet: Working, of: Asked) -> list[str]:
    """Put what is known of a product's block; gives the keys of its lines."""
    product, own = of.product, of.own()
    sheet.given("foam_volume", ("Foam volume", "volume"), product.foam_volume_m3, own)
    sheet.given("foam_mass", ("Foam of a block, dry", "mass"), product.foam_mass_kg, own)
    both = {"mass_kg": "foam_mass", "volume_m3": "foam_volume"}
    aimed = ("Moulded density aimed at", "density")
    sheet.work("moulded_density", aimed, formulas.foam_density, both)
    keys = ["foam_volume", "foam_mass", "moulded_density", *_limits(sheet, of)]
    if product.ties:
        each = ("Mass of a tie", "mass")
        told = f"tie lot {of.tie_lot}" if of.tie_lot else ""
        sheet.given("tie_each", each, of.tie_kg, ("measured", told), of.tie_band, why=_TIES)
        sheet.given("tie_count", ("Ties of a block", "pieces"), float(product.ties), own)
        of_ties = {"count": "tie_count", "each_kg": "tie_each"}
        sheet.work("ties_mass", ("Ties of a block", "mass"), formulas.mass_of_ties, of_ties)
        keys += ["tie_each", "ties_mass"]
    else:
        sheet.given("ties_mass", ("Ties of a block", "mass"), 0.0, own)
    for state, words in (("press", "at the press"), ("24h", "a day old")):
        water = ("Water in the foam " + words + ", per dry foam", "fraction")
        share = product.water.get(state)
        sheet.given(f"water_{state}", water, share, own, _water_band(share), why=_WATER)
        parts = {"foam_kg": "foam_mass", "ties_kg": "ties_mass", "water_share": f"water_{state}"}
        title = (f"A block {words}", "mass")
        sheet.work(f"block_{state}", title, formulas.block_mass, parts)
        keys.append(f"block_{state}")
    return keys


def _water_band(share: float | None) -> tuple[float, float] | None:
    """Between which the water of a block may be: the share that is set is no block's own."""
    off = 2 * WATER_U
    return None if share is None else ((1 - off) * share, (1 + off) * share)


def _limits(sheet: Working, of: Asked) -> Iterator[str]:
    """Put each limit on density that governs, and how far the aim keeps from it."""
    for limit in least_limits(of.limits, "density", ("min", "max")):
        name = f"density_{limit.bound}_{limit.statistic}"
        bound = "Least" if limit.bound == "min" else "Greatest"
        title = (f"{bound} density, {_WHAT[limit.statistic]}{unsigned(limit)}", "density")
        sheet.given(name, title, float(limit.value_si), ("limit", printed(limit)))
        formula = formulas.margin if limit.bound == "min" else formulas.spare
        kept = (f"Kept from the {bound.lower()}, {_WHAT[limit.statistic]}", "fraction")
        parts = {"value": "moulded_density", "limit": name}
        sheet.work(f"{name}_kept", kept, formula, parts)
        yield name
        yield f"{name}_kept"


def printed(limit: LimitInForce) -> str:
    """Say where a limit is stated; of one that nobody signed against the paid text, that too."""
    more = f": {limit.how_read}" if limit.verified is False else ""
    return f"{limit.stated}{unsigned(limit)}{more}"


def unsigned(limit: LimitInForce) -> str:
    """Say of a printed limit that nobody has signed it; nothing of any other."""
    return ", unverified" if limit.verified is False else ""


def least_limits(
    limits: tuple[LimitInForce, ...], characteristic: str, bounds: tuple[str, ...]
) -> list[LimitInForce]:
    """Give the strictest limit of each bound and statistic on a characteristic."""
    found: dict[tuple[str, str], LimitInForce] = {}
    for one in limits:
        if one.characteristic != characteristic or one.bound not in bounds or one.unusable:
            continue
        key = (one.bound, one.statistic)
        before = found.get(key)
        stricter = before is None or (one.value_si > before.value_si) == (one.bound == "min")
        if stricter:
            found[key] = one
    return [found[key] for key in sorted(found, key=lambda key: (key[0] != "min", key[1]))]
