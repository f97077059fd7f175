"""A plant's series charted without set-up: what shifts is signalled, what does not is left alone.

Shifts are planted in a yard's record, so that what is true is known.
"""

from __future__ import annotations

from zoneinfo import ZoneInfo

import numpy as np
import pytest

from beadwright.errors import Misuse
from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.plant.charted import Charted, charted, charts, shown, told
from beadwright.plant.opening import open_plant
from beadwright.units import System
from tests.plant.yard import HOUR, Yard, ms

pytestmark = pytest.mark.django_db

SI: System = "si"
US: System = "us"
KG = 1_000_000
FOAM, TIES = 1.495, 6 * 0.27
WET = 1.01
"""A day old: the yard's water share is 1 % of dry foam."""

LOTS = 36
NOW = ms(900)


@pytest.fixture
def yard() -> Yard:
    """A plant with beads and ties for many small lots."""
    yard = Yard.open()
    yard.bag("B-1", 4000)
    yard.carton("T-1", 9000)
    yard.expand("B-1", "S1", 3000)
    return yard


def code(number: int) -> str:
    """Code of the lot of that number, from 1."""
    return f"L{number:02d}"


def moulded(yard: Yard, first: int = 1, last: int = LOTS) -> None:
    """Mould a lot every ten hours, of ten blocks."""
    for number in range(first, last + 1):
        yard.mould(code(number), good=10, at=20 + 10 * number)


def weighed(yard: Yard, foam: np.ndarray, spread: float = 0.004) -> None:
    """Weigh four blocks of each lot a day old, about a mean foam mass."""
    rng = np.random.default_rng(5)
    for number, mean in enumerate(foam, 1):
        some = [float(mean) * (1 + one) * WET + TIES for one in rng.normal(0, spread, 4)]
        yard.weigh(code(number), "24h", some, at=50 + 10 * number)


def asked(key: str, at_ms: int = NOW, kind: str = "") -> Charted:
    """Give the chart of a series."""
    return charted(open_plant("P1"), key, at_ms, kind=kind)


def masses(seed: int, shift: float = 0.0, true: int = LOTS) -> np.ndarray:
    """Mean foam masses of lots, heavier by a share from one lot on."""
    own = np.random.default_rng(seed).normal(0, 0.002, LOTS)
    own[true - 1 :] += shift
    return np.asarray(FOAM * (1 + own))


@pytest.mark.parametrize(("seed", "true", "shift"), [(1, 25, 0.03), (2, 30, -0.03), (3, 20, 0.04)])
def test_a_planted_shift_is_signalled_and_its_start_set_holds_the_true_lot(
    yard: Yard, seed: int, true: int, shift: float
) -> None:
    """Dry foam by 3 or 4 per cent from one lot on: that lot stands in the set, and is held."""
    moulded(yard)
    weighed(yard, masses(seed, shift, true))
    found = asked("density_24h.FB6")

    assert found.chart is not None
    assert found.chart.signals
    assert found.since is not None
    assert code(true) in {found.series.points[one].lot for one in found.since.start.among}
    assert {code(number) for number in range(true, LOTS + 1)} <= set(found.lots)
    assert code(true - 6) not in found.lots
    assert found.since.contain_to is None


def test_density_is_net_of_ties_and_water(yard: Yard) -> None:
    """1.495 kg of dry foam in 65 L are 23.0 kg/m³, whatever ties and water weigh."""
    moulded(yard, last=8)
    weighed(yard, np.full(8, FOAM), spread=0.0005)
    found = asked("density_24h.FB6")

    every = [value for one in found.series.points for value in one.values]
    assert np.mean(every) == pytest.approx(23.0, rel=0.001)
    assert [one.lot for one in found.series.points] == [code(number) for number in range(1, 9)]


def test_a_quiet_series_signals_nothing(yard: Yard) -> None:
    """No shift: no signal, no start, no lot; it stands among the quiet ones."""
    moulded(yard)
    weighed(yard, masses(4))
    found = asked("density_24h.FB6")

    assert found.chart is not None
    assert found.chart.signals == ()
    assert (found.event, found.since, found.lots) == (None, None, ())
    every = charts(open_plant("P1"), NOW)
    assert every.signalling == ()
    assert "density_24h.FB6" in {one.series.key for one in every.quiet}
    assert 0 < every.by_chance < 5


