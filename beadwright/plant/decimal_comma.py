"""A decimal comma where a person keys a number with its unit: taken where it can be nothing else.

Read :func:`with_point`.
"""

from __future__ import annotations

import re

from beadwright.errors import Misuse

__all__ = ["with_point"]

_COMMA = re.compile(r"[+-]?[0-9]+,([0-9]+)")
_GROUP = 3


def with_point(number: str) -> str:
    """Give a number with a point for its comma; one without a comma as it is.

    >>> with_point("4,0"), with_point("0,125"), with_point("4.0")
    ('4.0', '0.125', '4.0')

    Raises
    ------
    Misuse
        If the comma may part thousands, as in ``1,200``, or there is more than one sign.
    """
    text = number.strip()
    if "," not in text:
        return text
    found = _COMMA.fullmatch(text)
    whole, _, part = text.lstrip("+-").partition(",")
    if found is None or (len(part) == _GROUP and 0 < len(whole) <= _GROUP and whole[0] != "0"):
        message = f"{text!r} can be read in two ways: write it with a point and no comma"
        raise Misuse(message)
    return text.replace(",", ".")
