"""Tests and literature are weighed as Bayes says, and a slope nobody can know is told as such."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.science import foam
from beadwright.science.foam.line import LinePrior, chance_below_on, fit_line, moments_on

PRIOR = LinePrior(132.0, 12.0, 9.5, 1.5, 8.0)
WHITE = foam.conductivity_relation(foam.Bead.WHITE, 283.15)
GREY = foam.conductivity_relation(foam.Bead.GREY, 283.15)
ALL = [foam.COMPRESSIVE, foam.FLEXURAL, WHITE, GREY]
by_name = pytest.mark.parametrize(
    "relation", ALL, ids=lambda r: r.name + (f" {r.bead.value}" if r.bead else "")
)


def test_a_brute_grid_gives_the_same_posterior() -> None:
    """Intercept, slope and noise summed on a fine grid: the same mean, spread and chance."""
    x = np.array([-0.8, -0.1, 0.4, 0.9, 1.1])
    y = np.array([118.0, 127.0, 121.0, 139.0, 130.0])
    line = fit_line(PRIOR, x, y)
    a = np.linspace(90, 165, 151)[:, None, None]
    b = np.linspace(1.0, 18.0, 121)[None, :, None]
    s = 8.0 * np.exp(0.4 * np.linspace(-4, 4, 81))[None, None, :]
    log = -((a - 132) ** 2) / 288 - (b - 9.5) ** 2 / 4.5 - (np.log(s / 8) / 0.4) ** 2 / 2
    for one, other in zip(x, y, strict=True):
        log = log - np.log(s) - (other - a - b * one) ** 2 / (2 * s**2)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    mean = float((weight * a).sum()), float((weight * b).sum())
    apart = a - mean[0], b - mean[1]

    assert line.mean == pytest.approx(mean, rel=1e-5)
    for i in (0, 1):
        for j in (0, 1):
            product = float((weight * apart[i] * apart[j]).sum())
            assert line.covariance[i, j] == pytest.approx(product, rel=1e-3, abs=1e-3)
    rng = np.random.default_rng(5)
    flat = rng.choice(weight.size, 400_000, p=weight.ravel())
    at_a, at_b, at_s = np.unravel_index(flat, weight.shape)
    drawn = a[at_a, 0, 0] + b[0, at_b, 0] * 0.5 + s[0, 0, at_s] * rng.standard_normal(len(flat))
    assert float(chance_below_on(line, 0.5, 120.0)) == pytest.approx(
        float((drawn < 120).mean()), abs=0.004
    )
    assert float(moments_on(line, 0.5)[1]) == pytest.approx(float(drawn.std()), rel=0.01)


def test_no_test_gives_the_literature_back() -> None:
    """Without data the posterior is the prior."""
    line = fit_line(PRIOR, [], [])

    assert line.mean.tolist() == pytest.approx([132.0, 9.5])
    assert line.covariance == pytest.approx(np.diag([144.0, 2.25]))


def test_uncertainty_along_the_line_is_that_of_its_covariance() -> None:
    """At x the mean of many varies as (1, x) C (1, x); an unknown x adds its share of the slope."""
    line = fit_line(PRIOR, [0.2, 0.9, 1.8], [130.0, 141.0, 139.0])
    for x in (-3.0, 0.0, 2.5):
        row = np.array([1.0, x])
        assert float(moments_on(line, x, single=False)[1]) ** 2 == pytest.approx(
            float(row @ line.covariance @ row)
        )
    thought = fit_line(PRIOR, [], [])
    variance = 12.0**2 + 1.5**2 * 2**2 + (9.5**2 + 1.5**2) * 0.7**2
    assert float(moments_on(thought, 2.0, u_x=0.7, single=False)[1]) == pytest.approx(variance**0.5)


@given(st.lists(st.tuples(st.floats(-3, 3), st.floats(80, 180)), min_size=1, max_size=20))
def test_tests_never_make_the_slope_less_known_at_a_noise(
    points: list[tuple[float, float]],
) -> None:
    """At each noise of the grid the covariance shrinks; the weights are those of a distribution."""
    x, y = zip(*points, strict=True)
    line = fit_line(PRIOR, x, y)

    assert line.covariances[:, 1, 1].max() <= 2.25 * (1 + 1e-9)
    assert line.covariances[:, 0, 0].max() <= 144 * (1 + 1e-9)
    assert line.weights.sum() == pytest.approx(1)
    assert np.all(line.weights >= 0)


def test_many_tests_find_the_plants_own_line() -> None:
    """With 2000 tests over a wide range line and noise are the plant's, whatever was thought."""
    rng = np.random.default_rng(2)
    x = rng.uniform(-5, 5, 2000)
    line = fit_line(PRIOR, x, 120 + 8.2 * x + 11 * rng.standard_normal(2000))

    assert line.mean == pytest.approx([120, 8.2], abs=4 * 11 / np.sqrt(2000))
    assert line.noise == pytest.approx(11, rel=0.07)


