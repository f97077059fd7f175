"""The error an instrument was found with: how far what it said lay from the truth.

Read :func:`as_found`. The error is what the instrument indicates less the reference (VIM 2012,
2.16, from memory), in its unit or as a share of what it indicates: "+2 g", "-0.4 %". Where the
certificate says how well it is known, its expanded uncertainty (k = 2) stands behind: "+2 g ± 1 g".
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from beadwright.errors import BeadwrightError
from beadwright.quality.characteristics import kind_of
from beadwright.units import factor, parse_number

__all__ = ["AsFound", "as_found", "as_found_fault", "bears_on", "unlikely"]

_WRITTEN = re.compile(r"\s*([+\-−]?)\s*([\d.]+)\s*([^\W\d_].*?|%)\s*")
_EITHER_SIDE = re.compile(r"±|\+/-")
_SHARE = "%"
_WHOLE = Decimal(100)


@dataclass(frozen=True, slots=True)
class AsFound:
    """An error: a number, and its unit or ``%`` of what was indicated."""

    number: Decimal
    unit: str
    expanded: Decimal | None = None
    """Expanded uncertainty (k = 2), in the same unit; None where nobody stated one."""

    @property
    def text(self) -> str:
        """Write it with its sign."""
        known = "" if self.expanded is None else f" ± {self.expanded:f} {self.unit}"
        return f"{self.number:+f} {self.unit}{known}"

    @property
    def ends(self) -> tuple[AsFound, ...]:
        """Give the least and the most that it may be; nothing where nobody says how well."""
        if self.expanded is None:
            return ()
        return tuple(AsFound(self.number + sign * self.expanded, self.unit) for sign in (-1, 1))

    def taken_from(self, characteristic: str) -> Callable[[float], float] | None:
        """Give what takes the error from a value in SI; None where it says nothing of such values.

        An error in grams says nothing of a length.
        """
        kind = kind_of(characteristic)
        if kind is None:
            return None
        if self.unit == _SHARE:
            share = 1 + float(self.number / _WHOLE)
            return lambda si: si / share
        try:
            error = float(self.number * factor(self.unit, kind))
        except BeadwrightError:
            return None
        return lambda si: si - error


def unlikely(error: AsFound, largest: Mapping[str, float]) -> str:
    """Say of an error that its unit is likely mistaken; empty where nothing speaks for that.

    ``largest``: the largest value in SI by characteristic that the instrument read. An error of
    more than half of it is mostly a unit mistaken (the half is common practice, no source); so is
    one in a unit of nothing that it read.
    """
    takes = {name: error.taken_from(name) for name in largest}
    for name, si in largest.items():
        take = takes[name]
        if take is not None and si > 0 and abs(si - take(si)) > si / 2:
            read = name.replace("_", " ")
            return (
                f"an error of {error.text} is more than half of the largest {read} that it read:"
                " is its unit right"
            )
    if takes and not any(takes.values()):
        read = ", ".join(sorted(name.replace("_", " ") for name in takes))
        return f"an error of {error.text} says nothing of what it read ({read}): is its unit right"
    return ""


def as_found(text: str) -> AsFound:
    """Read an error as it was written.

    Raises
    ------
    ValueError
        If it is no number with a sign, a point and a unit.
    """
    error, *beyond = _EITHER_SIDE.split(text)
    expanded = None
    if beyond:
        error, expanded = _with_uncertainty(text, error, beyond)
    found = _WRITTEN.fullmatch(error)
    if found is None:
        raise ValueError(_must(text))
    sign, digits, unit = found.groups()
    try:
        number = parse_number(digits, decimal=".")
    except BeadwrightError as error:
        raise ValueError(_must(text)) from error
    if not sign and number:
        message = (
            f"{text!r} has no sign: + where the instrument says more than the truth, - if less"
        )
        raise ValueError(message)
    if unit == _SHARE and number + (expanded or 0) >= _WHOLE:
        message = f"{text!r} is no error of an instrument in use: it must be below 100 %"
        raise ValueError(message)
    return AsFound(-number if sign in {"-", "−"} else number, unit, expanded)


def _with_uncertainty(text: str, error: str, beyond: list[str]) -> tuple[str, Decimal]:
    """Part an error from its uncertainty: "+2 g ± 1 g", or "+2 ± 1 g"."""
    found = _WRITTEN.fullmatch(beyond[0])
    if len(beyond) > 1 or found is None or found[1]:
        raise ValueError(_must(text))
    unit = found[3]
    if error.strip()[-1:].isdigit():
        error = f"{error.strip()} {unit}"
    elif not error.rstrip().endswith(unit):
        message = f"{text!r} states its uncertainty in another unit: write both in one"
        raise ValueError(message)
    try:
        return error, parse_number(found[2], decimal=".")
    except BeadwrightError as wrong:
        raise ValueError(_must(text)) from wrong


@cache
def bears_on(text: str, characteristic: str) -> bool:
    """Whether an error as it was written says anything of what is read; one not stated may.

    >>> bears_on("+60 g", "height"), bears_on("+60 g", "block_mass_24h"), bears_on("", "height")
    (False, True, True)
    """
    return not text or as_found(text).taken_from(characteristic) is not None


def as_found_fault(value: object) -> str:
    """Say what an error must be; empty where it can be read."""
    if value == "":
        return ""
    try:
        as_found(str(value))
    except ValueError as error:
        return f"must be an error with its sign and unit: {error}"
    return ""


def _must(text: str) -> str:
    return f'{text!r} is not one; as "+2 g", "-0.4 %" of what it says, or "+0 g"'
