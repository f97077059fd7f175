"""Defects: what must hold of any counts, and how seldom chance is taken for a cause."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import fisher_exact, hypergeom

from beadwright.errors import OutOfRange
from beadwright.statistics.defects import (
    Group,
    Stratum,
    holm,
    over_represented,
    pareto,
    standing_out,
    within,
)

COUNTS = st.dictionaries(st.sampled_from("abcdefgh"), st.integers(0, 60), min_size=2).filter(
    lambda counts: sum(counts.values()) > 0
)
CHANCES = st.lists(st.floats(0, 1), min_size=1, max_size=20)


@given(COUNTS)
def test_shares_add_up_and_run_up_to_all(counts: dict[str, int]) -> None:
    """Each lies in its interval; the running share rises to one, the greatest loss first."""
    found = pareto(counts)
    losses = [one.loss for one in found.causes]

    assert sum(one.share for one in found.causes) == pytest.approx(1)
    assert found.causes[-1].running == pytest.approx(1)
    assert losses == sorted(losses, reverse=True)
    for one in found.causes:
        assert 0 <= one.lower <= one.share + 1e-12
        assert one.share <= one.upper + 1e-12 <= 1 + 1e-9


@given(CHANCES)
def test_the_correction_is_dearer_and_keeps_the_order(chances: list[float]) -> None:
    """None is below its own or above 1, and the least is its own times their number."""
    corrected = holm(chances)

    for one, other in zip(chances, corrected, strict=True):
        assert one - 1e-12 <= other <= 1
    assert min(corrected) == pytest.approx(min(1.0, min(chances) * len(chances)))
    order = np.argsort(chances)
    assert np.all(np.diff(corrected[order]) >= -1e-12)


def test_cost_changes_the_order_and_not_the_shares() -> None:
    """What is dear comes first; the words say both."""
    found = pareto({"dent": 40, "short": 6}, {"dent": 0.2, "short": 9.0})

    assert [one.name for one in found.causes] == ["short", "dent"]
    assert found.causes[0].share == pytest.approx(6 / 46)
    assert found.surely_first
    assert any("By what is lost short comes first: 87 in 100." in one for one in found.words)


def test_two_alike_are_not_told_apart() -> None:
    """21 and 18 may be as frequent; 40 and 10 are not."""
    near, far = pareto({"a": 21, "b": 18, "c": 2}), pareto({"a": 40, "b": 10, "c": 2})

    assert (near.surely_first, near.not_surely_behind) == (False, ("b",))
    assert (far.surely_first, far.not_surely_behind) == (True, ())


def test_all_shares_lie_in_their_intervals_at_once() -> None:
    """2000 draws of 200 defects of six kinds: at least 95 in 100, less four errors."""
    random, shares = np.random.default_rng(5), np.array([0.4, 0.2, 0.15, 0.1, 0.1, 0.05])
    held = 0
    for _ in range(2000):
        drawn = random.multinomial(200, shares)
        found = {
            one.name: one
            for one in pareto(dict(zip("abcdef", map(int, drawn), strict=True))).causes
        }
        held += all(
            found[name].lower <= share <= found[name].upper
            for name, share in zip("abcdef", shares, strict=True)
        )

    assert held / 2000 >= 0.95 - 4 * math.sqrt(0.95 * 0.05 / 2000)


@pytest.mark.parametrize("pieces", [True, False])
def test_chance_alone_seldom_stands_out(pieces: bool) -> None:
    """1500 plants with twelve lots and nothing wrong: at most 5 in 100 name a lot, and errors."""
    random, named = np.random.default_rng(9), 0
    for _ in range(1500):
        of = random.integers(50, 400, 12)
        bad = random.binomial(of, 0.03) if pieces else random.poisson(of * 0.03)
        groups = [
            Group(f"lot {n}", int(one), int(all_of))
            for n, (one, all_of) in enumerate(zip(bad, of, strict=True))
        ]
        named += any(one.stands_out for one in over_represented(groups, pieces=pieces))

    assert named / 1500 <= 0.05 + 4 * math.sqrt(0.05 * 0.95 / 1500)


def test_a_bad_lot_is_found() -> None:
    """Three times as many in one of twelve lots of 400: named in nine of ten plants at least."""
    random, named = np.random.default_rng(10), 0
    for _ in range(200):
        groups = [
            Group(f"lot {n}", int(random.binomial(400, 0.09 if n == 7 else 0.03)), 400)
            for n in range(12)
        ]
        found = over_represented(groups)
        named += found[0].name == "lot 7" and found[0].stands_out

    assert named >= 180


def test_a_table_is_corrected_for_all_its_cells() -> None:
    """One cell is found among forty; of a table of chance hardly any."""
    random = np.random.default_rng(11)
    stations = {f"S{n}": 300 for n in range(8)}
    kinds = ("dent", "short", "fusion", "tie", "crack")

    def table() -> dict[str, dict[str, int]]:
        return {
            kind: {name: int(random.binomial(300, 0.02)) for name in stations} for kind in kinds
        }

    wrong = sum(
        any(one.stands_out for _, one in standing_out(table(), stations)) for _ in range(300)
    )
    planted = table()
    planted["tie"]["S3"] = 30

    assert wrong <= 300 * (0.05 + 4 * math.sqrt(0.05 * 0.95 / 300))
    kind, one = standing_out(planted, stations)[0]
    assert (kind, one.name, one.stands_out) == ("tie", "S3", True)
    assert one.ratio > 4


def test_a_cavity_is_set_against_those_of_its_mould() -> None:
    """By the exact test of each pair, corrected for all four; one by itself is not tested."""
    table = {"dent": {"A1": 1, "A2": 14, "B1": 30, "B2": 31, "C1": 40}}
    of = dict.fromkeys(table["dent"], 100)
    ((_, one),) = standing_out(table, of, among={name: name[0] for name in of})
    exact = fisher_exact([[14, 86], [1, 99]], alternative="greater").pvalue

    assert (one.name, one.bad, one.others) == ("A2", 14, 0.01)
    assert one.holm == pytest.approx(4 * exact, rel=1e-9)
    assert standing_out(table, of, among={name: name for name in of}) == ()


def test_pieces_that_cannot_have_a_kind_are_not_set_beside_those_that_can() -> None:
    """By SciPy's exact test of the stations left; the other kind is tested over all of them."""
    table = {"tie": {"A": 12, "B": 13}, "dent": {"A": 5, "B": 5, "C": 30}}
    of = {"A": 300, "B": 300, "C": 1200}
    found = standing_out(table, of)
    assert {(kind, one.name) for kind, one in found} == {("tie", "A"), ("tie", "B")}

    able = {"tie": {"A": 300, "B": 300, "C": 0}}
    assert standing_out(table, of, able=able) == ()
    table["tie"]["B"] = 40
    ((kind, one),) = standing_out(table, of, able=able)
    exact = fisher_exact([[40, 260], [12, 288]], alternative="greater").pvalue
    assert (kind, one.name, one.others) == ("tie", "B", 0.04)
    assert one.holm == pytest.approx(5 * exact, rel=1e-9)  # two stations and three
    alone = {"tie": {"B": 300}}
    assert standing_out({"tie": {"B": 40}}, of, able=alone) == ()
    with pytest.raises(OutOfRange, match="of is without A"):
        standing_out(table, of, able=alone)