def plants(n: int, spread: float, u: float, seed: int = 9) -> foam.FoamTests:
    """Tests of a plant whose truth is 124 kPa at 21.6 kg/m³ and 9 kPa per kg/m³."""
    rng = np.random.default_rng(seed)
    density = 21.6 + spread * rng.standard_normal(n)
    value = 124e3 + 9e3 * (density - 21.6) + 8e3 * rng.standard_normal(n)
    return foam.FoamTests(density + u * rng.standard_normal(n), value, u)


def test_a_narrow_range_gives_the_level_and_says_it_cannot_give_the_slope() -> None:
    """30 tests spread by 0.6 kg/m³: level to 1.5 kPa, slope as it was thought, and said so."""
    fitted = foam.fit_relation(foam.COMPRESSIVE, plants(30, 0.6, 0.2))
    level = foam.expected(fitted, 21.6, single=False)

    assert float(level.high - level.low) / 4 == pytest.approx(1.5e3, rel=0.2)
    assert fitted.slope_ratio > 0.8
    assert fitted.u_slope_alone > 2e3
    assert "30 tests" in fitted.slope_unknown
    assert fitted.attenuation == pytest.approx(0.9, abs=0.05)


def test_the_trial_it_asks_for_gives_the_slope() -> None:
    """Spread a fifth farther than was asked for, the tests give the slope; a fifth less, not."""
    side = np.tile([-1.0, 1.0], 15)
    noise = 8e3 * np.random.default_rng(4).standard_normal(30)

    def trial(spread: float) -> foam.Fitted:
        value = 124e3 + 9e3 * spread * side + noise
        return foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests(21.6 + spread * side, value))

    asked = float(trial(0.6).slope_unknown.split("spread by")[2].split()[0])
    assert not trial(1.2 * asked).slope_unknown
    assert trial(0.8 * asked).slope_unknown


def test_errors_in_density_do_not_flatten_the_slope() -> None:
    """With density errors as large as its spread a naive slope is halved; here it is not."""
    tests = plants(4000, 2.0, 2.0)
    density = np.clip(np.asarray(tests.density_kg_m3), 16.01, 32.99)
    naive = foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests(density, tests.value))
    told = foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests(density, tests.value, 2.0))

    assert naive.line.mean[1] < 5.5e3
    assert told.line.mean[1] == pytest.approx(9e3, rel=0.1)
    assert told.attenuation == pytest.approx(0.5, abs=0.05)


def test_density_that_is_all_error_says_nothing_of_the_slope() -> None:
    """Where the spread of densities is no more than their error, the slope stays as thought."""
    tests = foam.FoamTests([21.5, 21.6, 21.7], [120e3, 124e3, 128e3], 0.3)
    fitted = foam.fit_relation(foam.COMPRESSIVE, tests)

    assert fitted.attenuation == 0.0
    assert fitted.slope_ratio == pytest.approx(1.0)


def test_one_test_is_weighed_too() -> None:
    """A single specimen moves the level and leaves the slope."""
    fitted = foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests([21.6], [110e3]))

    assert 110e3 < fitted.line.mean[0] < 120e3
    assert fitted.slope_ratio == pytest.approx(1.0)
    assert fitted.u_slope_alone == np.inf
    assert fitted.slope_unknown


@by_name
def test_an_uncertain_density_widens_the_band_and_never_moves_it(relation: foam.Relation) -> None:
    """The band grows with the density's uncertainty; the chance of failing moves towards half."""
    fitted = foam.fit_relation(relation)
    sure = foam.expected(fitted, [18.0, 21.6, 28.0])
    unsure = foam.expected(fitted, [18.0, 21.6, 28.0], u_density_kg_m3=1.0)

    assert unsure.value.tolist() == sure.value.tolist()
    assert np.all(unsure.low < sure.low)
    assert np.all(sure.high < unsure.high)
    limit = float(sure.low[1])
    assert float(foam.chance_below(fitted, 21.6, limit, u_density_kg_m3=1.0)) > float(
        foam.chance_below(fitted, 21.6, limit)
    )


@by_name
def test_strength_rises_and_conductivity_falls_with_density(relation: foam.Relation) -> None:
    """In the range of form blocks more polymer is stronger and lets less radiation through."""
    value = foam.expected(foam.fit_relation(relation), np.linspace(16, 33, 50)).value
    rises = np.diff(value) > 0

    assert np.all(rises) if relation.unit == "Pa" else not np.any(rises)


@by_name
def test_beyond_its_range_a_relation_is_silent(relation: foam.Relation) -> None:
    """A density outside names itself, its place and the range; in a test as in a question."""
    fitted = foam.fit_relation(relation)
    for density in (15.9, 33.1, -5.0, float("nan"), 1051.0):
        with pytest.raises(OutOfRange, match=r"density_kg_m3\[1\] is .*from 16 to 33"):
            foam.expected(fitted, [21.6, density])
        with pytest.raises(OutOfRange, match=r"density_kg_m3\[0\]"):
            foam.fit_relation(relation, foam.FoamTests([density], [1.0], bead=relation.bead))