def test_a_lot_that_nobody_weighed_is_held_with_those_beside_it(yard: Yard) -> None:
    """The shift may have begun in the lot before, which has no reading."""
    moulded(yard)
    foam = masses(6, 0.04, 26)
    rng = np.random.default_rng(7)
    for number, mean in enumerate(foam, 1):
        if number in {25, 30}:
            continue
        some = [float(mean) * (1 + one) * WET + TIES for one in rng.normal(0, 0.004, 4)]
        yard.weigh(code(number), "24h", some, at=50 + 10 * number)
    found = asked("density_24h.FB6")

    assert {code(25), code(26), code(30)} <= set(found.lots)


def test_two_light_lots_are_an_event_that_is_over(yard: Yard) -> None:
    """Lots 12 and 13 are light, and those after them are as before: only those two are held."""
    moulded(yard)
    foam = masses(8)
    foam[11:13] *= 0.9
    weighed(yard, foam)
    found = asked("density_24h.FB6")

    assert found.since is not None
    assert found.since.contain_to is not None
    assert {code(12), code(13)} <= set(found.lots)
    assert len(found.lots) <= 4


def test_voided_readings_are_no_point(yard: Yard) -> None:
    """The reading that made the chart signal was of the wrong block, and is voided."""
    moulded(yard)
    weighed(yard, masses(4))
    yard.mould("L99", good=10, at=390)
    key = yard.weigh("L99", "24h", [FOAM * 1.1 * WET + TIES] * 3, at=420)
    assert "L99" in asked("density_24h.FB6").lots

    yard.void(key, at=430)
    found = asked("density_24h.FB6")
    assert found.chart is not None
    assert found.chart.signals == ()
    assert "L99" not in {one.lot for one in found.series.points}


def test_a_piece_that_may_lack_a_tie_is_left_out_with_its_cause(yard: Yard) -> None:
    """Short by a whole tie of 0.27 kg among sound ones: no light foam, and it is said."""
    moulded(yard)
    weighed(yard, masses(4))
    yard.mould("L98", good=10, at=390)
    sound = FOAM * WET + TIES
    yard.weigh("L98", "24h", [sound, sound + 0.003, sound - 0.002, sound - 0.27], at=420)
    found = asked("density_24h.FB6")

    assert found.chart is not None
    assert found.chart.signals == ()
    assert found.series.absent == ("Not counted, because they may lack ties: L98 D4.",)
    assert len(found.series.points[-1].values) == 3


def test_a_bead_lot_is_marked_where_it_begins_and_limits_say_what_they_rest_on(yard: Yard) -> None:
    """Lots 1 to 20 are of one bead lot, 21 to 36 of the next: two bags of it are one bead lot."""
    yard.bag("B-2", 2000, lot="N-77")
    yard.bag("B-3", 2000, lot="N-77")
    moulded(yard, last=20)
    yard.sweep("S1", at=224)
    yard.expand("B-2", "S1", 150, at=225)
    moulded(yard, 21, 28)
    yard.expand("B-3", "S1", 1500, at=305)
    moulded(yard, 29)
    weighed(yard, masses(4))
    found = asked("density_24h.FB6")

    first, second = found.beads
    assert (first.name, first.points) == ("bag B-1", tuple(range(20)))
    assert (second.name, second.points) == ("N-77", tuple(range(20, LOTS)))
    of = [sum(one.values) / len(one.values) for one in found.series.points]
    assert second.level == pytest.approx(np.mean(of[20:]), rel=1e-12)
    told_ = told(found, SI, ZoneInfo("UTC"))
    assert told_.beads[0].startswith("Limits rest on 2 bead lots taken together")
    assert told_.beads[2].startswith("N-77 begins at L21: 16 points, mean ")
    assert shown(found, SI, ZoneInfo("UTC")).begins == ((0, "bag B-1"), (20, "N-77"))


def test_a_change_that_begins_with_a_bead_lot_says_so(yard: Yard) -> None:
    """The foam is heavier from the lot on that is moulded of the next bead lot."""
    yard.bag("B-2", 3000, lot="N-77")
    moulded(yard, last=20)
    yard.sweep("S1", at=224)
    yard.expand("B-2", "S1", 3000, at=225)
    moulded(yard, 21)
    weighed(yard, masses(2, 0.04, 21))
    since = told(asked("density_24h.FB6"), SI, ZoneInfo("UTC")).since

    assert "Bead lot N-77 begins there too, at L21." in since


def test_a_share_of_defective_pieces_has_limits_by_what_was_looked_at(yard: Yard) -> None:
    """Twenty looked at, of one lot nine with poor fusion: signalled by its own limit."""
    moulded(yard)
    rng = np.random.default_rng(3)
    for number in range(1, LOTS + 1):
        bad = 9 if number == 34 else int(rng.binomial(20, 0.05))
        yard.look_over(code(number), 20 + number % 3, at=50 + 10 * number, fusion=bad)
    found = asked("share_defective_fusion.FB6.FP1")

    assert found.chart is not None
    assert found.chart.kind == "p"
    assert [one.at for one in found.chart.signals] == [33]
    assert code(34) in found.lots


