"""Runs told while they run: each entry posts at once, and the masses balance."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import (
    Done,
    Keyed,
    again,
    correct,
    counting,
    fields_of,
    may,
    post,
    read,
    usual,
)
from beadwright.interop.recorded import Recorded
from beadwright.ledger import lots
from beadwright.ledger.trace import trace
from beadwright.plant.access import Role, Who
from beadwright.plant.opening import projections_differing
from beadwright.plant.runs import open_runs, run_named
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

CODE = "LARKHOLLOW"
OPERATOR = Who("P-02", Role.OPERATOR)
ENGINEER = Who("P-13", Role.ENGINEER)
MORE = '\n[place.EX1]\nkind = "expander"\nfeeds = ["S1", "S2"]\n'
KG = dict.fromkeys(("mass", "foam_per_block", "charge", "loss", "prefoam_mass"), "kg")
PRESS = {
    "run": "M-9", "press": "FP1", "product": "FB6S", "mould": "tool 4", "from": "H1",
    "ties": "C-1", "lot": "L-9", "foam_per_block": "1.5", "scrap_bin": "W-1",
}  # fmt: skip


@pytest.fixture
def yard(ground: Plant) -> Plant:
    """The ground, an expander and a second bag, in the store."""
    ground.settings += MORE
    ground.add("bead_receipts", "2,2026-09-01 08:30,B-2,88-B,,F1,400,KR")
    ground.add("bead_receipts", "3,2026-09-01 08:40,B-3,88-C,,PK1,400,KR")
    assert not import_files([ground.write()]).refused
    return ground


def form(kind: str, key: str, at: str = "", **values: str) -> Keyed:
    """Key a form in kilograms."""
    return read(CODE, kind, values, units=KG, key=key, by="P-02", at=at)


def tell(kind: str, key: str, at: str = "", **values: str) -> Done:
    """Key a form and post it."""
    return post(CODE, form(kind, key, at, **values), OPERATOR)


def holds(code: str) -> float:
    """Kilograms that a lot holds."""
    view = lots.get(lots.plant_number(CODE), code)
    assert view is not None
    return view.mg / 1e6


def opened() -> None:
    """Open a run into S2, with the second bag in it."""
    assert tell("expansion_open", "1", run="E-9", expander="EX1", silo="S2", grade="F1").posted
    assert tell("bag_opened", "2", run="E-9", bag="B-2").posted


@pytest.mark.usefixtures("yard")
def test_an_expansion_run_entry_by_entry() -> None:
    """Bag in, cup, part of it into the silo, the rest back into the bag, closed."""
    bag = holds("B-2")
    opened()
    assert (holds("B-2"), holds("E-9")) == (0, bag)
    cup = read(
        CODE,
        "cups",
        {"run": "E-9", "silo": "S2", "where": "hot", "mass": "221", "volume": "10"},
        units={"mass": "g", "volume": "L"},
        key="3",
        by="P-02",
    )
    assert post(CODE, cup, OPERATOR).posted
    filled = tell("silo_filled", "4", run="E-9", silo="S2", batches="10", charge="12", loss="1")
    assert filled.posted, filled.refused
    assert not filled.nonconformities
    assert holds("S2") == 119
    assert holds("E-9") == pytest.approx(bag - 120)
    refused = tell("expansion_close", "5", run="E-9")
    assert [one.code for one in refused.refused] == ["run_holds"]
    assert tell("bag_off", "6", run="E-9", bag="B-2", mass="50").posted
    last = tell("silo_filled", "7", run="E-9", silo="S2", prefoam_mass="11")
    assert last.posted, last.refused
    assert holds("E-9") == 0
    assert holds("S2") == 130
    assert holds("B-2") == 50
    assert tell("expansion_close", "8", run="E-9").posted
    assert open_runs(lots.plant_number(CODE), 2**45) == ()
    assert [one.code for one in tell("bag_opened", "9", run="E-9", bag="B-1").refused] == [
        "run_closed"
    ]


@pytest.mark.usefixtures("yard")
def test_a_cup_finds_the_filling_of_its_run() -> None:
    """As it finds the expansion of a sheet."""
    opened()
    assert tell("silo_filled", "4", run="E-9", silo="S2").posted
    steps = list(Recorded(CODE).expansions("E-9"))
    assert [(step.key, step.place) for step in steps] == [("silo_filled/4", "EX1")]
    cup = {"run": "E-9", "silo": "S2", "where": "dried", "mass": "220", "volume": "10"}
    keyed = read(CODE, "cups", cup, units={"mass": "g", "volume": "L"}, key="5", by="P-02")
    reading = next(one for draft in keyed.drafts for one in getattr(draft, "readings", ()))
    assert reading.step == "silo_filled/4"


@pytest.mark.usefixtures("yard")
def test_a_run_sent_twice_is_told_once() -> None:
    """Also where the mass came from the books, which say something else since."""
    opened()
    for kind, key, values in (
        ("expansion_open", "1", {"expander": "EX1", "silo": "S2", "grade": "F1"}),
        ("bag_opened", "2", {"bag": "B-2"}),
    ):
        assert tell(kind, key, run="E-9", **values).repeated
    other = tell("bag_opened", "2", run="E-9", bag="B-2", mass="100")
    assert [one.code for one in other.refused] == ["key_reused"]
    assert [one.code for one in tell("expansion_open", "7", run="E-9", expander="EX1",
                                     silo="S2").refused] == ["lot_exists"]  # fmt: skip


def test_a_run_told_by_the_minute_still_balances(yard: Plant) -> None:
    """Within one minute it goes in the order in which it was told."""
    at = "2026-09-02 10:00"
    yard.sheets = {}
    forms: list[tuple[str, dict[str, str]]] = [
        ("expansion_open", {"expander": "EX1", "silo": "S2"}),
        ("bag_opened", {"bag": "B-2"}),
        ("silo_filled", {"silo": "S2"}),
        ("expansion_close", {}),
    ]
    for number, (kind, values) in enumerate(forms):
        done = tell(kind, str(number), at, run="E-9", **values)
        assert done.posted, done.refused
        assert not done.nonconformities
    assert (holds("E-9"), holds("B-2")) == (0, 0)


@pytest.mark.usefixtures("yard")
def test_a_bag_that_the_silo_does_not_accept_is_told_before_it_is_opened() -> None:
    """Planned it is refused; opened already, it is recorded, and the silo's filling is held."""
    assert tell("expansion_open", "1", run="E-9", expander="EX1", silo="S1").posted
    wrong = form("bag_opened", "2", run="E-9", bag="B-3")
    assert [one.code for one in may(CODE, wrong, OPERATOR).faults] == ["wrong_grade_in_place"]
    refused = post(CODE, wrong, OPERATOR)
    assert (refused.posted, refused.may_have_happened) == (False, True)
    assert post(CODE, wrong, OPERATOR, planned=False).posted
    done = post(CODE, form("silo_filled", "3", run="E-9", silo="S1"), OPERATOR, planned=False)
    assert [one.code for one in done.nonconformities] == ["wrong_grade_in_place"]