def test_grey_foam_never_sees_the_white_formula() -> None:
    """White tests do not fit the grey relation, nor the reverse, nor tests without a bead."""
    for relation, bead in ((GREY, foam.Bead.WHITE), (WHITE, foam.Bead.GREY), (WHITE, None)):
        with pytest.raises(OutOfRange, match="bead is"):
            foam.fit_relation(relation, foam.FoamTests([21.6], [0.034], bead=bead))
    assert GREY.shape != WHITE.shape
    grey, white = (foam.expected(foam.fit_relation(r), 21.6) for r in (GREY, WHITE))
    assert float(grey.value) < float(white.value) - 0.003


def test_an_uncertain_density_counts_by_the_slope_there() -> None:
    """White foam's band at 18 kg/m³ widens by what density errors of 0.2 kg/m³ do to the annex."""
    fitted = foam.fit_relation(WHITE)
    ends = foam.annex_conductivity([17.9, 18.1], foam.AnnexLine.LOWER)
    slope = float(ends[0] - ends[1]) / 0.2
    sure, unsure = (foam.expected(fitted, 18.0, u_density_kg_m3=u) for u in (0.0, 0.2))
    variances = [(float(band.high - band.low) / 4) ** 2 for band in (sure, unsure)]

    # The slope's own uncertainty of a quarter adds a sixteenth.
    assert variances[1] - variances[0] == pytest.approx((slope * 0.2) ** 2 * 17 / 16, rel=1e-3)


@pytest.mark.parametrize("bead", list(foam.Bead))
@given(temperature=st.floats(273.2, 318.1))
def test_warmer_foam_conducts_more(bead: foam.Bead, temperature: float) -> None:
    """By 0.16 mW for each kelvin, known to 0.0225: level and uncertainty move with it."""
    relation = foam.conductivity_relation(bead, temperature)
    written = foam.conductivity_relation(bead, 283.15)
    warmer = temperature - 283.15

    assert relation.prior.intercept - written.prior.intercept == pytest.approx(1.6e-4 * warmer)
    assert relation.prior.u_intercept == pytest.approx(
        np.hypot(written.prior.u_intercept, 2.25e-5 * warmer)
    )


BAD: list[tuple[Callable[[], object], str]] = [
    (lambda: fit_line(PRIOR, [1.0], [1.0, 2.0]), r"y is of shape \(2,\)"),
    (lambda: fit_line(PRIOR, [1.0, np.nan], [1.0, 2.0]), r"x\[1\] is nan"),
    (lambda: fit_line(LinePrior(1, 0, 1, 1, 1), [1.0], [1.0]), "u_intercept is 0"),
    (lambda: moments_on(fit_line(PRIOR, [], []), np.inf), "x is inf"),
    (lambda: moments_on(fit_line(PRIOR, [], []), 0.0, u_x=-1.0), "u_x is -1"),
    (lambda: chance_below_on(fit_line(PRIOR, [], []), 0.0, np.nan), "limit is nan"),
    (
        lambda: foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests([21.6], [-1.0])),
        r"value\[0\] is -1",
    ),
    (
        lambda: foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests([21.6], [1.0, 2.0])),
        r"value is of shape \(2,\)",
    ),
    (
        lambda: foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests([], [])),
        "density_kg_m3 is empty",
    ),
    (
        lambda: foam.fit_relation(foam.COMPRESSIVE, foam.FoamTests([21.6], [1.0], -0.1)),
        "u_density_kg_m3 is -0.1",
    ),
    (
        lambda: foam.chance_below(foam.fit_relation(foam.FLEXURAL), 40.0, 1.0),
        "density_kg_m3 is 40",
    ),
    (lambda: foam.conductivity_relation(foam.Bead.WHITE, 200.0), "mean_temperature_k is 200"),
    (lambda: foam.conductivity_relation(foam.Bead.GREY, np.nan), "mean_temperature_k is nan"),
    (lambda: foam.annex_compressive([20.0, 5.0]), r"density_kg_m3\[1\] is 5"),
    (lambda: foam.annex_conductivity(60.0, foam.AnnexLine.LOWER), "density_kg_m3 is 60"),
    (lambda: foam.safe_modulus([]), "density_kg_m3 is empty"),
    (lambda: foam.reference_board_conductivity(22.0, 297.15), "density_kg_m3 is 22.0"),
    (lambda: foam.reference_board_conductivity(40.0, [297.15, 330.0]), r"_k\[1\] is 330.0"),
]


@pytest.mark.parametrize(("call", "said"), BAD, ids=[said for _, said in BAD])
def test_what_cannot_be_is_refused_by_name(call: Callable[[], object], said: str) -> None:
    """The message names the argument, the first bad value and where it stands."""
    with pytest.raises(OutOfRange, match=said):
        call()


def test_the_reference_board_s_band_is_its_uncertainty_either_way() -> None:
    """1.5 % as the board is described, below and above alike."""
    found = foam.reference_board_conductivity(40.0, [285.0, 297.15, 310.0])

    assert (found.low / found.value).tolist() == pytest.approx([0.985] * 3)
    assert (found.high / found.value).tolist() == pytest.approx([1.015] * 3)
