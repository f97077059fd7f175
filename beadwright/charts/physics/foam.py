"""Strength against density: the literature, and what a plant's tests in a narrow range add.

Read :func:`picture`.
"""

from __future__ import annotations

import numpy as np

from beadwright.charts.curves import Axis, Curve, Curves, Label, Point, Stretch
from beadwright.science import foam

__all__ = ["TESTS", "picture"]

TESTS: tuple[tuple[float, float], ...] = (
    (22.1, 121), (22.3, 128), (22.4, 118), (22.6, 127), (22.7, 124), (22.8, 131), (22.9, 122),
    (23.0, 129), (23.1, 126), (23.3, 133), (23.4, 125), (23.6, 132),
)  # fmt: skip
"""Invented tests of one plant: dry foam density in kg/m³, compressive strength in kPa."""

_LOW, _HIGH = 14.0, 35.0


def picture() -> Curves:
    """Give what is expected of the mean before and after the tests, each with its band."""
    relation = foam.COMPRESSIVE
    seen, kilopascals = (np.array(row, float) for row in zip(*TESTS, strict=True))
    fitted = foam.fit_relation(relation, foam.FoamTests(seen, kilopascals * 1e3))
    density = np.linspace(relation.low_kg_m3, relation.high_kg_m3, 86)
    before, after = (
        foam.expected(one, density, single=False) for one in (foam.fit_relation(relation), fitted)
    )
    inside, light = (_half(fitted, at) for at in (23.0, relation.low_kg_m3))
    words = (
        f"Compressive strength at 10 % against dry foam density, the mean of many specimens. The "
        f"literature's line has a wide band. Twelve invented tests between {seen.min():.1f} and "
        f"{seen.max():.1f} kg/m³ narrow it there to ± {inside:.0f} kPa; at "
        f"{relation.low_kg_m3:.0f} kg/m³ it is still ± {light:.0f} kPa, for they cannot give the "
        f"slope. Below {relation.low_kg_m3:.0f} and above {relation.high_kg_m3:.0f} kg/m³ there "
        f"is no answer."
    )
    return Curves(
        name="physics-foam",
        title="Strength against density, before and after a plant's tests",
        words=words,
        x=Axis("Dry foam density, kg/m³", _LOW, _HIGH),
        y=Axis("Compressive strength at 10 %, kPa", 0, 300),
        curves=(
            Curve.of(density, before.value / 1e3, tone="scrap", dashes="8 4",
                     low=before.low / 1e3, high=before.high / 1e3,
                     label=Label("the literature", 27.2, 198, "end")),
            Curve.of(density, after.value / 1e3, tone="block",
                     low=after.low / 1e3, high=after.high / 1e3,
                     label=Label("after the plant's tests", 24.5, 118)),
        ),
        points=tuple(Point(x, y, full=False) for x, y in TESTS),
        stretches=(
            Stretch(_LOW, relation.low_kg_m3, hatched=True),
            Stretch(relation.high_kg_m3, _HIGH, hatched=True,
                    label=Label("no answer", _HIGH - 0.1, 20, "end")),
        ),
    )  # fmt: skip


def _half(fitted: foam.Fitted, density_kg_m3: float) -> float:
    """Give half of the band's width at a density, in kPa."""
    band = foam.expected(fitted, density_kg_m3, single=False)
    return float(band.high - band.low) / 2e3
