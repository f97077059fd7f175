"""The concrete and its placing: what was said of them, and what is taken at its worst.

Read :func:`given_lines`.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.plant.pour.asked import (
    BINDERS,
    COLDEST_K,
    DEEP_M,
    HEAVY_KG_M3,
    PLACED,
    WET_M,
    PourAsked,
)
from beadwright.plant.worked import Origin, Working
from beadwright.science.pour import Mix, Pour, chemistry_coefficient, unit_weight_coefficient
from beadwright.science.pour.pressure import PUMP_SURGE
from beadwright.units import Kind

__all__ = ["given_lines", "poured"]

_GUIDE = "ACI 347R-14, 4.2.2"
_ONE_SPAN, _THREE_SPANS = 1 / 8, 1 / 10
_SET = {True: "set delayed", False: "set not delayed"}


def given_lines(sheet: Working, asked: PourAsked) -> None:
    """Put what was said of pour and concrete, and what is taken at its worst."""
    for key, title, kind, value in (
        ("height", "Fresh concrete, height", "length", asked.height_m),
        ("manual", "Rate of the installation manual", "speed", asked.manual_m_s),
        ("factor", "Safety factor", "1", asked.safety_factor),
    ):
        sheet.given(key, (title, kind), value, ("set", "asked"))
    _or_worst(sheet, ("density", "Density of fresh concrete", "density"), asked.density_kg_m3,
              HEAVY_KG_M3, "150 lb/ft³ (2403 kg/m³), ordinary concrete at its heaviest;"
              " common practice, no source")  # fmt: skip
    sheet.work("weight_coefficient", ("Concrete's weight: coefficient", "1"),
               unit_weight_coefficient, {"density_kg_m3": "density"})  # fmt: skip
    _chemistry(sheet, asked)
    if asked.self_consolidating:
        said = "asked: self-consolidating, which counts as a liquid whatever its slump"
        sheet.given("slump", ("Slump", "length"), asked.slump_m or WET_M, ("set", said))
    else:
        _or_worst(sheet, ("slump", "Slump", "length"), asked.slump_m, WET_M,
                  f"over 7 in (178 mm) counts as a liquid; {_GUIDE}")  # fmt: skip
    _or_worst(sheet, ("temperature", "Concrete's temperature", "temperature"),
              asked.temperature_k, COLDEST_K,
              "40 °F (4.4 °C), about the coldest that the formula is for; from memory")  # fmt: skip
    _or_worst(sheet, ("vibration", "Vibration reaches down", "length"), asked.vibration_m, DEEP_M,
              f"over 4 ft (1.22 m) counts as a liquid; {_GUIDE}")  # fmt: skip
    _placed(sheet, asked)


def poured(asked: PourAsked, of: Mapping[str, float], rate_m_s: float) -> Pour:
    """Give the pour that was asked about, by the lines of :func:`given_lines`."""
    binder = BINDERS[asked.binder or "high"]
    delayed = asked.retarder is not False
    mix = Mix(of["density"], of["slump"], binder, delayed, asked.self_consolidating)
    base = asked.placed != "top"
    return Pour(mix, of["height"], rate_m_s, of["temperature"], of["vibration"], from_base=base)


def _or_worst(
    sheet: Working, what: tuple[str, str, Kind], said: float | None, worst: float, why: str
) -> None:
    key, title, kind = what
    how: tuple[Origin, str] = ("worst", why) if said is None else ("set", "asked")
    sheet.given(key, (title, kind), worst if said is None else said, how)


def _chemistry(sheet: Working, asked: PourAsked) -> None:
    binder, delayed = BINDERS[asked.binder or "high"], asked.retarder is not False
    known = asked.binder and (asked.retarder is not None or asked.binder == "high")
    parts = [
        binder.value if asked.binder else f"binder not said, so {binder.value}",
        _SET[delayed] if asked.retarder is not None else "not said whether its set is delayed",
    ]
    how: Origin = "set" if known else "worst"
    title = ("Mix's chemistry: coefficient", "1")
    value = chemistry_coefficient(binder, retarder=delayed)
    sheet.given("chemistry", title, value, (how, f"{'; '.join(parts)}; {_GUIDE}, its table"))


def _placed(sheet: Working, asked: PourAsked) -> None:
    base = asked.placed != "top"
    words = f"pumped in at the base, a quarter more; {_GUIDE}" if base else PLACED["top"]
    how: Origin = "set" if asked.placed else "worst"
    title = ("Placing: of the full head", "1")
    sheet.given("surge", title, PUMP_SURGE if base else 1.0, (how, words))
    runs = asked.continuous is True
    words = "three spans or more of unbroken foam" if runs else "one span: a cut, an end, a joint"
    how = "worst" if asked.continuous is None else "set"
    title = ("Panel's spans: bending, of p L²", "1")
    sheet.given("bending", title, _THREE_SPANS if runs else _ONE_SPAN, (how, words))
