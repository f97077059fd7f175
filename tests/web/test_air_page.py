"""The air of the rooms as a page: the caution first, unknown never reassuring, fresh blocks."""

from __future__ import annotations

import re

import pytest

from beadwright.plant import moment
from beadwright.plant.access import Role
from tests.plant.test_pentane_screen import BEAD, HALL
from tests.plant.yard import Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

CAUTION = "Calculated, not measured. Not a gas test, not permission to enter or do hot work."


@pytest.fixture(autouse=True)
def the_day_after(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look at the plant 30 hours into its first day."""
    monkeypatch.setattr(moment, "now_ms", lambda: ms(30))


@pytest.fixture(autouse=True)
def rooms(yard: Yard) -> None:
    """A hall of which all is known, and a store of which little is."""
    yard.set("grade", "F1", BEAD)
    yard.set("air", "outside", altitude="0 m")
    yard.set("cup", "FB6", dried="21.5 kg/m3", band="0.6 kg/m3")
    yard.set("place", "STORE", kind="store")
    yard.set("room", "HALL", HALL)
    yard.set("room", "CURE", places=["STORE"], volume="500 m3")
    yard.set("age_gate", "wrap", min_h="24")


def shown(as_: SignIn, path: str = "/air/") -> str:
    """Ask for the page, in SI."""
    browser = as_(Role.OPERATOR)
    browser.post("/choices/", {"units": "si", "light": "auto"})
    answer = browser.get(path)
    assert answer.status_code == 200
    return answer.content.decode()


def part(page: str, room: str) -> str:
    """What stands in a room's part, without markup."""
    found = next(
        one for one in re.findall(r'<section .*?class="room".*?</section>', page, re.DOTALL)
        if f">{room} " in one
    )  # fmt: skip
    return " ".join(re.sub(r"<[^>]+>", " ", found).split())


def test_the_caution_stands_before_every_number(as_: SignIn) -> None:
    """Whole, with whose word governs."""
    page = shown(as_)

    assert page.index(CAUTION) < page.index('class="room"')
    told = " ".join(re.sub(r"<[^>]+>", " ", page).split())
    assert f"{CAUTION} At a detector alarm leave, isolate, follow the site plan. Local code" in told
    assert told.count("Local code and licensed practice govern. Local code") == 0


def test_a_room_of_which_something_is_missing_is_unknown(as_: SignIn) -> None:
    """Above what is not known no word and no sign reassures."""
    said = part(shown(as_), "CURE")

    assert "CURE unknown" in said
    assert "Missing: whether the fan runs; air flow; mixing factor. Take it as not safe." in said
    assert "Nobody has said whether the fan runs." in said
    assert "below" not in said.replace("below sea", "")
    assert 'class="state good"' not in shown(as_)


def test_a_known_room_says_its_worst_hour_and_both_limits(as_: SignIn) -> None:
    """With its band, the fan's switch, and what comes if the fan stops."""
    said = part(shown(as_), "HALL")

    assert "HALL below 10 %, as calculated" in said
    assert re.search(r"At most [\d.]+ % \([\d.]+ to [\d.]+ %\) of the lower explosive limit", said)
    assert "FS-1 in the duct, alarm at the desk. This holds only while that shows it." in said
    assert "If the fan stopped now, with no air at all" in said
    assert "Calculated, not measured: not a gas test, not permission to enter" in said
    for limit in ("1.1 vol %", "1.5 vol %"):
        assert limit in said
    assert "the stricter is taken" in said


@pytest.mark.parametrize(
    ("since", "words"),
    [
        (15, "last said 15 h ago, and no flow switch shows it: look."),
        (0, "last said 30 h ago, and no flow switch shows it: not known. Look, and state it again"),
    ],
)
def test_how_long_ago_a_fan_was_said_to_run_is_told(
    since: float, words: str, as_: SignIn, yard: Yard
) -> None:
    """After a shift to look; after a day the room is unknown."""
    said = {key: it for key, it in HALL.items() if key != "flow_switch"}
    yard.set("room", "HALL", said, since=since)
    told = part(shown(as_), "HALL")

    assert words in told
    assert ("HALL unknown" in told) == (since == 0)


def test_a_room_above_its_share_says_so(as_: SignIn, yard: Yard) -> None:
    """With the sign that stops."""
    yard.set("room", "HALL", {**HALL, "air_flow": "60 m3/h"}, since=1)
    page = shown(as_)

    assert "HALL above 10 %" in part(page, "HALL")
    assert 'class="state stop"' in page


def test_fresh_blocks_say_from_when_they_are_old_enough(as_: SignIn) -> None:
    """Moulded at hour 20: bundled from hour 44; a gate that nobody set is unknown."""
    page = shown(as_)
    told = " ".join(re.sub(r"<[^>]+>", " ", page[page.index('id="fresh"') :]).split())

    assert "L1 FB6 40 10.0 h not before 09-02 20:00 unknown unknown" in told
    assert "bundled: from 24 h ; loaded closed: not set: unknown" in told
    assert "Fresh blocks give off pentane for days. Do not wrap" in told


def test_ids_are_each_of_one_thing_and_all_stands_open_for_paper(as_: SignIn) -> None:
    """Two sheets of numbers on a page have the same lines."""
    page = shown(as_, "/air/?all")
    ids = re.findall(r' id="([^"]+)"', page)

    assert len(ids) == len(set(ids))
    assert page.count("<details") == len(re.findall(r"<details[^>]* open", page))
