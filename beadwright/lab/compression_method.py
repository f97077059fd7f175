"""What a compression method asks of specimen, rate, conditioning and number; and what was not so.

Read first: :data:`METHODS`, then :func:`compression_departures`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from beadwright.errors import require_at_least
from beadwright.lab.asked import MEMORY, READ, Method, departures
from beadwright.lab.conditioning import Conditioning, rate_departures, specimens_asked
from beadwright.lab.departure import Departure, outside

__all__ = ["METHODS", "CompressionMethod", "CompressionTest", "compression_departures"]


@dataclass(frozen=True, slots=True)
class CompressionMethod:
    """What one method asks, SI; ``source`` says for each figure how it was read."""

    name: str
    edition: str
    area_m2: tuple[float, float]
    least_height_m: float
    not_higher_than_wide: bool
    rate_per_height_1_s: float
    rate_tolerance: float
    """Of the rate, as a share."""
    conditioning: Conditioning
    specimens: int | None
    """None where the product standard says."""
    source: Mapping[str, str]

    @property
    def title(self) -> str:
        """Name and edition."""
        return f"{self.name}:{self.edition}"

    @property
    def conditions(self) -> Method:
        """What can be told of a test without its size and rate."""
        number = specimens_asked(self.specimens, self.source.get("specimens", ""))
        return Method(self.name, self.edition, "", (*self.conditioning.conditions, *number))


@dataclass(frozen=True, slots=True)
class CompressionTest:
    """How the specimens of one test were; None where it was not recorded."""

    height_m: float
    length_m: float
    width_m: float
    rate_m_s: float | None = None
    conditioned_s: float | None = None
    temperature_k: float | None = None
    humidity: float | None = None
    """As a share, 0.50 for 50 %."""
    specimens: int | None = None


_D1621 = CompressionMethod(
    name="ASTM D1621",
    edition="16",
    area_m2=(25.8e-4, 232e-4),
    least_height_m=25.4e-3,
    not_higher_than_wide=True,
    rate_per_height_1_s=2.5e-3 / 25.4e-3 / 60,
    rate_tolerance=0.1,
    conditioning=Conditioning(
        40, (21, 25), (0.45, 0.55), f"ASTM D1621-16, 40 h at 23 ± 2 °C and 50 ± 5 % {READ}"
    ),
    specimens=5,
    source=MappingProxyType({
        "size": f"ASTM D1621-16 {READ}",
        "rate": f"ASTM D1621-16, 2.5 ± 0.25 mm/min for each 25.4 mm, garbled in print {READ}",
        "specimens": f"ASTM D1621-16 {READ}",
        "strength": f"ASTM D1621-16, at yield or at 10 %, loaded on to some 13 % {READ}; the toe"
                    f" taken off {MEMORY}",
    }),
)  # fmt: skip

_EN_826 = CompressionMethod(
    name="EN 826",
    edition="1996",
    area_m2=(0.050**2, 0.300**2),
    least_height_m=0.0,
    not_higher_than_wide=False,
    rate_per_height_1_s=0.1 / 60,
    rate_tolerance=0.25,
    conditioning=Conditioning(6, (18, 28), None, f"EN 826:1996, 6 h at 23 ± 5 °C {MEMORY}"),
    specimens=None,
    source=MappingProxyType({
        "size": f"EN 826:1996, squares of 50 to 300 mm {MEMORY}",
        "rate": f"EN 826:1996, 0.1 of the thickness a minute ± 25 % {MEMORY}",
        "strength": f"EN 826:1996, 8.1.2 {READ}",
    }),
)  # fmt: skip

METHODS: Mapping[str, CompressionMethod] = MappingProxyType(
    {method.name: method for method in (_D1621, _EN_826)}
)
"""The methods by name. A limit that decides a release is no part of them."""


def compression_departures(
    method: CompressionMethod, test: CompressionTest
) -> tuple[Departure, ...]:
    """Compare how a test was done with what its method asks.

    Parameters
    ----------
    method : CompressionMethod
        What is asked.
    test : CompressionTest
        How it was, SI.

    Returns
    -------
    departures : tuple of Departure
        What was otherwise, and what was not recorded; none where all is as asked. They are shown
        with the result and change no number.

    Raises
    ------
    OutOfRange
        If a dimension is not above 0.

    Examples
    --------
    >>> test = CompressionTest(0.0254, 0.1, 0.1, rate_m_s=10e-3 / 60, conditioned_s=48 * 3600,
    ...                        temperature_k=296, humidity=0.5, specimens=5)
    >>> [one.code for one in compression_departures(METHODS["ASTM D1621"], test)]
    ['rate']
    """
    require_at_least(
        0, strict=True, height_m=test.height_m, length_m=test.length_m, width_m=test.width_m
    )
    return (
        *_size(method, test),
        *rate_departures(
            test.rate_m_s,
            method.rate_per_height_1_s * test.height_m,
            method.rate_tolerance,
            method.source["rate"],
        ),
        *departures(
            method.conditions,
            {
                "conditioned": test.conditioned_s,
                "temperature": test.temperature_k,
                "humidity": test.humidity,
                "specimens": test.specimens,
            },
        ),
    )


def _size(method: CompressionMethod, test: CompressionTest) -> Iterator[Departure]:
    source = method.source["size"]
    area, (low, high) = test.length_m * test.width_m, method.area_m2
    if not low * (1 - 1e-3) <= area <= high * (1 + 1e-3):
        asked = f"{low * 1e4:.1f} to {high * 1e4:.1f} cm²"
        what = "The loaded area is not as asked."
        yield outside("area", what, f"{area * 1e4:.1f} cm²", asked, source)
    if test.height_m < method.least_height_m * (1 - 1e-3):
        asked = f"at least {method.least_height_m * 1e3:.1f} mm"
        what = "The specimen is too low."
        yield outside("height", what, f"{test.height_m * 1e3:.1f} mm", asked, source)
    least = min(test.length_m, test.width_m)
    if method.not_higher_than_wide and test.height_m > least * (1 + 1e-3):
        sizes = f"{test.height_m * 1e3:.1f} mm on {least * 1e3:.1f} mm"
        what = "The specimen is higher than wide."
        yield outside("slender", what, sizes, "height up to width", source)
