"""Strength and conductivity of foam against tables, laboratories and remembered lines.

Provisional where the source's text was not read: its test says so.
"""

import numpy as np
import pytest

from beadwright.errors import OutOfRange
from beadwright.science import foam
from beadwright.science.foam.relation import CONDUCTION, RADIATION
from beadwright.standards import cross_checks
from tests.outside.printed import agrees

KPA = 1e3
PSI = 6894.757293168
LOWER, UPPER = foam.AnnexLine.LOWER, foam.AnnexLine.UPPER


def geofoam(characteristic: str) -> tuple[list[float], list[float]]:
    """Least densities and least strengths of the geofoam types, in kg/m³ and kPa."""
    types = ("EPS12", "EPS15", "EPS19", "EPS22", "EPS29", "EPS39")
    rows = [{r.characteristic: r for r in cross_checks("ASTM D6817", "07", t)} for t in types]
    return (
        [float(row["density"].normative.value) for row in rows],
        [float(row[characteristic].normative.value) for row in rows],
    )


def test_the_modulus_of_a_published_line() -> None:
    """[geofoam-article] At 20 kg/m³ the safe line gives 6.0 MPa."""
    assert agrees(float(foam.safe_modulus(20.0)) / 1e6, "6.0")


def test_a_line_through_the_geofoam_minima() -> None:
    """[d6817-columns] 8.7 kPa per kg/m³ through the minima; the prior's slope and level hold it."""
    slope, _ = np.polyfit(*geofoam("compressive_resistance_10_percent"), 1)
    at = np.polyval(np.polyfit(*geofoam("compressive_resistance_10_percent"), 1), 21.6)
    prior = foam.COMPRESSIVE.prior

    assert agrees(slope, "8.7")
    assert abs(slope * KPA - prior.slope) < prior.u_slope
    assert abs(at * KPA - prior.intercept) < prior.u_intercept


def test_a_line_through_the_geofoam_minima_in_bending() -> None:
    """[d6817-columns] Without the lightest type: inside the prior, in slope and in level."""
    density, strength = geofoam("flexural_strength")
    slope, level = np.polyfit(np.array(density[1:]) - 21.6, strength[1:], 1)
    prior = foam.FLEXURAL.prior

    assert abs(slope * KPA - prior.slope) < prior.u_slope
    assert abs(level * KPA - prior.intercept) < prior.u_intercept


def test_form_block_foam_is_expected_to_pass_its_minima() -> None:
    """[c578-columns] At 1.35 lb/ft³ 15 psi and 35 psi are more likely met than not, and not surely.

    The lightest foam of a type stands close to the type's least strength.
    """
    for relation, psi in ((foam.COMPRESSIVE, 15), (foam.FLEXURAL, 35)):
        chance = float(foam.chance_below(foam.fit_relation(relation), 21.6, psi * PSI))
        assert 0.001 < chance < 0.5


def test_strength_by_the_european_annex() -> None:
    """[en-13163-annex] At 20 kg/m³ 119 kPa, at 30 219 kPa. Provisional: from memory."""
    assert foam.annex_compressive([20.0, 30.0]).tolist() == [119e3, 219e3]


def test_conductivity_by_the_european_annex() -> None:
    """[en-13163-annex] Remembered figures of the lower line. Provisional: from memory."""
    found = foam.annex_conductivity([15, 20, 25, 30, 40], LOWER)

    printed = ("0.03766", "0.03503", "0.03355", "0.03265", "0.03172")
    assert all(agrees(float(v), text) for v, text in zip(found, printed, strict=True))


def test_the_least_conductivity_of_the_annex_lies_beyond_its_range() -> None:
    """[en-13163-annex] 0.03131 at 57.9 kg/m³, where the line no longer holds. Provisional."""
    at = (RADIATION / CONDUCTION) ** 0.5

    assert agrees(at, "57.9")
    assert agrees(LOWER.value + CONDUCTION * at + RADIATION / at, "0.03131")
    with pytest.raises(OutOfRange, match=r"57\.9"):
        foam.annex_conductivity(at, LOWER)


def test_the_reference_board() -> None:
    """[srm-1453] 0.03357 at 40 kg/m³ and 297.15 K. Provisional: equation from memory."""
    found = foam.reference_board_conductivity(40.0, 297.15)

    assert agrees(float(found.value), "0.03357")
    for density, temperature in ((22.0, 297.15), (40.0, 330.0)):
        with pytest.raises(OutOfRange, match=r"from (37.4 to 45.8|281 to 313)"):
            foam.reference_board_conductivity(density, temperature)


