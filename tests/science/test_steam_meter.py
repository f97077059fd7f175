"""The rest of the steam by meter: true where the log can tell, silent where it cannot."""

import numpy as np
import pytest
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.science.moulding import SteamLog, expected_steam, fit_meter

TRUTH = np.array([0.35, 0.4, 0.02, 0.003])  # leak, per shot, per purge second, per standby second
Columns = tuple[NDArray[np.float64], ...]


def periods(random: np.random.Generator, number: int = 40) -> Columns:
    """Heat balance, shots, purge and standby of shifts that differ."""
    shots = random.integers(0, 120, number).astype(float)
    least = shots * random.uniform(2.5, 5.5, number)  # several tools
    return least, shots, shots * random.uniform(2, 20, number), random.uniform(0, 7200, number)


def metered(random: np.random.Generator, columns: Columns, spread: float = 6.0) -> SteamLog:
    """The log of such shifts, with a meter that scatters."""
    seen = columns[0] + np.array(columns).T @ TRUTH + spread * random.standard_normal(40)
    return SteamLog(np.maximum(seen, 0), *columns)


def test_the_fit_finds_what_was_planted() -> None:
    """Over 200 logs each coefficient's 95 % band holds its truth in about 95."""
    random = np.random.default_rng(11)
    held = np.zeros(4)
    for _ in range(200):
        fit = fit_meter(metered(random, periods(random)))
        assert fit.refused == ()
        assert not fit.below
        for index, each in enumerate(fit.parameters):
            assert each.value is not None
            assert each.u is not None
            held[index] += abs(each.value - TRUTH[index]) < 2.028 * each.u

    assert np.all(held / 200 > 0.90), held


def test_no_cause_gives_steam_back() -> None:
    """Where purging truly takes nothing, its coefficient is 0 or small, never negative."""
    random = np.random.default_rng(5)
    for _ in range(50):
        columns = periods(random)
        seen = columns[0] * 1.2 + 6 * random.standard_normal(40)
        fit = fit_meter(SteamLog(np.maximum(seen, 0), *columns))
        assert np.all(fit.coefficients >= 0)


def test_what_goes_together_is_not_told_apart() -> None:
    """One tool: heat balance and shots are one column twice; both are refused, by name."""
    random = np.random.default_rng(3)
    _, shots, purge, idle = periods(random)
    fit = fit_meter(metered(random, (4.0 * shots, shots, purge, idle)))
    why = {each.symbol: each.why for each in fit.refused}

    assert set(why) == {"leak", "per shot"}
    assert "went up and down with number of shots" in why["leak"]
    assert "share of the heat balance" in why["per shot"]


def test_what_never_happened_is_not_told() -> None:
    """No standby in the log: its coefficient is refused, the others stay."""
    random = np.random.default_rng(4)
    least, shots, purge, _ = periods(random)
    fit = fit_meter(metered(random, (least, shots, purge, np.zeros(40))))

    assert [(e.symbol, e.why) for e in fit.refused] == [
        ("per standby second", "there is no standby time in this log")
    ]


@pytest.mark.parametrize("tools", [1, 2])
def test_the_sum_is_told_even_where_its_parts_are_not(tools: int) -> None:
    """Expected steam of a usual shift is in its band, with one tool and with several."""
    random = np.random.default_rng(8)
    held = 0
    for _ in range(150):
        least, shots, purge, idle = periods(random)
        columns = (4.0 * shots if tools == 1 else least, shots, purge, idle)
        fit = fit_meter(metered(random, columns))
        ask = SteamLog(0.0, 240.0, 60.0, 600.0, 1800.0)
        truth = 240 + TRUTH @ [240, 60, 600, 1800]
        band = expected_steam(fit, ask)
        held += bool(band.low[0] <= truth <= band.high[0])

    assert 0.90 < held / 150 < 0.99


def test_a_meter_below_the_balance_is_said() -> None:
    """A meter that reads half of the heat balance: one of the two is wrong, and it is said."""
    random = np.random.default_rng(2)
    columns = periods(random)
    fit = fit_meter(SteamLog(0.5 * columns[0], *columns))

    assert fit.below
    assert expected_steam(fit, SteamLog(0.0, 100.0, 25.0, 0.0, 0.0)).low[0] >= 100.0


@pytest.mark.parametrize("name", ["metered_kg", "least_kg", "shots", "purge_s", "standby_s"])
@pytest.mark.parametrize("bad", [-1.0, float("nan"), float("inf")])
def test_a_bad_number_of_the_log_is_named(name: str, bad: float) -> None:
    """In the fit and in the question."""
    good = {each: [1.0] * 8 for each in ("metered_kg", "least_kg", "shots", "purge_s", "standby_s")}
    fit = fit_meter(metered(np.random.default_rng(1), periods(np.random.default_rng(1))))
    log = SteamLog(**{**good, name: [1.0, bad, *[1.0] * 6]})
    for ask in (lambda: fit_meter(log), lambda: expected_steam(fit, log)):
        with pytest.raises(OutOfRange, match=rf"{name}\[1\] is {bad}"):
            ask()


def test_too_few_periods_and_misfits_are_named() -> None:
    """Six at least; shapes that fit; a coverage that can be."""
    six = [1.0, 2, 3, 4, 5]
    with pytest.raises(OutOfRange, match="metered_kg is 5 periods: must be at least 6"):
        fit_meter(SteamLog(six, six, six, six, six))
    with pytest.raises(OutOfRange, match="shots is of shape"):
        fit_meter(SteamLog([1.0] * 6, [1.0] * 6, [1.0] * 5, [1.0] * 6, [1.0] * 6))
    fit = fit_meter(metered(np.random.default_rng(1), periods(np.random.default_rng(1))))
    with pytest.raises(OutOfRange, match=r"coverage is 1\.0"):
        expected_steam(fit, SteamLog(0.0, 1.0, 1.0, 1.0, 1.0), coverage=1.0)
