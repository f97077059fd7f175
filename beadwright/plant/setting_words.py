"""Words that a setting may hold where only some words mean anything, and what cannot be meant.

Read :data:`WORDS` first. A limit whose evidence nobody knows would be asked of no lot, and a lot
would ship; so such a word is refused where it is stated, in a file and at the door alike.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from beadwright.errors import Misuse
from beadwright.plant.bounds import EVIDENCE
from beadwright.plant.calibrations import LISTED, NAMED
from beadwright.plant.decision_rule import ACCEPTANCES
from beadwright.plant.inspection_plans.setting import LEVELS
from beadwright.plant.inspection_plans.variables_set import BLOCK_STATES
from beadwright.plant.limits import own_limit
from beadwright.quality.characteristics import CHARACTERISTICS, DERIVED, Level
from beadwright.standards import limits as printed_limits
from beadwright.standards.rows import Product

__all__ = ["LIMITED", "PLANNED", "WORDS", "unmeant", "wrong_words"]

PLANNED = (
    *(
        name
        for name, one in CHARACTERISTICS.items()
        if one.level not in {Level.SILO, Level.MACHINE}
    ),
    *DERIVED,
)
"""Characteristics that evidence can be planned of."""

LIMITED = tuple(name for name in PLANNED if name in DERIVED or CHARACTERISTICS[name].kind)
"""Characteristics that a limit can be put on."""

_FORM = "form"
_PRODUCTS: tuple[Product, ...] = ("form block", "board")
WORDS: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "product": {
        "family": (_FORM, "packaging"),
        "shape": (
            "straight", "corner_90", "corner_45", "tee", "ledge", "taper_top", "half_height",
            "radius", "other",
        ),
    },
    "grade": {"of": ("bead", "tie"), "flame_retardant": ("yes", "no", "n/a")},
    "place": {
        "kind": ("silo", "hopper", "line", "expander", "press", "store", "dock", "outside"),
        "cup_shows": ("mass", "density"),
        "stops_on": ("level", "time"),
        "trims": ("person", "machine"),
    },
    "room": {"fan": ("running", "stopped")},
    "limit": {"bound": ("min", "max"), "statistic": ("each", "mean"), "evidence": EVIDENCE},
    "plan": {"evidence": EVIDENCE},
    "reading": {"instrument": (NAMED, LISTED)},
    "decision": {"acceptance": ACCEPTANCES},
    "inspection": {"level": LEVELS},
    "variables": {"state": BLOCK_STATES},
}  # fmt: skip
"""Words that a key may hold, by topic and key. The shape is that of a form block; packaging has
any."""


def wrong_words(topic: str, body: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    """Give each key that is stated with a word it does not take, and what it takes."""
    for key, words in WORDS.get(topic, {}).items():
        free = key == "shape" and body.get("family") != _FORM
        if key in body and not free and body[key] not in words:
            yield key, f"must be one of {', '.join(words)}"


def unmeant(topic: str, body: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    """Give each key of a limit or a standard by which nothing could be judged, and why."""
    if topic == "limit":
        why = own_limit("", body).unusable.rstrip(".")
        if why:
            yield "value", f"cannot be judged: {why}"
    elif topic == "standard":
        yield from _not_carried(body)
    elif topic == "repeatability" and "s" not in body and body.get("study") is not True:
        yield "s", "is not stated, and no study is taken: nothing would be added"


def _not_carried(body: Mapping[str, object]) -> Iterator[tuple[str, str]]:
    designation, edition = str(body.get("standard", "")), str(body.get("edition", ""))
    asked: dict[str, None] = {}
    for key, type_ in (("type", str(body.get("type", ""))), *_each(body, "classes")):
        for product in _PRODUCTS:  # what is asked of boards alone is told when a lot is judged
            try:
                rows = printed_limits(designation, edition, type_, product=product)
            except Misuse as error:
                yield _blamed(key, str(error), edition), f"is not carried: {str(error).rstrip('.')}"
                return
            asked |= dict.fromkeys(row.characteristic for row in rows)
    for _, characteristic in _each(body, "characteristics"):
        if characteristic not in asked:
            words = f'holds "{characteristic}", which is not carried of that type; there are: '
            yield "characteristics", words + ", ".join(asked)


def _blamed(key: str, error: str, edition: str) -> str:
    """The key that a message of the catalogue is about."""
    if f'edition "{edition}"' in error:
        return "edition"
    return "standard" if "no standard" in error or "cross-check" in error else key


def _each(body: Mapping[str, object], key: str) -> Iterator[tuple[str, str]]:
    names = body.get(key, ())
    if isinstance(names, Sequence) and not isinstance(names, str):
        yield from ((key, str(name)) for name in names)