@pytest.mark.usefixtures("yard")
def test_an_entry_of_a_run_is_corrected_like_any_other() -> None:
    """The bag was weighed after all: both versions stay."""
    opened()
    shown = again(CODE, "bag_opened/2")
    assert shown.units["mass"] == "kg"
    done = correct(
        CODE, shown.key, {**shown.texts, "mass": "150"}, shown.units, "weighed since",
        who=ENGINEER, correction="c-1",
    )  # fmt: skip
    assert done.posted, done.refused
    assert holds("E-9") == 150


@pytest.mark.usefixtures("yard")
def test_a_mould_run_hour_by_hour() -> None:
    """What the opening said is in every count; only what was counted is keyed."""
    when = "2026-09-02 16:00"
    done = tell("mould_open", "1", when, **PRESS)
    assert done.posted, done.refused
    known = counting(CODE, "M-9")
    assert known.texts["started"] == when
    counts = {"shots": "10", "good": "18", "scrap": "2", "cause": "short shot"}
    first = tell("mould_runs", "2", **known.texts, **counts, ended="2026-09-02 17:00")
    assert first.posted, (first.refused, first.keyed.questions)
    assert counting(CODE, "M-9").texts["started"] == "2026-09-02 17:00"
    assert {one.lot: one.pieces for one in first.stock}["L-9"] == 18
    assert [one.code for one in open_runs(lots.plant_number(CODE), 2**45)] == []
    at_ms = first.keyed.row.number_of("ended") if first.keyed.row is not None else 0
    assert [one.code for one in open_runs(lots.plant_number(CODE), at_ms)] == ["M-9"]
    stood = tell(
        "downtime", "3", "2026-09-02 17:30", started="2026-09-02 17:05", place="FP1", run="M-9",
        cause="steam valve",
    )  # fmt: skip
    assert stood.posted, stood.refused
    assert tell("mould_close", "4", "2026-09-02 18:00", run="M-9").posted
    found = run_named(lots.plant_number(CODE), "M-9")
    assert found is not None
    assert (found.closed_ms, found.facts["lot"]) == (at_ms + 3_600_000, "L-9")
    assert found.long(2**45) is False


