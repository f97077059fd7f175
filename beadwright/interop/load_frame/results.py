"""A specimen's curve to its result, by what was asked of it.

Read first: :func:`result`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from beadwright.errors import Misuse, OutOfRange, UnitError
from beadwright.interop.load_frame.specimens import Loaded
from beadwright.lab import flexure_method
from beadwright.lab.beam import Beam, Loading
from beadwright.lab.compression import Compression, compressed, compression_of
from beadwright.lab.compression_method import METHODS, CompressionTest, compression_departures
from beadwright.lab.departure import Departure
from beadwright.lab.flexure import Flexure, flexure_of
from beadwright.lab.flexure_method import FlexureTest, flexure_departures
from beadwright.lab.loading import loading_part, travel_rate, upright
from beadwright.plant.products import quantity

__all__ = ["CAUTION", "Asked", "Result", "result"]

CAUTION = (
    "Worked out from the columns as they were taken above: look at them first. Travel of the "
    "crosshead holds the frame's own give, which makes a modulus low. Nothing is recorded, and no "
    "lot is judged by it."
)


_STRENGTH = frozenset({"ended_early", "broke", "not_broken"})
"""Departures about what makes a strength: each method says it for itself."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What was said of the specimens, in SI."""

    sizes: Mapping[str, float] = field(default_factory=dict)
    method: str = ""
    span_m: float | None = None
    specimen: str = ""

    @classmethod
    def of(cls, sizes: tuple[str, str, str], method: str, bending: str, specimen: str) -> Asked:
        """Read the options."""
        given = {
            name: _length(name, text)
            for name, text in zip(("length", "width", "height"), sizes, strict=True) if text
        }  # fmt: skip
        known = flexure_method.METHODS if bending else METHODS
        if method and method not in known:
            message = f"no such method: {method}; there are: {', '.join(known)}."
            raise Misuse(message)
        span = _length("span", bending) if bending else None
        return cls(given, method, span, specimen)


def _length(name: str, text: str) -> float:
    try:
        value = quantity(text, "length")
    except (UnitError, ValueError) as error:
        message = f"{name} {text!r}: {error}"
        raise Misuse(message) from None
    if not value > 0:
        message = f"{name} is {text}: it must be above zero."
        raise Misuse(message)
    return value


@dataclass(frozen=True, slots=True)
class Result:
    """One specimen's result, or why there is none."""

    file: str
    loaded: Loaded
    of: Compression | Flexure | None
    why_not: str = ""
    departures: tuple[Departure, ...] = ()


def result(file: str, loaded: Loaded, asked: Asked, count: int) -> Result:
    """Work out one specimen of ``count``."""
    try:
        if asked.span_m is not None:
            return _bent(file, loaded, asked, asked.span_m, count)
        return _pressed(file, loaded, asked, count)
    except OutOfRange as error:
        return Result(file, loaded, None, str(error))


def _rate(loaded: Loaded) -> float | None:
    if loaded.trace is None or loaded.trace.time_s is None:
        return None
    return travel_rate(loading_part(upright(loaded.trace)))


def _pressed(file: str, loaded: Loaded, asked: Asked, count: int) -> Result:
    shape = loaded.shape
    lacking = [name for name, value in (("loaded area", shape.area_m2),
                                        ("height", shape.height_m)) if value is None]  # fmt: skip
    if loaded.stress_pa is not None and loaded.strain is not None and (
        loaded.trace is None or lacking
    ):  # fmt: skip
        made = compressed(loaded.strain, loaded.stress_pa)
    elif lacking or loaded.trace is None:
        words = " and ".join(lacking)
        why = f"Not known: {words}. Say the specimen's length, width and height."
        return Result(file, loaded, None, why)
    else:
        made = compression_of(
            loaded.trace, area_m2=shape.area_m2 or math.nan, height_m=shape.height_m or math.nan
        )
    method = METHODS.get(asked.method)
    shown = made.departures if method is None else _cited(made.departures, method.source)
    return Result(file, loaded, made, "", (*shown, *_method(loaded, asked, count)))


def _cited(shown: Iterable[Departure], source: Mapping[str, str]) -> tuple[Departure, ...]:
    """Say where the method that was chosen says what makes a strength; else it is the usual one."""
    return tuple(
        replace(one, source=source["strength"]) if one.code in _STRENGTH else one for one in shown
    )


def _method(loaded: Loaded, asked: Asked, count: int) -> tuple[Departure, ...]:
    shape = loaded.shape
    if not asked.method or shape.area_m2 is None or shape.height_m is None:
        return ()
    edge = math.sqrt(shape.area_m2)
    test = CompressionTest(
        height_m=shape.height_m,
        length_m=shape.length_m or edge,
        width_m=shape.area_m2 / shape.length_m if shape.length_m else edge,
        rate_m_s=_rate(loaded),
        specimens=count,
    )
    return compression_departures(METHODS[asked.method], test)


def _bent(file: str, loaded: Loaded, asked: Asked, span_m: float, count: int) -> Result:
    sizes = loaded.sizes
    width = sizes.get("width")
    depth = sizes.get("height", sizes.get("thickness"))
    if width is None or depth is None or loaded.trace is None:
        why = "Width and height, or force and deflection, are not known: say the strip's."
        return Result(file, loaded, None, why)
    method = flexure_method.METHODS.get(asked.method)
    loading = method.loading if method else Loading.CENTRE
    at = "mid-span" if loading is Loading.CENTRE else "loading point"
    beam = Beam(span_m, width, depth, loading, at)  # type: ignore[arg-type]
    made = flexure_of(loaded.trace, beam)
    said = list(made.departures)
    if method is not None:
        said = list(_cited(said, method.source))
        test = FlexureTest(
            beam, length_m=sizes.get("length"), rate_m_s=_rate(loaded), specimens=count
        )
        said += flexure_departures(method, test)
    return Result(file, loaded, made, "", tuple(said))
