"""A lot is traced by its code or by a label on it; what fits two lots is asked about."""

import itertools
import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from beadwright.ledger.draft import Label, StepDraft
from beadwright.ledger.texts import unreadable
from tests.cli.shell import Shell
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

BAGS = ("B-1", "B-2", "B-3")
_serial = itertools.count()

# What suppliers print: anything, codes of our own and of other lots included.
TEXTS = st.one_of(
    st.sampled_from((*BAGS, "b-1", "88-A", "(01)04012345(21)7", "Los 7/ä", "--back", "L1")),
    st.text(st.characters(), min_size=1, max_size=12).filter(lambda text: not unreadable(text)),
).filter(lambda text: text.strip() == text)


def labelled(yard: Yard, labels: dict[str, set[str]]) -> None:
    """Put labels on bags, as a relabelling does."""
    given_ = {
        code: tuple(Label(f"I{next(_serial)}", text) for text in sorted(texts))
        for code, texts in labels.items()
        if texts
    }
    if given_:
        key = f"relabel/{next(_serial)}"
        yard.post(StepDraft(key, "relabel", ms(1), (), labels=given_, by="P-01"))


@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(st.fixed_dictionaries({code: st.sets(TEXTS, max_size=3) for code in BAGS}))
def test_a_label_names_the_lot_it_is_on_and_no_other(labels: dict[str, set[str]]) -> None:
    """On one lot: the trace is that of its code. On two: none is traced, and both are named.

    Another lot's label may read as a code does; `code:` before it says which is meant.
    """
    shell, plant = Shell.here(), f"P{next(_serial)}"
    yard = Yard.open(plant)
    for code in BAGS:
        yard.bag(code)
    labelled(yard, labels)

    def traced(text: str) -> tuple[int, str, str]:
        told = shell("--plant", plant, "trace", "--forward", "--json", "--", text)
        return told.status, told.out, told.err

    for text in set().union(*labels.values()):
        fits = [code for code in BAGS if code == text.upper() or text in labels[code]]
        status, out, err = traced(text)
        if len(fits) == 1:
            assert (status, out) == (0, traced(f"code:{fits[0]}")[1])
        else:
            assert (status, out) == (2, "")
            assert [code for code in fits if f"- {code} " not in err] == []


def test_both_ways_say_which_lot_and_how_much(shell: Shell) -> None:
    """Forward of the bag is the silo and the lot; back of the lot is the bag."""
    yard = Yard.open()
    yard.block_lot("L1")

    forward = json.loads(shell("trace", "B-1", "--forward", "--json").out)
    back = json.loads(shell("trace", "L1", "--back", "--json").out)

    assert [one["lot"] for one in forward["lots"]] == ["S1", "L1"]
    assert {one["lot"] for one in back["lots"]} == {"S1", "B-1", "T-1"}
    bag = next(one for one in back["lots"] if one["lot"] == "B-1")
    lot = next(one for one in forward["lots"] if one["lot"] == "L1")
    assert bag["mass_mg"] == lot["mass_mg"] == 40 * 1_495_000


def test_what_was_cut_off_is_given_as_a_sum(shell: Shell) -> None:
    """Nothing falls away in silence."""
    yard = Yard.open()
    yard.block_lot("L1")

    told = json.loads(shell("trace", "B-1", "--forward", "--cut", "100e6", "--json").out)

    assert [one["lot"] for one in told["lots"]] == ["S1"]
    assert (told["cut_off_mg"], told["cut_off_lots"]) == (40 * 1_495_000, 1)
    page = " ".join(shell("trace", "B-1", "--forward", "--cut", "100e6").out.split())
    assert "Not listed: 1 lot with less than 1e+08 mg expected in it, together 59.8 kg" in page


def test_lots_behind_what_was_cut_off_are_counted_too(shell: Shell) -> None:
    """Where one lot is not listed, nor is what was made of it."""
    yard = Yard.open()
    yard.block_lot("L1")
    yard.bundle("BU-1", "L1", 10)
    yard.ship("SH-1", "BU-1", 10)

    told = json.loads(shell("trace", "B-1", "--forward", "--cut", "100e6", "--json").out)

    assert ([one["lot"] for one in told["lots"]], told["cut_off_lots"]) == (["S1"], 3)


def test_both_ways_give_the_same_share(shell: Shell) -> None:
    """Of the silo too, which another bag went into: text and JSON say 300 of 400 kg."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.bag("B-2")
    yard.expand("B-1", "S1", 300, at=2)
    yard.expand("B-2", "S1", 100, at=3)

    def share(of: str, way: str, lot: str) -> tuple[float, str]:
        told = json.loads(shell("trace", of, way, "--json").out)
        (one,) = (each for each in told["lots"] if each["lot"] == lot)
        (line,) = (x for x in shell("trace", of, way).out.splitlines() if x.startswith(f"{lot} "))
        return one["share"], line

    forward, back = share("B-1", "--forward", "S1"), share("S1", "--back", "B-1")

    assert forward[0] == back[0] == 0.75
    assert " 75.0 " in forward[1]
    assert " 75.0 " in back[1]


def test_the_page_says_what_a_share_is_of(shell: Shell) -> None:
    """By the codes of the lots, either way."""
    Yard.open().block_lot("L1")
    forward = " ".join(shell("trace", "B-1", "--forward").out.split())
    back = " ".join(shell("trace", "L1", "--back").out.split())

    assert "of all that ever came into the lot listed, the part that is from B-1" in forward
    assert "of all that ever came into L1, the part that is from the lot listed" in back


@pytest.mark.parametrize("way", ["--back", "--forward"])
def test_a_cut_above_all_masses_says_that_lots_were_cut_off(way: str, shell: Shell) -> None:
    """And never that there was nothing."""
    Yard.open().block_lot("L1")
    told = shell("trace", "S1", way, "--cut", "1e12")

    assert "Nothing" not in told.out
    assert "No lot has 1e+12 mg or more expected in it." in told.out
    assert "Not listed" in told.out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("B-1",), "--back"),
        (("B-1", "--back", "--forward"), "not both"),
        (("B-1", "--forward", "--back"), "not both"),
        (("B-9", "--back"), "'B-9'"),
        (("B-1", "--back", "--cut", "-1"), "--cut"),
        ((), "LOT"),
    ],
)
def test_a_trace_that_cannot_be_meant_is_misuse(
    words: tuple[str, ...], says: str, shell: Shell
) -> None:
    """The message says what to write."""
    Yard.open().bag("B-1")

    told = shell("trace", *words)

    assert (told.status, told.out) == (2, "")
    assert says in told.err
