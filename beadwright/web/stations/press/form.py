"""The forms of a press: what is known already, and what was keyed into the fields that are asked.

Read :func:`likely_of` and :func:`as_sent`.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.http import QueryDict

from beadwright.interop import keyed
from beadwright.interop.keyed import Likely
from beadwright.plant.pressing import Pressing
from beadwright.web.access import Asker
from beadwright.web.stations.press.acts import Act

__all__ = ["OTHER", "as_sent", "likely_of", "next_cavity"]

OTHER = "other_cause"
"""Field for a cause that stands on no button."""

_MINUTE = "%Y-%m-%d %H:%M"
_AGE_H = "0.1"
"""Age of a block that is weighed as it comes; it stands on the form, to be changed."""


def likely_of(request: Asker, act: Act, press: Pressing) -> Likely:
    """Give what a form holds before anything is keyed."""
    plant, run = request.plant.code, "" if press.run is None else press.run.code
    now = _clock(press.at_ms, request.plant.zone)
    if act.kind == "mould_runs":
        known = keyed.counting(plant, run)
        none = {"shots": "0", "good": "0"} if act.name == "scrap" else {}
        return Likely({**known.texts, "ended": now, **none}, known.units)
    if act.kind in {"inspections", "results"}:
        return _measured(plant, act, press)
    given = {
        "first": {"press": press.press, "run": run, "lot": press.lot},
        "stop": {"place": press.press, "run": run, "ended": now},
        "silo": {"run": run, "from": press.draws.change_to},
        "hopper": {
            "what": "transfer", "from": press.draws.change_to, "to": press.draws.hopper,
        },
        "carton": {"run": run, "ties": press.draws.next_carton},
        "end": {"run": run},
    }  # fmt: skip
    if act.name == "start":
        return _start(plant, press)
    return Likely(given[act.name], {})


def _measured(plant: str, act: Act, press: Pressing) -> Likely:
    """A block of the lot, by the number after the last one of its state."""
    lot = {"lot": press.lot}
    if act.kind == "results":
        return Likely({**lot, "specimen": f"B{len(press.figures.broken) + 1}"}, {})
    known = {**lot, "state": "press"}
    usual = keyed.usual(plant, act.kind, known)
    piece = {"specimen": usual.texts.get("specimen", "W1")}
    scale = {"instrument": press.balance} if act.name == "weigh" and press.balance else {}
    cavity = {"cavity": str(next_cavity(press))} if press.mould.cavities > 1 else {}
    return Likely({**known, **piece, **scale, **cavity, "age": _AGE_H}, {"age": "h"})


def next_cavity(press: Pressing) -> int:
    """The one after that weighed last."""
    weighed = press.figures.weighed
    return weighed[0].cavity % press.mould.cavities + 1 if weighed else 1


def _start(plant: str, press: Pressing) -> Likely:
    """The next run: the same product and mould, of the silo and carton that may be used."""
    usual = keyed.usual(plant, "mould_open", {"press": press.press})
    texts = {**usual.texts, "press": press.press}
    if press.product is not None and texts.get("product") == press.product.name:
        carton = press.draws.carton
        used = carton is not None and carton.may
        texts["from"] = press.draws.start_of or texts.get("from", "")
        texts["ties"] = carton.code if used and carton else press.draws.next_carton
    return Likely({name: text for name, text in texts.items() if text}, usual.units)


def as_sent(said: QueryDict, act: Act, zone: ZoneInfo) -> QueryDict:
    """Give what was sent with a cause of one's own in its field, and minutes as a beginning."""
    sent = said.copy()
    other = sent.get(OTHER, "").strip()
    if "cause" in act.asked and other:
        sent["cause"] = other
    if "minutes" in act.asked:
        sent["started"] = _before(sent.get("ended", ""), sent.get("minutes", ""), zone)
    return sent


def _before(ended: str, minutes: str, zone: ZoneInfo) -> str:
    """Give the time so many minutes before another; empty where either cannot be read."""
    try:
        end = datetime.strptime(ended.replace("T", " ").strip(), _MINUTE).replace(tzinfo=zone)
        began = end.timestamp() - timedelta(minutes=int(minutes)).total_seconds()
    except (ValueError, OverflowError):
        return ""
    return f"{datetime.fromtimestamp(began, zone):{_MINUTE}}"


def _clock(at_ms: int, zone: ZoneInfo) -> str:
    return f"{datetime.fromtimestamp(at_ms / 1000, zone):{_MINUTE}}"
