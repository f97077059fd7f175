"""Fusion from counts: the interval is the binomial's, and wider where fields disagree."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, chi2_contingency, norm, t

from beadwright.errors import OutOfRange
from beadwright.lab.fusion import Field, fusion_of


@given(beads=st.integers(1, 400), data=st.data())
def test_of_one_field_the_interval_is_the_exact_binomial_one(
    beads: int, data: st.DataObject
) -> None:
    """As scipy's binomtest has it."""
    broken = data.draw(st.integers(0, beads))
    found = fusion_of([Field(broken, beads)])
    exact = binomtest(broken, beads).proportion_ci(method="exact")

    assert (found.lower, found.upper) == pytest.approx((exact.low, exact.high), abs=1e-9)
    assert found.share == broken / beads
    assert [one.code for one in found.departures] == (["few_beads"] if beads < 50 else [])


def test_fields_that_agree_are_one() -> None:
    """Three fields are as good as one of all their beads."""
    apart = fusion_of([Field(42, 50), Field(40, 50), Field(44, 51)])
    whole = fusion_of([Field(126, 151)])

    assert (apart.lower, apart.upper, apart.spread) == (whole.lower, whole.upper, 1.0)
    assert apart.departures == ()


def test_fields_that_differ_widen_the_interval_and_are_told() -> None:
    """A cold corner: by the root of chi square by its freedom, and Student's factor."""
    fields = [Field(48, 50), Field(47, 50), Field(25, 50)]
    found = fusion_of(fields)
    table = [[one.broken_through, one.beads - one.broken_through] for one in fields]
    chi_square = chi2_contingency(table, correction=False).statistic
    whole = fusion_of([Field(120, 150)])

    assert found.spread == pytest.approx(
        np.sqrt(chi_square / 2) * t.ppf(0.975, 2) / norm.ppf(0.975)
    )
    assert found.share - found.lower == pytest.approx(found.spread * (0.8 - whole.lower))
    (told,) = found.departures
    assert (told.code, told.value[:10]) == ("fields_differ", "50% to 96%")


@pytest.mark.parametrize("share", [0.6, 0.9])
@pytest.mark.parametrize("uneven", [False, True])
def test_the_interval_holds_the_truth_as_often_as_it_says(share: float, *, uneven: bool) -> None:
    """Five fields of 40; where fusion is very uneven, somewhat less often, as its notes say."""
    rng, held = np.random.default_rng(9), 0
    for _ in range(400):
        own = rng.beta(share * 8, (1 - share) * 8, 5) if uneven else np.full(5, share)
        found = fusion_of([Field(int(rng.binomial(40, one)), 40) for one in own])
        held += found.lower <= share <= found.upper

    assert held / 400 > (0.80 if uneven else 0.93)


def test_what_cannot_be_is_refused() -> None:
    """No field; more broken than there were."""
    with pytest.raises(OutOfRange, match="fields"):
        fusion_of([])
    with pytest.raises(OutOfRange, match="count"):
        fusion_of([Field(5, 4)])
