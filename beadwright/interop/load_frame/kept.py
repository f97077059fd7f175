"""A kept curve worked out again: the same file, answers and sizes give the same result.

Read :func:`kept_result`, then :func:`read_from`: what a curve says of a characteristic.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from beadwright.errors import Misuse
from beadwright.interop.load_frame.found import Found
from beadwright.interop.load_frame.reading import read
from beadwright.interop.load_frame.results import Asked, Result, result
from beadwright.interop.load_frame.specimens import specimens
from beadwright.lab.compression import Compression
from beadwright.lab.flexure import Flexure
from beadwright.lab.methods import beyond
from beadwright.plant.kept_curves import HowTaken, KeptCurve, keep_curve, kept_curve, specimens_read
from beadwright.plant.reports import same_method
from beadwright.quality.characteristics import MODULI

__all__ = [
    "FROM_CURVES",
    "FromCurve",
    "keep",
    "keep_other",
    "kept_result",
    "others_of",
    "read_from",
]

FROM_CURVES: dict[str, type[Compression | Flexure]] = {
    "compressive_resistance": Compression,
    "compressive_stress_10": Compression,
    "flexural_strength": Flexure,
    "bending_strength": Flexure,
}
"""Characteristics that are read from a curve, and what reduces it."""

_BY = {
    "compressive_resistance": "ASTM D1621",
    "compressive_stress_10": "EN 826",
    "flexural_strength": "ASTM C203 I-B",
    "bending_strength": "EN 12089 B",
}
"""Method that a curve is compared with where nobody named one, by characteristic."""

_HIGHEST = "compressive_stress_10"
"""EN 826:1996 takes the highest stress before 10 %, and not the first yield [read in: a second
source that cites it]."""

_SAME = 1e-4
"""Parts of the result: what is keyed has five figures."""


@dataclass(frozen=True, slots=True)
class FromCurve:
    """What a kept curve says of a characteristic."""

    strength_pa: float
    modulus: str
    """Characteristic of its modulus."""
    modulus_pa: float
    u_modulus_pa: float
    """Standard uncertainty from the scatter about the modulus line alone."""
    departures: tuple[str, ...]
    """What the curve, the specimen's size and the rate were otherwise than the method asks; what
    a result states itself, as its conditioning, is no part."""


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


def keep_other(sha256: str, specimen: str, plant: str) -> str:
    """Keep another specimen of a kept export, taken as the first was; give its hash.

    Raises
    ------
    Misuse
        As :func:`keep`, or if the first is not kept here.
    """
    first = kept_curve(sha256)
    return keep(first.raw, replace(first.taken, specimen=specimen, plant=plant))


def others_of(plant: str, kept: KeptCurve) -> tuple[str, ...]:
    """Give the other specimens of a kept export that gave no result in the record, in its order."""
    found, _ = kept_result(kept)
    names = (one.name for one in specimens(found, {}))
    done = specimens_read(plant, kept.file_sha256)
    return tuple(one for one in names if one not in {*done, kept.taken.specimen})


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


def read_from(sha256: str, characteristic: str, keyed_pa: float | None = None) -> FromCurve:
    """Give what a kept curve says of a characteristic.

    ``keyed_pa`` is what somebody keyed as its result: it must be the same.

    Raises
    ------
    Misuse
        If the curve is not kept here, was of another test, gives no strength, or another one.
    """
    kept = kept_curve(sha256)
    one = _compared(kept, characteristic)
    wanted = FROM_CURVES.get(characteristic)
    if wanted is None or (one.of is not None and not isinstance(one.of, wanted)):
        message = f"{characteristic.replace('_', ' ')} is not read from such a curve"
        raise Misuse(message)
    strength = None if one.of is None else _strength(one.of, characteristic)
    if one.of is None or strength is None:
        message = f"the curve gives no strength: {one.why_not or 'it ends before one is reached'}"
        raise Misuse(message)
    if keyed_pa is not None and abs(keyed_pa - strength) > _SAME * strength:
        gives, said = f"{strength / 1000:.5g} kPa", f"{keyed_pa / 1000:.5g} kPa"
        message = f"the curve gives {gives}, and {said} is keyed"
        raise Misuse(message)
    told = tuple(dict.fromkeys(_told(one, characteristic)))
    made = one.of
    return FromCurve(strength, MODULI[characteristic], made.modulus_pa, made.u_modulus_pa, told)


def _compared(kept: KeptCurve, characteristic: str) -> Result:
    """Work a kept curve out, compared with the method of the characteristic it is read for."""
    by, said = _BY.get(characteristic, ""), kept.taken.method
    one = kept_result(kept)[1]
    if one.of is None or not by or not isinstance(one.of, FROM_CURVES[characteristic]):
        return one
    method = said if said and same_method(_name(by), said) else by
    if method == said:
        return one
    return kept_result(replace(kept, taken=replace(kept.taken, method=method)))[1]


def _name(method: str) -> str:
    """Give a standard's name without what it calls its method: ``ASTM C203`` of ``… I-B``."""
    return " ".join(method.split()[:2])


def _strength(made: Compression | Flexure, characteristic: str) -> float | None:
    if characteristic == _HIGHEST and isinstance(made, Compression) and made.strength_at == "yield":
        return made.highest.stress_pa
    return made.strength_pa


def _told(one: Result, characteristic: str) -> Iterator[str]:
    """Give the departures that only the curve can tell, as sentences."""
    for each in beyond(characteristic, one.departures):
        if each.code != "rises_past_yield" or characteristic != _HIGHEST:
            yield str(each)
