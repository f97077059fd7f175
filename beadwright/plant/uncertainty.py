"""What a reading is worth where its row says nothing of it: by its instrument and its method.

Read :func:`completed`. The standard uncertainty of the instrument comes from its newest
calibration, else from its setting; the repeatability of the method is set by characteristic, or is
taken from the instrument's newest recorded gauge study where the setting says so. Where the
instrument's is not known nothing is made up: the reading's uncertainty stays unknown.

References: JCGM 100:2008, equation 10, for parts that do not go together [from memory]; ISO
5725-1:1994 on repeatability [from memory].
"""

from __future__ import annotations

import math
from dataclasses import replace

from beadwright.errors import BeadwrightError
from beadwright.ledger.fold import Dated
from beadwright.plant.products import quantity
from beadwright.quality.characteristics import kind_of
from beadwright.quality.readings import ReadingView
from beadwright.units import factor

__all__ = ["TOPIC", "completed", "in_si", "is_uncertainty", "repeats_by"]

TOPIC = "repeatability"
"""Topic of the setting that gives a method's repeatability, by characteristic, under ``s``;
``study`` says that a recorded study of the instrument goes before it."""


def is_uncertainty(value: object) -> bool:
    """Whether a text is a number above nothing with a unit, or with ``%`` of what is read."""
    number, _, unit = str(value).partition(" ")
    try:
        return float(number) > 0 and math.isfinite(float(number)) and bool(unit.strip())
    except ValueError:
        return False


def in_si(text: str, characteristic: str, si: float) -> float | None:
    """Give what was stated, in SI; None where it says nothing of such a reading.

    An uncertainty in grams says nothing of a length. A share is of what was read, unless what was
    read is a share itself.
    """
    kind = kind_of(characteristic)
    if kind is None or not is_uncertainty(text):
        return None
    unit = text.partition(" ")[2].strip()
    if unit == "%" and kind != "fraction":
        return quantity(text, "fraction") * abs(si)
    try:
        factor(unit, kind)
        return quantity(text, kind)
    except BeadwrightError:
        return None


def repeats_by(one: ReadingView, settings: Dated, studied: str = "") -> str:
    """Give what a reading scatters by its method, with its unit; empty where nothing says.

    ``studied`` is what measuring scatters by the study of its instrument: taken where the plant
    says so, and before what is set.
    """
    body = settings.at(TOPIC, one.characteristic, one.at_ms) or {}
    by_study = body.get("study") is True and studied
    return studied if by_study else str(body.get("s", ""))


def completed(
    one: ReadingView, of_instrument: str, settings: Dated, studied: str = ""
) -> ReadingView:
    """Give a reading with its uncertainty, of what took it and of its method.

    What its row states stands as it is. ``of_instrument`` is what is known of the instrument when
    it was read, ``studied`` what a study of it found; empty where nothing is.
    """
    if one.u_si is not None or one.si is None or not of_instrument:
        return one
    u = in_si(of_instrument, one.characteristic, one.si)
    if u is None:
        return one
    repeats = in_si(repeats_by(one, settings, studied), one.characteristic, one.si) or 0.0
    return replace(one, u_si=math.hypot(u, repeats))