def test_lots_without_a_defective_piece_in_a_row_are_no_signal(yard: Yard) -> None:
    """Where one in two hundred is bad, nine lots of none are what is to be expected."""
    moulded(yard)
    for number in range(1, LOTS + 1):
        yard.look_over(code(number), 20, at=50 + 10 * number, surface=int(number in {5, 30}))
    found = asked("share_defective_surface.FB6.FP1")

    assert found.chart is not None
    assert found.chart.signals == ()


def test_scrap_of_a_press_is_charted_by_cause(yard: Yard) -> None:
    """Short fill jumps in one lot; the other cause is quiet."""
    rng = np.random.default_rng(2)
    for number in range(1, 31):
        scrap = 14 if number == 28 else int(rng.binomial(100, 0.02))
        cause = "short fill" if number % 2 == 0 else "steam"
        pressed(yard, code(number), scrap, cause, at=20 + 10 * number)
    found = asked("scrap.FP1.short-fill")

    assert found.chart is not None
    assert 27 in {one.at for one in found.chart.signals}
    assert code(28) in found.lots
    assert asked("scrap.FP1.steam").lots == ()
    assert found.series.points[27].inspected == 100


def test_scrap_of_packaging_is_charted_as_that_of_blocks(yard: Yard) -> None:
    """A press that moulds packaging beads has its series, and a lot that jumps is signalled."""
    rng = np.random.default_rng(4)
    for number in range(1, 31):
        scrap = 14 if number == 28 else int(rng.binomial(100, 0.02))
        pressed(yard, code(number), scrap, "short fill", 20 + 10 * number, Material.PACKAGING)
    found = asked("scrap.FP1.short-fill")

    assert found.chart is not None
    assert 27 in {one.at for one in found.chart.signals}
    assert found.series.points[27].lot == code(28)


def pressed(  # noqa: PLR0913, PLR0917 - what a count says
    yard: Yard, lot: str, scrap: int, cause: str, at: float, of: Material = Material.BLOCK
) -> None:
    """A count of a hundred shots; what is scrapped is not told apart in the books of the yard."""
    good = 100 - scrap
    lines = [
        Line("S1", -1, good * KG // 100, 0, Evidence.BACKFLUSHED),
        Line(lot, 1, good * KG // 100, good, Evidence.COUNTED),
    ]
    new = NewLot(lot, of, "mould run", "FB6", unit_mg=KG // 100)
    facts = {"good": str(good), "scrap": str(scrap), "cause": cause, "shots": "100"}
    yard.step("mould", at, lines, new, product="FB6", place="FP1", facts=facts)


# -- what is asked ------------------------------------------------------------------------------


def test_the_choice_is_open(yard: Yard) -> None:
    """Another kind is made where the data allow it, and says what they suggest."""
    moulded(yard)
    weighed(yard, masses(4))
    found = asked("density_24h.FB6", kind="weighted average")

    assert found.chart is not None
    assert found.chart.kind == "weighted average"
    assert found.chart.reasons[0].startswith("Asked for, instead of")


@pytest.mark.parametrize(
    ("key", "kind", "said"),
    [
        ("density_24h.FB7", "", "has no series density_24h.FB7"),
        ("density_24h.FB6", "scatter", "is no kind of chart"),
        ("density_24h.FB6", "p", "cannot be charted as p"),
    ],
)
def test_what_cannot_be_charted_is_said(yard: Yard, key: str, kind: str, said: str) -> None:
    """No such series, no such kind, and a kind for other data."""
    moulded(yard, last=9)
    weighed(yard, masses(4)[:9])
    with pytest.raises(Misuse, match=said):
        asked(key, kind=kind)


def test_few_points_are_said_and_not_charted(yard: Yard) -> None:
    """Seven lots weighed: the series is named, and has no chart yet."""
    moulded(yard, last=7)
    weighed(yard, masses(4)[:7])
    found = asked("density_24h.FB6")

    assert found.chart is None
    assert found.why_not == "7 points until now; charted from 8 on"


def test_a_time_in_the_past_sees_only_what_was_read_until_then(yard: Yard) -> None:
    """Asked of an hour, no later lot or reading counts."""
    moulded(yard)
    weighed(yard, masses(1, 0.04, 25))
    found = asked("density_24h.FB6", at_ms=ms(250) + HOUR)

    assert found.chart is not None
    assert found.chart.signals == ()
    assert found.series.points[-1].lot == code(20)
