"""The plant closes: what came in is there, went out, or is missing within what people miss."""

from __future__ import annotations

import statistics
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest

from tests.demo.office import HOURS, Office, office

SEEDS = range(1, 13)
_MOST_LEFT, _MOST_SHORT = 0.028, 0.02  # of a filling, when a silo runs empty
_HOPPERS = ("H1", "H3")


def _of_place(one: Office, place: str) -> list[tuple[datetime, int, float]]:
    """Fills, draws and empties of a place in order of time; within a minute, fills first."""
    found = [(at, 0, kg) for at, where, kg in one.fills() if where == place]
    found += [(at, 1, -kg) for at, where, kg in one.draws() if where == place]
    found += [(at, 2, 0.0) for at, where, _ in one.emptied("ran_empty") if where == place]
    return sorted(found)


def _places(one: Office) -> list[str]:
    return [name for name, place in one.plant["place"].items() if place.get("content")]


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_left_when_a_silo_runs_empty_is_a_per_cent_or_two(seed: int) -> None:
    """But for the filling that nobody entered, which is short by a fifth and more.

    A scale that shows too much by the end of the weeks leaves as much more in the books.
    """
    one = office(seed)
    beyond = one.fault("beyond_books")
    found = []
    for place in (name for name in _places(one) if name not in _HOPPERS):
        came = left = 0.0
        for at, what, kg in _of_place(one, place):
            came, left = came + max(kg, 0.0), left + kg
            if what == 2:
                special = place == beyond["place"] and left < -0.1 * came
                if special:
                    assert f"{at:%Y-%m-%d}" == beyond["at"][:10]
                    assert 0.15 < -left / beyond["drawn_kg"] < 0.36
                found.append((special, left / came))
                came = left = 0.0
    usual = [share for special, share in found if not special]

    assert len(found) - len(usual) == 1
    assert min(usual) > -_MOST_SHORT
    assert max(usual) < _MOST_LEFT + _drifted(one)
    assert sum(share > 0 for share in usual) > 0.75 * len(usual)


def _drifted(one: Office) -> float:
    """Share that the drifting scale shows too much when the files are closed."""
    drift = one.fault("drifting_scale")
    days = max(row.time("ended") for row in one.sheets["expansion_runs"]) - datetime.fromisoformat(
        drift["at"]
    )
    return float(drift["per_mille_a_day"]) / 1000 * days / timedelta(days=1)


def test_one_scale_shows_more_every_day_and_the_other_does_not() -> None:
    """What a scale shows, less what the bag gave and what went off, against time."""
    for seed in SEEDS:
        one = office(seed)
        drift = one.fault("drifting_scale")
        late: dict[str, list[float]] = defaultdict(list)
        for row in one.sheets["expansion_runs"]:
            off = row.kg("prefoam_mass") / (row.kg("mass") - row.kg("loss")) - 1
            if one.truth["to"] < f"{row.time('ended') + timedelta(days=4):%Y-%m-%d %H:%M}":
                late[row["scale"]].append(off)
        other = statistics.fmean(late.pop(next(s for s in late if s != drift["place"])))
        assert abs(other) < 0.0015
        assert statistics.fmean(late[drift["place"]]) > 0.006