def test_a_second_recollection_of_the_board_agrees() -> None:
    """[srm-1453] 1.11e-3 - 4.24e-5 rho + 1.15e-4 T agrees to 0.15 %. Provisional: from memory."""
    density, temperature = np.meshgrid([37.4, 45.8], [281.0, 313.0])
    other = 1.11e-3 - 4.24e-5 * density + 1.15e-4 * temperature

    # Half the last digit of 1.15e-4, over 297 K, alone is 0.44 %: this is inside it.
    assert foam.reference_board_conductivity(density, temperature).value == pytest.approx(
        other, rel=0.0015
    )


INTERLABORATORY = [
    [3401, 3433, 3350, 3382, 3390],
    [3369, 3369, 3372, 3368, 3368],
    [3367, 3378, 3377, 3376, 3377],
    [3350, 3380, 3380, 3370, 3360],
    [3387, 3386, 3386, 3389, 3388],
]
"""Conductivity of the board at 297.15 K, 1e-5 W/(m K): five laboratories, five times each."""


def test_five_national_laboratories_measured_the_board() -> None:
    """[guarded-hot-plates] Their mean is inside the equation's uncertainty at both ends.

    So the equation, though from memory, is not far off: 0.3 % at the lightest board.
    """
    mean = float(np.mean(INTERLABORATORY)) * 1e-5
    band = foam.reference_board_conductivity([37.4, 45.8], 297.15)

    assert agrees(mean, "0.033781")
    assert np.all((band.low < mean) & (mean < band.high))
    # Of the equation itself 1.5 % are stated; 0.3 % is what is found, and must not grow.
    assert float(band.value[0]) == pytest.approx(mean, rel=0.0035)


def test_the_board_speaks_for_the_lower_line() -> None:
    """[guarded-hot-plates] At 10 °C it is 0.8 to 2.1 % over the lower line.

    And 3.6 to 4.7 % under the upper. Brought from 24 to 10 °C by the board's own equation; its
    density is taken anywhere in its range. One foam of one maker: evidence that the lower
    constant is the mean, no proof.
    """
    mean = float(np.mean(INTERLABORATORY)) * 1e-5 - 1.165e-4 * 14
    density = [37.4, 45.8]
    over_lower = (mean / foam.annex_conductivity(density, LOWER) - 1) * 100
    over_upper = (mean / foam.annex_conductivity(density, UPPER) - 1) * 100

    assert [round(float(v), 1) for v in over_lower] == [0.8, 2.1]
    assert [round(float(v), 1) for v in over_upper] == [-4.7, -3.6]


def test_a_cryogenic_fit_speaks_for_the_upper_line() -> None:
    """[nist-cryogenic] 0.03385 at 32.04 kg/m³ and 10 °C is 4.5 % over the lower line.

    And 1.2 % under the upper. So the evidence is mixed, and neither line is the default. That
    fit is known to 2 %.
    """
    measured = 0.03385

    assert agrees((measured / float(foam.annex_conductivity(32.04, LOWER)) - 1) * 100, "4.5")
    assert agrees((measured / float(foam.annex_conductivity(32.04, UPPER)) - 1) * 100, "-1.2")


def test_what_is_thought_of_white_foam_holds_both_lines_and_what_was_measured() -> None:
    """[nist-cryogenic] 0.03385 at 10 °C and 0.03574 at 297.04 K are inside the band."""
    for temperature, measured in ((283.15, 0.03385), (297.04, 0.03574)):
        relation = foam.conductivity_relation(foam.Bead.WHITE, temperature)
        band = foam.expected(foam.fit_relation(relation), 32.04)
        assert float(band.low) < measured < float(band.high)
    density = np.linspace(16, 33, 18)
    relation = foam.conductivity_relation(foam.Bead.WHITE, 283.15)
    mean = foam.expected(foam.fit_relation(relation), density, single=False)
    for line in foam.AnnexLine:
        value = foam.annex_conductivity(density, line)
        assert np.all((mean.low < value) & (value < mean.high))


def test_conductivity_of_the_american_minima() -> None:
    """[c578-columns] R 4.0 an inch at 24 °C and 21.6 kg/m³ is inside what is thought."""
    conductivity = 0.0254 / (4.0 / 5.678263)
    relation = foam.conductivity_relation(foam.Bead.WHITE, 297.15)
    band = foam.expected(foam.fit_relation(relation), 21.6)

    assert agrees(conductivity, "0.0361")
    assert float(band.low) < conductivity < float(band.high)