def test_a_group_without_bad_pieces_elsewhere() -> None:
    """All the bad pieces in one lot: the ratio has no end."""
    one, other = over_represented([Group("a", 5, 50), Group("b", 0, 50)])

    assert (one.name, one.ratio, other.ratio) == ("a", math.inf, 0.0)


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: pareto({"a": 1}), "counts is 1 of kinds"),
        (lambda: pareto({"a": 0, "b": 0}), "counts is 0"),
        (lambda: pareto({"a": -1, "b": 3}), "counts of a is -1"),
        (lambda: pareto({"a": 1, "b": 3}, {"a": 1.0}), "cost is without b"),
        (lambda: pareto({"a": 1, "b": 3}, {"a": -1.0, "b": 1.0}), "cost is -1.0"),
        (lambda: pareto({"a": 1, "b": 3}, confidence=1.0), "confidence is 1.0"),
        (lambda: over_represented([Group("a", 1, 2)]), "groups is 1 of them"),
        (lambda: over_represented([Group("a", 1, 2)] * 2), "groups is a twice"),
        (lambda: over_represented([Group("a", 3, 2), Group("b", 1, 2)]), "bad is 3"),
        (lambda: over_represented([Group("a", 0, 0), Group("b", 1, 2)]), "of is 0"),
        (lambda: standing_out({"k": {}}, {"a": 1}, among={}), "among is without a"),
        (lambda: standing_out({}, {"a": 1}), "table is empty"),
        (lambda: standing_out({"k": {"z": 1}}, {"a": 1, "b": 2}), "of is without z"),
        (lambda: holm([0.5, 1.5]), "probabilities[1] is 1.5"),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its value, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)


def test_strata_are_summed_over_every_way_they_can_fall() -> None:
    """Two strata: the chance is that of all pairs of counts with so great a sum."""
    strata = [Stratum(3, 5, 4, 12), Stratum(2, 4, 3, 9)]
    found = within(strata)
    chances = [
        hypergeom.pmf(one, 12, 4, 5) * hypergeom.pmf(other, 9, 3, 4)
        for one in range(5)
        for other in range(4)
        if one + other >= 5
    ]

    assert found is not None
    assert found.probability == pytest.approx(sum(chances))
    assert found.expected == pytest.approx(5 * 4 / 12 + 4 * 3 / 9)


def test_strata_that_do_not_compare_say_nothing() -> None:
    """All of a stratum is the group's, or none of it is bad: as if it were not there."""
    alone = [Stratum(3, 12, 3, 12), Stratum(0, 4, 0, 9), Stratum(0, 0, 3, 9)]

    assert within(alone) is None
    assert within([*alone, Stratum(3, 5, 4, 12)]) == within([Stratum(3, 5, 4, 12)])
    with pytest.raises(OutOfRange, match="strata"):
        within([Stratum(5, 4, 5, 9)])
    with pytest.raises(OutOfRange, match="strata"):
        within([Stratum(1, 8, 5, 9)])
