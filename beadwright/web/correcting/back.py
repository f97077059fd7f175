"""The way back from a correction: to the station, or the lot, that somebody came from.

Read :func:`back`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from urllib.parse import parse_qsl, urlencode, urlsplit

from beadwright.interop.keyed import Again
from beadwright.web.access import Asker
from beadwright.web.stations.named import STATIONS, Station

__all__ = ["FIELD", "Back", "back"]

FIELD = "back"
"""Field of the form that carries the way back."""

_KEPT = ("kind", "lot", "of")
"""What of an address says where somebody was; a form that was open is not opened again."""
_BY_NAME: Mapping[str, Station] = {one.name: one for one in STATIONS}


@dataclass(frozen=True, slots=True)
class Back:
    """A way, and its words."""

    to: str
    words: str


def back(request: Asker, now: Again) -> Back | None:
    """Give the way back: to where somebody came from, else to the station of the entry's form."""
    said = request.POST.get(FIELD, "") if request.method == "POST" else _came_from(request)
    return next((found for to in (said, *_of_kind(now)) if (found := _read(to))), None)


def _came_from(request: Asker) -> str:
    """Give the page before, where it was one of ours."""
    parts = urlsplit(request.headers.get("Referer", ""))
    ours = parts.netloc == request.get_host()
    return f"{parts.path}?{parts.query}" if ours else ""


def _read(address: str) -> Back | None:
    """Read an address: that of a station or of a lot, or none."""
    parts = urlsplit(address)
    if parts.scheme or parts.netloc or "\\" in address:
        return None
    match parts.path.strip("/").split("/"):
        case ["stations", name] if name in _BY_NAME and not _BY_NAME[name].machine:
            return _station(_BY_NAME[name], f"/stations/{name}/", parts.query)
        case ["stations", name, place] if name in _BY_NAME and _BY_NAME[name].machine:
            to = f"/stations/{name}/{place}/"
            return Back(to, f"{_BY_NAME[name].title} {place}")
        case ["lots", code] if code:
            return Back(f"/lots/{code}/", f"Lot {code}")
    return None


def _station(station: Station, path: str, query: str) -> Back:
    kept = [(name, text) for name, text in parse_qsl(query) if name in _KEPT]
    lot = next((text for name, text in kept if name == "lot"), "")
    return Back(
        f"{path}?{urlencode(kept)}" if kept else path,
        f"{station.title}, {lot}" if lot else station.title,
    )


def _of_kind(now: Again) -> Iterator[str]:
    """Give the address of the station at which such a form is keyed."""
    for station in STATIONS:
        place = now.texts.get(station.machine, "") if station.machine else ""
        if station.machine and place:
            yield f"/stations/{station.name}/{place}/"
        elif any(kind.name == now.kind for kind in station.kinds) and not station.machine:
            lot = now.texts.get("lot", "") if station.name == "inspection" else ""
            query = {"lot": lot} if lot else {"kind": now.kind}
            yield f"/stations/{station.name}/?{urlencode(query)}"
