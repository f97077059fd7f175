"""A figure from the world is as good as its last printed digit."""

from decimal import Decimal

__all__ = ["agrees"]


def agrees(value: float | Decimal, printed: str) -> bool:
    """Whether a value rounds to a printed figure: within half a unit of its last digit.

    Blanks inside the figure and an exponent are taken as printed: ``6.894 757 E+03``.

    >>> agrees(0.77048, "0.7705"), agrees(0.77056, "0.7705")
    (True, False)
    """
    figure = Decimal(printed.replace(" ", ""))
    exponent = figure.as_tuple().exponent
    if not isinstance(exponent, int):
        message = f"{printed!r} is no figure"
        raise TypeError(message)
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    return abs(exact - figure) <= Decimal(1).scaleb(exponent) / 2
