"""Decisions are read back as they were made, in the order of the record."""

import pytest

from beadwright.ledger.decided import of_kinds
from beadwright.ledger.draft import Decision
from tests.plant.yard import Yard, ms


@pytest.mark.django_db
def test_decisions_come_back_by_kind_and_by_what_they_are_about() -> None:
    """The body is what was said; the order is that of entry, not of happening."""
    yard = Yard.open()
    yard.post(Decision("a", ms(9), "signature", "balance", {"ok": True, "n": 3}, by="P-13"))
    yard.post(Decision("b", ms(5), "signature", "other", {"text": "é"}))
    yard.post(Decision("c", ms(6), "remark", "balance", {}))

    assert [one.about for one in of_kinds(yard.no, "signature")] == ["balance", "other"]
    first = of_kinds(yard.no, "signature")[0]
    assert (first.body, first.at_ms, first.by) == ({"ok": True, "n": 3}, ms(9), "P-13")
    (bare,) = of_kinds(yard.no, "remark")
    assert (bare.about, bare.body) == ("balance", {})
    assert len(of_kinds(yard.no, "remark", "signature")) == 3
    assert of_kinds(yard.no) == ()
