"""What cannot be entered in a nonconformity file, one way to say each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from beadwright.ledger.draft import Decision, Draft
from tests.plant.yard import Yard, ms

__all__ = ["FILED", "entry", "explained", "opened"]

AT = 40


def entry(kind: str, number: str = "NC-0001", /, key: str = "x", **body: Any) -> Decision:
    """An entry about a file."""
    return Decision(key, ms(AT), f"nc_{kind}", number, body, by="P-13")


def opened(yard: Yard, **more: Any) -> None:
    """Open a file on a bag and on what was moulded from beads too fresh."""
    yard.mould("L9", good=2, at=3)
    items = [{"lot": "L9", "pieces": 2, "mg": 6}]
    body = {"title": "fresh", "origin": "record", "causes": ["too_fresh:S1"], "items": items}
    yard.post(entry("open", key="open", **{**body, **more}))


def _of(kind: str, /, **body: Any) -> Callable[[Yard], Draft]:
    def made(yard: Yard) -> Draft:
        opened(yard)
        return entry(kind, **body)

    return made


def _number_used(yard: Yard) -> Draft:
    opened(yard)
    return entry("open", title="other", origin="found")


def _cause_filed(yard: Yard) -> Draft:
    opened(yard)
    return entry("open", "NC-2", title="again", origin="record", causes=["too_fresh:S1"])


def _closed(yard: Yard) -> Draft:
    yard.post(entry("open", key="a", title="seen", origin="found"))
    yard.post(entry("close", key="b", text="nothing to it"))
    return entry("note", text="more")


def explained(yard: Yard) -> None:
    """State why it happened, and an action that worked."""
    yard.post(entry("cause", key="e", text="a nail"))
    yard.post(entry("action", key="f", action=1, text="pull it", who="P-02", due="2026-10-01"))
    yard.post(entry("check", key="g", action=1, result="worked", text="none left"))


def _unexplained(yard: Yard) -> None:
    items = [{"lot": "B-1", "mg": 5}]
    yard.post(entry("open", key="a", title="torn bag", origin="found", items=items))
    yard.post(entry("disposition", key="d", lot="B-1", how="scrap", mg=5, reason="torn"))


def _cause_not_stated(yard: Yard) -> Draft:
    _unexplained(yard)
    yard.post(entry("action", key="f", action=1, text="pull it", who="P-02", due="2026-10-01"))
    yard.post(entry("check", key="g", action=1, result="worked", text="none left"))
    return entry("close", text="done")


def _action_not_stated(yard: Yard) -> Draft:
    _unexplained(yard)
    yard.post(entry("cause", key="e", text="a nail"))
    return entry("close", text="done")


def _cause_open(yard: Yard) -> Draft:
    opened(yard)
    yard.post(entry("disposition", key="d", lot="L9", how="scrap", pieces=2, reason="soft"))
    explained(yard)
    return entry("close", text="done")


def _quantity_left(yard: Yard) -> Draft:
    items = [{"lot": "B-1", "mg": 5}]
    yard.post(entry("open", key="a", title="torn bag", origin="found", items=items))
    explained(yard)
    return entry("close", text="done")


def _action_unchecked(yard: Yard) -> Draft:
    yard.post(entry("open", key="a", title="torn bag", origin="found"))
    yard.post(entry("action", key="b", action=1, text="sew", who="P-02", due="2026-10-01"))
    return entry("close", text="done")


FILED: Mapping[str, Callable[[Yard], Draft]] = {
    "unknown_file": lambda _: entry("note", "NC-0099", text="more"),
    "number_used": _number_used,
    "file_closed": _closed,
    "cause_filed": _cause_filed,
    "more_than_quantity": _of("disposition", lot="L9", how="scrap", pieces=3, reason="soft"),
    "unknown_action": _of("check", action=1, result="worked", text="looked"),
    "cause_open": _cause_open,
    "quantity_left": _quantity_left,
    "cause_not_stated": _cause_not_stated,
    "action_not_stated": _action_not_stated,
    "action_unchecked": _action_unchecked,
}
"""For each code, a yard with bag B-1 and beads in S1 made ready, and a draft of it."""