@pytest.mark.usefixtures("yard")
def test_a_stop_within_the_minute_of_the_opening_opens_no_run() -> None:
    """It is told to the minute, and the opening to the second."""
    assert tell("mould_open", "1", "2026-09-02 16:00:30", **PRESS).posted
    when = "2026-09-02 16:00"
    stood = tell("downtime", "2", started=when, ended=when, place="FP1", run="M-9", cause="steam")
    assert stood.posted, stood.refused
    found = run_named(lots.plant_number(CODE), "M-9")
    assert found is not None
    assert (found.product, found.facts["mould"], found.by) == ("FB6S", "tool 4", "P-02")


@pytest.mark.usefixtures("yard")
def test_a_press_that_may_not_start_is_told_so_before_it_does() -> None:
    """Beads too fresh by their signed hours; an hour's delay is only noted once it happened."""
    early = form("mould_open", "1", "2026-09-02 07:00", **PRESS)
    assert may(CODE, early, OPERATOR).may
    late = form("mould_open", "1", "2026-09-08 07:00", **PRESS)
    assert [one.code for one in may(CODE, late, OPERATOR).faults] == ["too_old"]
    assert not post(CODE, late, OPERATOR).posted
    assert post(CODE, late, OPERATOR, planned=False).posted


@pytest.mark.usefixtures("yard")
def test_what_a_run_lacks_stands_at_its_field() -> None:
    """A run nobody opened, an expander nobody set up."""
    assert {*form("bag_opened", "1", run="E-1", bag="B-1").faults} == {"run"}
    assert {*form("expansion_open", "1", run="E-9", expander="EX7", silo="S2").faults} == {
        "expander"
    }
    assert {*form("mould_open", "1", **{**PRESS, "ties": ""}).faults} == {"ties"}
    assert [one.name for one in fields_of("expansion_close")] == ["at", "run", "by"]


@pytest.mark.usefixtures("yard")
def test_a_run_that_was_forgotten_shows() -> None:
    """After two shifts."""
    assert tell("expansion_open", "1", "2026-09-02 07:00", run="E-9", expander="EX1",
                silo="S2").posted  # fmt: skip
    run = run_named(lots.plant_number(CODE), "E-9")
    assert run is not None
    assert not run.long(run.opened_ms + 16 * 3_600_000)
    assert run.long(run.opened_ms + 17 * 3_600_000)
    assert usual(CODE, "expansion_open", {}).texts == {
        "expander": "EX1",
        "silo": "S2",
        "run": "E-10",
    }


