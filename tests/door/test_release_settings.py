"""Settings about what leaves the plant: who releases, from which age, after which first piece."""

from __future__ import annotations

import pytest

from beadwright.errors import Refusal
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("topic", "name", "body"),
    [
        ("release", "rule", {"persons": 1}),
        ("release", "rule", {"persons": 2, "tester_apart": True}),
        ("age_gate", "wrap", {"min_h": "24"}),
        ("age_gate", "closed_trailer", {"min_h": "72"}),
        ("age_gate", "hot_wire", {"min_h": "48.5"}),
        ("first_piece", "rule", {"after": ["start", "mould", "bead", "tie"]}),
        ("first_piece", "rule", {"after": []}),
    ],
)
def test_a_rule_that_can_be_read_is_set(topic: str, name: str, body: dict[str, object]) -> None:
    """Each topic takes what its rule reads."""
    assert Yard.open().set(topic, name, body).seq


@pytest.mark.parametrize(
    ("topic", "name", "body"),
    [
        ("release", "rule", {}),
        ("release", "rule", {"persons": 0}),
        ("release", "rule", {"persons": 3}),
        ("release", "rule", {"persons": True}),
        ("release", "rule", {"persons": 2, "tester_apart": "yes"}),
        ("release", "FB6", {"persons": 2}),
        ("age_gate", "wrap", {"min_h": "a day"}),
        ("age_gate", "wrap", {}),
        ("age_gate", "oven", {"min_h": "24"}),
        ("first_piece", "rule", {"after": ["lunch"]}),
        ("first_piece", "rule", {"after": "start"}),
        ("first_piece", "FB6", {"after": ["start"]}),
        ("role", "ann", {"role": ["engineer"]}),
    ],
)
def test_a_rule_that_cannot_be_read_is_refused(
    topic: str, name: str, body: dict[str, object]
) -> None:
    """A misspelt one would stand for ever and do nothing."""
    with pytest.raises(Refusal) as refused:
        Yard.open().set(topic, name, body)

    assert set(refused.value.codes) == {"bad_setting"}


def test_nobody_sets_a_lot_released() -> None:
    """Approvals alone make a release; a setting of that topic would pass for one."""
    body = {"approvals": [["P-13", "0" * 64]]}

    with pytest.raises(Refusal) as refused:
        Yard.open().set("released", "L1", body)

    assert refused.value.codes == ("bad_setting",)
