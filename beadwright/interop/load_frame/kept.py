"""A kept curve worked out again: the same file, answers and sizes give the same result.

Read :func:`kept_result` and :func:`read_from`.
"""

from __future__ import annotations

from functools import lru_cache

from beadwright.errors import Misuse
from beadwright.interop.load_frame.found import Found
from beadwright.interop.load_frame.reading import read
from beadwright.interop.load_frame.results import Asked, Result, result
from beadwright.interop.load_frame.specimens import specimens
from beadwright.lab.compression import Compression
from beadwright.lab.flexure import Flexure
from beadwright.plant.kept_curves import HowTaken, KeptCurve, keep_curve, kept_curve

__all__ = ["FROM_CURVES", "keep", "kept_result", "read_from"]

FROM_CURVES: dict[str, type[Compression | Flexure]] = {
    "compressive_resistance": Compression,
    "compressive_stress_10": Compression,
    "flexural_strength": Flexure,
    "bending_strength": Flexure,
}
"""Characteristics that are read from a curve, and what reduces it."""

_SAME = 1e-4
"""Parts of the result: what is keyed has five figures."""


def keep(raw: bytes, taken: HowTaken) -> str:
    """Keep an export with how a specimen of it was taken; give the hash that a reading names.

    Raises
    ------
    Misuse, Refusal
        If it cannot be read, something about it is open, it holds no such specimen, or the store
        has no folder of files: nothing is kept then.
    """
    _worked(raw, taken)
    return keep_curve(raw, taken)


@lru_cache(maxsize=8)
def kept_result(kept: KeptCurve) -> tuple[Found, Result]:
    """Read a kept export and work its specimen out.

    Raises
    ------
    Misuse
        If something about it is open now, or it holds no such specimen.
    """
    return _worked(kept.raw, kept.taken)


def _worked(raw: bytes, taken: HowTaken) -> tuple[Found, Result]:
    found = read(raw, name=taken.name, answers=dict(taken.answers), strict=False)
    if found.questions:
        message = f"{taken.name}: open is {', '.join(one.field for one in found.questions)}"
        raise Misuse(message)
    asked = Asked.of(taken.sizes, taken.method, taken.span, taken.specimen)
    some = specimens(found, asked.sizes)
    for one in some:
        if one.name == taken.specimen:
            return found, result(taken.name, one, asked, len(some))
    message = f"{taken.name} holds no specimen {taken.specimen}"
    raise Misuse(message)


def read_from(sha256: str, characteristic: str, keyed_pa: float | None = None) -> float:
    """Give the strength in Pa that a kept curve says of a characteristic.

    ``keyed_pa`` is what somebody keyed as its result: it must be the same.

    Raises
    ------
    Misuse
        If the curve is not kept here, was of another test, gives no strength, or another one.
    """
    _, one = kept_result(kept_curve(sha256))
    wanted = FROM_CURVES.get(characteristic)
    if wanted is None or (one.of is not None and not isinstance(one.of, wanted)):
        message = f"{characteristic.replace('_', ' ')} is not read from such a curve"
        raise Misuse(message)
    strength = None if one.of is None else one.of.strength_pa
    if strength is None:
        message = f"the curve gives no strength: {one.why_not or 'it ends before one is reached'}"
        raise Misuse(message)
    if keyed_pa is not None and abs(keyed_pa - strength) > _SAME * strength:
        gives, said = f"{strength / 1000:.5g} kPa", f"{keyed_pa / 1000:.5g} kPa"
        message = f"the curve gives {gives}, and {said} is keyed"
        raise Misuse(message)
    return strength
