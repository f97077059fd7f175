"""What a lot is judged by that came into the record after it: told, and nothing decided by it."""

from __future__ import annotations

import pytest

from beadwright.ledger.entered import Mark
from beadwright.plant import afterwards
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES
from tests.plant.asking import coded, good_yard, the_lot
from tests.plant.yard import FORM, Yard, ms

pytestmark = pytest.mark.django_db

LIMIT = {
    "product": "FB6", "characteristic": "density", "bound": "min", "statistic": "mean",
    "source": "signed limits", "evidence": "lot_test",
}  # fmt: skip


def keyed_at(yard: Yard, hours: float) -> None:
    """From here on, what is posted is recorded at that hour."""
    yard.door = Door("P1", RULES, clock=lambda: ms(hours))


@pytest.fixture
def yard(monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A lot that may ship by what was set before it was weighed; recorded on day 4."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(4 * 24))
    return good_yard("L1")


@pytest.mark.parametrize(("hours", "since", "is_told"), [
    (30 * 24, 0, True),  # a month later, for the day it was made
    (30 * 24, 48, False),  # for a day after it: it is not judged by that
    (6 * 24, 0, False),  # with the lot, by what brought it
])  # fmt: skip
def test_a_limit_set_afterwards_for_the_day_is_named(
    yard: Yard, hours: float, since: float, *, is_told: bool
) -> None:
    """With who set it, when, from which day, and what it was before."""
    keyed_at(yard, hours)
    yard.set("limit", "LOOSE", {**LIMIT, "value": "10 kg/m3"}, since=since)
    lot = the_lot(yard)

    found = coded(lot, "set_afterwards")
    assert bool(found) is is_told
    assert lot.answer == "may_ship"
    for one in found:
        assert one.weight == "notes"
        assert "limit LOOSE from 2026-09-01" in one.sentence
        assert "(new: bound: min; characteristic: density; value: 10 kg/m3" in one.sentence
        assert "on 2026-10-01" in one.sentence


def test_hours_of_shifts_are_told_where_a_test_is_made_every_shift(yard: Yard) -> None:
    """Elsewhere they decide nothing of a lot."""
    keyed_at(yard, 30 * 24)
    yard.set("shift", "early", {"from": "06:00"}, since=0)
    assert coded(the_lot(yard), "set_afterwards") == []
    yard.set("plan", "FUSION", product="FB6", characteristic="fusion", evidence="lot_test",
             every="shift", since=30 * 24)  # fmt: skip
    (found,) = coded(the_lot(yard), "set_afterwards")
    assert "shift early from 2026-09-01 (new: from: 06:00)" in found.sentence


@pytest.mark.parametrize(("by", "of", "days", "together"), [
    ("import:1f", "import:1f", 1, True),  # the same files, read on
    ("import:1f", "import:1f", 8, False),
    ("import:1f", "import:2e", 0, False),  # other files
    ("P-13", "P-13", 0, False),  # whoever keyed the lot keyed this after it
    ("install", "install", 1, True),  # the shell is nobody's own account
])  # fmt: skip
def test_only_the_same_files_bring_something_with_a_lot(
    by: str, of: str, days: int, *, together: bool
) -> None:
    """An account of a person's own hides nothing that the person entered afterwards."""
    born, mark = Mark(of, ms(0)), Mark(by, ms(days * 24))

    assert afterwards._together(mark, born) is together


def test_another_products_limit_is_none_of_its_business(yard: Yard) -> None:
    """Unless it was for this product before."""
    keyed_at(yard, 30 * 24)
    yard.set("limit", "OTHER", {**LIMIT, "product": "FB8", "value": "10 kg/m3"})
    assert coded(the_lot(yard), "set_afterwards") == []

    yard.set("limit", "ALL", {**LIMIT, "product": "*", "value": "10 kg/m3"})
    assert len(coded(the_lot(yard), "set_afterwards")) == 1


def test_a_product_set_anew_for_the_day_is_named_key_by_key(yard: Yard) -> None:
    """The foam's volume turns every density."""
    keyed_at(yard, 30 * 24)
    yard.set("product", "FB6", {**FORM, "foam_volume": "60 L"})
    (found,) = coded(the_lot(yard), "set_afterwards")

    assert "product FB6 from" in found.sentence
    assert f"foam volume: {FORM['foam_volume']}, now 60 L" in found.sentence


def test_a_corrected_step_on_its_way_is_named(yard: Yard) -> None:
    """The carton's unit mass turns the foam's mass; who corrected it and why stand beside."""
    assert coded(the_lot(yard), "step_corrected") == []
    key = next(one for one, draft in yard.steps.items() if draft.kind == "expand")
    old = yard.steps[key]
    yard.correct(key, at=81, happened_at=(old.happened_at or 0) + 60_000)
    (found,) = coded(the_lot(yard), "step_corrected")

    assert "expanded" in found.sentence
    assert '"mistyped"' in found.sentence
    assert found.weight == "notes"