@pytest.mark.usefixtures("yard")
def test_what_is_told_of_a_run_proposes_the_run_that_is_open() -> None:
    """And its silo; the bag after the last one, and never the beads in a run."""
    opened()
    assert usual(CODE, "bag_opened", {}).texts == {"run": "E-9", "bag": "B-1"}
    assert usual(CODE, "silo_filled", {}).texts == {"run": "E-9", "silo": "S2", "charge": "12"}
    assert usual(CODE, "cups", {"where": "hot"}).texts == {"run": "E-9", "silo": "S2"}
    assert tell("silo_filled", "4", run="E-9", silo="S2").posted
    assert tell("expansion_close", "5", run="E-9").posted
    assert usual(CODE, "silo_filled", {}).texts == {"charge": "12"}


def test_the_first_run_told_on_a_tablet_is_proposed_from_the_sheets(ground: Plant) -> None:
    """Where a plant kept sheets until yesterday."""
    ground.add(
        "mould_runs",
        "1,M-08,2026-09-02 15:00,2026-09-02 16:00,FP1,tool 4,FB6S,H1,C-1,L-8,4,8,0,1.5,,,,DS",
    )
    assert not import_files([ground.write()]).refused
    assert usual(CODE, "expansion_open", {}).texts == {"run": "E-2", "silo": "S1"}
    assert usual(CODE, "mould_open", {"press": "FP1"}).texts == {
        "product": "FB6S",
        "mould": "tool 4",
        "from": "H1",
        "ties": "C-1",
        "foam_per_block": "1.5",
        "run": "M-09",
        "lot": "L-9",
    }


@pytest.mark.usefixtures("yard")
def test_a_run_told_entry_by_entry_is_traced_and_rebuilt() -> None:
    """The silo is of the bag; a rebuild of the record gives the same."""
    opened()
    assert tell("silo_filled", "4", run="E-9", silo="S2").posted
    traced = trace(lots.plant_number(CODE), "S2", "back")
    shares = {one.lot.code: one.share for one in traced.lots}
    assert shares == {"E-9": pytest.approx(1), "B-2": pytest.approx(1)}
    assert projections_differing(CODE) == ()


@pytest.mark.usefixtures("yard")
def test_a_first_piece_is_signed_before_a_block_counts_as_good() -> None:
    """The run's lot is there from its opening; the shots before the signature are scrap."""
    assert tell("mould_open", "1", "2026-09-02 16:00", **PRESS).posted
    ok = dict.fromkeys(("mass", "ties", "fusion", "dimensions", "code"), "ok")
    keyed = form("first_pieces", "2", "2026-09-02 16:10", press="FP1", run="M-9", lot="L-9", **ok)
    assert post(CODE, keyed, ENGINEER).posted
    counts = {"shots": "2", "good": "0", "scrap": "2", "cause": "first shots"}
    known = counting(CODE, "M-9")
    assert tell("mould_runs", "3", **known.texts, **counts, ended="2026-09-02 16:09").posted
    view = lots.get(lots.plant_number(CODE), "L-9")
    assert view is not None
    assert (view.pieces, view.unit_mg > 1_500_000, view.product) == (0, True, "FB6S")
    assert projections_differing(CODE) == ()


@pytest.mark.usefixtures("yard")
def test_a_run_goes_into_no_lot_of_another_product() -> None:
    """Said as the run is opened, at its field."""
    assert tell("mould_open", "1", "2026-09-02 16:00", **PRESS).posted
    other = {**PRESS, "run": "M-10", "product": "PKC", "ties": ""}
    assert {*form("mould_open", "2", "2026-09-02 17:00", **other).faults} == {"lot"}


def counted(key: str, at: str, **counts: str) -> Done:
    """Count what was moulded since the last count, until a time."""
    return tell("mould_runs", key, **counting(CODE, "M-9").texts, **counts, ended=at)


@pytest.mark.usefixtures("yard")
def test_scrap_told_as_it_falls_is_of_the_shots_that_are_counted_next() -> None:
    """It moves no count's beginning, and is not missed when the shots are held against blocks."""
    assert tell("mould_open", "1", "2026-09-02 16:00", **PRESS).posted
    told = counted("2", "2026-09-02 16:20", shots="0", good="0", scrap="2", cause="short fill")
    assert told.posted, (told.refused, told.keyed.questions)
    assert counting(CODE, "M-9").texts["started"] == "2026-09-02 16:00"
    alone = form("mould_runs", "3", **counting(CODE, "M-9").texts, shots="10", good="17", scrap="0",
                 ended="2026-09-02 17:00")  # fmt: skip
    assert [one.code for one in alone.questions] == ["shots_differ"]
    assert "17 good and 2 scrapped blocks are 19 of 10 shots" in alone.questions[0].why
    assert counted("4", "2026-09-02 17:00", shots="10", good="18", scrap="0").posted
    assert counting(CODE, "M-9").texts["started"] == "2026-09-02 17:00"


