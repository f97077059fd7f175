"""What the terminal says of the invented plant, held against what was planted in it."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.cli.shell import Outcome

Asked = Callable[..., Outcome]

_WAY = {
    "light_silo": "LIMIT NOT MET",
    "too_fresh": "BEADS TOO FRESH",
    "wrong_grade": "WRONG GRADE",
    "regrind_in_hopper": "RECLAIM IN A FORM BLOCK",
    "beyond_books": "MORE DRAWN THAN THE BOOKS HELD",
}
"""How the summary names each kind of fault that stops lots."""

_ASKS = {
    "missing_ties": r"which fits \d ties?: count",
    "lapsed_test": r"compressive resistance: .* the next was due",
    "out_of_calibration": r"were taken with \S+ from .* they are no evidence",
}
"""How it names each after which more evidence is wanted."""

_PRINTED = [
    (),
    ("L2-008",),
    ("L1-001", "L2-080"),
]


@pytest.fixture
def truth(demonstration: Path) -> Any:
    """What was planted."""
    return json.loads((demonstration / "files" / "truth.json").read_text("utf-8"))


def section(text: str, title: str) -> str:
    """Part of the summary under a title of its own."""
    return re.split(r"\n(?=[A-Z])", text.partition(f"\n{title}")[2])[0]


def test_the_summary_fits_a_screen_or_two(asked: Asked) -> None:
    """Two screens of 48 lines, eighty columns, no blank at a line's end; not all may ship."""
    told = asked("assess")
    lines = told.out.splitlines()

    assert told.status == 1
    assert len(lines) <= 96
    assert [line for line in lines if len(line) > 80 or line != line.rstrip()] == []


def test_the_summary_says_whose_it_is_and_what_it_was_read_from(asked: Asked) -> None:
    """Plant, time zone, and the head that verify prints."""
    seq, _, own = asked("verify").out.rpartition("Head: ")[2].strip().partition(":")
    head = "\n".join(asked("assess").out.splitlines()[:3])

    assert "LARKHOLLOW" in head
    assert "(invented)" in head
    assert "America/Chicago" in head
    assert f"{seq}:{own[:12]}" in head


def test_every_planted_fault_is_named_with_its_place_and_lots(asked: Asked, truth: Any) -> None:
    """Each stands as a group of its own: what it is, where it came from, which lots."""
    stopped = section(asked("assess").out, "MAY NOT SHIP")
    groups = re.split(r"\n\n", stopped)

    for fault in truth["faults"]:
        if not fault["lots"] or fault["kind"] in _ASKS:
            continue
        title = f"{_WAY[fault['kind']]}, from {fault['place']}: "
        found = [group for group in groups if title in group]
        assert len(found) == 1, title
        assert [lot for lot in fault["lots"] if lot not in found[0]] == []


def named(text: str) -> set[str]:
    """Lots that a text names, one by one or from one to another."""
    found = set()
    for first, last in re.findall(r"\b(L\d-\d+)(?:\s+to\s+(L\d-\d+))?", text):
        line, start = first[:3], int(first[3:])
        found |= {f"{line}{n:03d}" for n in range(start, int((last or first)[3:]) + 1)}
    return found


def test_every_gap_of_evidence_is_named_with_its_lots(asked: Asked, truth: Any) -> None:
    """What was planted and wants more evidence stands under the lots it is missing of."""
    waiting = section(asked("assess").out, "NOT ENOUGH EVIDENCE")
    groups = re.split(r"\n(?=  L\d)", waiting)
    looked = {fault["kind"]: fault["lots"] for fault in truth["faults"] if fault["kind"] in _ASKS}

    assert looked.keys() == _ASKS.keys()
    for kind, lots in looked.items():
        saying = [one for one in groups if re.search(_ASKS[kind], " ".join(one.split()))]
        told = {lot for one in saying for lot in named(one.partition("\n    - ")[0])}
        assert set(lots) <= told, kind


def test_every_clean_lot_is_said_to_may_ship(asked: Asked, truth: Any) -> None:
    """No lot is stopped without a reason, and none is left out; some may wait for a release."""
    may = asked("assess").out.partition("\nMAY SHIP")[2].partition("\nPrinted limits")[0]

    assert named(may) == set(truth["clean"])


def test_hints_go_to_the_error_stream(asked: Asked) -> None:
    """What is piped on is the answer and nothing else."""
    told = asked("assess")

    assert "assess LOT" in told.err
    assert "assess LOT" not in told.out


