"""What was keyed on a sheet of a stocktake: one form of the kind ``stocktakes`` for each lot.

Read :func:`sent`, then :func:`read`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from uuid import uuid4

from beadwright.interop import keyed
from beadwright.interop.keyed import Keyed
from beadwright.ledger.draft import StepDraft
from beadwright.plant.stocktaking import Found, Listed
from beadwright.web.access import Asker
from beadwright.web.choices.kept import chosen

__all__ = ["ADD", "UNITS", "Sent", "found_in", "read", "sent"]

ADD = "add"
"""Name of the field for a lot that is not on the sheet."""

UNITS = {"us": "lb", "si": "kg"}
_FOUND, _NONE = "found-", "none-"


@dataclass(frozen=True, slots=True)
class Sent:
    """A sheet as it was sent, or as it is before anything was keyed."""

    key: str
    unit: str
    """Of every mass on the sheet."""
    texts: Mapping[str, str]
    """What was keyed, by lot."""
    missing: frozenset[str]
    """Lots that were not found."""
    extra: tuple[str, ...] = ()
    """Lots that were found and are not on the sheet."""
    sure: frozenset[str] = frozenset()
    """Answers: what was found stands, each for its own value."""
    add: str = ""
    do: str = "ask"
    live: bool = False
    """Compared as it is filled, before a button is pressed."""

    def text(self, code: str) -> str:
        """What was found of a lot, as keyed; 0 where it was not found, empty where nobody said."""
        return "0" if code in self.missing else self.texts.get(code, "").strip()

    def answer(self, code: str) -> str:
        """What a yes to a question about a lot sends."""
        return f"{code}={self.text(code)} {self.unit}"


def sent(request: Asker) -> Sent:
    """Read the sheet of a request."""
    said = request.POST
    taps = dict(one.split("=", 1) for one in said.getlist("chosen") if "=" in one)
    live = bool(getattr(request, "htmx", False))  # compares, and never records
    add = "" if live else taps.get(ADD, said.get(ADD, "")).strip()
    own = UNITS[chosen(request).units]
    return Sent(
        said.get("key", "") or uuid4().hex,
        said["unit"] if said.get("unit") in UNITS.values() else own,
        _by_lot(said, _FOUND),
        frozenset(_by_lot(said, _NONE)),
        tuple(dict.fromkeys(said.getlist("extra"))),
        frozenset(one for some in said.getlist("sure") for one in some.split("|")),
        add,
        # A scan that stands in its field is added first: its lot would be left out.
        "ask" if live else "add" if add else "post" if "sure" in said else said.get("do", "ask"),
        live,
    )


def _by_lot(said: Mapping[str, str], begins: str) -> dict[str, str]:
    return {
        name.removeprefix(begins): said[name]
        for name in said
        if name.startswith(begins) and said[name].strip()
    }


def read(request: Asker, sheet: Sent, lots: Iterable[Listed]) -> dict[str, Keyed]:
    """Give the form of each lot of which somebody said what was found."""
    return {
        one.lot: keyed.read(
            request.plant.code,
            "stocktakes",
            {"lot": one.lot, _field(one): sheet.text(one.lot)},
            units={"found_mass": sheet.unit},
            key=f"{sheet.key}-{one.lot}",
            by=request.signed.person,
        )
        for one in lots
        if sheet.text(one.lot)
    }


def _field(one: Listed) -> str:
    return "found_pieces" if one.counted else "found_mass"


def found_in(form: Keyed) -> Found:
    """Give what a form says was found."""
    lines = [one.lines for one in form.drafts if isinstance(one, StepDraft)]
    return Found(lines[0][0].mg, lines[0][0].pieces)
