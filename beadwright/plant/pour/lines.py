"""The lines of a pour sheet: the concrete as it was said, the pressure, the panel and its ties.

Read :func:`worked_lines`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from beadwright.plant.pour.answer import WHY_NONE, Answer, EveryRate
from beadwright.plant.pour.asked import PourAsked
from beadwright.plant.pour.concrete import poured
from beadwright.plant.worked import NoFigure, Origin, Working, like
from beadwright.science.constants import GRAVITY_M_S2
from beadwright.science.foam import FLEXURAL, expected, fit_relation
from beadwright.science.pour import (
    Panel,
    Pour,
    Strip,
    counts_as_liquid,
    greatest_lift,
    greatest_rate,
    lateral_pressure,
    supported_pressure,
    tie_load,
)
from beadwright.science.trust import Banded, Trust, stands
from beadwright.units import Kind

__all__ = ["ANSWERS", "Strong", "expected_strength", "worked_lines"]

ANSWERS = (
    "rate", "lift", "supported", "tie_supported", "pressure", "floor", "head", "tie_pull",
    "tie_times",
)  # fmt: skip
"""Keys of the lines that answer; all others are what these rest on."""

_CONCRETE = {
    "density": "density", "weight": "weight_coefficient", "chemistry": "chemistry",
    "slump": "slump", "temperature": "temperature", "vibration": "vibration", "surge": "surge",
    "height": "height",
}  # fmt: skip
_FOAM = {
    "strength": "strength", "factor": "factor", "spacing": "tie_spacing", "panel": "panel",
    "bending": "bending",
}  # fmt: skip
_Of = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Strong:
    """A lot's measured strength, and its product's panel and ties, in SI; None where not set."""

    strength_pa: float
    source: str
    panel_m: float | None
    tie_spacing_m: float | None
    tie_rise_m: float | None
    tie_strength_n: float | None
    course_m: float | None

    @property
    def ties(self) -> tuple[float, float] | None:
        """What a tie bears, and the panel that hangs on it; None where either is not known."""
        if None in (self.tie_strength_n, self.tie_spacing_m, self.tie_rise_m):
            return None
        return self.tie_strength_n, self.tie_spacing_m * self.tie_rise_m  # type: ignore[operator,return-value]


def worked_lines(sheet: Working, asked: PourAsked, own: Strong) -> Answer | None:
    """Put strength, panel, pressures, tie, rate and lift below the lines of what was asked.

    Gives the answer, None where something is not known or the physics does not answer.
    """
    told: tuple[Origin, str] = ("measured", own.source)
    sheet.given(
        "strength", ("Flexural strength, least specimen", "pressure"), own.strength_pa, told
    )
    for key, words, kind, value in (
        ("panel", "Panel", "length", own.panel_m),
        ("tie_spacing", "Ties along the wall, apart", "length", own.tie_spacing_m),
        ("tie_rise", "Ties up the wall, apart", "length", own.tie_rise_m),
        ("tie_strength", "Pull that a tie bears", "force", own.tie_strength_n),
    ):
        set_up = ("set", f"set-up of {asked.product}")
        sheet.given(key, (words, kind), value, set_up)  # type: ignore[arg-type]
    ways = _Ways(asked, own)
    _pressures(sheet, ways)
    tie = {"tie": "tie_strength", "rise": "tie_rise"} if own.ties else {}
    whole = {**_CONCRETE, **_FOAM, **tie, "manual": "manual"}
    sheet.work("rate", ("Rate to discuss, at most", "speed"), ways.rate(), whole, at_most=True)
    lift = ("Lift to discuss at the manual's rate, at most", "length")
    sheet.work("lift", lift, ways.lift(), whole, at_most=True)
    return ways.answer(sheet)


def _pressures(sheet: Working, ways: _Ways) -> None:
    """Put what presses, and what foam and tie bear of it."""
    psf: Kind = "form_pressure"
    supported = ("Pressure that the foam supports", psf)
    sheet.work("supported", supported, ways.supported(), _FOAM, at_most=True)
    tie = {"spacing": "tie_spacing", "rise": "tie_rise"}
    sheet.work("tie_supported", ("Pressure that the ties support", psf), _tie_supported,
               {"strength": "tie_strength", "factor": "factor", **tie}, at_most=True)  # fmt: skip
    sheet.work("pressure", ("Pressure at the manual's rate", psf), ways.pressure(),
               {**_CONCRETE, "rate": "manual"})  # fmt: skip
    sheet.work("floor", ("Least design pressure, at any rate", psf), ways.floor(), _CONCRETE)
    sheet.work("head", ("Full head of this height", psf), _head,
               {"density": "density", "height": "height", "surge": "surge"})  # fmt: skip
    sheet.work("tie_pull", ("Pull on a tie at the manual's rate", "force"), _pull,
               {"pressure": "pressure", **tie})  # fmt: skip
    sheet.work("tie_times", ("What a tie bears, times that pull", "1"), _times,
               {"strength": "tie_strength", "pull": "tie_pull"}, at_most=True)  # fmt: skip


def expected_strength(sheet: Working, density: float | None) -> None:
    """Put what density lets expect of the strength: shown apart, used by nothing."""
    told = ("measured", "mean of the lot's blocks, without those weighed at the press")
    sheet.given("foam_density", ("Density of its foam", "density"), density, told)  # type: ignore[arg-type]
    fitted = fit_relation(FLEXURAL)

    @like(expected)
    def at(density_kg_m3: float) -> Banded:
        return expected(fitted, density_kg_m3)

    title = ("Flexural strength expected of its density; not used", "pressure")
    sheet.work("expected", title, at, {"density_kg_m3": "foam_density"})


class _Ways:
    """How the lines of one lot are worked out: the words that were asked are in no line."""

    def __init__(self, asked: PourAsked, own: Strong) -> None:
        self._asked, self._own = asked, own

    def pressure(self) -> Callable[..., float]:
        @like(lateral_pressure)
        def of(**given: float) -> float:
            return float(lateral_pressure(self._pour(given, given["rate"])).pressure_pa)

        return of

    def supported(self) -> Callable[..., float]:
        @like(supported_pressure)
        def of(**given: float) -> float:
            found = supported_pressure(given["strength"], given["factor"], self._strip(given))
            return float(found)

        return of

    def floor(self) -> Callable[..., float]:
        @like(lateral_pressure)
        def of(**given: float) -> float:
            return float(lateral_pressure(self._pour(given, 0.0)).floor_pa)

        return of

    def rate(self) -> Callable[..., float | NoFigure]:
        @like(greatest_rate)
        def of(**given: float) -> float | NoFigure:
            limit = greatest_rate(self._pour(given, 0.0), self._panel(given), given["manual"])
            return NoFigure(WHY_NONE[limit.reason]) if limit.rate_m_s is None else limit.rate_m_s

        return of

    def lift(self) -> Callable[..., float]:
        @like(greatest_lift)
        def of(**given: float) -> float:
            found = greatest_lift(self._pour(given, given["manual"]), self._panel(given)).height_m
            return given["height"] if found is None else min(found, given["height"])

        return of

    def answer(self, sheet: Working) -> Answer | None:
        """Give what the lines of rate and lift say, with what they rest on."""
        rate, lift, manual = sheet["rate"], sheet["lift"], sheet["manual"].value
        if lift.value is None or manual is None or (rate.value is None and rate.origin != "none"):
            return None
        given = {name: sheet[key].value or 0.0 for name, key in {**_CONCRETE, **_FOAM}.items()}
        pour, height = self._pour(given, 0.0), given["height"]
        limit = greatest_rate(pour, self._panel(given), manual)
        every: EveryRate = ""
        if pour.from_base:
            every = "base"
        elif counts_as_liquid(pour):
            every = "liquid"
        elif not limit.rate_matters:
            every = "floor"
        return Answer(
            limit.rate_m_s, manual, limit.lowered, limit.reason, lift.value, height, every,
            limit.weaker, self._own.ties is not None, self._own.course_m,
        )  # fmt: skip

    def _pour(self, of: _Of, rate: float) -> Pour:
        return poured(self._asked, of, rate)

    def _panel(self, of: _Of) -> Panel:
        ties = self._own.ties or (None, None)
        return Panel(self._strip(of), of["strength"], of["factor"], *ties)

    def _strip(self, of: _Of) -> Strip:
        return Strip(of["spacing"], of["panel"], self._asked.continuous is True)


@stands(Trust.EXACT, formula="ρ g h, a quarter more where pumped in at the base",
        source="hydrostatics; ACI 347R-14, 4.2.2")  # fmt: skip
def _head(density: float, height: float, surge: float) -> float:
    return density * GRAVITY_M_S2 * height * surge


@stands(Trust.EXACT, formula="p = F / (factor · spacing · rise)", source="statics")
def _tie_supported(strength: float, factor: float, spacing: float, rise: float) -> float:
    return strength / factor / (spacing * rise)


@like(tie_load)
def _pull(pressure: float, spacing: float, rise: float) -> float:
    return float(tie_load(pressure, spacing * rise))


@stands(Trust.EXACT, formula="what it bears / pull",
        source="arithmetic; the safety factor is not in it")  # fmt: skip
def _times(strength: float, pull: float) -> float:
    return strength / pull
