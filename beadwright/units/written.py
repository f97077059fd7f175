"""The texts that are taken for a unit, kind by kind, and what each names.

A unit is taken only where its kind is known, and only from the list below: ``mPa`` is never
taken for ``MPa``, and ``ton`` is asked about, because it names three masses.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Literal, get_args

from beadwright.errors import Misuse, UnitError

__all__ = ["Kind", "accepted", "pint_name"]

Kind = Literal[
    "mass",
    "pieces",
    "length",
    "area",
    "volume",
    "volume_flow",
    "density",
    "duration",
    "temperature",
    "temperature_difference",
    "pressure",
    "form_pressure",
    "force",
    "speed",
    "fraction",
    "thermal_resistance",
    "thermal_conductivity",
    "vapour_permeance",
]

# For each kind: pint's name of a unit, then the texts a person may write for it, the one we
# show first. Every text is matched as written (after superscripts and blanks are evened out):
# upper and lower case carry meaning, so a second spelling has to stand here to be taken.
_WRITTEN: dict[Kind, dict[str, str]] = {
    "mass": {
        "kilogram": "kg KG Kg",
        "gram": "g",
        "milligram": "mg",
        "metric_ton": "t",
        "pound": "lb lbs LB LBS Lb Lbs",
        "ounce": "oz OZ",
    },
    "pieces": {"1": "pcs pc pieces piece Stück Stk Stk. St. ea PCS"},
    "length": {
        "meter": "m",
        "centimeter": "cm",
        "millimeter": "mm",
        "micrometer": "µm um",
        "inch": 'in inch inches " IN in.',
        "foot": "ft ' FT ft.",
        "thou": "mil mils",
    },
    "area": {
        "meter**2": "m2",
        "centimeter**2": "cm2",
        "millimeter**2": "mm2",
        "inch**2": "in2 sqin",
        "foot**2": "ft2 sqft",
    },
    "volume": {
        "meter**3": "m3",
        "liter": "L l",
        "milliliter": "mL ml",
        "centimeter**3": "cm3",
        "millimeter**3": "mm3",
        "inch**3": "in3 cuin",
        "foot**3": "ft3 cuft",
        "yard**3": "yd3 cuyd",
    },
    "volume_flow": {
        "meter**3/hour": "m3/h m3/hr",
        "meter**3/second": "m3/s",
        "liter/second": "L/s l/s",
        "foot**3/minute": "cfm CFM ft3/min",
    },
    "density": {
        "kilogram/meter**3": "kg/m3",
        "gram/liter": "g/L g/l",
        "gram/centimeter**3": "g/cm3",
        "pound/foot**3": "lb/ft3 pcf PCF lbs/ft3 lb/cuft",
    },
    "duration": {
        "hour": "h hr hrs",
        "minute": "min",
        "second": "s sec",
        "day": "d day days",
        "millisecond": "ms msec",
    },
    "temperature": {"degC": "°C degC C", "degF": "°F degF F", "kelvin": "K"},
    "temperature_difference": {
        "kelvin": "K",
        "delta_degC": "°C degC C",
        "delta_degF": "°F degF F",
    },
    "pressure": {
        "pascal": "Pa N/m2",
        "kilopascal": "kPa KPA kN/m2",
        "megapascal": "MPa N/mm2 MN/m2",
        "gigapascal": "GPa kN/mm2",
        "millibar": "mbar",
        "bar": "bar",
        "newton/centimeter**2": "N/cm2",
        "kilonewton/centimeter**2": "kN/cm2",
        "kilogram_force/centimeter**2": "kgf/cm2 kp/cm2",
        "force_pound/inch**2": "psi PSI lbf/in2",
        "force_pound/foot**2": "psf PSF lbf/ft2",
        "kip/inch**2": "ksi KSI kip/in2",
    },
    # Of fresh concrete on a form: in its trade not told in psi.
    "form_pressure": {
        "kilopascal": "kPa KPA",
        "pascal": "Pa",
        "force_pound/foot**2": "psf PSF lbf/ft2 lb/ft2",
    },
    # mN is left out on purpose: one slip of the shift key makes it MN.
    "force": {
        "newton": "N",
        "kilonewton": "kN KN",
        "force_pound": "lbf LBF",
        "decanewton": "daN",
        "meganewton": "MN",
        "kilogram_force": "kgf kp KGF",
        "gram_force": "gf",
        "kip": "kip kips klbf kipf",
    },
    "speed": {
        "meter/hour": "m/h m/hr",
        "foot/hour": "ft/h ft/hr",
        "inch/hour": "in/h in/hr",
        "meter/second": "m/s",
    },
    "fraction": {
        "1": "1 kg/kg mm/mm m/m in/in",
        "percent": "% wt% vol% mass%",
        "permille": "‰ g/kg",
        "ppm": "ppm µm/m um/m µε",
        "millimeter/meter": "mm/m",
        "inch/foot": "in/ft",
    },
    # The Btu of building tables is that of the International Table (NIST SP 811, B.8).
    "thermal_resistance": {
        "meter**2*kelvin/watt": "m2·K/W m2K/W (m2·K)/W",
        "delta_degF*foot**2*hour/Btu_it": (
            "°F·ft2·h/Btu ft2·°F·h/Btu h·ft2·°F/Btu °Fft2h/Btu ft2°Fh/Btu hft2°F/Btu"
            " ft2·h·°F/Btu ft2h°F/Btu °F·ft2·hr/Btu hr·ft2·°F/Btu"
        ),
    },
    "thermal_conductivity": {
        "watt/meter/kelvin": "W/(m·K) W/mK W/(mK) W/m·K",
        "milliwatt/meter/kelvin": "mW/(m·K) mW/mK mW/(mK) mW/m·K",
        "Btu_it*inch/hour/foot**2/delta_degF": (
            "Btu·in/(h·ft2·°F) Btuin/(hft2°F) Btu·in/h·ft2·°F Btu·in/(hr·ft2·°F)"
        ),
    },
    # The perm of the foam standards is that of mercury at 0 °C (NIST SP 811, B.8).
    "vapour_permeance": {
        "nanogram/pascal/second/meter**2": "ng/(Pa·s·m2) ng/(Pasm2) ng/Pa·s·m2",
        "grain/hour/foot**2/inch_Hg_32F": "perm perms",
    },
}

_SEVERAL_MEANINGS = {
    "ton": "2000 lb, 2240 lb or 1000 kg",
    "tons": "2000 lb, 2240 lb or 1000 kg",
    "lb": "a mass (lb) or a force (lbf)",
}


_GREEK_MU, _MICRO = "\N{GREEK SMALL LETTER MU}", "\N{MICRO SIGN}"
_SAME_SIGN = str.maketrans(
    {
        "\N{DOUBLE PRIME}": '"',
        "\N{PRIME}": "'",
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{DOT OPERATOR}": "\N{MIDDLE DOT}",
        "\N{MASCULINE ORDINAL INDICATOR}": "\N{DEGREE SIGN}",
    }
)


def accepted(kind: Kind) -> tuple[str, ...]:
    """Return one text for each unit that is accepted for a kind, the usual one first."""
    return tuple(texts.split()[0] for texts in _WRITTEN[kind].values())


def pint_name(unit: str, kind: Kind) -> str:
    """Return pint's name for a unit as written.

    Raises
    ------
    UnitError
        If the text is empty, no unit of this kind, or has several meanings; says what to write.
    Misuse
        If there is no such kind.
    """
    if kind not in get_args(Kind):
        message = f"{kind!r} is no kind of quantity; there are: {', '.join(get_args(Kind))}"
        raise Misuse(message)
    plain = _plain(unit)
    for name, texts in _WRITTEN[kind].items():
        if plain in texts.split():
            return name
    words = kind.replace("_", " ")
    remedy = f"Write one of: {', '.join(accepted(kind))}."
    if not plain:
        what = f"No unit is given for a {words}."
        raise UnitError(code="unit_missing", what=what, text=unit, remedy=remedy)
    meanings = _SEVERAL_MEANINGS.get(plain.lower())
    what = f'"{unit}" may mean {meanings}.' if meanings else f'"{unit}" is no unit of {words}.'
    raise UnitError(code="unit_unknown", what=what, text=unit, remedy=remedy)


def _plain(unit: str) -> str:
    """Even out what typing and fonts change without changing the meaning."""
    text = unicodedata.normalize("NFKC", unit.translate(_SAME_SIGN))
    return re.sub(r"\s+|\^|\*\*(?=[23])", "", text.replace(_GREEK_MU, _MICRO))
