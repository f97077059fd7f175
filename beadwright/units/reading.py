"""Numbers and column headers as people write them; nothing is guessed."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from beadwright.errors import Misuse, UnitError

__all__ = ["parse_number", "split_header"]

_MOST_DIGITS = 30  # more than any balance shows, few enough that a product stays exact
_MINUS = "\N{MINUS SIGN}"


def parse_number(text: str, *, decimal: Literal[".", ","], thousands: str | None = None) -> Decimal:
    """Return the number a person wrote, or say why it is none; nothing is guessed.

    Parameters
    ----------
    text : str
        Digits with an optional sign, decimal sign and thousands signs.
    decimal : {".", ","}
        The decimal sign, as stated for the file.
    thousands : str or None
        The thousands sign, if the file uses one; its groups must be of three. A number may
        leave it out altogether.

    Returns
    -------
    number : Decimal
        Exactly as written, trailing zeros kept.

    Raises
    ------
    Misuse
        If the two signs are the same.
    UnitError
        If the text is empty, holds anything else (a unit, an exponent, another sign), groups
        that are not of three, or more than 30 digits.

    Examples
    --------
    >>> parse_number("1.148,5", decimal=",", thousands=".")
    Decimal('1148.5')
    """
    if thousands == decimal:
        message = "the thousands sign must differ from the decimal sign"
        raise Misuse(message)
    written = text.strip()
    match = _number_pattern(decimal, thousands).fullmatch(written)
    if match is None or sum(map(str.isdigit, written)) > _MOST_DIGITS:
        signs = f'decimal sign "{decimal}"'
        if thousands:
            signs += f' and thousands sign "{thousands}"'
        raise UnitError(
            code="not_a_number",
            what=f'"{text}" is no number with {signs}.',
            text=text,
            remedy=_number_remedy(written, decimal),
        )
    sign = match["sign"].replace(_MINUS, "-")
    whole = match["whole"].replace(thousands, "") if thousands else match["whole"]
    part = f".{match['part']}" if match["part"] else ""
    return Decimal(f"{sign}{whole}{part}")


def split_header(header: str) -> tuple[str, str | None]:
    """Return a column's name and the unit written behind it in brackets, if any.

    Parameters
    ----------
    header : str
        Such as ``mass [lb]``, ``Masse [kg]:`` or ``mass (kg)``; square brackets go first.

    Returns
    -------
    name, unit : str, str or None
        Both without blanks at their ends; None where no unit is written.

    Examples
    --------
    >>> split_header("Masse [kg]")
    ('Masse', 'kg')
    """
    text = header.strip().removesuffix(":").rstrip()
    for opening, closing in ("[]", "()"):
        if text.endswith(closing) and opening in text:
            name, _, unit = text[:-1].rpartition(opening)
            return name.strip(), unit.strip() or None
    return text, None


@lru_cache(maxsize=16)
def _number_pattern(decimal: str, thousands: str | None) -> re.Pattern[str]:
    whole = "[0-9]+"
    if thousands:
        whole = rf"[0-9]{{1,3}}(?:{re.escape(thousands)}[0-9]{{3}})+|[0-9]+"
    sign = f"[+{_MINUS}-]?"
    point = re.escape(decimal)
    return re.compile(rf"(?P<sign>{sign})(?P<whole>{whole})(?:{point}(?P<part>[0-9]+))?")


def _number_remedy(text: str, decimal: str) -> str:
    other = "," if decimal == "." else "."
    if not text:
        return "Write the number, or leave the row out."
    if other in text:
        return (
            f'If "{other}" parts thousands or is the decimal sign of this file, state it in the '
            "file's layout; else correct the number."
        )
    return "Write digits only; the unit belongs in the column's header."
