"""The family of errors: what was wrong, with which value, where, and what to do.

::

    BeadwrightError             everything this program raises on purpose
    ├── OutOfRange              a number outside the range a formula holds in
    ├── UnitError               a text that is no number, or no unit of the kind asked for
    ├── Refusal                 what a person sent was refused; carries every fault at once
    ├── RecordBroken            the chain of entries does not verify
    ├── StoreUnreachable        no store where one was expected, or one we cannot use
    └── Misuse                  a command, option or call that cannot be meant

    Fault                       one fault in people's data: a value, collected, never raised alone

Exceptions are for faults in a call; faults in people's data are :class:`Fault` values,
collected and raised together in one :class:`Refusal`.

Lives here: the errors, and the range checks that raise the first of them.
Read first: :class:`Fault`, whose text is what a person reads.
May import: nothing of ours; numpy only inside the range checks, because every start of the
command line imports this module.
"""

from __future__ import annotations

import math
import unicodedata
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    import numpy as np
    from numpy.typing import ArrayLike, NDArray

__all__ = [
    "BeadwrightError",
    "Fault",
    "Misuse",
    "OutOfRange",
    "RecordBroken",
    "Refusal",
    "StoreUnreachable",
    "UnitError",
    "plain",
    "position",
    "problem_of",
    "require_arrays",
    "require_at_least",
    "require_between",
    "require_enough",
    "require_series",
]


_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})
"""Classes of signs (Unicode's general categories) that no message may hold: controls, marks that
turn the text beside them around or show as nothing, halves, separators of lines."""


def plain(text: str) -> str:
    r"""Give a text with every control and every mark of direction written out; lines stay lines.

    >>> plain("gnp.\u202egpj")
    'gnp.\\u202egpj'
    """
    if text.isprintable():
        return text
    return "".join(
        ascii(sign)[1:-1] if sign not in "\n\t" and unicodedata.category(sign) in _UNSEEN else sign
        for sign in text
    )


class BeadwrightError(Exception):
    """Anything this program raises on purpose; its text is fit for a person to read."""

    def __str__(self) -> str:
        """Return the message, with nothing in it that a person cannot see."""
        return plain(super().__str__())


class OutOfRange(BeadwrightError):
    """A number outside the range in which a formula holds."""

    def __init__(
        self, argument: str, value: object, *, index: tuple[int, ...] = (), valid: str
    ) -> None:
        """Keep the argument's name, its first bad value, where in the array, and the range."""
        super().__init__(argument, value, index, valid)
        self.argument = argument
        self.value = value
        self.index = index
        self.valid = valid

    def __reduce__(self) -> tuple[object, ...]:
        """Allow the error to cross a process boundary, keyword arguments and all."""
        return _out_of_range, (self.argument, self.value, self.index, self.valid)

    def __str__(self) -> str:
        """Return ``radius_m[1] is 0.0: must be a finite number above 0.``."""
        place = f"[{', '.join(map(str, self.index))}]" if self.index else ""
        return plain(f"{self.argument}{place} is {self.value}: must be {self.valid}.")


class UnitError(BeadwrightError):
    """A text that is no number, or no unit of the kind asked for."""

    def __init__(self, code: str, what: str, text: str, remedy: str) -> None:
        """Keep a code, a sentence, the text as it was written, and what to do."""
        super().__init__(code, what, text, remedy)
        self.code = code
        self.what = what
        self.text = text
        self.remedy = remedy

    def __str__(self) -> str:
        """Return the sentence and the remedy."""
        return plain(f"{self.what} {self.remedy}")


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault in people's data: code, what was wrong, the value, where, what to do."""

    code: str
    what: str
    value: str = ""
    where: str = ""
    remedy: str = ""

    def __post_init__(self) -> None:
        """Write out what nobody can see: wherever a part is shown, it is so already."""
        for name in ("what", "value", "where", "remedy"):
            text = getattr(self, name)
            if not text.isprintable():
                object.__setattr__(self, name, plain(text))

    def __str__(self) -> str:
        """Return one message: code, sentence, value if not yet said, place, remedy."""
        parts = [_sentence(self.what)]
        if self.value and self.value not in self.what:
            parts.append(f"Given: {self.value}.")
        parts += [_sentence(part) for part in (self.where, self.remedy) if part]
        return f"{self.code}: {' '.join(parts)}"


class Refusal(BeadwrightError):
    """What a person sent was refused; nothing of it was kept."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        """Keep every fault, in the order found; a refusal without one is our own mistake."""
        self.faults: tuple[Fault, ...] = tuple(faults)
        if not self.faults:
            message = "a refusal needs at least one fault"
            raise ValueError(message)
        super().__init__(self.faults)

    @property
    def codes(self) -> tuple[str, ...]:
        """Each fault's code, in the order found."""
        return tuple(fault.code for fault in self.faults)

    def __str__(self) -> str:
        """Return one line for each fault."""
        return "\n".join(map(str, self.faults))


class RecordBroken(BeadwrightError):
    """The chain of entries does not verify."""

    def __init__(self, seq: int, what: str) -> None:
        """Keep the first entry that fails and what is wrong with it."""
        super().__init__(seq, what)
        self.seq = seq
        self.what = what

    def __str__(self) -> str:
        """Return ``entry 17: …``."""
        return plain(f"entry {self.seq}: {self.what}")


class StoreUnreachable(BeadwrightError):
    """No store where one was expected, or one this program cannot use; the text says which."""


