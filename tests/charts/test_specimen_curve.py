"""A specimen's picture says where its strength, modulus and toe were read, and hides nothing."""

import dataclasses
from typing import cast

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.charts.curves import draw
from beadwright.charts.specimen_curve import specimen_curve
from beadwright.charts.svg import Drawing
from beadwright.lab.compression import Compression, compressed
from beadwright.lab.flexure import Flexure, flexure_of
from beadwright.units import System
from tests.charts.drawn import SVG, overlaps, read, words_of
from tests.lab.curves import Foam, foam_curve
from tests.lab.test_flexure import FOAM as BENT
from tests.lab.test_flexure import STRIP, broken, recorded


def picture(of: Compression | Flexure, system: System = "si") -> Drawing:
    """Draw a specimen."""
    return draw(specimen_curve(of, name="one", title="One specimen", system=system))


def said(drawing: Drawing) -> set[str]:
    """Every text that is drawn."""
    return {one.text for one in words_of(drawing)}


def bent(foam: Foam) -> Flexure:
    """A strip bent to 8 %."""
    return flexure_of(recorded(*foam_curve(foam, end=0.08, bend=0.002)), STRIP)


CASES: dict[str, tuple[Compression | Flexure, set[str]]] = {
    "ten": (compressed(*foam_curve(Foam(), slack=0.012)), {"130 kPa at 10 %", "toe at 1.60 %"}),
    "yield": (compressed(*foam_curve(Foam(rise_pa=-0.3e6))),
              {"yield at 80.0 kPa", "54.8 kPa at 10 %"}),
    "early": (compressed(*foam_curve(Foam(), end=0.06)), {"10 % from the toe", "modulus 5.00 MPa"}),
    "break": (flexure_of(recorded(*broken()), STRIP), {"broke at 248 kPa", "5 % from the toe"}),
    "five": (bent(BENT), {"308 kPa at 5 %", "modulus 10.0 MPa"}),
    "soft": (bent(dataclasses.replace(BENT, rise_pa=-2e6)),
             {"highest 180 kPa", "116 kPa at 5 %"}),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_it_says_where_each_figure_was_read(case: str) -> None:
    """Strength, the point the method asks for, modulus, toe; and nothing lies over another."""
    of, words = CASES[case]
    drawing = picture(of)

    assert words <= said(drawing)
    assert not overlaps(drawing)


def test_in_us_units_it_says_psi() -> None:
    """Axis, stress and modulus."""
    drawing = picture(CASES["yield"][0], "us")

    assert {"Stress, psi", "yield at 11.6 psi", "modulus 725 psi"} <= said(drawing)
    assert "11.6 psi" in drawing.words


def test_the_strength_s_disc_lies_where_its_figures_say() -> None:
    """The one full disc is the strength; toe and straight part are rings."""
    of = CASES["ten"][0]
    spec = specimen_curve(of, name="one", title="One")
    (full,) = (one for one in spec.points if one.full)

    assert (full.x, full.y) == pytest.approx((11.6, 130.4), abs=0.1)
    discs = list(read(draw(spec)).iter(f"{SVG}circle"))
    assert len(discs) == 4
    x, y = spec.at(full.x, full.y)
    assert any(
        float(one.get("cx", "0")) == pytest.approx(x, abs=0.01)
        and float(one.get("cy", "0")) == pytest.approx(y, abs=0.01)
        for one in discs
    )


def test_the_modulus_line_is_the_construction_s() -> None:
    """From the toe at no stress, with the slope of the modulus."""
    of = CASES["ten"][0]
    line, _ = specimen_curve(of, name="one", title="One").curves
    slope = (line.y[1] - line.y[0]) / (line.x[1] - line.x[0])

    assert line.x[0] == pytest.approx(100 * of.toe)
    assert line.y[0] == 0.0
    assert slope * 1e3 * 100 == pytest.approx(of.modulus_pa)


def test_a_record_without_strength_says_so() -> None:
    """No full disc, and the words say why."""
    spec = specimen_curve(CASES["early"][0], name="one", title="One")

    assert not any(one.full for one in spec.points)
    assert spec.words.endswith("The record ends before 10 % strain: there is no strength.")


def test_a_load_at_the_first_row_is_shown() -> None:
    """The toe then lies before the record, and the picture begins there."""
    strain, stress = foam_curve(Foam())
    of = compressed(strain[60:], stress[60:] + 5e3)
    spec = specimen_curve(of, name="one", title="One")

    assert spec.x.low < 100 * of.toe < 0
    assert "toe at -0.71 %, begins at 35.3 kPa" in said(draw(spec))
    assert not overlaps(draw(spec))


def test_thinning_for_print_loses_no_peak() -> None:
    """Of each stretch its highest and lowest row stay."""
    strain, stress = foam_curve(Foam(), rows=20_000)
    stress[9_000] = 170e3
    curve = specimen_curve(compressed(strain, stress), name="one", title="One").curves[1]

    assert len(curve.x) < 700
    assert max(curve.y) == 170.0


@given(
    slack=st.floats(0, 0.05), modulus=st.floats(2e6, 20e6), limit=st.floats(0.3, 0.95),
    rise=st.floats(-0.6, 0.6), system=st.sampled_from(["si", "us"]), end=st.floats(0.05, 0.2),
)  # fmt: skip
def test_words_stand_apart_and_inside(  # noqa: PLR0913, PLR0917 - drawn
    slack: float, modulus: float, limit: float, rise: float, system: str, end: float
) -> None:
    """Whatever foam it is, every text can be read."""
    strength = 0.02 * modulus
    foam = Foam(modulus, limit * strength, rise * strength / 0.1)
    drawing = picture(compressed(*foam_curve(foam, slack=slack, end=end)), cast("System", system))

    assert not overlaps(drawing)
    for one in words_of(drawing):
        assert one.left >= -0.5, one
        assert one.right <= drawing.width + 0.5, one
    assert np.isfinite(drawing.height)