@pytest.mark.parametrize("seed", SEEDS)
def test_no_other_draw_goes_beyond_what_a_place_holds(seed: int) -> None:
    """More than two per cent of what came in since it was last empty, at any moment."""
    one = office(seed)
    lots = set(one.fault("beyond_books")["lots"])
    special = {
        (row["from"], row.time("started")) for row in one.sheets["mould_runs"] if row["lot"] in lots
    }
    for place in _places(one):
        came = left = 0.0
        for at, what, kg in _of_place(one, place):
            if what == 2:
                came = left = 0.0
                continue
            came, left = came + max(kg, 0.0), left + kg
            if (place, at) not in special and left < 0:
                assert -left < _MOST_SHORT * came, (place, at)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_plant_closes(seed: int) -> None:
    """Beads received = in bags + lost + in silos + moulded + what the books miss (1 %)."""
    one = office(seed)
    form = {"F1", "F2"}
    grade = {row["bag"]: row["grade"] for row in one.sheets["bead_receipts"]}
    received = sum(r.kg("mass") for r in one.sheets["bead_receipts"] if r["grade"] in form)
    runs = [row for row in one.sheets["expansion_runs"] if grade[row["bag"]] in form]
    opened = sum(row.kg("mass") for row in runs)
    drawn: dict[str, float] = defaultdict(float)
    for row in one.sheets["expansion_runs"]:
        drawn[row["bag"]] += row.kg("mass")
    held = sum(
        row.kg("mass") - drawn[row["bag"]]
        for row in one.sheets["bead_receipts"]
        if row["grade"] in form
    )
    assert opened + held == pytest.approx(received, abs=0.01)
    assert all(drawn[r["bag"]] <= r.kg("mass") for r in one.sheets["bead_receipts"])

    silos = [name for name in _places(one) if name.startswith("S")]
    filled = sum(kg for _, place, kg in one.fills() if place in silos)
    lost = sum(row.kg("loss") for row in runs)
    assert lost + filled == pytest.approx(opened, rel=0.004)

    into_hopper = sum(kg for _, place, kg in one.draws() if place in silos)
    last = sum(_stock(one, silo) for silo in silos)
    missing = filled - into_hopper - last
    unentered = one.fault("beyond_books")
    missing += unentered["drawn_kg"] - unentered["entered_kg"]
    assert -0.001 < missing / filled < 0.018


def _stock(one: Office, place: str) -> float:
    left = 0.0
    for _, what, kg in _of_place(one, place):
        left = 0.0 if what == 2 else left + kg
    return left


@pytest.mark.parametrize("seed", SEEDS)
def test_pieces_close(seed: int) -> None:
    """Of no lot more is rejected, bundled and shipped than was moulded; of no carton more used."""
    one = office(seed)
    left: Counter[str] = Counter()
    for row in one.sheets["mould_runs"]:
        left[row["lot"]] += row.count("good")
        assert row.count("shots") == row.count("good") + row.count("scrap")
    for row in one.sheets["inspections"]:
        left[row["lot"]] -= row.count("rejected")
    bundles: Counter[str] = Counter()
    for row in one.sheets["bundles"]:
        left[row["lot"]] -= row.count("pieces")
        bundles[row["bundle"]] += row.count("pieces")
    for row in one.sheets["shipments"]:
        stock = bundles if row["what"] in bundles else left
        stock[row["what"]] -= row.count("pieces")
    ties = Counter({row["carton"]: row.count("pieces") for row in one.sheets["tie_receipts"]})
    for row in one.sheets["mould_runs"]:
        if row["ties"]:
            each = one.plant["product"][row["product"]]["ties"]
            assert row.count("ties_used") >= each * row.count("shots")
            ties[row["ties"]] -= row.count("ties_used")

    assert min(left.values()) >= 0
    assert set(bundles.values()) <= {0, *bundles.values()}
    assert min(bundles.values()) >= 0
    assert min(ties.values()) >= 0


def _scrap_moves(one: Office) -> Iterator[tuple[datetime, str, float]]:
    """When, of which bin, lot or bag of scrap, how many kilograms more or less."""
    unit = {row["carton"]: row.kg("unit_mass") for row in one.sheets["tie_receipts"]}
    block: dict[str, float] = {}
    for row in one.sheets["mould_runs"]:
        each = one.plant["product"][row["product"]]["ties"]
        tie = unit.get(row["ties"], 0.0)
        mass = row.kg("foam_per_block") + each * tie
        block.setdefault(row["lot"], mass)
        broken = row.count("ties_used") - each * row.count("shots") if row["ties"] else 0
        yield row.time("started"), row["scrap_bin"], row.count("scrap") * mass + broken * tie
    for row in one.sheets["inspections"]:
        yield row.time("at"), row["scrap_bin"], row.count("rejected") * block[row["lot"]]
    for row in one.sheets["reclaim"]:
        yield row.time("at"), row["from"], -row.kg("mass")
        yield row.time("at"), row["to"], row.kg("mass") - row.kg("ties_mass")
    for row in one.sheets["silo_moves"]:
        if row["from"].startswith("RG"):
            yield row.time("at"), row["from"], -row.kg("mass")