class Misuse(BeadwrightError):
    """A command, option or call that cannot be meant; the text says what to write instead."""


def problem_of(status: int, title: str, detail: str, faults: Iterable[Fault] = ()
               ) -> dict[str, object]:  # fmt: skip
    """Return a problem as RFC 9457 writes it, with our faults beside.

    ``about:blank`` says that its status tells its type.
    """
    return {
        "type": "about:blank",
        "title": title,
        "status": status,
        "detail": detail,
        "faults": [asdict(one) for one in faults],
    }


def position(file: str = "", row: int | None = None, field: str = "") -> str:
    """Return where in a file a fault stands, as every message says it.

    >>> position("mould log.csv", 17, "mass [kg]")
    'mould log.csv, row 17, "mass [kg]"'
    """
    parts = [file] if file else []
    if row is not None:
        parts.append(f"row {row}")
    if field:
        parts.append(f'"{field}"')
    return ", ".join(parts)


def require_at_least(lowest: float, *, strict: bool = False, **arguments: ArrayLike) -> None:
    """Raise OutOfRange unless every number is finite and not below ``lowest``.

    With ``strict`` it must be above ``lowest``. Takes scalars and arrays.

    >>> require_at_least(0, strict=True, radius_m=[1.5e-3, 0.0])
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: radius_m[1] is 0.0: must be a finite number above 0.
    """
    wording = f"a finite number {'above' if strict else 'of at least'} {lowest:g}"
    span = _Span(lowest, math.inf, strict, wording)
    for name, values in arguments.items():
        _require(name, values, span)


def require_between(
    lowest: float, highest: float, *, strict: bool = False, **arguments: ArrayLike
) -> None:
    """Raise OutOfRange unless every number lies from ``lowest`` to ``highest``.

    With ``strict`` the two ends themselves are refused. Takes scalars and arrays.

    >>> require_between(0, 1, share=1.2)
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: share is 1.2: must be a number from 0 to 1.
    """
    ends = "above {:g} and below {:g}" if strict else "from {:g} to {:g}"
    span = _Span(lowest, highest, strict, f"a number {ends.format(lowest, highest)}")
    for name, values in arguments.items():
        _require(name, values, span)


def require_arrays(**arguments: ArrayLike) -> list[NDArray[np.float64]]:
    """Return the arguments as arrays, in the order given, or raise OutOfRange at the first misfit.

    Each must hold at least one number, and their shapes must broadcast against each other.

    >>> require_arrays(radius_m=[1e-3, 2e-3], time_s=[])
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: time_s is empty: must be at least one number.
    >>> require_arrays(radius_m=[1e-3, 2e-3], time_s=[1.0, 2.0, 3.0])
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: time_s is of shape (3,): must be of a shape that fits (2,).
    """
    import numpy as np  # noqa: PLC0415 - see "May import" at the top

    arrays: list[NDArray[np.float64]] = []
    shape: tuple[int, ...] = ()
    for name, given in arguments.items():
        try:
            array = np.asarray(given, dtype=np.float64)
        except (TypeError, ValueError):
            raise OutOfRange(name, given, valid="a number, or an array of numbers") from None
        if array.size == 0:
            raise OutOfRange(name, "empty", valid="at least one number")
        try:
            shape = np.broadcast_shapes(shape, array.shape)
        except ValueError:
            wanted = f"of a shape that fits {shape}"
            raise OutOfRange(name, f"of shape {array.shape}", valid=wanted) from None
        arrays.append(array)
    return arrays


def require_series(**arguments: ArrayLike) -> list[NDArray[np.float64]]:
    """Return measurements that were taken together as flat arrays of one length.

    Raises OutOfRange where :func:`require_arrays` does.

    >>> [array.tolist() for array in require_series(time_s=[1.0, 2.0], pressure_pa=5.0)]
    [[1.0, 2.0], [5.0, 5.0]]
    """
    import numpy as np  # noqa: PLC0415 - see "May import" at the top

    return [np.ravel(array) for array in np.broadcast_arrays(*require_arrays(**arguments))]


def require_enough(least: int, things: str, **counted: int) -> None:
    """Raise OutOfRange if there are fewer measurements than a fit needs.

    >>> require_enough(4, "cups", time_s=3)
    Traceback (most recent call last):
    beadwright.errors.OutOfRange: time_s is 3 cups: must be at least 4 cups.
    """
    for name, found in counted.items():
        if found < least:
            raise OutOfRange(name, f"{found} {things}", valid=f"at least {least} {things}")


@dataclass(frozen=True, slots=True)
class _Span:
    lowest: float
    highest: float
    strict: bool
    wording: str


def _require(name: str, values: object, span: _Span) -> None:
    low, high = span.lowest, span.highest
    if isinstance(values, int | float):
        inside = low < values < high if span.strict else low <= values <= high
        if not (inside and math.isfinite(values)):
            raise OutOfRange(name, values, valid=span.wording)
        return
    import numpy as np  # noqa: PLC0415 - see "May import" at the top

    array = np.asarray(values, dtype=np.float64)
    above = array > low if span.strict else array >= low
    below = array < high if span.strict else array <= high
    good = above & below & np.isfinite(array)
    if not good.all():
        index = tuple(int(i) for i in np.argwhere(~good)[0])
        raise OutOfRange(name, float(array[index]), index=index, valid=span.wording)


def _out_of_range(argument: str, value: object, index: tuple[int, ...], valid: str) -> OutOfRange:
    return OutOfRange(argument, value, index=index, valid=valid)


def _sentence(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."
