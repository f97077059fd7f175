"""The decision rule as a paper states it: ISO/IEC 17025:2017, 7.8.6 [from memory].

Read :func:`rule_said`. A certificate's content carries the text, so that a later wording leaves
issued papers as they are. How probable it is that a lot conforms stands on no paper.
"""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.plant.bounds import LimitInForce
from beadwright.plant.decision_rule import is_counted

__all__ = ["rule_said"]

_SIMPLE = (
    "simple acceptance (JCGM 106:2012, 8.2): each observed value, or the mean of observed values"
    " where the limit asks for the mean, is compared with its limit as observed and unrounded (the"
    " absolute method of ASTM E29). No guard band is applied"
)
_GUARDED = (
    "guarded acceptance (JCGM 106:2012, 8.3): each observed value, or the mean of observed values"
    " where the limit asks for the mean, must lie inside its limit, as observed and unrounded, by a"
    " guard band of {k} u, where u is its standard uncertainty"
)
_U = (
    "U is the expanded uncertainty of the result (coverage factor k = 2), stated where it is known;"
    " at least that where a part of it is not. Of a mean it holds what the pieces differ by, and so"
    " may be larger than that of one piece"
)
_APART = "; it does not enter the comparison"


def rule_said(limits: Iterable[LimitInForce]) -> str:
    """State by which rule results were held against some limits; where they differ, which."""
    names: dict[str, dict[str, None]] = {}
    guarded = False
    for one in limits:
        banded = one.rule.guarded and not is_counted(one.characteristic)
        guarded = guarded or banded
        words = _GUARDED.format(k=one.rule.k) if banded else _SIMPLE
        names.setdefault(words, {})[one.characteristic.replace("_", " ")] = None
    if len(names) > 1:
        said = " ".join(f"Of {', '.join(some)}: {words}." for words, some in names.items())
    else:
        said = f"{next(iter(names), _SIMPLE)}."
    return f"Decision rule: {said} {_U}{'' if guarded else _APART}."
