"""What the functions of this package ask of their arguments beyond a range.

Read :func:`require_where` first. Each raises OutOfRange with the argument's name.
"""

from __future__ import annotations

from typing import NoReturn

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays

__all__ = ["refuse", "require_freedom", "require_series", "require_where", "require_whole"]


def refuse(argument: str, value: object, valid: str) -> NoReturn:
    """Raise OutOfRange of one argument.

    Parameters
    ----------
    argument : str
        Its name.
    value : object
        What was given.
    valid : str
        What it must be, to stand after "must be".

    Raises
    ------
    OutOfRange
        Always.
    """
    raise OutOfRange(argument, value, valid=valid)


def require_where(good: NDArray[np.bool_], valid: str, /, **argument: ArrayLike) -> None:
    """Raise OutOfRange at the first number of an argument that is not marked good.

    Parameters
    ----------
    good : ndarray, shape (...)
        Marks, of the shape of the argument. [1]
    valid : str
        What each must be, to stand after "must be".
    **argument : array_like, shape (...)
        The argument, by its name. [1]

    Raises
    ------
    OutOfRange
        With name, value and index of the first that is not.

    Examples
    --------
    >>> require_where(np.array([True, False]), "above 1", dof=[2.0, 0.5])
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: dof[1] is 0.5: must be above 1.
    """
    for name, values in argument.items():
        if not good.all():
            index = tuple(int(i) for i in np.argwhere(~good)[0])
            array = np.asarray(values, dtype=np.float64)
            raise OutOfRange(name, float(array[index]), index=index, valid=valid)


def require_freedom(dof: ArrayLike) -> None:
    """Raise OutOfRange unless all degrees of freedom are above 0; infinite is allowed.

    Parameters
    ----------
    dof : array_like, shape (...)
        Degrees of freedom, named ``dof`` in the message. [1]

    Raises
    ------
    OutOfRange
        At the first that is not.
    """
    freedom = np.asarray(dof, dtype=np.float64)
    require_where(freedom > 0, "a number above 0, or infinite", dof=freedom)


def require_series(least: int, /, **argument: ArrayLike) -> NDArray[np.float64]:
    """Return an argument as one row of finite numbers, or raise OutOfRange.

    Parameters
    ----------
    least : int
        How many numbers it must hold. [1]
    **argument : array_like, shape (n,)
        One argument, by its name, in any unit. [1]

    Returns
    -------
    series : ndarray, shape (n,)
        The numbers. [1]

    Raises
    ------
    OutOfRange
        If it is no row, holds fewer numbers, or one that is not finite.

    Examples
    --------
    >>> require_series(2, values=[1.0])
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: values is a row of 1: must be a row of at least 2 numbers.
    """
    ((name, given),) = argument.items()
    (series,) = require_arrays(**{name: given})
    wanted = f"a row of at least {least} numbers"
    if series.ndim != 1:
        raise OutOfRange(name, f"of shape {series.shape}", valid=wanted)
    if len(series) < least:
        raise OutOfRange(name, f"a row of {len(series)}", valid=wanted)
    require_where(np.isfinite(series), "a finite number", **{name: series})
    return series


def require_whole(least: int, /, **arguments: int) -> None:
    """Raise OutOfRange unless each is a whole number of at least ``least``.

    Parameters
    ----------
    least : int
        The smallest that is allowed. [1]
    **arguments : int
        Numbers, by their names. [1]

    Raises
    ------
    OutOfRange
        At the first that is not.

    Examples
    --------
    >>> require_whole(2, count=1)
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: count is 1: must be a whole number of at least 2.
    """
    for name, number in arguments.items():
        if isinstance(number, bool) or number != int(number) or number < least:
            raise OutOfRange(name, number, valid=f"a whole number of at least {least}")
