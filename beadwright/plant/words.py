"""Words for what the record calls by a short name."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

__all__ = [
    "ANSWER_WORDS",
    "KIND_WORDS",
    "STEP_WORDS",
    "capital",
    "code_words",
    "in_runs",
    "iso",
    "number",
    "place_of",
]

_ENDS = re.compile(r"^(.*?)([0-9]+)$")

KIND_WORDS: Mapping[str, str] = {
    "bead": "beads",
    "bag": "bead bag",
    "content": "place",
    "tie": "ties",
    "carton": "tie carton",
    "block": "blocks",
}
"""Kinds and sorts of lots, where the record's word needs another."""

STEP_WORDS: Mapping[str, str] = {
    "receipt": "received",
    "expand": "expanded",
    "fill": "filled",
    "draw": "drawn",
    "mould": "moulded",
    "produce": "moulded",
    "inspect": "inspected",
    "split": "split",
    "merge": "merged",
    "move": "moved",
    "sample": "sampled",
    "bundle": "bundled",
    "ship": "shipped",
    "return": "returned",
    "scrap": "scrapped",
    "strip": "stripped",
    "grind": "ground",
    "densify": "densified",
    "dispose": "disposed",
    "ran_empty": "ran empty",
    "swept_empty": "swept empty",
    "weigh": "weighed",
    "stocktake": "counted",
    "run_open": "run opened",
    "run_close": "run closed",
    "first_piece": "first piece judged",
    "relabel": "relabelled",
    "mould_change": "mould changed",
}

ANSWER_WORDS: Mapping[str, str] = {
    "may_ship": "may ship",
    "may_not_ship": "may not ship",
    "not_enough_evidence": "not enough evidence",
}

_CODE_WORDS: Mapping[str, str] = {
    "wrong_grade": "wrong grade",
    "wrong_grade_in_place": "wrong grade in a place",
    "reclaim_in_block": "reclaim in a form block",
    "too_fresh": "beads too fresh",
    "too_old": "beads too old",
    "more_than_held": "more drawn than the books held",
    "imbalance": "mass missing or too much",
    "count_differs": "count differs from the books",
    "limit_not_met": "limit not met",
}


def capital(text: str) -> str:
    """Give a text that begins with a capital."""
    return text[:1].upper() + text[1:]


def code_words(code: str) -> str:
    """Give a code in words."""
    return _CODE_WORDS.get(code, code.replace("_", " "))


def place_of(place: str) -> str:
    """Give a place in words; beyond the gate it is the receiver."""
    return place.removeprefix("outside:")


def number(count: int, what: str) -> str:
    """Give a number with what it counts, in the plural where it needs one."""
    if count == 1:
        return f"1 {what}"
    if what.endswith("y") and what[-2:-1] not in "aeiou":
        return f"{count} {what[:-1]}ies"
    return f"{count} {what}s"


def in_runs(codes: Sequence[str]) -> str:
    """Give codes in words, runs of following numbers drawn together.

    >>> in_runs(["L1-007", "L1-001", "L1-002", "L1-003"])
    'L1-001 to L1-003, L1-007'
    """
    runs: list[list[str]] = []
    for code in sorted(codes):
        if runs and _follows(runs[-1][-1], code):
            runs[-1].append(code)
        else:
            runs.append([code])
    return ", ".join(_run(run) for run in runs)


def _run(run: Sequence[str]) -> str:
    if len(run) > 2:  # noqa: PLR2004 - two stand beside each other
        return f"{run[0]} to {run[-1]}"
    return ", ".join(run)


def _follows(before: str, after: str) -> bool:
    one, two = _ENDS.match(before), _ENDS.match(after)
    return bool(
        one
        and two
        and one[1] == two[1]
        and len(one[2]) == len(two[2])
        and int(two[2]) == int(one[2]) + 1
    )


def iso(at_ms: int | None, zone: ZoneInfo) -> str | None:
    """Give a time in the plant's zone as ISO 8601 writes it."""
    if at_ms is None:
        return None
    return datetime.fromtimestamp(at_ms / 1000, zone).isoformat(timespec="seconds")
