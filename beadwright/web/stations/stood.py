"""What stood in the fields of a form when it was proposed, so that it can follow what is scanned.

Read :func:`refreshed`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, cast

from beadwright.interop import keyed
from beadwright.plant.form_became import became
from beadwright.web.access import Asker
from beadwright.web.stations.told import Told

__all__ = ["refreshed", "stood_in", "stood_now", "stood_of"]

_FIELD = "stood"


def stood_of(kind: str, texts: Mapping[str, str]) -> tuple[str, ...]:
    """Give what stands in the fields that follow others, and in those that they go by."""
    by = keyed.goes_by(kind)
    names = dict.fromkeys([*by, *(key for keys in by.values() for key in keys)])
    return tuple(f"{name}={texts.get(name, '')}" for name in names)


def refreshed(request: Asker, kind: str, sent: Told) -> Mapping[str, str]:
    """Put into what was sent what is proposed now; give it, by field.

    A form that is in the record already is taken as it was.
    """
    stood = stood_in(request.POST.getlist(_FIELD))
    if not stood or became(request.plant, f"{kind}/{sent.key}").recorded:
        return {}
    fresh = keyed.anew(request.plant.code, kind, sent.filled.texts, stood)
    if fresh:
        said = request.POST.copy()
        for name, text in fresh.items():
            said[name] = text
        request.POST = cast("Any", said)
    return fresh


def stood_now(request: Asker, kind: str, sent: Told, fresh: Mapping[str, str]) -> tuple[str, ...]:
    """Give what stands now, where something was proposed anew; else what stood before."""
    before = request.POST.getlist(_FIELD)
    return stood_of(kind, sent.filled.texts) if fresh else tuple(before)


def stood_in(said: Iterable[str]) -> dict[str, str]:
    """Give what stood in fields, as a form sends it."""
    return dict(one.split("=", 1) for one in said if "=" in one)
