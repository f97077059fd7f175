"""The density to aim at: the lightest that is safe, and what each per cent above it costs.

Read :func:`aim`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from beadwright.plant.set_up import formulas
from beadwright.plant.set_up.asked import Asked
from beadwright.plant.set_up.target import LotSpread, Target, target
from beadwright.plant.worked import Origin, Working
from beadwright.science.foam.lightest import chance_of_failing, lightest
from beadwright.science.trust import standing_of

__all__ = ["AIM_SAYS", "aim"]

AIM_SAYS = (
    "By estimate, from the plant's own lots: to say what to try next, by small steps and with"
    " tests. Never below the density that the product is listed at: such a change needs the"
    " agency's approval first."
)

_SPREADS = ("the spreads of lots are known only so well", "more lots")
"""Why a density that a limit on density alone asks for has a band, and what narrows it."""


def aim(sheet: Working, of: Asked) -> list[str]:
    """Put the lightest density that is safe, and what it rests on."""
    found = target(of, sheet["moulded_density"].value)
    keys = [*_rests(sheet, of, found), *_alone(sheet, found), *_answer(sheet, of, found)]
    return [*keys, *_costs(sheet, of, found)]


def _rests(sheet: Working, of: Asked, found: Target) -> list[str]:
    seen = found.spread
    told = "" if seen is None else _told(seen)
    mean = ("Density of its lots, mean", "density")
    value, band = (None, None) if seen is None else (seen.mean_kg_m3, seen.band_of_mean())
    sheet.given("lots_mean", mean, value, ("measured", told), band)
    parts: tuple[tuple[str, str, Literal["between", "within"]], ...] = (
        ("between_lots", "Between lots, standard deviation", "between"),
        ("within_lots", "Within a lot, reading taken off, standard deviation", "within"),
    )
    for key, title, part in parts:
        value, band = (None, None) if seen is None else seen.band_of(part)
        sheet.given(key, (title, "density"), value, ("measured", told), band)
    origin: Origin = "set" if found.allowed_set else "default"
    words = "" if found.allowed_set else "ours, until the plant sets its own (failing_lots)"
    sheet.given(
        "failing_lots", ("Lots that may fail a limit", "fraction"), found.allowed, (origin, words)
    )
    name = of.product.name
    sheet.given(
        "listed_density", ("Density it is listed at", "density"), found.listed_kg_m3,
        ("set", f"set-up of {name}"),
    )  # fmt: skip
    return ["lots_mean", "between_lots", "within_lots", "failing_lots", "listed_density"]


def _why(function: Callable[..., object]) -> tuple[str, str]:
    """Say why what a function of the physics gave has a band, and what narrows it."""
    one = standing_of(function)
    return one.cause, one.narrowed_by


def _told(seen: LotSpread) -> str:
    state = {"specimen": "specimens", "dry": "dry blocks", "24h": "blocks a day old"}[seen.state]
    return f"{seen.pieces} {state} of {seen.lots} lots"


def _alone(sheet: Working, found: Target) -> list[str]:
    keys = []
    for number, one in enumerate(found.found.alone if found.found else ()):
        demand = found.demands[number]
        tests = demand.fitted.count if demand.fitted else 0
        source = (
            f"{tests} tests of the plant's own on the literature"
            if demand.fitted
            else "spreads of lots alone"
        )
        key = f"asks_{number + 1}"
        title = (f"Asked for by {one.name}", "density")
        band = (one.low, one.high)
        how = _why(lightest) if demand.fitted else _SPREADS
        sheet.given(key, title, one.density, ("worked", source), band, why=how)
        keys.append(key)
    return keys


def _answer(sheet: Working, of: Asked, found: Target) -> list[str]:
    title = ("Lightest density that is safe, by lots and tests", "density")
    if found.found is None:
        sheet.given("lightest", title, None, ("worked", found.refused))
    else:
        band = (found.found.low_kg_m3, found.found.high_kg_m3)
        told = f"{found.found.governs} governs"
        density, how = found.found.density_kg_m3, _why(lightest)
        sheet.given("lightest", title, density, ("worked", told), band, why=how)
    sheet.work(
        "safe_target", ("Lightest density to aim at", "density"), formulas.never_below,
        {"density_kg_m3": "lightest", "listed_kg_m3": "listed_density"},
    )  # fmt: skip
    now = found.chance_now
    rests: tuple[Origin, str] = ("worked", f"of {of.product.name} as it is set up")
    title = ("Lots that fail at the density aimed at, expected", "fraction")
    if now is None:
        sheet.given("failing_now", title, None, rests)
    else:
        band = (float(now.low), float(now.high))
        sheet.given(
            "failing_now", title, float(now.value), rests, band, why=_why(chance_of_failing)
        )
    sheet.work(
        "above_safe", ("Aimed at above it", "fraction"), formulas.margin,
        {"value": "moulded_density", "limit": "safe_target"},
    )  # fmt: skip
    return ["lightest", "safe_target", "failing_now", "above_safe"]


def _costs(sheet: Working, of: Asked, found: Target) -> list[str]:
    pace = found.pace
    rate = "a week of moulding" if pace is None else f"the last {pace.days} days"
    sheet.given(
        "foam_a_year", (f"Foam of its blocks in a year, at the rate of {rate}", "mass"),
        None if pace is None else pace.kg_year,
        ("measured", "what was moulded; the band knows no season"),
        None if pace is None else (pace.low, pace.high),
        why=("what is moulded differs from day to day", "more days of moulding"),
    )  # fmt: skip
    sheet.work("per_cent", ("Foam of one per cent of density, a year", "mass"),
               formulas.hundredth, {"mass_kg": "foam_a_year"})  # fmt: skip
    sheet.work("given_away", ("Foam given away above the lightest, a year", "mass"),
               formulas.share_of, {"mass_kg": "foam_a_year", "share": "above_safe"})  # fmt: skip
    keys = ["foam_a_year", "per_cent", "given_away"]
    if found.price_per_kg is not None:
        held = of.physical("grade", of.choice.grade, "pentane") is not None
        price = formulas.foam_priced if held else formulas.priced
        also = {"pentane_per_dry": "pentane_dry"} if held else {}
        priced = {"mass_kg": "per_cent", **also, "price": "bead_price"}
        sheet.given("bead_price", (f"Raw beads, a kilogram, in {of.money}", "money"),
                    found.price_per_kg, ("set", f"set-up of {of.choice.grade}"))  # fmt: skip
        sheet.work("per_cent_money", (f"One per cent of density, a year, in {of.money}", "money"),
                   price, priced)  # fmt: skip
        sheet.work("given_away_money",
                   (f"Given away above the lightest, a year, in {of.money}", "money"),
                   price, {**priced, "mass_kg": "given_away"})  # fmt: skip
        keys += ["per_cent_money", "given_away_money"]
    return keys
