"""What a bending method asks of strip, span, rate, conditioning and number; and what was not so.

Read first: :data:`METHODS`, then :func:`flexure_departures`. ASTM C203 has two ways of loading,
I at the centre and II at the quarter points, and procedures A to D; C loads at a rate of stress
and is not here, for a frame that drives its crosshead cannot do it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from beadwright.lab.asked import MEMORY, READ, Condition, Method, departures
from beadwright.lab.beam import Beam, Loading, loading_rate
from beadwright.lab.conditioning import Conditioning, rate_departures, specimens_asked
from beadwright.lab.departure import Departure, not_recorded, outside

__all__ = ["METHODS", "FlexureMethod", "FlexureTest", "flexure_departures"]

_MINUTE = 60.0
_OURS = "its tolerance [common practice, no source]"


@dataclass(frozen=True, slots=True)
class FlexureMethod:
    """What one method asks, SI; ``source`` says for each figure how it was read."""

    name: str
    edition: str
    loading: Loading
    conditioning: Conditioning
    sizes: tuple[Condition, ...]
    """On length, width and thickness."""
    span: tuple[float, float]
    """In thicknesses."""
    strain_rate_1_s: float | None = None
    """Of the outer fibre."""
    rate_m_s: float | None = None
    """Of the crosshead, where the method names that; with neither, it only has to be recorded."""
    rate_tolerance: float = 0.1
    specimens: int | None = None
    """None where the product standard says."""
    source: Mapping[str, str] = field(default_factory=dict)

    @property
    def title(self) -> str:
        """Name and edition."""
        return f"{self.name}:{self.edition}"

    @property
    def conditions(self) -> Method:
        """What can be told of a test without its rate."""
        number = specimens_asked(self.specimens, self.source.get("specimens", ""))
        asked = (*self.sizes, *self.conditioning.conditions, *number)
        return Method(self.name, self.edition, "", asked)


@dataclass(frozen=True, slots=True)
class FlexureTest:
    """How the strips of one test were; None where it was not recorded."""

    beam: Beam
    length_m: float | None = None
    rate_m_s: float | None = None
    """Of the crosshead."""
    conditioned_s: float | None = None
    temperature_k: float | None = None
    humidity: float | None = None
    """As a share, 0.50 for 50 %."""
    specimens: int | None = None


def _length(name: str, what: str, millimetres: tuple[float, float], source: str) -> Condition:
    low, high = (one / 1e3 for one in millimetres)
    return Condition(name, what, "length", "mm", low, high, source)


_STRIP = f"ASTM C578, 12 by 4 by 1 in on a span of 10 in {MEMORY}; {_OURS}"
_C578 = (
    _length("length", "the length", (302.0, math.inf), _STRIP),
    _length("width", "the width", (98.4, 104.8), _STRIP),
    _length("thickness", "the thickness", (23.8, 27.0), _STRIP),
)
_D618 = Conditioning(
    40, (21, 25), (0.45, 0.55), f"ASTM D618, procedure A, 40 h at 23 ± 2 °C and 50 ± 5 % {READ}"
)


def _c203(kind: str, loading: Loading, strain_rate_1_min: float | None) -> FlexureMethod:
    told = f"as the material's specification fixes it {READ}"
    if strain_rate_1_min is not None:
        told = f"a strain of {strain_rate_1_min:g} a minute {READ}; {_OURS}"
    return FlexureMethod(
        name=f"ASTM C203 {kind}",
        edition="05a",
        loading=loading,
        conditioning=_D618,
        sizes=_C578,
        span=(9.4, 10.7),
        strain_rate_1_s=None if strain_rate_1_min is None else strain_rate_1_min / _MINUTE,
        specimens=3,
        source=MappingProxyType({
            "loading": f"ASTM C203-05a (2017), 1.1.1 and 1.1.2 {READ}",
            "rate": f"ASTM C203-05a (2017), 4.3, {told}",
            "span": _STRIP,
            "specimens": f"ASTM C578, three or more {MEMORY}",
            "strength": f"ASTM C203-05a (2017), note 1 {READ}",
        }),
    )  # fmt: skip


_EN = f"EN 12089, method B, cl. 6.1 {READ}"
_EN_12089 = FlexureMethod(
    name="EN 12089 B",
    edition="1997",
    loading=Loading.CENTRE,
    conditioning=Conditioning(6, (18, 28), None, f"EN 12089, 6 h at 23 ± 5 °C {MEMORY}"),
    sizes=(
        _length("width", "the width", (148.5, 151.5), f"{_EN}; {_OURS}"),
        _length("thickness", "the thickness", (-math.inf, 100.0), _EN),
    ),
    span=(4.9, 5.1),
    rate_m_s=10e-3 / _MINUTE,
    source=MappingProxyType({
        "loading": _EN,
        "rate": f"EN 12089, 10 mm a minute {MEMORY}; {_OURS}",
        "span": f"EN 12089, five thicknesses {MEMORY}; {_OURS}",
        "length": f"five thicknesses and 50 mm, {_EN}",
        "strength": f"ASTM C203-05a (2017), note 1 {READ}; what EN 12089 says of it was not read",
    }),
)  # fmt: skip

METHODS: Mapping[str, FlexureMethod] = MappingProxyType({
    one.name: one
    for one in (
        _c203("I-A", Loading.CENTRE, 0.01),
        _c203("I-B", Loading.CENTRE, 0.1),
        _c203("I-D", Loading.CENTRE, None),
        _c203("II-A", Loading.QUARTERS, 0.01),
        _c203("II-B", Loading.QUARTERS, 0.1),
        _c203("II-D", Loading.QUARTERS, None),
        _EN_12089,
    )
})  # fmt: skip
"""The methods by name. Boards of ASTM C578 are bent by I-B. A limit is no part of them."""


def flexure_departures(method: FlexureMethod, test: FlexureTest) -> tuple[Departure, ...]:
    """Compare how a test was done with what its method asks.

    Parameters
    ----------
    method : FlexureMethod
        What is asked.
    test : FlexureTest
        How it was, SI.

    Returns
    -------
    departures : tuple of Departure
        What was otherwise, and what was not recorded; none where all is as asked. They are shown
        with the result and change no number.

    Raises
    ------
    OutOfRange
        If a value is not a finite number.

    Examples
    --------
    A strip of the right size bent at the third points, and too fast:

    >>> strip = Beam(0.254, 0.1016, 0.0254, Loading.THIRDS)
    >>> test = FlexureTest(strip, 0.3048, rate_m_s=0.1, conditioned_s=48 * 3600,
    ...                    temperature_k=296, humidity=0.5, specimens=3)
    >>> [one.code for one in flexure_departures(METHODS["ASTM C203 I-B"], test)]
    ['loading', 'rate']
    """
    beam = test.beam
    was = {
        "length": test.length_m,
        "width": beam.width_m,
        "thickness": beam.depth_m,
        "conditioned": test.conditioned_s,
        "temperature": test.temperature_k,
        "humidity": test.humidity,
        "specimens": test.specimens,
    }
    return (
        *_loading(method, beam),
        *_span(method, beam),
        *_too_short(method, test),
        *_rate(method, test),
        *departures(method.conditions, was),
    )


def _loading(method: FlexureMethod, beam: Beam) -> Iterator[Departure]:
    if beam.loading is not method.loading:
        what = "The load came on at other places."
        asked = f"at the {method.loading.value}"
        source = method.source["loading"]
        yield outside("loading", what, f"at the {beam.loading.value}", asked, source)


def _span(method: FlexureMethod, beam: Beam) -> Iterator[Departure]:
    ratio, (low, high) = beam.span_m / beam.depth_m, method.span
    if not low <= ratio <= high:
        what, asked = "The span does not suit the thickness.", f"{low:g} to {high:g} thicknesses"
        yield outside("span", what, f"{ratio:.3g} thicknesses", asked, method.source["span"])


def _too_short(method: FlexureMethod, test: FlexureTest) -> Iterator[Departure]:
    """Length by thickness, as EN 12089 asks; a length as such is one of the sizes."""
    source = method.source.get("length")
    if source is None:
        return
    least = 5 * test.beam.depth_m + 0.05
    asked = f"{least * 1e3:.0f} mm or more"
    if test.length_m is None:
        yield not_recorded("length", "the length", asked, source)
    elif test.length_m < least * (1 - 1e-3):
        yield outside(
            "length", "The strip is too short.", f"{test.length_m * 1e3:.0f} mm", asked, source
        )


def _rate(method: FlexureMethod, test: FlexureTest) -> Iterator[Departure]:
    source = method.source["rate"]
    wanted = method.rate_m_s
    if method.strain_rate_1_s is not None:
        wanted = loading_rate(method.strain_rate_1_s, test.beam)
    if wanted is not None:
        yield from rate_departures(test.rate_m_s, wanted, method.rate_tolerance, source)
    elif test.rate_m_s is None:
        yield not_recorded("rate", "the rate of the crosshead", "a constant rate", source)