@pytest.mark.usefixtures("yard")
def test_a_run_goes_on_with_another_silo_and_carton(yard: Plant) -> None:
    """From then on its counts draw of them; what may not be drawn is said before it is."""
    yard.sheets = {}
    yard.add("tie_receipts", "2,2026-09-01 09:10,C-2,T-8,,T6,600,0.6,KR")
    yard.add("expansion_runs", "2,E-2,2026-09-01 12:00,2026-09-01 13:00,B-2,100,8,12,S1,,1,DS")
    yard.add("expansion_runs", "3,E-3,2026-09-02 09:00,2026-09-02 10:00,B-3,100,8,12,S2,,1,DS")
    assert not import_files([yard.write()]).refused
    assert tell("mould_open", "1", "2026-09-02 16:00", **PRESS).posted
    wrong = form("mould_sources", "2", "2026-09-02 16:30", run="M-9", **{"from": "S2"})
    assert "wrong_grade" in {one.code for one in may(CODE, wrong, OPERATOR).faults}
    assert not post(CODE, wrong, OPERATOR).posted
    change = {"from": "S1", "ties": "C-2"}
    done = tell("mould_sources", "3", "2026-09-02 16:40", run="M-9", **change)
    assert done.posted, done.refused
    assert counted("4", "2026-09-02 17:00", shots="10", good="10", scrap="0").posted
    ties = lots.get(lots.plant_number(CODE), "C-2")
    assert ties is not None
    assert ties.pieces == 600 - 60
    found = run_named(lots.plant_number(CODE), "M-9")
    assert found is not None
    assert (found.facts["from"], found.facts["ties"], found.facts["mould"]) == (
        "S1", "C-2", "tool 4",
    )  # fmt: skip
    assert {*form("mould_sources", "5", run="M-9").faults} == {"from"}
    assert projections_differing(CODE) == ()


@pytest.mark.usefixtures("yard")
def test_a_cup_of_a_run_that_is_over_is_asked_about() -> None:
    """A hot one half an hour after its end, a dried one two days; not of a run that is open."""
    at = "2026-09-10 06:00"
    assert tell("expansion_open", "1", at, run="E-9", expander="EX1", silo="S2", grade="F1").posted
    assert tell("bag_opened", "2", "2026-09-10 06:10", run="E-9", bag="B-2").posted
    assert _cup("hot", "2026-09-11 06:00") == []
    assert tell("silo_filled", "4", "2026-09-10 08:00", run="E-9", silo="S2").posted
    assert tell("expansion_close", "8", "2026-09-10 08:10", run="E-9").posted

    assert _cup("hot", "2026-09-10 08:30") == []
    assert _cup("hot", "2026-09-11 08:10") == [("run", "after_run", "E-9")]
    assert _cup("dried", "2026-09-11 08:10") == []
    assert _cup("dried", "2026-09-13 08:10") == [("run", "after_run", "E-9")]
    assert _cup("hot", "2026-09-11 08:10", kept=frozenset({"run"})) == []


def _cup(where: str, at: str, kept: frozenset[str] = frozenset()) -> list[tuple[str, str, str]]:
    """What is asked about a cup of run E-9."""
    said = {"run": "E-9", "silo": "S2", "where": where, "mass": "220", "volume": "10"}
    units = {"mass": "g", "volume": "L"}
    cup = read(CODE, "cups", said, units=units, key="c", by="P-02", at=at, kept=kept)
    assert not cup.faults
    return [(one.field, one.code, one.value) for one in cup.questions]
