"""Strips in bending: figures of the standards and of the trade."""

import pytest

from beadwright.lab.beam import Beam, Loading, bending_force, bending_strain, bending_stress
from tests.outside.printed import agrees

INCH, LBF = 0.0254, 4.4482216152605
PSI = LBF / INCH**2


def test_a_strip_at_its_limit_by_both_methods() -> None:
    """[c203-methods] 9.333 lbf on 4 by 1 by 10 in: 35.0 psi at the centre, 17.5 at the quarters."""
    centre = Beam(10 * INCH, 4 * INCH, 1 * INCH)
    quarters = Beam(10 * INCH, 4 * INCH, 1 * INCH, Loading.QUARTERS)

    assert agrees(float(bending_stress(9.333 * LBF, centre)) / PSI, "35.0")
    assert agrees(float(bending_stress(9.333 * LBF, quarters)) / PSI, "17.5")


@pytest.mark.parametrize(
    ("loading", "printed"),
    [(Loading.CENTRE, "6"), (Loading.QUARTERS, "4.36")],
)
def test_strain_by_deflection_at_mid_span(loading: Loading, printed: str) -> None:
    """[c203-methods] Strain is so many times deflection by depth over the span's square."""
    beam = Beam(10 * INCH, 4 * INCH, 1 * INCH, loading)
    factor = float(bending_strain(INCH, beam)) * beam.span_m**2 / (INCH * beam.depth_m)

    assert agrees(factor, printed)


def test_a_european_strip_at_its_level() -> None:
    """[en-12089-strip] 150 N on 150 by 50 mm over 250 mm is 150.0 kPa, the level BS150."""
    assert agrees(float(bending_stress(150, Beam(0.25, 0.15, 0.05))) / 1e3, "150.0")


def test_a_proof_load_of_the_trade() -> None:
    """[trade-proof-load] 3 in wide and 1 in thick on 10 in, 7 lb is exactly 35 psi."""
    strip = Beam(10 * INCH, 3 * INCH, 1 * INCH)

    assert float(bending_force(35 * PSI, strip)) == pytest.approx(7 * LBF, rel=1e-12)
