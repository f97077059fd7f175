"""What is proposed of a block once its time or its lot is another: state, age, balance, name.

Read :func:`followed`. A block gauged the next day is a day old, and is not weighed at the press.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, cast

from beadwright.plant.form_became import became
from beadwright.plant.inspecting import Inspecting
from beadwright.web.access import Asker
from beadwright.web.stations.inspection.acts import Act
from beadwright.web.stations.inspection.form import likely_of
from beadwright.web.stations.inspection.sheet import Sheet
from beadwright.web.stations.inspection.words import STATE_SAID
from beadwright.web.stations.stood import stood_in
from beadwright.web.stations.told import Told

__all__ = ["at_its_time", "followed", "stood_by", "with_news"]

_BY = ("at", "lot")
_FOLLOW = ("state", "specimen", "age", "instrument")


def stood_by(texts: Mapping[str, str]) -> tuple[str, ...]:
    """Give what stands in the fields that follow, and in those they go by."""
    return tuple(f"{name}={texts.get(name, '')}" for name in (*_BY, *_FOLLOW))


def at_its_time(found: Inspecting, sent: Told) -> Inspecting:
    """Give a lot with the age of its blocks at the time that a form is of."""
    row = sent.form.row
    if found.age is None or row is None or not isinstance(row.cells.get("at"), int):
        return found
    return replace(found, age=replace(found.age, at_ms=row.number_of("at")))


def followed(request: Asker, act: Act, sent: Told, found: Inspecting) -> Mapping[str, str]:
    """Put into what was sent what is proposed for its time and lot; give it, by field.

    What somebody changed stays, and so does a form that is in the record already.
    """
    stood, texts = stood_in(request.POST.getlist("stood")), sent.filled.texts
    same = all(texts.get(name, "").strip() == stood.get(name, "") for name in _BY)
    if act.name != "block" or not stood or same:
        return {}
    if became(request.plant, f"{act.kind}/{sent.key}").recorded:
        return {}
    likely = likely_of(request.plant.code, act, found).texts
    left = [name for name in _FOLLOW if texts.get(name, "").strip() == stood.get(name, "")]
    if "state" not in left:  # the rest goes by the state that somebody tapped
        left = [name for name in left if name == "age"]
    fresh = {name: likely.get(name, "") for name in left}
    fresh = {name: text for name, text in fresh.items() if text != stood.get(name, "")}
    said = request.POST.copy()
    for name, text in fresh.items():
        said[name] = text
    request.POST = cast("Any", said)
    return fresh


def with_news(form: Sheet, fresh: Mapping[str, str], before: tuple[str, ...]) -> Sheet:
    """Give a form with what it now proposes, in words; ``before``: what stood in it."""
    boxes = [one for one in form.boxes if one.name in fresh]
    if form.of_state is not None and "state" in fresh:
        said = STATE_SAID.get(form.state, "")
        boxes.insert(0, replace(form.of_state, label="The block is", text=said))
    stood = stood_by(form.likely.texts) if fresh else before
    return replace(form, anew=tuple(boxes), stood=stood)