@pytest.mark.parametrize("seed", SEEDS)
def test_scrap_and_regrind_close(seed: int) -> None:
    """Nothing is stripped, ground, densified or blown that is not there at the time."""
    held: dict[str, float] = defaultdict(float)
    for at, code, kg in sorted(_scrap_moves(office(seed))):
        if code:
            held[code] += kg
            assert held[code] > -1e-6, (at, code)

    foam = [kg for code, kg in held.items() if code.startswith("SF")]
    assert statistics.median(foam) < 2


@pytest.mark.parametrize("seed", SEEDS)
def test_beads_are_neither_fresh_nor_stale_but_once(seed: int) -> None:
    """Between 10 and 96 h at every draw of a silo; 1 to 4 h at the first of the fresh one."""
    one = office(seed)
    fresh = set(one.fault("too_fresh")["lots"])
    lots = {(row["from"], row.time("started")): row["lot"] for row in one.sheets["mould_runs"]}
    ages = []
    for place in (name for name in _places(one) if name not in _HOPPERS):
        first = last = None
        for at, what, _ in _of_place(one, place):
            if what == 0:
                first, last = first or at, at
            elif what == 2:
                first = last = None
            elif first is not None and last is not None:
                young, old = (at - last) / HOURS, (at - first) / HOURS
                if lots.get((place, at)) in fresh:
                    ages.append(young)
                else:
                    assert young > 9.9, (place, at)
                    assert old < 90, (place, at)

    assert 1 <= ages[0] <= 4
    assert max(ages) < 8


@pytest.mark.parametrize("seed", SEEDS)
def test_silos_are_swept_by_two_weekly_and_between_grades(seed: int) -> None:
    """A sweep has an inspector besides the sweeper, and no silo holds two grades unswept."""
    one = office(seed)
    swept = [row for row in one.sheets["silo_moves"] if row["what"] == "swept_empty"]
    assert all(row["inspected_by"] and row["inspected_by"] != row["by"] for row in swept)
    grade = {row["bag"]: row["grade"] for row in one.sheets["bead_receipts"]}
    steps: dict[str, list[tuple[datetime, str]]] = defaultdict(list)
    for row in one.sheets["expansion_runs"]:
        steps[row["silo"]].append((row.time("ended"), grade[row["bag"]]))
    for row in swept:
        steps[row["from"]].append((row.time("at"), ""))
    at_last = max(at for found in steps.values() for at, _ in found)
    for place, found in steps.items():
        inside, since = "", at_last
        for at, what in sorted(found):
            if not what:
                inside, since = "", at_last
                continue
            assert inside in ("", what), (place, at)
            inside, since = what, min(since, at)
            assert at - since < timedelta(days=7)


@pytest.mark.parametrize("seed", range(1, 6))
def test_cups_are_three_things(seed: int) -> None:
    """Hot ones weigh most, dried ones least, those at the hopper between; all of ten litres."""
    one = office(seed)
    light = one.fault("light_silo")["place"]
    masses: dict[str, list[float]] = defaultdict(list)
    for row in one.sheets["cups"]:
        assert row.value("volume") == 10
        if row["silo"] != light:
            masses[row["where"]].append(row.kg("mass"))
    hot, dried, hopper = (statistics.fmean(masses[w]) for w in ("hot", "dried", "hopper"))

    assert 1.04 < hot / dried < 1.07
    assert 1.01 < hopper / dried < 1.04


def test_the_weeks_have_the_size_of_a_plant() -> None:
    """About 20 000 form blocks in 120 to 200 lots, a few thousand rows, five form products."""
    for seed in SEEDS:
        one = office(seed)
        form = [row for row in one.sheets["mould_runs"] if row["press"] != "PP1"]

        assert 18_000 < sum(row.count("good") for row in form) < 22_000
        assert 120 < len({row["lot"] for row in form}) < 200
        assert 4000 < sum(map(len, one.sheets.values())) < 7000
        assert {row["product"] for row in form} == {"FB6S", "FB6C", "FB6H", "FB8S", "FB8L"}
