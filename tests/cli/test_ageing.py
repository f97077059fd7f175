"""The verb `ageing`: the caution and the signed hours first, unknown where anything is missing."""

import json

import pytest

from beadwright.plant import moment
from tests.cli.shell import Shell
from tests.plant.test_ageing_board import HOURS, masses, store, weigh
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def two_days_later(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look at the plant 55 hours into its first day."""
    monkeypatch.setattr(moment, "now_ms", lambda: ms(55))


@pytest.fixture
def known() -> Yard:
    """A silo of which all is known, a mesh sample too."""
    yard = store()
    weigh(yard, masses(yard, 1.15e-13, HOURS))
    return yard


@pytest.mark.usefixtures("known")
def test_what_is_signed_stands_before_what_is_estimated(shell: Shell) -> None:
    """After the caution; then what it would propose, and on what sample it rests."""
    words = " ".join(shell("ageing", "s1").out.split())
    places = [
        words.index(it)
        for it in (
            "Caution. An estimate, not a measurement",
            "Local code and licensed practice govern.",
            "S1: ready, by the hours that are signed",
            "Signed: from 8 h after the last bead until 96 h",
            "By estimate: Enough air from",
            "Would propose to sign",
            "Mesh sample MS-1, 6 weighings in S1, grade F1, narrows air and pentane.",
        )
    ]

    assert places == sorted(places)


def test_an_unknown_silo_says_what_is_missing(shell: Shell) -> None:
    """And no hour is estimated or proposed."""
    store(bead={"of": "bead", "raw_size": "0.8 mm"})
    words = " ".join(shell("ageing").out.split())

    assert "By estimate: Unknown. Missing: pentane in the raw bead, per wet bead." in words
    assert "Would propose" not in words


@pytest.mark.usefixtures("known")
def test_a_silo_that_holds_nothing_is_misuse(shell: Shell) -> None:
    """Those that do are named."""
    told = shell("ageing", "S9")

    assert told.status == 2
    assert "'S9'; those: S1" in " ".join(told.err.split())


@pytest.mark.usefixtures("known")
def test_each_number_opens_to_its_source(shell: Shell) -> None:
    """In US units where they are asked for."""
    words = " ".join(shell("ageing", "--why", "--units", "us").out.split())

    assert "temperature of the hall: 68.00 °F; set by the plant: room HALL" in words
    assert "measured in the plant: mesh sample MS-1, 6 weighings in S1" in words
    assert "narrower with:" in words


@pytest.mark.usefixtures("known")
def test_json_says_the_same(shell: Shell) -> None:
    """SI, and whether a sample narrows."""
    (silo,) = json.loads(shell("ageing", "--json").out)["silos"]
    (grade,) = silo["grades"]

    assert (silo["silo"], silo["unknown"], silo["trust"]) == ("S1", False, "estimate")
    assert silo["signed"]["min_h"] == 8
    assert silo["estimate"]["opens"]["low"] < silo["estimate"]["opens"]["high"]
    assert grade["mesh_samples"][0]["narrows"] is True
    assert {line["key"] for line in grade["rests_on"]} >= {"ready", "stale", "air_pace"}


def test_a_plant_without_beads_says_so(shell: Shell) -> None:
    """In one line."""
    Yard.open()

    assert "No silo holds beads." in shell("ageing").out
