"""Words for what the record calls by a short name."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = [
    "ANSWER_WORDS",
    "KIND_WORDS",
    "STEP_WORDS",
    "code_words",
    "number",
    "place_of",
]

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