@pytest.mark.parametrize("lots", _PRINTED, ids=" ".join)
def test_a_page_fits_eighty_columns(lots: tuple[str, ...], asked: Asked) -> None:
    """Whatever the lot."""
    assert [line for line in asked("assess", *lots).out.splitlines() if len(line) > 80] == []


def test_the_page_of_a_lot_says_the_answer_first_and_the_worst_next(
    asked: Asked, truth: Any
) -> None:
    """Then limits with value, bound, margin, number and source; then where its foam came from."""
    light = next(one for one in truth["faults"] if one["kind"] == "light_silo")
    told = asked("assess", light["lots"][0])
    lines = told.out.splitlines()

    assert told.status == 1
    assert lines[0] == f"{light['lots'][0]}: MAY NOT SHIP"
    assert next(line for line in lines if line.startswith("Worst: "))
    density = next(line for line in lines if line.strip().startswith("density, each"))
    assert re.search(
        r"[\d.]+–[\d.]+ +22\.0–24\.4 kg/m3 +-\d\.\d\d +\d +24 h +NOT MET +\[1\]", density
    )
    assert "NOT VERIFIED against the paid text" in told.out
    assert f"{light['place']} 100.0%" in told.out


def test_what_is_missing_stands_first_where_evidence_is_missing(asked: Asked, truth: Any) -> None:
    """The engineer sees at once what to measure."""
    told = asked("assess", truth["not_yet"][0])

    assert told.status == 1
    assert told.out.splitlines()[0].endswith("NOT ENOUGH EVIDENCE")
    assert "\nMissing: " in told.out


def test_a_lot_that_may_ship_is_status_0(asked: Asked, truth: Any) -> None:
    """The status answers for the lots asked about, not for the plant; 1 where one must wait."""
    two = truth["clean"][:2]
    told = asked("assess", *two)
    said = json.loads(asked("assess", *two, "--json").out)["lots"]

    assert [one["answer"] for one in said] == ["may_ship", "may_ship"]
    assert told.status == int(not all(one["may_leave"] for one in said))
    words = re.findall(r"^(\S+): (MAY SHIP|SHIPPED, NO)", told.out, re.MULTILINE)
    assert [lot for lot, _ in words] == two


def test_limits_can_be_shown_in_other_units(asked: Asked) -> None:
    """22.0 kg/m³ is 1.373 lb/ft³ (exact factors: 0.45359237 kg, 0.3048 m)."""
    assert "1.373–" in asked("assess", "L1-001", "--units", "us").out


@pytest.mark.parametrize(
    "words",
    [
        ("trace", "L1-010", "--back"),
        ("trace", "F2-D1-04", "--forward"),
        ("trace", "F2-D1-04", "--forward", "--units", "us"),
        ("stock",),
        ("stock", "--lots", "--units", "us"),
        ("nonconformities",),
        ("people",),
        ("doctor",),
        ("verify",),
    ],
    ids=" ".join,
)
def test_other_answers_fit_eighty_columns_too(words: tuple[str, ...], asked: Asked) -> None:
    """Nothing is cut off: what does not fit is put on the next line."""
    told = asked(*words)

    assert told.status == 0
    assert [line for line in told.out.splitlines() if len(line) > 80] == []
    assert "…" not in told.out


def test_the_closing_account_comes_to_what_was_made(asked: Asked) -> None:
    """Every gram of a bag is somewhere, by name; the sum is shown."""
    account = asked("trace", "F2-D1-04", "--forward").out.partition("Where its material is now")[2]

    assert re.search(r"together +[\d.]+ kg +100\.0", account)


def test_every_nonconformity_is_open_and_its_cause_can_be_copied(asked: Asked) -> None:
    """The cause is what a concession takes."""
    causes = {one["cause"] for one in json.loads(asked("nonconformities", "--json").out)["causes"]}

    for cause in causes:
        assert f"\n{cause}  OPEN" in asked("nonconformities").out


def test_readings_of_the_lot_whose_test_speaks_for_another_are_told_as_its(
    asked: Asked, truth: Any
) -> None:
    """A lot's history holds the strength of another lot, and says whose it is."""
    told = [asked("history", lot, "--json").out for lot in truth["clean"][:3]]
    said = [one["sentence"] for text in told for one in json.loads(text)["entries"]]
    others = [text for text in said if "compressive resistance" in text]

    assert others
    assert [text for text in said if text.startswith("read: ;") or text == "read: "] == []
    assert any(re.search(r", of L\d-\d{3}$", text) for text in others)
